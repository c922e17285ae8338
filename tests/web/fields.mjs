// Script and markup in every field that exists: the pages are crawled, every
// form that is found is sent with something planted in each of its fields, and
// then all pages are read again. A new form is covered by itself; which fields
// were covered is printed.
//
//     node fields.mjs PORT FOLDER [CODE]    CODE pairs with a --lan server
import { createHash } from "node:crypto";
import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { checker } from "./walk.mjs";
import { Client, encode, forms, links } from "./wire.mjs";

const [port, folder, code] = process.argv.slice(2);
const check = checker("fields");
const me = new Client(Number(port));
mkdirSync(folder, { recursive: true });

// Each is looked for as it was sent: in a page that escapes it, it is not
// there, wherever in the page it stands.
const plants = [
	'<script>lw(1)</script>"><img src=x onerror=lw(2)>',
	'" onfocus="lw(3)" autofocus="',
	"' onfocus='lw(4)' x='",
	"</textarea></title></style></script><svg onload=lw(5)>",
	"javascript:lw(6)//",
	"T7{{version}}{{{token}}}{{#jobs}}{{/jobs}}{{!",
	"&lt;b&gt;E8&#60;b",
	"]]><!--<?lw(9)?>",
	"\u202eR10\u202d\u2066\u200f",
	`c${"\u0301".repeat(60)}`,
];
// These have to be escaped, also where a text was cut; the rest is text like
// any other.
const escaped = ["<script>lw(", "<img src=x", '" onfocus="', "' onfocus='", "</textarea></title>", "<svg onload=lw", "&lt;b&gt;E8", "]]><!--"];

const kept_pages = new Set();
const odd = (text) => [...text].find((c) => /[\0-\x08\x0b-\x1f\x7f]/.test(c));

// What every answer keeps to.
function inspect(what, answer) {
	const { status, headers, page } = answer;
	// Trees are worked out two at a time; who comes then is asked to come again.
	const busy = status === 503 && /\/plan[ ?]/.test(what) && headers["retry-after"] !== undefined;
	check(`${what}: answered`, (status >= 200 && status < 500) || busy, `${status}, ${answer.how}`);
	// Only the page that films a lamp plays what the browser holds.
	const plays = answer.page.includes('<video id="film-video"') ? "; media-src 'self' blob:" : "";
	check(`${what}: headers`, headers["content-security-policy"] === "default-src 'self'; object-src 'none'; base-uri 'none'; " +
		`form-action 'self'; frame-ancestors 'none'${plays}` && headers["x-content-type-options"] === "nosniff", JSON.stringify(headers));
	check(`${what}: one line a header`, !/lw\(|onfocus/.test(headers["set-cookie"] ?? ""), headers["set-cookie"]);
	if (headers.location !== undefined)
		check(`${what}: leads nowhere else`, /^\/(?![/\\])[\x21-\x7e]*$/.test(headers.location), headers.location);
	for (const plant of escaped)
		check(`${what}: escaped`, !page.includes(plant), page.slice(Math.max(0, page.indexOf(plant) - 200)).slice(0, 400));
	check(`${what}: not filled in`, !/T7[\da-f.]/.test(page), page.match(/T7.{40}/)?.[0]);
	check(`${what}: no control characters`, odd(page) === undefined);
	if (/^text\/html/.test(headers["content-type"] ?? "") && page !== "") {
		const name = createHash("sha256").update(page).digest("hex").slice(0, 16);
		if (!kept_pages.has(name))
			writeFileSync(`${folder}/${name}.html`, page);
		kept_pages.add(name);
	}
}

// --- what there is --------------------------------------------------------

const known = new Map(); // a kind of form: where it stands, and its fields
const nameless = (name) => name.replace(/\.\d+$/, ".*");
const place = (action) => action.replace(/\?.*/, "").replace(/^(\/(?:jobs|rigs|devices|notes|screens)\/)(?!new\b)[^/]+/, "$1*");
const kind_of = (form) => `${form.method} ${place(form.action)}`;

function note(address, page) {
	for (const form of forms(page)) {
		check(`${address ?? "an answer"}: a form leads somewhere`, /^\/(?!.*\/\/)/.test(form.action), form.action);
		const kind = kind_of(form);
		if (!known.has(kind))
			known.set(kind, { kind, at: [], fields: new Map(), grown: false });
		const entry = known.get(kind);
		const news = form.fields.filter((field) => !entry.fields.has(nameless(field.name)));
		for (const field of news)
			entry.fields.set(nameless(field.name), { type: field.type, results: null });
		if (news.length > 0 || entry.at.length < 40 && !entry.at.some((one) => one.address === address && one.form.action === form.action))
			entry.at.push({ address, form });
	}
}

// A screen may have been sent away by what was planted.
async function pair() {
	note("/pair", (await me.get("/pair")).page);
	const { status, page } = await me.post("/pair", { code });
	check("paired", status === 303, `${status} ${page}`);
}
// Of pages that are alike but for what the packs say, so many are enough; a
// plan is worked out anew each time.
const alike = [[/^\/plan\?for=/, 4], [/^\/(checks|causes|faults|trees|settings|symptoms)\/[a-z]/, 20]];
function enough() {
	const left = new Map();
	return (address) => {
		const found = alike.find(([pattern]) => pattern.test(address));
		if (!found || address.includes("zq-"))
			return false;
		const kind = address.match(/^\/[a-z]+/)[0];
		left.set(kind, (left.get(kind) ?? found[1]) - 1);
		return left.get(kind) < 0;
	};
}
async function crawl() {
	const leave = enough();
	if (code && (await me.get("/notes")).status !== 200)
		await pair();
	const seen = new Set(["/"]), waiting = ["/"];
	while (waiting.length > 0 && seen.size < 6000) {
		const address = waiting.shift();
		const answer = await me.get(address);
		inspect(`GET ${address}`, answer);
		note(address, answer.page);
		const on = answer.headers.location ? [answer.headers.location.replace(/#.*/, "")] : links(answer.page);
		for (const next of on)
			if (!seen.has(next)) {
				seen.add(next);
				if (!leave(next))
					waiting.push(next);
			}
	}
	check("the crawl comes to an end", seen.size < 6000, [...seen].slice(-5));
	return seen;
}

// What a person would put in, so that the rest of the form is taken.
let made = 0;
const usual = {
	pattern: () => String(1 + (made++ % 50)),
	lines: () => `${1 + (made++ % 50)} = overheated`,
	answer: () => "0",
	count: () => "3",
	code: () => code ?? "",
};
// `whole`: with the fields that may be left empty; `turn`: which button.
function filled(form, whole, turn) {
	const fields = {};
	for (const { name, type, value, values, required } of form.fields) {
		if (type === "checkbox" && !/^(keep|as)\b/.test(name))
			continue;
		fields[name] = value !== "" || type === "hidden" || !(required || whole) ? value
			: usual[nameless(name).replace(/\.\*$/, "")]?.() ?? `plain words ${++made}`;
		if (type === "submit" && values.length > 1)
			fields[name] = values[turn % values.length];
	}
	return fields;
}

// Send a form; where it stands still, with what its page says now.
async function submit({ address, form }, change, { whole = false, turn = 0 } = {}) {
	let now = form;
	// To be let in one has to be new.
	const who = place(form.action) === "/pair" ? new Client(Number(port)) : me;
	if (address !== null) {
		const answer = await who.get(address);
		note(address, answer.page);
		now = forms(answer.page).find((one) => one.action === form.action &&
			Object.keys(change).every((name) => one.fields.some((field) => field.name === name))) ?? form;
	}
	const fields = { ...filled(now, whole, turn), ...change };
	if ("token" in fields)
		fields.token = who.token;
	const answer = now.method === "post" ? await who.post(now.action, fields) : await who.get(`${now.action}?${encode(fields)}`);
	inspect(`${now.method} ${now.action} ${JSON.stringify(change)}`, answer);
	note(null, answer.page);
	if (answer.headers.location) {
		const on = answer.headers.location.replace(/#.*/, "");
		const next = await who.get(on);
		inspect(`on to ${on}`, next);
		note(on, next.page);
	}
	return answer;
}

// --- growing, planting, reading again -------------------------------------

// These would take away what the others stand on: they are left for the last.
const ends = /remove|unteach|close|screens/;
const grow = async (entry) => {
	entry.grown = true;
	const many = { "post /jobs": 14, "post /jobs/*/answer": 9 }[entry.kind] ?? 2;
	const jobs = new Set();
	const each = entry.at.filter(({ form }) => !jobs.has(form.action) && jobs.add(form.action));
	for (const [i, one] of (each.length < 2 ? entry.at : each).slice(0, many).entries())
		// A job is answered some way down its tree, the first ones in a row
		// as things should be.
		for (let step = entry.kind === "post /jobs/*/answer" ? 9 : 1; step > 0; step--)
			await submit(one, {}, { turn: i < 5 ? 0 : step });
};
for (let round = 0; round < 6; round++) {
	await crawl();
	const fresh = [...known.values()].filter((entry) => !entry.grown && !ends.test(entry.kind));
	if (fresh.length === 0)
		break;
	for (const entry of fresh)
		await grow(entry);
}

// Of fields that are alike but for what the packs say ("point.pack-plus"), so
// many.
const ALIKE = 15;
async function plant(entry) {
	const sent = new Map();
	for (const [name, field] of entry.fields) {
		if (name === "token" || field.results)
			continue;
		field.results = { kept: 0, back: 0, refused: 0 };
		const prefix = name.match(/^[a-z]+(?=\.)/)?.[0];
		sent.set(prefix, (sent.get(prefix) ?? 0) + 1);
		if (prefix && sent.get(prefix) > ALIKE)
			continue;
		// Wrong codes lock; strangers.mjs sends those.
		if (name === "code")
			continue;
		const is_text = ["text", "textarea", "search"].includes(field.type) ||
			(field.type === "hidden" && /^(meaning|pattern|fault|words|id|back)\b/.test(name));
		const holders = entry.at.filter(({ form }) => form.fields.some((one) => nameless(one.name) === name));
		for (const [i, text] of plants.entries()) {
			if (!is_text && i !== 0 && i !== 4)
				continue;
			const one = holders[i % holders.length];
			const full = one.form.fields.find((other) => nameless(other.name) === name).name;
			let { status, page } = await submit(one, { [full]: text }, { turn: i });
			if (is_text && status >= 400)
				({ status, page } = await submit(one, { [full]: text }, { whole: true }));
			if (status === 303 || (entry.kind.startsWith("get") && status === 200))
				field.results.kept++;
			else if (/lw\(|T7|E8|R10|\u0301{20}/.test(page))
				field.results.back++;
			else
				field.results.refused++;
		}
	}
}
for (const last of [false, true])
	for (let round = 0; round < 5; round++) {
		const todo = [...known.values()].filter((entry) => (last || !ends.test(entry.kind)) &&
			[...entry.fields].some(([name, field]) => name !== "token" && !field.results));
		if (todo.length === 0)
			break;
		for (const entry of todo)
			await plant(entry);
		await crawl();
	}
const seen = await crawl();

// --- what a real reader of XML makes of it --------------------------------

const files = [...kept_pages].map((name) => `${folder}/${name}.html`);
for (let i = 0; i < files.length; i += 200) {
	const { status, stderr } = spawnSync("xmllint", ["--noout", ...files.slice(i, i + 200)], { encoding: "utf8" });
	check("pages are well-formed", status === 0, stderr.slice(0, 600));
}
const never = {
	"a handler": '//@*[starts-with(local-name(), "on")]',
	"a script of its own": '//*[local-name()="script"][not(starts-with(@src, "/static/")) or normalize-space(.) != ""]',
	"a style of its own": '//@style | //*[local-name()="style"]',
	"an address that is none": '//@*[local-name()="href" or local-name()="src" or local-name()="action" or local-name()="formaction"]' +
		'[not(starts-with(., "/") or starts-with(., "#") or starts-with(., "https://")) or starts-with(., "//")]',
	"a frame or plug-in": '//*[local-name()="iframe" or local-name()="frame" or local-name()="object" or local-name()="embed" or local-name()="base"]',
	"an odd picture": '//*[local-name()="img"][not(starts-with(@src, "/static/"))]',
	"a way on that is none": '//*[local-name()="meta"][@http-equiv][not(contains(@content, "url=/"))]',
};
const expressions = Object.entries(never);
for (let i = 0; i < files.length; i += 400) {
	// One document of many pages, so that each question is asked once.
	const { stdout } = spawnSync("cat", files.slice(i, i + 400), { encoding: "utf8", maxBuffer: 1 << 30 });
	writeFileSync(`${folder}/all.xml`, `<all>${stdout.replace(/<!DOCTYPE html>/g, "")}</all>`);
	for (const [what, expression] of expressions) {
		const { stdout: found, status } = spawnSync("xmllint", ["--huge", "--xpath", expression, `${folder}/all.xml`], { encoding: "utf8" });
		// 10 is "nothing was found".
		check(`no page has ${what}`, status === 10, `${status}: ${found.slice(0, 500)}`);
	}
}
// The reader finds such things where they are.
writeFileSync(`${folder}/all.xml`, `<all><a href="javascript:x" onclick="y" style="z"/><script>q</script><img src="x"/><iframe/><meta http-equiv="refresh" content="0;url=//x"/></all>`
	.replace("url=//x", "url=http://x"));
for (const [what, expression] of expressions)
	check(`${what} would be found`, spawnSync("xmllint", ["--xpath", expression, `${folder}/all.xml`]).status === 0);

// --- what was covered -----------------------------------------------------

const covered = [];
for (const { kind, fields } of known.values())
	for (const [name, { type, results }] of fields)
		if (name !== "token") {
			check(`${kind} ${name} was tried`, results !== null);
			covered.push({ kind, name, type, ...results });
		}
for (const { kind, name, type, kept, back, refused } of covered)
	console.log(`covered: ${kind} ${name} (${type}): ${kept} taken, ${back} shown back, ${refused} refused`);
// So that the crawl cannot pass one by: each that the templates have.
const web = new URL("../../web/", import.meta.url);
const templates = ["", "part/"].flatMap((sub) => readdirSync(new URL(sub, web)).filter((name) => name.endsWith(".html")).map((name) => sub + name));
for (const template of templates)
	for (const [tag] of readFileSync(new URL(template, web), "utf8").matchAll(/<(input|textarea)\b[^>]*>/g)) {
		const name = /\bname="([^"]*)"/.exec(tag)?.[1] ?? "", type = /\btype="([^"]*)"/.exec(tag)?.[1] ?? "text";
		const like = new RegExp(`^${name.replace(/[.*]/g, "\\$&").replace(/\{\{[^}]*\}\}/g, ".+")}$`);
		if (!["hidden", "radio", "checkbox", "file"].includes(type) && (code || template !== "pair.html"))
			check(`${template} ${name} was found`, name !== "" && covered.some((one) => like.test(one.name)));
	}
const texts = covered.filter(({ type }) => type === "text" || type === "textarea");
check("there are fields for text", texts.length >= 25, texts.length);
// Text that people write for people is taken as it is.
for (const [kind, name] of [["post /notes", "words"], ["post /rigs", "title"], ["post /rigs/*/points", "words"], ["post /rigs/*/settings", "why"],
	["post /rigs/*/settings", "became"], ["post /rigs/*/log", "words"], ["post /devices/new", "title"], ["post /devices/*/lesson", "meaning.*"],
	...(code ? [["post /pair", "name"]] : []), ["post /jobs/*/note", "words"], ["post /jobs/*/wait", "words"]]) {
	const field = covered.find((one) => one.kind === kind && one.name === name);
	check(`${kind} ${name} takes what is planted`, field?.kept > 0, JSON.stringify(field));
}
console.log(`fields: ${seen.size} addresses, ${files.length} pages, ${covered.length} fields`);
console.log(`fields: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
