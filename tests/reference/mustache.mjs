// Compares our renderer with the npm package mustache, version 4.2.0, over
// tests/tables/templates and over templates made from a seed.
//
//     node mustache.mjs FILL_MAIN MODULES TABLES [SEED [COUNT]]
//
// The reference's own escape function also escapes / ` and =; here it is set
// to the five characters of XML that ours escapes, and to none for plain
// text. Where the two differ on purpose is in differs.json, with the reason;
// the made templates keep away from that.
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const [fillMain, modules, tables, seedText, countText] = process.argv.slice(2);
const mustache = createRequire(join(modules, "from"))("mustache");
const seed = Number(seedText ?? 20240608);
const made = Number(countText ?? 600);

const entities = {
	"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;",
};
const escapes = {
	html: (value) => String(value).replace(/[&<>"']/g, (c) => entities[c]),
	text: (value) => String(value),
};

let passed = 0;
let failed = 0;

function check(good, test, ...lines) {
	if (good) {
		passed++;
		return;
	}
	failed++;
	console.error(`NOT OK: ${test.name}`);
	console.error(`  case: ${JSON.stringify(test)}`);
	for (const [what, value] of lines)
		console.error(`  ${what}: ${JSON.stringify(value)}`);
}

function table(name) {
	return JSON.parse(readFileSync(join(tables, name + ".json"))).cases;
}

function ours(cases) {
	const run = spawnSync(fillMain, {
		input: JSON.stringify(cases), encoding: "utf8", maxBuffer: 1 << 28,
	});
	if (run.status !== 0)
		throw new Error(`the renderer failed: ${run.stderr}`);
	return JSON.parse(run.stdout);
}

function theirs(test) {
	try {
		return mustache.render(test.template, test.data ?? {},
			test.partials, { escape: escapes[test.kind ?? "html"] });
	} catch (error) {
		return { error: error.message };
	}
}

// Mulberry32: small, seeded, good enough to choose with.
function chooser(state) {
	const next = () => {
		state = (state + 0x6d2b79f5) | 0;
		let t = Math.imul(state ^ (state >>> 15), 1 | state);
		t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
		return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
	};
	return {
		chance: (p) => next() < p,
		below: (n) => Math.floor(next() * n),
		one: (list) => list[Math.floor(next() * list.length)],
	};
}

const words = ["lamp", "R&D", "<b>", "5\" x", "it's", "10 kΩ", "é", "{x}",
	"}}", "a/b=c", "`", "⚡", "x", "{{y}}", "two\nlines", "\ttab", " "];
// For template text: no tags, no line ends, a visible first character.
const literals = ["-", "lamp", "a & b", "é:", "{ x }", "<td>", "\"", "| |"];
const blanks = ["", "", " ", "  ", "\t", "    "];
const ends = ["\n", "\n", "\n", " \n", "\t\n", "\r\n"];

// The kind of value is the key's first letter: t text, n number, b truth,
// z null or missing, o object, l list of objects, m list of texts and
// numbers, k list of such lists.
function scalar(rand) {
	if (rand.chance(0.5))
		return rand.one(words);
	return rand.one([0, 1, -7, 48, 52.4, 0.1, -0.25, 1e6, 3.5e-3, 123456.789]);
}

function object(rand, depth) {
	const made = {};
	for (const key of ["t1", "t2", "n1", "b1", "b2", "z1"]) {
		if (rand.chance(0.3))
			continue;
		if (key[0] === "t")
			made[key] = rand.chance(0.2) ? "" : rand.one(words);
		else if (key[0] === "n")
			made[key] = rand.one([0, 1, 2.5, -3, 17]);
		else
			made[key] = key[0] === "z" ? null : rand.chance(0.5);
	}
	const list = (item) => Array.from({ length: rand.below(4) }, item);
	if (rand.chance(0.7))
		made.m1 = list(() => scalar(rand));
	if (rand.chance(0.3))
		made.k1 = list(() => list(() => scalar(rand)));
	if (depth > 0 && rand.chance(0.8))
		made.o1 = object(rand, depth - 1);
	if (depth > 0 && rand.chance(0.8))
		made.l1 = list(() => object(rand, depth - 1));
	return made;
}

const values = ["t1", "t2", "n1", "b1", "b2", "z1", "none", "r1.t1",
	"r1.n1", "r1.o1.t2", "r1.none", "r1.z1.t1"];
const sections = [...values, "o1", "l1", "m1", "k1", "r1", "r1.m1", "r1.l1"];

// What "." is inside a section on `name`: known only for m and k. In the
// other cases it stays as it was, or is an object, so it is not used.
function inside(name, point) {
	const kind = name.split(".").pop()[0];
	if (name === ".")
		return point === "k" ? "m" : null;
	return kind === "m" || kind === "k" ? kind : null;
}

function tag(rand, sigil, name) {
	const pad = rand.one(["", "", " "]);
	return `{{${sigil}${pad}${name}${pad}}}`;
}

function pickSection(rand, point) {
	return point === "k" ? "." : rand.one(sections);
}

// Something inside a line. A literal comes first on every line, since blank
// lines of several tags are where the two differ.
function inline(rand, depth, point, partials) {
	const roll = rand.below(10);
	if (roll < 3)
		return rand.one(literals);
	if (roll < 6)
		return tag(rand, "", point === "m" && rand.chance(0.7)
			? "." : rand.one(values));
	if (roll < 7)
		return rand.one(["{{! note }}", "{{!#x}}", "{{!\n over\n}}."]);
	if (roll < 8 && partials.length > 0)
		return tag(rand, ">", rand.one(partials.filter((p) => p[0] === "s")
			.concat("s0")));
	if (depth === 0)
		return " ";
	const name = pickSection(rand, point);
	const sigil = rand.one(["#", "#", "^"]);
	const within = sigil === "^" ? point : inside(name, point);
	const eol = rand.chance(0.1) ? "\n" + rand.one(literals) : "";
	return tag(rand, sigil, name) + rand.one(["", " "]) + rand.one(literals) +
		inline(rand, depth - 1, within, partials) + eol + tag(rand, "/", name);
}

function lines(rand, depth, point, partials) {
	let text = "";
	for (let i = 1 + rand.below(4); i > 0; i--) {
		const roll = rand.below(10);
		const alone = (t) => rand.one(blanks) + t + rand.one(ends);
		if (roll < 1) {
			text += rand.one(["\n", "  \n"]);
		} else if (roll < 2) {
			text += alone(rand.one(["{{! note }}", "{{!\n over\n}}"]));
		} else if (roll < 4 && partials.length > 0) {
			text += alone(tag(rand, ">", rand.one(partials)));
		} else if (roll < 7 && depth > 0) {
			const name = pickSection(rand, point);
			const sigil = rand.one(["#", "#", "^"]);
			text += alone(tag(rand, sigil, name)) +
				lines(rand, depth - 1,
					sigil === "^" ? point : inside(name, point),
					partials) +
				alone(tag(rand, "/", name));
		} else {
			text += rand.one(blanks) + rand.one(literals);
			for (let j = rand.below(4); j > 0; j--)
				text += inline(rand, depth, point, partials);
			text += rand.one(ends);
		}
	}
	return text;
}

// p partials have lines, s partials a single one without its end: those may
// stand inside a line. Each uses only later ones, so nothing recurs.
function make(number) {
	const rand = chooser(seed + number * 7919);
	const partials = {};
	const names = ["p2", "p1", "p0"];
	partials.s0 = rand.one(literals) + tag(rand, "", rand.one(values));
	partials.s1 = "[" + inline(rand, 1, null, []) + "]";
	partials.s1 = partials.s1.replace(/\n/g, "");
	const known = ["s0", "s1"];
	for (const name of names) {
		partials[name] = lines(rand, 1, null, [...known]);
		known.push(name);
	}
	let template = lines(rand, 3, null, known);
	if (rand.chance(0.2))
		template = template.replace(/\r?\n$/, "");
	const data = object(rand, 3);
	data.r1 = object(rand, 1);
	return {
		name: `seed ${seed}, number ${number}`, template, data, partials,
		kind: rand.one(["html", "text"]),
	};
}

const same = ["values", "sections", "lines", "partials"].flatMap(table);
ours(same).forEach((got, i) => {
	const test = same[i];
	const reference = theirs(test);
	check(got === test.expected && reference === test.expected, test,
		["expected", test.expected], ["ours", got],
		["mustache.js", reference]);
});

const different = table("differs");
ours(different).forEach((got, i) => {
	const test = different[i];
	const reference = theirs(test);
	check(got === test.expected && reference !== test.expected && test.why,
		test, ["expected", test.expected], ["ours", got],
		["mustache.js, which should differ", reference]);
});

const bad = table("bad");
ours(bad).forEach((got, i) => {
	const test = bad[i];
	const reference = theirs(test);
	check(got.error && (!test.reference || reference.error), test,
		["ours", got], ["mustache.js", reference]);
});

const random = Array.from({ length: made }, (_, i) => make(i));
let filled = 0;
ours(random).forEach((got, i) => {
	const reference = theirs(random[i]);
	if (typeof got === "string" && got.trim() !== "")
		filled++;
	check(typeof got === "string" && got === reference, random[i],
		["ours", got], ["mustache.js", reference]);
});
check(same.length >= 120, { name: "the tables were read" },
	["cases", same.length]);
check(filled > made / 2, { name: "the made templates show something" },
	["of", made], ["show something", filled]);

console.log(`${same.length} by hand, ${different.length} that differ, ` +
	`${bad.length} malformed, ${made} made from seed ${seed}: ` +
	`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
