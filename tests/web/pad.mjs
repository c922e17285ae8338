// The pad to tap along on, driven by touches, keys and clicks at times that
// are known, as far as the fault; patterns played, never faster than is safe;
// and what these pages and the film's offer where scripts are off.
//
//     node pad.mjs MODULES ADDRESS [PICTURES]
import { cycle } from "./film_frames.mjs";
import { checker, launch, looker, screen, shows, text } from "./walk.mjs";

const [modules, base, pictures] = process.argv.slice(2);
const check = checker("pad");
const look = looker(check, pictures);
const complaints = [];
const browser = await launch(modules);
const sleep = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
const patience = 40000;

// The usual timing of the lamps in kb/demo.yaml.
const cart = { device: "field-cart-drive", on: 0.25, gap: 0.25, pause: 1.5 };
const trike = { device: "orchard-trike-drive", on: 0.2, gap: 0.3, groupGap: 0.9, pause: 2.5 };

// --- tapping at given times ----------------------------------------------------

// When a lamp lights up, in seconds from the first flash.
function flashes(lamp, pattern, rounds) {
	const out = [];
	let at = 0;
	for (let n = 0; n < rounds; n++)
		cycle({ lamp, pattern }).forEach((time, i) => {
			if (i % 2 === 0)
				out.push(at);
			at += time;
		});
	return out;
}

// As a hand does it: a little early or late, the same every time.
const byHand = (times) => times.map((at, i) => at + 0.03 * Math.sin(12.9898 * (i + 1)));

async function open(device, phone = true) {
	const context = await screen(browser, base, { phone, scripts: "on", complaints });
	const page = await context.newPage();
	await page.goto(`${base}/tap?device=${device}`);
	page.wire = await context.newCDPSession(page);
	const box = await page.locator("#tap-pad").boundingBox();
	page.pad = { x: Math.round(box.x + box.width / 2), y: Math.round(box.y + box.height / 2) };
	return page;
}

// The browser is told when each one happened, so that a busy machine changes
// nothing but how soon it learns of it.
const means = {
	async touch(page, timestamp) {
		await page.wire.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [page.pad], timestamp });
		await page.wire.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [], timestamp: timestamp + 0.02 });
	},
	async mouse(page, timestamp, button) {
		const one = { ...page.pad, button: button || "left", clickCount: 1 };
		await page.wire.send("Input.dispatchMouseEvent", { ...one, type: "mousePressed", timestamp });
		await page.wire.send("Input.dispatchMouseEvent", { ...one, type: "mouseReleased", timestamp: timestamp + 0.02 });
	},
	async key(page, timestamp, held) {
		const one = { key: " ", code: "Space", windowsVirtualKeyCode: 32, text: " " };
		await page.wire.send("Input.dispatchKeyEvent", { ...one, type: "keyDown", timestamp });
		if (held)
			await page.wire.send("Input.dispatchKeyEvent", { ...one, type: "keyDown", autoRepeat: true, timestamp: timestamp + 0.1 });
		await page.wire.send("Input.dispatchKeyEvent", { ...one, text: undefined, type: "keyUp", timestamp: timestamp + 0.12 });
	},
};

async function tap(page, times, how = "touch") {
	const begin = Date.now() / 1000 + 0.1;
	for (const [i, at] of times.entries()) {
		await sleep(Math.max(0, 1000 * (begin + at) - Date.now()));
		await means[how](page, begin + at, how === "key" ? i === 1 : undefined);
	}
	return begin;
}

// Until it says what it read.
async function reads(page, pattern, what) {
	await page.waitForFunction((wanted) =>
		document.querySelector("#tap-status").textContent.startsWith(`It reads ${wanted},`), pattern,
	{ timeout: patience }).catch(() => {});
	const said = await text(page, "#tap-status");
	check(`${what}: ${pattern} is read`, said.startsWith(`It reads ${pattern},`), said);
	return page.locator("#tap-go").isVisible();
}

// On from the pad, or from a recording that was read, to the fault.
async function toTheFault(page, pattern, fault, what) {
	check(`${what}: the page says ${pattern}`, (await text(page, ".seen-pattern .lamp")) === pattern, await text(page, ".seen"));
	await page.getByRole("button", { name: "Go on with this fault" }).click();
	await page.waitForURL(/\/read\?/);
	await readToTheFault(page, fault, what);
}

async function readToTheFault(page, fault, what) {
	await page.getByRole("link", { name: "More on this fault" }).first().click();
	await page.waitForURL(/\/faults\//);
	check(`${what}: its fault`, page.url().endsWith(`/faults/${fault}`), page.url());
}

async function go(page) {
	await page.locator("#tap-go").click();
	await page.waitForURL(/\/tap\?taps=/);
}

async function count() {
	const page = await open(cart.device);
	await look(page, "the pad");
	await tap(page, byHand(flashes(cart, "4", 3)));
	if (!(await reads(page, "4", "a count")))
		return;
	check("a count: in words", (await text(page, "#tap-meaning")) === "Throttle signal out of range", await text(page, "#tap-meaning"));
	await look(page, "the pad, tapped");
	await go(page);
	await look(page, "what taps say");
	await page.reload();
	await toTheFault(page, "4", "throttle-out-of-range", "a count");
}

async function digits() {
	const page = await open(trike.device);
	await tap(page, byHand(flashes(trike, "4-2", 3)));
	if (!(await reads(page, "4-2", "digits")))
		return;
	await go(page);
	await toTheFault(page, "4-2", "motor-circuit-open", "digits");
}

// What the device does not list is read all the same.
async function unlisted() {
	const page = await open(trike.device);
	await tap(page, byHand(flashes(trike, "3-2", 3)));
	if (!(await reads(page, "3-2", "not on the list")))
		return;
	await go(page);
	check("not on the list: it says so", (await text(page, "main")).includes("lists no such code"), await text(page, "main"));
	await page.getByRole("button", { name: "The nearest codes" }).click();
	await page.waitForURL(/\/read\?/);
	check("not on the list: the nearest", (await text(page, "main")).includes("3-3"), await text(page, "main"));
}

async function missed() {
	const page = await open(cart.device);
	const times = byHand(flashes(cart, "5", 4));
	times.splice(7, 1);
	await tap(page, times);
	if (!(await reads(page, "5", "one that was missed")))
		return;
	await go(page);
	await toTheFault(page, "5", "supply-low", "one that was missed");
}

// One too many at once, taken back within the pause; then over again.
async function takenBack() {
	const page = await open(cart.device);
	check("nothing to take back yet", await page.locator("#tap-back").isDisabled());
	const times = byHand(flashes(cart, "3", 4));
	const begin = await tap(page, [...times.slice(0, 3), times[2] + 0.3]);
	const before = await text(page, "#tap-count");
	await page.locator("#tap-back").tap();
	check("the last is taken back", before === "4 taps" && (await text(page, "#tap-count")) === "3 taps",
		`${before}, ${await text(page, "#tap-count")}`);
	for (const at of times.slice(3)) {
		await sleep(Math.max(0, 1000 * (begin + at) - Date.now()));
		await means.touch(page, begin + at);
	}
	await reads(page, "3", "one taken back");
	await page.locator("#tap-again").tap();
	check("over again: no taps", (await text(page, "#tap-count")) === "" && !(await page.locator("#tap-go").isVisible()),
		await text(page, "#tap-count"));
	check("over again: nothing to take back", await page.locator("#tap-back").isDisabled());

	// Quickly twice, as a browser would enlarge the page by.
	await tap(page, [0, 0.12]);
	check("quickly twice: both count", (await text(page, "#tap-count")) === "2 taps", await text(page, "#tap-count"));
	await sleep(500);
	const scale = await page.evaluate(() => [visualViewport.scale, getComputedStyle(document.querySelector("#tap-pad")).touchAction]);
	check("and nothing is enlarged", scale[0] === 1 && ["manipulation", "none", "pan-y"].includes(scale[1]), scale.join(" "));
	await page.locator("#tap-again").tap();
	// A contact that bounces.
	await tap(page, [0, 0.015]);
	check("within 15 ms it is one", (await text(page, "#tap-count")) === "1 tap", await text(page, "#tap-count"));
}

// On a desk: the space bar, held once so that it repeats; then a mouse.
async function keys() {
	const page = await open(cart.device, false);
	await look(page, "the pad on a desk");
	await page.locator("#tap-pad").focus();
	await tap(page, byHand(flashes(cart, "2", 4)), "key");
	check("keys: a key that is held is one tap", (await text(page, "#tap-count")) === "8 taps", await text(page, "#tap-count"));
	await reads(page, "2", "keys");
	await page.locator("#tap-again").click();
	await means.mouse(page, Date.now() / 1000, "right");
	check("the right button does not tap", (await text(page, "#tap-count")) === "", await text(page, "#tap-count"));
	await tap(page, byHand(flashes(cart, "3", 3)), "mouse");
	check("mouse: each counts once", (await text(page, "#tap-count")) === "9 taps", await text(page, "#tap-count"));
	if (await reads(page, "3", "mouse")) {
		await go(page);
		await toTheFault(page, "3", "over-temperature-motor", "mouse");
	}
}

// --- patterns played ------------------------------------------------------------

// How lit each lamp is, at times of the drawing's own: what moves is stopped
// there and looked at.
const sample = (page, seconds) => page.evaluate((times) => {
	const stage = document.querySelector("svg.stage");
	stage.pauseAnimations();
	return [...stage.querySelectorAll("animate")].map((one) => times.map((at) => {
		stage.setCurrentTime(at);
		return Number(getComputedStyle(one.parentElement).opacity);
	}));
}, seconds);

// The most flashes that begin within any one second.
function mostInASecond(levels, seconds) {
	const begins = seconds.filter((at, i) => i > 0 && levels[i] > 0.5 && levels[i - 1] <= 0.5);
	return Math.max(0, ...begins.map((from) => begins.filter((at) => at >= from && at < from + 1).length));
}

async function played(scripts) {
	const what = `replay, scripts ${scripts}`;
	const page = await (await screen(browser, base, { phone: true, scripts, complaints })).newPage();
	const moving = () => page.evaluate(() => document.querySelectorAll("animate, animateTransform, animateMotion, set").length +
		document.getAnimations().length);
	await page.goto(`${base}/replay?pattern=4&device=${cart.device}`);
	check(`${what}: nothing moves by itself`, (await moving()) === 0);
	check(`${what}: a still picture stands beside it`, await shows(page, "svg.still[aria-label]"));
	await look(page, `${what}, at rest`);
	await page.getByRole("link", { name: "Play it" }).click();
	await page.waitForURL(/play=1/);
	check(`${what}: it moves when asked`, (await moving()) > 0);
	const seen = new Set();
	for (const end = Date.now() + 6000; Date.now() < end && seen.size < 2; await sleep(40))
		seen.add(await page.evaluate(() => getComputedStyle(document.querySelector("svg.stage animate").parentElement).opacity));
	check(`${what}: it plays by itself`, seen.has("0") && seen.has("1"), [...seen].join(" "));
	await look(page, `${what}, playing`);
	await page.getByRole("link", { name: "Stop" }).click();
	await page.waitForURL((url) => !url.search.includes("play=1"));
	check(`${what}: and stops`, (await moving()) === 0);

	// Slow ones, fast ones, and several at once.
	const seconds = Array.from({ length: 3000 }, (_, i) => i * 0.005);
	for (const [pattern, device] of [["4", cart.device], ["4-2", trike.device], ["4Hz", trike.device],
		["10Hz", ""], ["20", ""], ["2L3S", ""], ["3+7", ""], ["red:3 green:10Hz", ""]]) {
		await page.goto(`${base}/replay?${new URLSearchParams({ pattern, device, play: "1" })}`);
		const lamps = await sample(page, seconds);
		check(`${what}: ${pattern} plays`, lamps.length > 0 && lamps.every((levels) => mostInASecond(levels, seconds) > 0),
			await text(page, "main"));
		for (const levels of lamps)
			check(`${what}: ${pattern} flashes three times a second at most`, mostInASecond(levels, seconds) <= 3,
				mostInASecond(levels, seconds));
		// Of what has no device the times are the book's own.
		if (device || /Hz/.test(pattern))
			check(`${what}: ${pattern} says whether it is slowed`, (await shows(page, ".slowed")) === /Hz/.test(pattern),
				await text(page, "main"));
	}
	// On a known device the flashes of a count are as long as its lamp's.
	await page.goto(`${base}/replay?pattern=4&device=${cart.device}&play=1`);
	const [levels] = await sample(page, seconds);
	const begins = seconds.filter((at, i) => i > 0 && levels[i] > 0.5 && levels[i - 1] <= 0.5);
	const period = cycle({ lamp: cart, pattern: "4" }).reduce((sum, time) => sum + time, 0);
	check(`${what}: as the lamp is`, begins.length > 5 && Math.abs(begins[5] - begins[1] - period) < 0.03, begins.join(" "));
}

// --- without scripts --------------------------------------------------------------

// What a logger beside the lamp would write: 24 readings a second.
function recording(lamp, pattern, seconds) {
	const times = cycle({ lamp, pattern });
	const period = times.reduce((sum, time) => sum + time, 0);
	const lines = ["seconds,level"];
	for (let n = 0; n < 24 * seconds; n++) {
		let at = (n / 24 + 0.9) % period;
		let i = 0;
		for (; at >= times[i]; i++)
			at -= times[i];
		lines.push(`${(n / 24).toFixed(3)},${(i % 2 === 0 ? 180 : 40) + n % 5}`);
	}
	return lines.join("\n");
}

async function plain() {
	const page = await (await screen(browser, base, { phone: true, scripts: "off", complaints })).newPage();
	await page.goto(`${base}/tap?device=${cart.device}`);
	check("plain: no pad that does nothing", !(await page.locator("#tap-pad").isVisible()));
	check("plain: it says how to do without", (await text(page, "#tap-plain")).includes("Count the flashes"), await text(page, "main"));
	await look(page, "the pad without scripts");
	await page.locator("#q").fill("4");
	await page.locator("#q").press("Enter");
	await page.waitForURL(/\/read\?/);
	await readToTheFault(page, "throttle-out-of-range", "plain, counted at the pad");
	await page.goto(`${base}/tap?taps=0,510,990,1500,3260,3750,4240,4760,6490,7010,7500,8000&until=11000&device=${cart.device}`);
	await toTheFault(page, "4", "throttle-out-of-range", "plain, an address with taps");

	await page.goto(`${base}/film?device=${trike.device}`);
	check("plain: no film that nothing reads", !(await page.locator("#film-tool").isVisible()));
	check("plain: it says so", (await text(page, "main")).includes("no scripts"), await text(page, "main"));
	await look(page, "the film without scripts");
	await page.locator("#q").fill("4 2");
	await page.locator("#q").press("Enter");
	await page.waitForURL(/\/read\?/);
	await readToTheFault(page, "motor-circuit-open", "plain, counted at the film");

	await page.goto(`${base}/film?device=${trike.device}`);
	await page.locator("#film-paste > summary").click();
	await page.locator("#series").fill("seconds,level\n0,1\n0.1,banana\n0.2,1\n");
	await page.getByRole("button", { name: "Read this recording" }).click();
	await page.waitForLoadState("load");
	check("plain: a line that cannot be read is named", (await text(page, ".message.bad")).includes("ine 3"), await text(page, "main"));
	check("plain: what was pasted is kept", (await page.locator("#series").inputValue()).includes("banana"));
	await look(page, "a recording that was refused");
	await page.locator("#series").fill(recording(trike, "4-2", 19));
	await page.getByRole("button", { name: "Read this recording" }).click();
	await page.waitForLoadState("load");
	await look(page, "a recording that was read");
	await toTheFault(page, "4-2", "motor-circuit-open", "plain, pasted");

	await page.goto(`${base}/replay`);
	await look(page, "nothing to replay");
	await page.locator("#pattern").fill("4");
	await page.getByRole("button", { name: "Show it" }).click();
	await page.waitForURL(/pattern=4/);
	await page.getByRole("button", { name: "What 4 means" }).click();
	await page.waitForURL(/\/read\?/);
}

// At the same time: most of it is waiting for flashes.
const work = { count, digits, unlisted, missed, takenBack, keys, plain,
	"played on": () => played("on"), "played off": () => played("off") };
await Promise.all(Object.entries(work).map(([name, one]) =>
	one().catch((error) => check(`${name} goes to its end`, false, String(error.stack || error)))));

check("the console is quiet", complaints.length === 0, `\n    ${complaints.join("\n    ")}`);
await browser.close();
console.log(`pad: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
