// Drives a real browser from the first page by a rig and five flashes to a
// proved fix, as somebody with a phone would: it answers from what the page
// shows. On the way it adds a note and a code, undoes an answer, and comes
// back to the job from the first page. Every page is looked over (look.mjs).
//
//     node browser.mjs MODULES ADDRESS on|off [PICTURES]
//
// MODULES is where playwright-core was installed, the third word whether the
// page's scripts run; with PICTURES each page is kept there as a picture.
import { answer as answerOn, checker, launch, looker, screen, sheets, shows as showsOn, text as textOn } from "./walk.mjs";

const [modules, base, scripts, pictures] = process.argv.slice(2);
const check = checker(`scripts ${scripts}`);
const complaints = [];
const browser = await launch(modules);
const context = await screen(browser, base, { phone: true, scripts, complaints });
const page = await context.newPage();
const lookAt = looker(check, pictures);
const look = (name) => lookAt(page, name);
const shows = (what) => showsOn(page, what);
const text = (what) => textOn(page, what);
const answer = (sound) => answerOn(page, sound);

async function go(path) {
	await page.goto(base + path);
}

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

// --- a rig ----------------------------------------------------------------

const rig = scripts === "on" ? "cart48" : "cart48b";
const long = "W".repeat(280);
await go("/rigs");
await look("no rig");
await page.locator("#title").fill(`Field cart, scripts ${scripts}`);
await page.getByText("Short name", { exact: true }).click();
await page.locator("#rig").fill(rig);
await page.getByRole("button", { name: "Put it in the book" }).click();
check("the rig is there", page.url().includes(`/rigs/${rig}`), page.url());
await look("new rig");
for (const part of ["motor", "pack", "pre-charge-and-capacitors", "cables-and-fuse", "controller"])
	await page.locator(`#part-${part} > summary`).click();
await page.locator("[name='fact.motor']").selectOption("series");
await page.locator("[name='fact.pack.full']").fill("58.8 V");
// What the checks on the way need.
await page.locator("[name='fact.pack.kind']").selectOption("lead");
for (const [key, value] of Object.entries({ "pack.cells": "24", "cable.size": "2 AWG", "cable.length": "4 m", "controller.low": "36 V" }))
	await page.locator(`[name='fact.${key}']`).fill(value);
await page.locator("[name='fact.bus.capacitor']").fill("many");
await page.getByRole("button", { name: "Keep all that I changed" }).click();
check("what cannot be read is marked", (await text(".problem")) !== "", await text("main"));
check("what can be read is kept", (await page.locator("[name='fact.motor']").inputValue()) === "series");
await look("refused fact");
await page.locator("[name='fact.bus.capacitor']").fill("100 mF 20%");
await page.locator("#part-pre-charge-and-capacitors > button").click();
check("what could be two things is asked", (await page.locator(".which label").count()) === 2, await text("main"));
await look("which of the two");
await page.locator(".which label").last().click();
await page.locator("#part-pre-charge-and-capacitors > button").click();
check("the one that was meant is kept",
	(await page.locator("[name='fact.bus.capacitor']").inputValue()).startsWith("100 uF"), page.url());
check("its part is open", await page.locator("[name='fact.bus.capacitor']").isVisible(), page.url());
await page.locator("[name='fact.bus.capacitor']").fill("4700 uF");
await page.locator("#part-pre-charge-and-capacitors > button").click();
check("the facts are kept", (await text(".message")).includes("kept"), await text("main"));
await page.getByText("Add a device").click();
await page.locator("#device-name").fill("drive");
await page.locator("#device").selectOption("field-cart-drive");
await page.getByRole("button", { name: "Add it" }).click();
await look("rig");
await go(`/rigs/${rig}/points`);
await look("points");
const own = "grey 8-way plug, pin 3, red";
for (const point of ["pack-plus", "pack-minus", "controller-plus", "controller-minus", "main-disconnect"]) {
	if (!(await shows(`#words-${point}`)))
		continue;
	await page.locator(`#words-${point}`).fill(own);
	await page.locator(`#point-${point} button`).click();
	check(`${point}: back at its place`, page.url().endsWith(`#point-${point}`), page.url());
	check(`${point}: kept`, (await text(`#point-${point}`)).includes("Kept."), await text(`#point-${point}`));
}
const last = await page.locator("[name=point]").last().inputValue();
await page.locator(`#words-${last}`).fill(long);
await page.locator(`#point-${last} button`).click();
await look("named points");
await go("/");
check("the first page says which is in hand", (await text(".in-hand")).includes(`scripts ${scripts}`));

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

// With scripts all is sound to the end of the tree, the longest way; without,
// the fourth check finds something.
const soundFor = scripts === "on" ? 100 : 4;
let steps = 0;
let gates = 0;
let tree = 0;
let compulsory = false;
let undone = false;
let away = false;
let refused = false;
let named = false;
let fixed = false;
let live = false;
const path = [];
const seen = new Set();
while (await shows("form.answer")) {
	if (++steps > 120)
		break;
	const title = await text("#step-title");
	const gate = await shows(".step.gate");
	gates += gate ? 1 : 0;
	tree += gate ? 0 : 1;
	compulsory ||= /^\d+ of [2-9]/.test(await text(".gate-word"));
	named ||= (await text(".step")).includes(own);
	check(`${title}: one question`, (await page.locator(".question").count()) === 1);
	check(`${title}: a power state`, (await text(".power")) !== "");
	check(`${title}: every caution has its signal word`,
		(await page.locator(".caution").count()) === (await page.locator(".caution .signal").count()));
	check(`${title}: no danger is folded away`, !(await shows("details .caution.signal-danger")));
	const proved = await text(".power dd a");
	const bar = await shows(".safe-bar button");
	check(`${title}: a way to make it safe, ${proved}`,
		bar || proved.startsWith("isolated") || /isolated/.test(await text(".gate-word")));
	if (bar && !live) {
		live = true;
		const box = await page.locator(".safe-bar button").boundingBox();
		check("it is within reach without scrolling", box !== null && box.y + box.height <= 844, JSON.stringify(box));
		await look("live step");
	}
	if (!seen.has(title) && (steps <= 4 || gate || (await shows(".lead > .found"))))
		await look(`step ${title}`);
	seen.add(title);
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
	// Once: the fix, and what stands beside it.
	if (!fixed && /^Fix:/.test(title) && !gate) {
		fixed = true;
		for (const part of ["Why it happens", "Prove it"])
			check(`the cause has: ${part}`, (await text(".lead > .found")).includes(part), await text(".lead > .found"));
		await page.getByRole("button", { name: "I am at it" }).click();
		check("the fix has begun", (await text("#step-title")) === title, await text("#step-title"));
	}
	path.push(`${title}: ${await answer(tree < soundFor)}`);
	// Once: an answer is taken back and given again.
	if (!undone && tree === 2) {
		undone = true;
		await page.getByRole("button", { name: "Undo the last answer" }).click();
		check("undo says so", (await text(".message")).includes("taken back"), await text("main"));
		// After an undo the state has to be proved again, then the same
		// question comes back.
		for (let i = 0; i < 8 && (await shows(".step.gate")); i++)
			path.push(`again: ${await answer(true)}`);
		check("the same question again", (await text("#step-title")) === title, await text("#step-title"));
		path.push(`again: ${await answer(true)}`);
	}
	// Once: the job is left and taken up from the first page.
	if (!away && tree === 3 && (await shows("form.answer"))) {
		away = true;
		await go("/");
		await page.locator("#main .rows button.row").first().click();
		check("the open job is on the first page", page.url() === job, page.url());
		check("power is unknown after a break", await shows(".step.gate"), await text("#step-title"));
	}
}
check("there was a gate", gates > 0);
check("with compulsory checks before it", compulsory);
check("a reading was refused once", refused);
check("the builder's own words were shown", named);
check("a fix was done", fixed, path.join("\n    "));
check("it was switched on", live, path.join("\n    "));
check("it is cured", (await text("#closed-title")) === "Cured", `${path.join("\n    ")}\n${await text("main")}`);
await look("cured");
const cause = await text("section.found a");

// What else belongs to the job: a note, a setting, what the device says.
await page.getByText("Notes on this job").click();
await page.locator("#note-words").fill(`Found and mended. ${long}`);
await page.locator("details").getByRole("button", { name: "Keep the note" }).click();
check("a note on the job", (await text(".message")).includes("kept"));
await page.goto(`${base}/rigs/${rig}/settings?job=${job.match(/\d+$/)[0]}`);
await look("empty ledger");
for (const [was, became] of [["0.9 s", "1.6 s"], ["1.6 s", "1.2 s"]]) {
	await page.locator("#setting").fill("pull-away time");
	await page.locator("#was").fill(was);
	await page.locator("#became").fill(became);
	await page.locator("#why").fill("it jerked");
	await page.getByRole("button", { name: "Write it down" }).click();
	check("the change is written down", (await text(".message")).includes("ledger"), await text("main"));
}
await look("ledger");
const today = new Date().toISOString().slice(0, 10);
await page.locator("#on").fill(today);
await page.getByRole("button", { name: "Show", exact: true }).click();
check("as of a day", (await text("#list-title")).includes(today) && (await text("main")).includes("1.2 s"));
await look("as of a day");
await page.locator("#from").fill("2020-01-01");
await page.getByRole("button", { name: "Compare" }).click();
check("what differs", (await text(".ledger")).includes("0.9 s") && (await text(".ledger")).includes("1.2 s"), await text("main"));
await look("difference");
await page.locator("#back").fill("2020-01-01");
await page.getByRole("button", { name: "List" }).click();
check("to put back", (await text("h2")).includes("put the settings back"), await text("main"));
await look("put back");
await page.goto(`${base}/rigs/${rig}/log?job=${job.match(/\d+$/)[0]}`);
await page.locator("#subject").fill("5");
await page.locator("#count").fill("3");
await page.getByRole("button", { name: "Keep it" }).click();
check("the record is kept", (await text("main")).includes("Logged fault: 5, 3 times"), await text("main"));
await look("log");

await page.goto(`${job}/report`);
const report = await text("main");
for (const part of ["Found and mended.", "pull-away time", "Logged fault: 5", "Fix proved", cause])
	check(`the report has: ${part}`, report.includes(part), report);
await look("report");
const count = await sheets(page);
check("the report fits on two sheets", count >= 1 && count <= 2, `${count}`);
await page.goto(`${job}/state`);
await look("power");

// --- the other way in, and the rest of the pages --------------------------

await go("/");
await page.locator("#q").fill("creeps after letting go");
await page.getByRole("button", { name: "Look it up" }).click();
check("words find a symptom", (await text("h2")) !== "" && /\/find/.test(page.url()), page.url());
await look("find");
await page.locator(".rows a.row").first().click();
check("the first hit is a symptom", /\/symptoms\//.test(page.url()), page.url());
for (const path of [new URL(page.url()).pathname, "/devices", "/devices/field-cart-drive", "/devices/new",
	"/rigs", `/rigs/${rig}`, "/waits", "/symptoms", "/faults/supply-low", "/causes", "/checks", "/trees", "/trees/supply-low", "/settings", "/notes",
	"/packs", "/plan", "/learnt", "/about", "/jobs", "/nothing-here", "/read?pattern=5", "/read?pattern=5x6"]) {
	await go(path);
	await look(path);
}
for (const kind of ["causes", "checks", "settings"]) {
	await go(`/${kind}`);
	await page.locator(".rows a.row").first().click();
	await look(`one of ${kind}`);
}
await page.setViewportSize({ width: 1280, height: 800 });
const jobPath = new URL(job).pathname;
for (const path of ["/", "/devices/field-cart-drive", "/read?pattern=5", jobPath, `${jobPath}/state`, `${jobPath}/report`,
	"/rigs", `/rigs/${rig}`, `/rigs/${rig}/points`, `/rigs/${rig}/settings`, `/rigs/${rig}/log`, "/checks"]) {
	await go(path);
	await look(`wide ${path}`);
}
await page.setViewportSize({ width: 320, height: 640 });
for (const path of ["/", "/devices/field-cart-drive", "/read?pattern=5", jobPath, `${jobPath}/report`, `/rigs/${rig}`,
	`/rigs/${rig}/points`, `/rigs/${rig}/settings`]) {
	await go(path);
	await look(`narrow ${path}`);
}

check("the console is quiet", complaints.length === 0, `\n    ${complaints.join("\n    ")}`);
await browser.close();
if (process.env.VERBOSE)
	console.log(path.join("\n"));
console.log(`scripts ${scripts}: ${check.passed} passed, ${check.failed} failed, ${steps} steps`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
