// Films of a lamp through the page's own file input, as far as the fault: the
// spot that it takes, the level series that is sent and nothing else, the
// times in it, another spot, and what is said of films that cannot be read.
//
//     node films.mjs MODULES ADDRESS FOLDER [PICTURES]
import { readFileSync } from "node:fs";
import { cycle, file, films, otherSpot, spot } from "./film_frames.mjs";
import { checker, launch, looker, screen, text } from "./walk.mjs";

const [modules, base, folder, pictures] = process.argv.slice(2);
const check = checker("films");
const look = looker(check, pictures);
const complaints = [];
const browser = await launch(modules);
// A film is read about as fast as it plays; a busy machine takes longer.
const patience = 120000;
const named = (name) => films.find((film) => film.name === name);
const around = (value, right, share) => Math.abs(value - right) <= share * right;

// A telephone that keeps what it sends.
async function telephone() {
	const context = await screen(browser, base, { phone: true, scripts: "on", complaints });
	const page = await context.newPage();
	page.sent = [];
	page.on("request", (request) => page.sent.push({
		path: new URL(request.url()).pathname,
		address: request.url(),
		body: request.postDataBuffer() || Buffer.alloc(0),
	}));
	return page;
}

// Choose a film and wait until the page has read it, or said why not.
async function choose(page, film) {
	await page.locator("#film-file").setInputFiles(`${folder}/${file(film)}`);
	await page.locator("#film-reading").waitFor({ state: "hidden", timeout: patience });
}

// --- what was sent -----------------------------------------------------------

function rows(form) {
	return (form.get("series") || "").split(/\r?\n/).filter((line) => /^[\d.-]/.test(line))
		.map((line) => line.split(",").map(Number));
}

// No piece of the film is in anything that went out.
function nothingElse(page, film) {
	const bytes = readFileSync(`${folder}/${file(film)}`);
	const middle = bytes.subarray(bytes.length >> 1, (bytes.length >> 1) + 12);
	const most = page.sent.reduce((sum, one) => Math.max(sum, one.body.length + one.address.length), 0);
	check(`${film.name}: nothing over 1 MiB is sent`, most < 1 << 20, most);
	check(`${film.name}: no piece of the film is sent`, !page.sent.some((one) =>
		one.body.includes(middle) || one.body.includes(middle.toString("base64").slice(0, 14)) ||
		one.address.includes("base64") || one.body.includes("multipart")));
	check(`${film.name}: one thing is posted`, page.sent.filter((one) => one.body.length > 0).length === 1,
		page.sent.filter((one) => one.body.length > 0).map((one) => one.path).join(" "));
}

// The series is timed as the lamp is, whatever the frames did.
function times(film, series) {
	const seconds = series.map((row) => row[0]);
	const steps = seconds.slice(1).map((value, i) => value - seconds[i]).sort((a, b) => a - b);
	check(`${film.name}: times rise`, steps.length > 0 && steps[0] > 0, steps[0]);
	check(`${film.name}: times are those of the frames`, around(steps[steps.length >> 1], 1 / film.fps, 0.05),
		steps[steps.length >> 1]);
	// A busy machine does not show every one.
	const frames = film.seconds * film.fps * (1 - (film.lost || 0));
	check(`${film.name}: most frames are read`, series.length > 0.5 * frames && series.length < 1.1 * frames,
		`${series.length} of ${frames}`);
	check(`${film.name}: to the end`, around(seconds[seconds.length - 1] - seconds[0], film.seconds, 0.05),
		seconds[seconds.length - 1]);
	// From the first group's beginning to the last one's.
	const order = series.map((row) => row[1]).sort((a, b) => a - b);
	const middle = (order[Math.floor(order.length * 0.03)] + order[Math.floor(order.length * 0.97)]) / 2;
	const truth = cycle(film);
	const period = truth.reduce((sum, time) => sum + time, 0);
	const begins = [];
	let dark = 0;
	for (const [at, level] of series) {
		if (level < middle) {
			dark ||= at;
			continue;
		}
		if (dark && at - dark > 0.75 * film.lamp.pause)
			begins.push(at);
		dark = 0;
	}
	const cycles = Math.round((begins[begins.length - 1] - begins[0]) / period);
	check(`${film.name}: cycles take as long as the lamp's`, cycles >= 1 &&
		around((begins[begins.length - 1] - begins[0]) / cycles, period, 0.05),
	`${begins.map((at) => at.toFixed(2)).join(" ")} for ${period} s`);
}

// --- from a film to its fault -------------------------------------------------

// Where in the frame, in shares of it, the ring is drawn: the middle of all
// that has its colour.
const ring = (page) => page.locator("#film-spot").evaluate((canvas) => {
	const { width, height } = canvas;
	const own = new OffscreenCanvas(width, height).getContext("2d", { willReadFrequently: true });
	own.drawImage(canvas, 0, 0);
	const { data } = own.getImageData(0, 0, width, height);
	const ends = [width, 0, height, 0];
	for (let i = 0; i < data.length; i += 4)
		if (data[i] > 245 && Math.abs(data[i + 1] - 209) < 9 && data[i + 2] < 9) {
			const x = (i / 4) % width;
			const y = Math.floor(i / 4 / width);
			ends[0] = Math.min(ends[0], x);
			ends[1] = Math.max(ends[1], x);
			ends[2] = Math.min(ends[2], y);
			ends[3] = Math.max(ends[3], y);
		}
	return { x: (ends[0] + ends[1]) / 2 / width, y: (ends[2] + ends[3]) / 2 / height };
});
const isAt = (one, other) => Math.hypot(one.x - other.x, one.y - other.y) < 0.06;

// Of a film that stands upright the picture is a quarter turned to the right.
const lampOf = (film) => film.format === "mp4" ? { x: 1 - spot.y, y: spot.x } : spot;

async function touch(page, { x, y }) {
	await page.locator("#film-spot").scrollIntoViewIfNeeded();
	const box = await page.locator("#film-spot").boundingBox();
	await page.touchscreen.tap(box.x + x * box.width, box.y + y * box.height);
}

async function send(page) {
	const posted = page.waitForRequest((request) => request.method() === "POST");
	await page.locator("#film-send").click();
	const form = new URLSearchParams((await posted).postData());
	await page.waitForLoadState("load");
	return rows(form);
}

async function toTheFault(page, film) {
	check(`${film.name}: ${film.pattern} is read`, (await text(page, ".seen-pattern .lamp")) === film.pattern,
		`${await text(page, ".seen")}\n${await text(page, ".also")}`);
	const on = page.getByRole("button", { name: "Go on with this fault" });
	if ((await on.count()) !== 1) {
		check(`${film.name}: the result leads on`, false, await text(page, "main"));
		return;
	}
	await on.click();
	await page.waitForURL(/\/read\?/);
	check(`${film.name}: on the device`, page.url().includes(film.lamp.device), page.url());
	await page.getByRole("link", { name: "More on this fault" }).first().click();
	await page.waitForURL(/\/faults\//);
	check(`${film.name}: its fault`, page.url().endsWith(`/faults/${film.fault}`), page.url());
}

async function through(film) {
	const page = await telephone();
	// Once the device is chosen after the film.
	const later = film.format === "stream";
	await page.goto(later ? `${base}/film` : `${base}/film?device=${film.lamp.device}`);
	await choose(page, film);
	if (!(await page.locator("#film-send").isVisible())) {
		check(`${film.name}: a spot is found`, false, await text(page, "#film-status"));
		return;
	}
	const drawn = await ring(page);
	check(`${film.name}: the ring is around the lamp`, isAt(drawn, lampOf(film)),
		`${JSON.stringify(drawn)} ${await text(page, "#film-where")}`);
	if (!isAt(drawn, lampOf(film)))
		await touch(page, lampOf(film));
	if (film.name === "red-4")
		await look(page, "a film with its spot");
	if (later)
		await page.locator("#device").selectOption(film.lamp.device);
	const series = await send(page);
	times(film, series);
	nothingElse(page, film);
	if (film.name === "red-4")
		await look(page, "what a film shows");
	await toTheFault(page, film);
	await page.context().close();
}

// Two lamps flash: another spot is taken, by the button, by touch and by keys.
async function another(film) {
	const page = await telephone();
	await page.goto(`${base}/film?device=${film.lamp.device}`);
	await choose(page, film);
	const seen = [await ring(page)];
	for (let i = 0; i < 5 && !isAt(seen[seen.length - 1], otherSpot); i++) {
		await page.locator("#film-next").click();
		seen.push(await ring(page));
	}
	check(`${film.name}: the other lamp is one of the next spots`, isAt(seen[seen.length - 1], otherSpot),
		JSON.stringify(seen));
	check(`${film.name}: the lamp is one of them, or comes first`, seen.some((one) => isAt(one, spot)) || seen.length === 1,
		JSON.stringify(seen));
	await touch(page, { x: 0.9, y: 0.2 });
	const before = await ring(page);
	check(`${film.name}: the ring is where it was touched`, isAt(before, { x: 0.9, y: 0.2 }), JSON.stringify(before));
	await page.locator("#film-spot").focus();
	await page.keyboard.press("ArrowLeft");
	check(`${film.name}: keys move the ring`, (await ring(page)).x < before.x, JSON.stringify(before));
	await touch(page, spot);
	check(`${film.name}: a touch takes the lamp`, isAt(await ring(page), spot), JSON.stringify(await ring(page)));
	const series = await send(page);
	times(film, series);
	nothingElse(page, film);
	await toTheFault(page, film);
	await page.context().close();
}

// What cannot be read is said in a sentence that says what to do, and the next
// film is read.
const refused = [
	["words", /cannot play|not a film/],
	["sound", /cannot play|not a film/],
	["short", /too short .* film 15 seconds/],
	["night", /too dark/],
	["still", /nothing in the film flashes; .*zoom in and hold still/i],
];

async function bad() {
	const page = await telephone();
	await page.goto(`${base}/film?device=field-cart-drive`);
	for (const [name, words] of refused) {
		await choose(page, named(name));
		const said = await text(page, "#film-status");
		check(`${name}: it says why`, words.test(said) && /\.$/.test(said), said);
		check(`${name}: there is nothing to send`, !(await page.locator("#film-send").isVisible()) ||
			(await page.locator("#film-send").isDisabled()), said);
		await look(page, `a film that is ${name}`);
	}
	// Stopped half way; and another one chosen while the first is read.
	await page.locator("#film-file").setInputFiles(`${folder}/${file(named("red-7"))}`);
	await page.locator("#film-stop").click();
	check("a film that is stopped: it says so", /Stopped/.test(await text(page, "#film-status")), await text(page, "#film-status"));
	check("and nothing of it is sent", !(await page.locator("#film-send").isVisible()));
	await page.locator("#film-file").setInputFiles(`${folder}/${file(named("red-7"))}`);
	check("bad films send nothing", !page.sent.some((one) => one.body.length > 0));
	await choose(page, named("red-4"));
	await send(page);
	await toTheFault(page, named("red-4"));
	await page.context().close();
}

// Some at once: each takes as long as its film, and little else.
const work = [bad, () => another(named("beside-2"))];
for (const film of films)
	if (film.fault && !film.other)
		work.push(() => through(film));
const worker = async () => {
	for (let one = work.shift(); one; one = work.shift())
		await one().catch((error) => check("goes to its end", false, String(error.stack || error)));
};
await Promise.all(Array.from({ length: 4 }, worker));

check("the console is quiet", complaints.length === 0, `\n    ${complaints.join("\n    ")}`);
await browser.close();
console.log(`films: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
