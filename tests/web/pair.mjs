// Two real browsers at one job: a phone has the vehicle, a computer looks on,
// asks for it and gets it; what the phone then sends is refused.
//
//     node pair.mjs MODULES ADDRESS on|off [PICTURES]
import { answer, checker, launch, looker, screen, shows, text } from "./walk.mjs";

const [modules, base, scripts, pictures] = process.argv.slice(2);
const check = checker(`pair, scripts ${scripts}`);
const look = looker(check, pictures);
const complaints = [];
const browser = await launch(modules);
const phone = await (await screen(browser, base, { phone: true, scripts, complaints })).newPage();
const desk = await (await screen(browser, base, { phone: false, scripts, complaints })).newPage();
const press = (page, name) => page.getByRole("button", { name }).first().click();
const step = (page) => text(page, "#step-title");

// The phone opens a job and holds the vehicle by its first answer.
await phone.goto(`${base}/symptoms`);
await phone.locator(".rows a.row").first().click();
for (let i = 1; !(await shows(phone, "form[action='/jobs']")); i++) {
	await phone.goto(`${base}/symptoms`);
	await phone.locator(".rows a.row").nth(i).click();
}
await press(phone, "Find the cause, step by step");
const job = phone.url();
check("a job is open", /\/jobs\/\d+$/.test(job), job);
const first = await step(phone);
await answer(phone, true);
check("the phone goes on", (await step(phone)) !== first, await step(phone));
const at = await step(phone);

// The computer looks on.
await desk.goto(job);
check("the computer sees who has it", /In other hands: phone [0-9a-f]{2}/.test(await text(desk, ".hold")), await text(desk, "main"));
check("and what it is called itself", /computer [0-9a-f]{2}/.test(await text(desk, ".hold")));
check("it sees the same step", (await step(desk)) === at);
check("with its outcomes", (await text(desk, ".step .question")) !== "");
for (const what of ["form.answer", "form[action$='/undo']", "form[action$='/close']", "form[action$='/wait']", "form[action$='/take']"])
	check(`it has no ${what}`, !(await shows(desk, what)));
await look(desk, "looking on");
await desk.setViewportSize({ width: 390, height: 844 });
await look(desk, "looking on, narrow");
await desk.setViewportSize({ width: 1280, height: 800 });

// Another page of the phone's, left open from before it hands over; it hears
// nothing of what goes on.
const old = await phone.context().newPage();
await old.route("**/now", (route) => route.fulfill({ status: 404 }));
await old.goto(job);
check("a second page of the same screen may answer", await shows(old, "form.answer"));

// It asks; the phone is told, with both buttons, by itself where scripts run.
await press(desk, "Ask for it");
check("the computer has asked", (await text(desk, ".hold")).includes("You have asked"), await text(desk, ".hold"));
await look(desk, "asked");
if (scripts === "on") {
	await phone.getByRole("button", { name: "Hand it over" }).waitFor({ timeout: 20000 });
	check("the phone's form stays as it is", await shows(phone, "form.answer"));
} else {
	await phone.getByRole("link", { name: "Look again" }).click();
}
check("the phone sees who asks", /computer [0-9a-f]{2} asks for the vehicle/.test(await text(phone, ".hold")), await text(phone, "main"));
await look(phone, "being asked");
await press(phone, "Keep it");
await desk.goto(job);
check("it was kept", !(await text(desk, ".hold")).includes("You have asked") && (await shows(desk, "form[action$='/ask']")));
await press(desk, "Ask for it");
await phone.goto(job);
await press(phone, "Hand it over");
check("the phone looks on", /In other hands: computer [0-9a-f]{2}/.test(await text(phone, ".hold")), await text(phone, "main"));
check("and cannot answer", !(await shows(phone, "form.answer")));
await look(phone, "handed over");

// The computer has it, proves the state anew, and answers.
if (scripts === "on")
	await desk.locator("form.answer").waitFor({ timeout: 20000 });
else
	await desk.getByRole("link", { name: "Look again" }).click();
check("the computer may answer", await shows(desk, "form.answer"), await text(desk, "main"));
check("after proving the state again", (await text(desk, ".power dd a")).startsWith("not known") && (await shows(desk, ".step.gate")));
const before = await step(desk);
await answer(desk, true);
check("it answers", (await step(desk)) !== before, await step(desk));
const now = await step(desk);

// What the phone's old page sends is refused, with the step as it is.
const refusal = old.waitForResponse((response) => response.request().method() === "POST");
await answer(old, true);
const status = (await refusal).status();
check("the old page's answer is refused", status === 409, `${status}`);
check("it says who has it", /computer [0-9a-f]{2} has the vehicle/i.test(await text(old, ".message.bad")), await text(old, "main"));
check("it shows the step as it is now", (await step(old)) === now, `${await step(old)}, not ${now}`);
check("and no form", !(await shows(old, "form.answer")));
await look(old, "refused");
await old.close();
if (scripts === "on") {
	const arrived = await phone.waitForFunction((title) => document.querySelector("#step-title")?.textContent === title,
		now, { timeout: 20000 }).then(() => true, () => false);
	check("the phone follows by itself", arrived, await step(phone));
}

// A stale page of the holder's own is refused as well.
const stale = await desk.context().newPage();
await stale.goto(job);
await answer(desk, true);
const second = stale.waitForResponse((response) => response.request().method() === "POST");
await answer(stale, true);
check("a stale answer of the holder is refused", (await second).status() === 409);
check("and shows the step as it is now", (await step(stale)) === (await step(desk)), await text(stale, "main"));
await stale.close();

// It lets go; the phone takes the vehicle.
await desk.goto(job);
await desk.getByText("Power, lamp, pause, report, close").click();
await press(desk, "Let it go, for another screen");
await phone.goto(job);
check("nobody has it", await shows(phone, "form.answer"), await text(phone, "main"));
await phone.getByText("Power, lamp, pause, report, close").click();
await press(phone, "Take it");
await desk.goto(job);
check("the phone has it again", /In other hands: phone/.test(await text(desk, ".hold")), await text(desk, "main"));

// The phone pauses; that lets the vehicle go, with what it waits for.
await phone.goto(job);
await phone.getByText("Power, lamp, pause, report, close").click();
await phone.locator("#wait-words").fill("a clamp meter on loan");
await press(phone, "Pause the job");
check("the job waits", (await text(phone, "#waits-title")) === "This job waits", await text(phone, "main"));
await look(phone, "waiting");
await desk.goto(job);
check("the computer sees what for", (await text(desk, "main")).includes("a clamp meter on loan"));
await press(desk, "Go on with it");
check("and goes on with it", await shows(desk, "form.answer"), await text(desk, "main"));

check("the console is quiet", complaints.length === 0, `\n    ${complaints.join("\n    ")}`);
await browser.close();
console.log(`pair, scripts ${scripts}: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
