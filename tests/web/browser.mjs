// Drives a real browser from the first page by five flashes to a cause, as
// somebody with a phone would: it answers from what the page shows. On the
// way it adds a note and a code, undoes an answer, and comes back to the job
// from the first page. Every page is looked over (look.mjs).
//
//     node browser.mjs MODULES ADDRESS on|off [PICTURES]
//
// MODULES is where playwright-core was installed, the third word whether the
// page's scripts run; with PICTURES each page is kept there as a picture.
import { createRequire } from "node:module";
import { lookOver } from "./look.mjs";

const [modules, base, scripts, pictures] = process.argv.slice(2);
const { chromium } = createRequire(`${modules}/package.json`)("playwright-core");

let passed = 0;
let failed = 0;
function check(what, good, more = "") {
	if (good) {
		passed++;
	} else {
		failed++;
		console.log(`NOT OK, scripts ${scripts}: ${what} ${more}`);
	}
}

const browser = await chromium.launch({
	executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
	args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--no-first-run"],
});
const context = await browser.newContext({
	viewport: { width: 390, height: 844 },
	hasTouch: true,
	isMobile: true,
	javaScriptEnabled: scripts === "on",
});
context.setDefaultTimeout(15000);
const page = await context.newPage();

const complaints = [];
page.on("console", (message) => {
	// An answer that was refused on purpose is no complaint.
	if (["error", "warning"].includes(message.type()) && !/status of 4\d\d/.test(message.text()))
		complaints.push(message.text());
});
page.on("pageerror", (error) => complaints.push(String(error)));
page.on("requestfailed", (request) => {
	// What the browser itself drops when it goes on to another page is none either.
	if (request.failure()?.errorText !== "net::ERR_ABORTED")
		complaints.push(`${request.url()} failed: ${request.failure()?.errorText}`);
});
page.on("request", (request) => {
	if (!request.url().startsWith(base))
		complaints.push(`${request.url()} is not ours`);
});

let pictured = 0;
async function look(name) {
	for (const scheme of ["light", "dark"]) {
		await page.emulateMedia({ colorScheme: scheme });
		// Colours fade over; look when they have arrived.
		await page.waitForTimeout(160);
		const found = await page.evaluate(lookOver);
		check(`${name}, ${scheme}`, found.length === 0, `\n    ${found.join("\n    ")}`);
		if (pictures)
			await page.screenshot({
				path: `${pictures}/${String(++pictured).padStart(2, "0")}-${name.replace(/\W+/g, "-")}-${scheme}.png`,
				fullPage: true,
			});
	}
	await page.emulateMedia({ colorScheme: "light" });
}

async function go(path) {
	await page.goto(base + path);
}
const shows = async (what) => (await page.locator(what).count()) > 0;
const text = async (what) => ((await shows(what)) ? (await page.locator(what).first().innerText()).trim() : "");

// What the tab key reaches, in its order, as the texts of buttons and the
// ids of fields.
async function tabStops() {
	const stops = [];
	await page.evaluate(() => document.activeElement && document.activeElement.blur());
	for (let i = 0; i < 120; i++) {
		await page.keyboard.press("Tab");
		const at = await page.evaluate(() => {
			const e = document.activeElement;
			return e === document.body ? "" : e.id || e.textContent.trim() || e.getAttribute("aria-label");
		});
		if (at === "" || (stops.length > 0 && at === stops[0]))
			break;
		stops.push(at);
	}
	return stops;
}

// --- the first page -------------------------------------------------------

await go("/");
await look("first page");
const first = await tabStops();
check("the way past the top comes first", first[0] === "Skip to the content", first[0]);
check("the box, the device and the button follow in order",
	first.indexOf("q") > 0 && first.indexOf("q") < first.indexOf("device") &&
	first.indexOf("device") < first.indexOf("Look it up"), first.join(" | "));

// --- a code that the device does not have is taught -----------------------

const unknown = scripts === "on" ? "31" : "32";
await page.locator("#device").selectOption("field-cart-drive");
await page.locator("#q").fill(unknown);
await page.getByRole("button", { name: "Look it up" }).click();
check("an unknown code says so", (await text("main")).includes(`no code ${unknown}`), await text("main"));
await look("unknown code");
await page.locator("#meaning").fill("supply voltage too low");
await page.getByRole("button", { name: "Go on" }).click();
await look("lesson");
check("the code is shown before it is kept", (await text(".lesson")).includes(unknown));
await page.getByRole("button", { name: "Keep what is ticked" }).click();
check("the code is kept", (await text(".message")).includes("kept"), await text("main"));
check("and it is in force", (await text(".match")).includes("taught by you"), await text("main"));
await look("taught code");

// --- five flashes ---------------------------------------------------------

await go("/?device=field-cart-drive");
check("the device is remembered", (await page.locator("#device").inputValue()) === "field-cart-drive");
await page.locator("#q").fill("5");
await page.locator("#q").press("Enter");
check("five flashes are read", (await text("h1")).includes("5"), page.url());
check("they mean something", (await text(".match h2")) !== "");
await look("five flashes");
const words = `Wet connector, scripts ${scripts} <b>&amp;</b>`;
await page.locator(".match summary").first().click();
await page.locator(".match textarea").first().fill(words);
await page.locator(".match").getByRole("button", { name: "Keep the note" }).click();
check("the note is kept", (await text(".message")).includes("kept"), await text("main"));
check("and is shown as it was typed", (await text(".match .notes")).includes(words), await text(".match .notes"));
await look("note");

// --- the job --------------------------------------------------------------

await page.getByRole("button", { name: "Find the cause, step by step" }).first().click();
check("a job is open", /\/jobs\/\d+$/.test(page.url()), page.url());
const job = page.url();

// A reading inside the band that the page says to expect, or below it.
function reading(expect, inside) {
	const ends = (expect.match(/-?\d+(\.\d+)?/g) || ["0"]).map(Number);
	if (!inside)
		return String(ends[0] / 2);
	return String(ends.length > 1 ? (ends[0] + ends[1]) / 2 : ends[0] * 0.9);
}

// Answer the step that is shown; returns what was done.
async function answer(sound) {
	const expect = await text(".expect strong");
	const gate = await shows(".step.gate");
	if (await shows("#answer")) {
		const value = reading(expect, sound || gate);
		await page.locator("#answer").fill(value);
		await page.getByRole("button", { name: "That is the reading" }).click();
		return value;
	}
	const choices = page.locator(".outcomes-set button.outcome");
	const all = await choices.allInnerTexts();
	let at = all.findIndex((one) => one.trim() === expect);
	if (at < 0)
		at = 0;
	if (!sound && !gate)
		at = all.length > 1 && at === 0 ? 1 : 0;
	await choices.nth(at).click();
	return all[at];
}

let steps = 0;
let gates = 0;
let undone = false;
let away = false;
let refused = false;
const path = [];
while (await shows("form.answer")) {
	if (++steps > 60)
		break;
	const title = await text("#step-title");
	const gate = await shows(".step.gate");
	gates += gate ? 1 : 0;
	check(`${title}: one question`, (await page.locator(".question").count()) === 1);
	check(`${title}: a power state`, (await text(".power")) !== "");
	check(`${title}: every caution has its signal word`,
		(await page.locator(".caution").count()) === (await page.locator(".caution .signal").count()));
	if (steps <= 3 || gate)
		await look(`step ${steps} ${title}`);
	if (steps === 1) {
		check("the vehicle is made safe before anything else", gate, title);
		const stops = await tabStops();
		const buttons = await page.locator("form.answer button").allInnerTexts();
		check("the tab key reaches every answer", buttons.every((one) => stops.includes(one.trim())),
			`${buttons.join(" | ")} in ${stops.join(" | ")}`);
	}
	// Once: a reading that is none comes back with its place.
	if (!refused && (await shows("#answer"))) {
		refused = true;
		await page.locator("#answer").fill("12x4");
		await page.getByRole("button", { name: "That is the reading" }).click();
		check("what is no number is refused", await shows(".answer .message.bad"), await text("main"));
		check("and is still there", (await page.locator("#answer").inputValue()) === "12x4");
		await look("refused reading");
	}
	const before = title;
	path.push(`${title}: ${await answer(steps < 4)}`);
	// Once: an answer is taken back and given again.
	if (!undone && steps === 2) {
		undone = true;
		await page.getByRole("button", { name: "Undo the last answer" }).click();
		check("undo says so", (await text(".message")).includes("taken back"), await text("main"));
		// After an undo the state has to be proved again, then the same
		// question comes back.
		for (let i = 0; i < 4 && (await shows(".step.gate")); i++)
			path.push(`again: ${await answer(true)}`);
		check("the same question again", (await text("#step-title")) === before, await text("#step-title"));
		path.push(`again: ${await answer(true)}`);
	}
	// Once: the job is left and taken up from the first page.
	if (!away && steps === 3 && (await shows("form.answer"))) {
		away = true;
		await go("/");
		await page.locator("#main .rows button.row").first().click();
		check("the open job is on the first page", page.url() === job, page.url());
		check("power is unknown after a break", await shows(".step.gate"), await text("#step-title"));
	}
}
check("there was a gate", gates > 0);
check("a reading was refused once", refused);
check("a cause is found", await shows(".found"), `${path.join("\n    ")}\n${await text("main")}`);
const found = await text(".found");
for (const part of ["Fix", "Prove it"])
	check(`the cause has: ${part}`, found.includes(part), found);
await look("cause");

await page.getByText("Notes on this job").click();
await page.locator("#note-words").fill("Found and mended.");
await page.locator("details").getByRole("button", { name: "Keep the note" }).click();
check("a note on the job", (await text(".message")).includes("kept"));
await page.locator("#close-words").first().fill("Charged it; drove ten minutes without a flash.");
await page.getByRole("button", { name: "Close the job" }).first().click();
check("the job is closed", (await text("main")).includes("Charged it"), await text("main"));
await look("closed");
await page.goto(`${job}/report`);
const report = await text("main");
for (const part of ["Found and mended.", "Charged it", await text(".found h2")])
	check(`the report has: ${part}`, report.includes(part), report);
await look("report");
const paper = await page.pdf({ format: "A4" });
const sheets = (paper.toString("latin1").match(/\/Type\s*\/Page\b/g) || []).length;
check("the report fits on two sheets", sheets >= 1 && sheets <= 2, `${sheets}`);

// --- the other way in, and the rest of the pages --------------------------

await go("/");
await page.locator("#q").fill("creeps after letting go");
await page.getByRole("button", { name: "Look it up" }).click();
check("words find a symptom", (await text("h2")) !== "" && /\/find/.test(page.url()), page.url());
await look("find");
await page.locator(".rows a.row").first().click();
check("the first hit is a symptom", /\/symptoms\//.test(page.url()), page.url());
for (const path of [new URL(page.url()).pathname, "/devices", "/devices/field-cart-drive", "/devices/new",
	"/symptoms", "/faults/supply-low", "/causes", "/checks", "/trees", "/trees/supply-low", "/notes",
	"/packs", "/about", "/jobs", "/nothing-here", "/read?pattern=5", "/read?pattern=5x6"]) {
	await go(path);
	await look(path);
}
for (const kind of ["causes", "checks"]) {
	await go(`/${kind}`);
	await page.locator(".rows a.row").first().click();
	await look(`one of ${kind}`);
}
await page.setViewportSize({ width: 1280, height: 800 });
for (const path of ["/", "/devices/field-cart-drive", "/read?pattern=5", new URL(job).pathname, "/checks"]) {
	await go(path);
	await look(`wide ${path}`);
}
await page.setViewportSize({ width: 320, height: 640 });
for (const path of ["/", "/devices/field-cart-drive", "/read?pattern=5", new URL(job).pathname]) {
	await go(path);
	await look(`narrow ${path}`);
}

check("the console is quiet", complaints.length === 0, `\n    ${complaints.join("\n    ")}`);
await browser.close();
if (process.env.VERBOSE)
	console.log(path.join("\n"));
console.log(`scripts ${scripts}: ${passed} passed, ${failed} failed, ${steps} steps`);
process.exit(failed === 0 && passed > 0 ? 0 : 1);
