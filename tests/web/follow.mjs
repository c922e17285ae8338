// Screens that follow one job while the command line answers it, ask for the
// vehicle and are handed it; and a book that goes away and comes back while a
// form is half filled in. It starts, stops and starts the server by itself.
//
//     node follow.mjs MODULES LAMPWRIGHT BOOK on|off [PICTURES]
import { execFileSync, spawn } from "node:child_process";
import { checker, launch, looker, screen, shows, text } from "./walk.mjs";

const [modules, lampwright, book, scripts, pictures] = process.argv.slice(2);
const check = checker(`follow, scripts ${scripts}`);
const look = looker(check, pictures);
const complaints = [];
const runs = scripts === "on";
// How long a slow machine may take; what is promised is checked by the page's own clock.
const LONG = 20000;
const PROMISE_MS = 5000;

// --- the server and the command line ----------------------------------------

let server = null;

// On a port, 0 for a free one; the address when it answers.
function start(port) {
	server = spawn(lampwright, ["--book", book, "serve", "--port", String(port)], { stdio: ["ignore", "pipe", "inherit"] });
	return new Promise((resolve, reject) => {
		let said = "";
		server.stdout.setEncoding("utf8");
		server.stdout.on("data", (more) => {
			said += more;
			const found = said.match(/http:\/\/127\.0\.0\.1:\d+/);
			if (found)
				resolve(found[0]);
		});
		server.on("exit", (code) => reject(new Error(`the server ended with ${code}`)));
	});
}

function stop() {
	return new Promise((resolve) => {
		server.removeAllListeners("exit");
		server.on("exit", resolve);
		server.kill("SIGTERM");
	});
}

function run(...words) {
	const out = execFileSync(lampwright, ["--book", book, ...words, "--json"],
		{ encoding: "utf8", env: { ...process.env, LAMPWRIGHT_SCREEN: "bench" } });
	return JSON.parse(out);
}

// Answer the step as a sound vehicle would; the job as it stands then.
function answerByCommand(job) {
	const { step } = run("job", "show", job);
	let given;
	if (step.reading) {
		const { low, high } = step.expect;
		given = String(low !== null && high !== null ? (low + high) / 2 : low !== null ? low * 1.5 : high / 2);
	} else {
		given = (step.outcomes.find((one) => one.expected) || step.outcomes[0]).outcome;
	}
	return run("job", "answer", job, given);
}

// Not even a failure leaves it behind.
process.on("exit", () => server.kill("SIGKILL"));

const base = await start(0);
const browser = await launch(modules);
const phoneScreen = await screen(browser, base, { phone: true, scripts, complaints });
const phone = await phoneScreen.newPage();
const desk = await (await screen(browser, base, { phone: false, scripts, complaints })).newPage();
const press = (page, name) => page.getByRole("button", { name }).first().click();
const step = (page) => text(page, "#step-title");
const until = (page, what, more) => page.waitForFunction(what, more, { timeout: LONG }).then(() => true, () => false);
const stepIs = (page, title) => until(page, (want) =>
	document.querySelector("#step-title")?.textContent.trim() === want, title);
const again = async (page) => {
	if (!runs)
		await page.getByRole("link", { name: "Look again" }).click();
};

// --- what the command line does shows on every page -------------------------

let job = String(run("trace", "--pattern", "5", "--device", "field-cart-drive").job);
run("job", "take", job);
const address = `${base}/jobs/${job}`;
await phone.goto(address);
await desk.goto(address);
const report = await desk.context().newPage();
await report.goto(`${address}/report`);
const power = await desk.context().newPage();
await power.goto(`${address}/state`);
const waits = await desk.context().newPage();
await waits.goto(`${address}/waits`);
// A way into a power state is not in the report; its page is another all the same.
const stands = (page) => page.locator("#follow").getAttribute("data-follow");
const wasReport = await stands(report);
check("the phone sees who has it", /In other hands: /.test(await text(phone, ".hold")), await text(phone, "main"));
for (const [page, name] of [[phone, "job"], [report, "report"], [power, "state"], [waits, "waits"]])
	check(`${name}: a way to look again where no script follows`, (await page.locator(".look-again a").isVisible()) === !runs);
await look(phone, "following");

// The phone has scrolled and opened something; that stays so.
if (runs) {
	await phone.getByText("Found so far").click();
	await phone.evaluate(() => window.scrollTo(0, 300));
}
const moved = answerByCommand(job);
await again(phone);
await again(desk);
check("the phone shows the next step", await stepIs(phone, moved.step.title), `${await step(phone)}, not ${moved.step.title}`);
check("the computer too", await stepIs(desk, moved.step.title), await step(desk));
if (runs) {
	check("what was open is open", await phone.locator("details", { hasText: "Found so far" }).first().evaluate((e) => e.open));
	check("what was scrolled to is there", (await phone.evaluate(() => window.scrollY)) > 100);
	check("it is said aloud", await until(phone, () => [...document.querySelectorAll("[role=status]")]
		.some((e) => e.textContent.includes("has gone on"))));
	check("no second look is left", (await phone.evaluate(() => document.querySelectorAll("#follow").length)) === 1);
}
await report.bringToFront();
await again(report);
check("the report has it", await until(report, (was) => document.querySelector("#follow").dataset.follow !== was, wasReport));
await power.bringToFront();
const proved = run("job", "show", job).power_title;
await again(power);
check("the page on power says what is proved", await until(power, (title) =>
	document.querySelector("h1").textContent.includes(title), proved), await text(power, "h1"));
await report.close();
await power.close();
await waits.close();
await desk.bringToFront();

// Five seconds, by the page's own clock: how long from one look to the next.
if (runs) {
	await phone.waitForFunction(() => performance.getEntriesByType("resource")
		.filter((one) => one.name.endsWith("/now")).length > 4, null, { timeout: LONG * 2 });
	const looks = await phone.evaluate(() => performance.getEntriesByType("resource")
		.filter((one) => one.name.endsWith("/now")).map((one) => ({ start: one.startTime, end: one.responseEnd, size: one.transferSize })));
	const pauses = looks.slice(1).map((one, i) => one.start - looks[i].end);
	check("the pause between two looks is well under five seconds", Math.max(...pauses) <= PROMISE_MS - 1000, pauses.join(" "));
	check("a look is small", Math.max(...looks.map((one) => one.size)) < 2000, JSON.stringify(looks));
}

// --- who looks on asks, who has it hands over, each with one touch -----------

await press(phone, "Ask for it");
check("the phone has asked", (await text(phone, ".hold")).includes("You have asked"), await text(phone, ".hold"));
run("job", "hand", job);
await again(phone);
check("handed over by the command line, it may answer", await until(phone, () => document.querySelector("form.answer") !== null));
check("and the computer sees it", await (async () => {
	await again(desk);
	return until(desk, () => /In other hands: phone/.test(document.querySelector(".hold")?.innerText || ""));
})(), await text(desk, ".hold"));

// The holder is in the middle of something when it is asked.
const half = "half a sentence";
await phone.getByText("Say more with the answer").click();
await phone.locator("#answer-words").fill(half);
await press(desk, "Ask for it");
if (!runs)
	await phone.goto(address);
check("the holder is shown who asks, with both buttons", await until(phone, () => {
	const card = document.querySelector("#hold");
	return card && /computer [0-9a-f]{2} asks/.test(card.innerText) && card.querySelectorAll("button").length === 2;
}), await text(phone, "main"));
if (runs) {
	check("its form is left alone", (await phone.locator("#answer-words").inputValue()) === half);
	check("it is not called old", !(await phone.locator("[data-say=changed]").isVisible()));
	check("who asks is said aloud", await until(phone, () => [...document.querySelectorAll("[role=status]")]
		.some((e) => /asks for the vehicle/.test(e.textContent))));
}
await look(phone, "asked while typing");
await press(phone, "Hand it over");
check("the phone looks on", /In other hands: computer/.test(await text(phone, ".hold")), await text(phone, "main"));
if (runs)
	check("what it had typed is not lost", (await text(phone, ".left")).includes(half), await text(phone, "main"));
await look(phone, "handed over, with words left");
if (runs) {
	await phone.getByRole("button", { name: "Forget it" }).click();
	await phone.reload();
	check("and is forgotten when told so", !(await shows(phone, ".left")));
}
await again(desk);
check("the computer may answer without another touch", await until(desk, () => document.querySelector("form.answer") !== null));

// --- the book goes away and comes back ---------------------------------------

// The computer is the one that has the vehicle; a note is begun besides.
const port = new URL(base).port;
const words = "typed before the book went away";
const note = "a note that waits";
if (!(await desk.locator("#answer-words").isVisible()))
	await desk.getByText("Say more with the answer").click();
await desk.locator("#answer-words").fill(words);
await desk.getByText("Notes on this job").click();
await desk.locator("#note-words").fill(note);
const pending = await step(desk);
const serial = run("job", "show", job).serial;
const quiet = complaints.length;
await stop();

async function giveAnswer(page) {
	if (await shows(page, "#answer")) {
		await page.locator("#answer").fill("12.5");
		await press(page, "That is the reading");
	} else {
		await page.locator("form.answer .outcomes-set button.outcome").first().click();
	}
}

if (runs) {
	check("the page says that it may be old", await until(desk, () => {
		const line = document.querySelector("[data-say=lost]");
		return line.checkVisibility() && /No word from the book since \d\d:\d\d\./.test(line.innerText);
	}));
	await look(desk, "out of reach");
	await giveAnswer(desk);
	await desk.locator("form.answer .unsent").waitFor({ timeout: LONG });
	check("nothing is sent", (await text(desk, ".unsent")).includes("Nothing was sent") && desk.url() === address, desk.url());
	check("what was typed is still there", (await desk.locator("#answer-words").inputValue()) === words);
	await look(desk, "not sent");
} else {
	await giveAnswer(desk).catch(() => {});
	await desk.waitForURL((url) => url.href !== address, { timeout: LONG }).catch(() => {});
	check("the browser says that it is not there", !(await shows(desk, "main")));
}

check("it starts again at the same place", (await start(port)) === base);
if (runs) {
	check("the line goes away by itself", await until(desk, () => document.querySelector("[data-say=lost]").hidden));
	// A reload, as when the browser had dropped the page meanwhile.
	await desk.reload();
} else {
	await desk.goBack();
}
check("the form is there with what was typed", (await desk.locator("#answer-words").inputValue()) === words, await desk.locator("#answer-words").inputValue());
check("the note too", (await desk.locator("#note-words").inputValue()) === note);
if (runs)
	check("it says so", (await text(desk, "form.answer .draft")).includes("What you typed before"), await text(desk, "form.answer"));
await look(desk, "put back");
check("at the same step", (await step(desk)) === pending);
await giveAnswer(desk);
if (await shows(desk, "input[name=sure]")) {
	// A reading that nobody expects is asked for twice.
	check("a refused reading keeps its words", (await desk.locator("#answer-words").inputValue()) === words);
	await desk.locator("input[name=sure]").check();
	await press(desk, "That is the reading");
}
await desk.waitForURL((url) => url.pathname === `/jobs/${job}`, { timeout: LONG });
const now = run("job", "show", job);
const kept = now.findings.filter((one) => one.words === words);
check("it is accepted once, with its words", kept.length === 1 && now.serial > serial, JSON.stringify(now.findings.slice(-2)));
check("the next step's box is empty", !(await shows(desk, "#answer-words")) ||
	(await desk.locator("#answer-words").inputValue()) === "", await text(desk, "form.answer"));
if (runs) {
	check("nothing is left over", !(await shows(desk, ".left")));
	check("the note's draft stays until it is sent", (await desk.locator("#note-words").inputValue()) === note);
	await desk.locator("form[action$='/note']").getByRole("button", { name: "Keep the note" }).click();
	check("it is sent", (await text(desk, ".message.good")).includes("kept"), await text(desk, "main"));
	check("and its box is empty", (await desk.locator("#note-words").inputValue()) === "");
	await desk.reload();
	check("also when the page comes again", (await desk.locator("#note-words").inputValue()) === "");
}
await desk.goBack();
if (await shows(desk, "#answer-words"))
	check("going back brings no old words under another step",
		(await step(desk)) === pending || (await desk.locator("#answer-words").inputValue()) === "",
		await desk.locator("#answer-words").inputValue());

// --- a phone out of reach of the radio ---------------------------------------

if (runs) {
	await phone.goto(address);
	await phone.getByText("Notes on this job").click();
	await phone.locator("#note-words").fill("from the far end of the hall");
	await phoneScreen.setOffline(true);
	check("the phone says that it hears nothing", await until(phone, () =>
		document.querySelector("[data-say=lost]").checkVisibility()));
	await phone.locator("form[action$='/note']").getByRole("button", { name: "Keep the note" }).click();
	await phone.locator("form[action$='/note'] .unsent").waitFor({ timeout: LONG });
	await look(phone, "offline");
	await phoneScreen.setOffline(false);
	check("and that it hears again", await until(phone, () => document.querySelector("[data-say=lost]").hidden));
	check("the words are there", (await phone.locator("#note-words").inputValue()) === "from the far end of the hall");
	await phone.locator("form[action$='/note']").getByRole("button", { name: "Keep the note" }).click();
	await phone.locator(".message.good").waitFor({ timeout: LONG });
	check("the note is kept once", run("job", "show", job).notes
		.filter((one) => one.words === "from the far end of the hall").length === 1);

	// A script that hears nothing holds no form back for good.
	for (const what of ["**/static/lamp.svg", "**/now"])
		await phone.route(what, (route) => route.abort());
	await phone.locator("[data-say=lost]").waitFor({ timeout: LONG });
	await phone.getByText("Notes on this job").click();
	await phone.locator("#note-words").fill("sent all the same");
	for (let i = 0; i < 2; i++) {
		await phone.locator("form[action$='/note']").getByRole("button", { name: "Keep the note" }).click();
		await phone.locator("form[action$='/note'] .unsent").waitFor({ timeout: LONG });
	}
	await phone.locator("form[action$='/note']").getByRole("button", { name: "Keep the note" }).click();
	await phone.locator(".message.good").waitFor({ timeout: LONG });
	check("the third press goes out", run("job", "show", job).notes.some((one) => one.words === "sent all the same"));
	for (const what of ["**/static/lamp.svg", "**/now"])
		await phone.unroute(what);

	// A screen that was sent away is told so, with a way to pair again.
	await phone.route("**/now", (route) => route.fulfill({ status: 303, headers: { Location: "/pair" } }));
	check("a screen that was sent away says so", await until(phone, () =>
		document.querySelector("[data-say=unpaired]").checkVisibility()));
	check("with a way to pair it", (await phone.locator("[data-say=unpaired] a").getAttribute("href")).startsWith("/pair?back=/jobs/"));
	await look(phone, "sent away");
	await phone.unroute("**/now");
	check("and goes on once it is paired", await until(phone, () => document.querySelector("[data-say=unpaired]").hidden));
}

// What fails while the book is away is no complaint.
const rest = [...complaints.slice(0, quiet), ...complaints.slice(quiet).filter((one) => !/net::ERR_|failed: /.test(one))];
check("the console is quiet", rest.length === 0, `\n    ${rest.join("\n    ")}`);
await browser.close();
await stop();
console.log(`follow, scripts ${scripts}: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
