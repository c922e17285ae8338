// Compares how we read quantities with the npm package js-quantities, version
// 1.8.0: texts that both know, made from a seed, have to come to the same
// value; texts that are none have to be refused by both.
//
//     node units.mjs UNITS_MAIN MODULES [SEED [COUNT]]
//
// Where the two differ on purpose it is listed at the end, with the reason.
import { spawnSync } from "node:child_process";
import { createRequire } from "node:module";
import { join } from "node:path";

const [unitsMain, modules, seedText, countText] = process.argv.slice(2);
const Qty = createRequire(join(modules, "from"))("js-quantities");
const seed = Number(seedText ?? 20260611);
const count = Number(countText ?? 2000);

let passed = 0;
let failed = 0;

function check(good, text, ...lines) {
	if (good) {
		passed++;
		return;
	}
	failed++;
	console.error(`NOT OK: ${JSON.stringify(text)}: ${lines.join(", ")}`);
}

function ours(texts) {
	const run = spawnSync(unitsMain, {
		input: texts.map((text) => `${text}\t-\n`).join(""), encoding: "utf8",
	});
	if (run.status !== 0)
		throw new Error(`units_main failed: ${run.stderr}`);
	return run.stdout.split("\n").slice(0, texts.length);
}

// In SI base units, or null where it is refused. Turns are an angle there.
function theirs(text) {
	try {
		const base = Qty(text).toBase();
		return base.scalar / (/rpm/.test(text) ? 2 * Math.PI : 1);
	} catch {
		return null;
	}
}

// Marsaglia's xorshift of 32 bits.
let state = seed | 1;
function random() {
	state ^= state << 13;
	state ^= state >>> 17;
	state ^= state << 5;
	return (state >>> 0) / 2 ** 32;
}
const pick = (list) => list[Math.floor(random() * list.length)];

const units = [
	"V", "volt", "volts", "mV", "uV", "µV", "kV", "A", "amps", "mA", "uA",
	"ohm", "Ohm", "kohm", "kOhm", "kΩ", "Ω", "Mohm", "MOhm", "mohm", "uohm",
	"F", "mF", "uF", "µF", "nF", "pF", "H", "mH", "uH", "Hz", "kHz", "s", "ms",
	"us", "min", "h", "hours", "days", "%", "percent", "W", "kW", "hp", "Ah",
	"mAh", "J", "kJ", "Wh", "kWh", "m", "cm", "mm", "km", "in", "inches", "\"",
	"ft", "feet", "'", "mile", "miles", "mm2", "mm^2", "cm2", "km/h", "kph",
	"mph", "m/s", "N m", "N*m", "N", "lbf", "kg", "lb", "lbs", "rpm", "rpm/V",
	"A/mm2", "ohm/km", "ohm/m", "ohm/V", "kohm/V",
];

function number() {
	const size = 10 ** (random() * 9 - 4);
	const digits = 1 + Math.floor(random() * 8);
	const text = pick([
		size.toPrecision(digits), String(Math.round(size)),
		size.toFixed(3), size.toExponential(digits),
		size.toExponential(2).toUpperCase(),
		size.toFixed(2).replace(/^0\./, "."),
	]);
	return pick(["", "", "", "-", "+", "- "]) + text;
}

function made() {
	return pick(["", "", " "]) + number() + pick([" ", " ", ""]) + pick(units) +
		pick(["", "", " "]);
}

const texts = [];
for (let i = 0; i < count; i++)
	texts.push(made());
ours(texts).forEach((line, i) => {
	const wanted = theirs(texts[i]);
	const got = Number(line);
	// Their pound-force and horsepower have seven digits.
	check(wanted !== null && Math.abs(got - wanted) <= 3e-7 * Math.abs(wanted),
		texts[i], `theirs ${wanted}`, `ours ${line}`);
});

// By themselves, not after a number: one degree is written otherwise there.
const degrees = [["degC", "tempC"], ["degF", "tempF"], ["K", "tempK"]];
const warm = [];
for (let i = 0; i < 60; i++)
	warm.push([(random() * 500).toFixed(Math.floor(random() * 5)), pick(degrees)]);
ours(warm.map(([text, [unit]]) => `${text} ${unit}`)).forEach((line, i) => {
	const [text, [unit, called]] = warm[i];
	const wanted = Qty(`${text} ${called}`).toBase().scalar;
	check(Math.abs(Number(line) - wanted) <= 1e-9, `${text} ${unit}`,
		`theirs ${wanted}`, `ours ${line}`);
});

const none = [
	"3,200 V", "1,234.5 V", "12.4.5 V", "12 vlots", "nan V", "inf V", "NaN",
	"Infinity", "0x10 V", "1e400 V", "12 V V2 X", "12 V 5 V", "--5 V", "5e V",
	"12 kkV", "12 X", "1 000 V", "e5 V", ". V", "12 V!", "12 °", "1e V/",
];
ours(none).forEach((line, i) => check(line.startsWith("error: ") ===
	(none[i] === "12 °" ? false : theirs(none[i]) === null),
	none[i], `theirs ${theirs(none[i])}`, `ours ${line}`));

// On purpose: what people write, and they do not read.
for (const text of ["0,185 V", "4k7", "R47", "5. V", "12 Nm", "90 in-lb",
	"10 ohms", "470 ohm 5 %", "2 AWG", "20 to 30 A"]) {
	const [line] = ours([text]);
	check(!line.startsWith("error: ") && theirs(text) === null, text,
		`theirs ${theirs(text)}`, `ours ${line}`);
}
// And what no quantity is without its number, or its unit: farads and C.
for (const [text, reason] of [["V", "a unit alone is one there"],
	["", "nothing is one there"],
	["2 C", "coulombs there, and degrees Celsius in the trade"]]) {
	const [line] = ours([text]);
	check(theirs(text) !== null && Number(line) !== theirs(text), text, reason,
		`theirs ${theirs(text)}`, `ours ${line}`);
}

console.log(`js-quantities: ${passed} alike, ${failed} not; seed ${seed}`);
process.exit(failed === 0 ? 0 : 1);
