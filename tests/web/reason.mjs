// What a job reasons, and a tree compiled, in a real browser: why a step
// comes, the suspects and why, tools, another check, the tree left, a fix on
// suspicion, what waits and what was learnt; then a page that looks again by
// itself until its tree is there, which is opened way by way, kept, and
// dropped.
//
//     node reason.mjs MODULES ADDRESS on|off [PICTURES]
import { answer, checker, launch, looker, screen, shows, text } from "./walk.mjs";

const [modules, base, scripts, pictures] = process.argv.slice(2);
const check = checker(`reason, scripts ${scripts}`);
const look = looker(check, pictures);
const complaints = [];
const browser = await launch(modules);
const phone = await (await screen(browser, base, { phone: true, scripts, complaints })).newPage();
const desk = await (await screen(browser, base, { phone: false, scripts, complaints })).newPage();
const press = async (page, name) => {
	await page.getByRole("button", { name }).first().click();
	await page.waitForLoadState("load");
};
const open = (page, summary) => page.locator("summary", { hasText: summary }).first().click();

// --- a job ------------------------------------------------------------------

await phone.goto(`${base}/rigs`);
await phone.locator("#title").fill("36 V orchard trike");
await press(phone, "Put it in the book");
await phone.goto(`${base}/symptoms/clicks-no-drive`);
await look(phone, "symptom");
await press(phone, "Find the cause, step by step");
const job = phone.url();
for (let i = 0; i < 6 && (await shows(phone, ".step.gate")); i++)
	await answer(phone, true);
check("a tree leads", !(await shows(phone, ".why-this")), await text(phone, "#step-title"));
await open(phone, "Another check instead");
await look(phone, "other checks");
check("another is one press away", (await phone.locator("form[action$='/pick'] button.row").count()) > 1);
check("each says what it tells", (await phone.locator("form[action$='/pick'] .row-detail").allInnerTexts()).every((one) => / min/.test(one)));
await press(phone, "Leave the tree");
check("the tree is left", (await text(phone, ".message.good")).includes("The tree is left"), await text(phone, "main"));
for (let i = 0; i < 6 && (await shows(phone, ".step.gate")) && !(await shows(phone, ".why-this")); i++)
	await answer(phone, true);
check("the step says why it comes", /^Why (this|that) check: .* min/.test(await text(phone, ".why-this")), await text(phone, "main"));
await look(phone, "a step with its why");
for (let i = 0; i < 8 && (await shows(phone, ".step.gate")); i++)
	await answer(phone, true);
const asked = await text(phone, "#step-title");
await answer(phone, false);

await open(phone, "What it may be");
await phone.locator(".side details.why > summary").first().click();
check("a suspect says what spoke for it", (await text(phone, ".side details.why ul")).includes(asked), await text(phone, ".side .shares"));
check("with the rest that no book lists", (await text(phone, ".side .shares")).includes("something that is not in the book"));
await look(phone, "suspects and why");

await open(phone, /^(Tools, and what waits|Which tools are)/);
await look(phone, "tools");
await phone.locator("#more-tools").fill("clamp meter");
await press(phone, "These are at hand");
check("tools are kept", (await text(phone, ".message.good")).includes("tools at hand are kept"), await text(phone, "main"));
await open(phone, "Tools, and what waits");
await look(phone, "what waits for a tool");
await phone.getByRole("link", { name: "What to do with each tool" }).click();
await open(phone, "With:");
await look(phone, "waits of a job");
await phone.goto(`${base}/waits`);
await look(phone, "waits");
await phone.goto(`${base}/learnt`);
await look(phone, "learnt");

await phone.goto(job);
await open(phone, "What it may be");
if (!(await phone.locator(".side details.inner form[action$='/suppose']").first().isVisible()))
	await phone.locator("summary", { hasText: /^(Go straight to a fix|Trying fixes is quicker)/ }).first().click();
await look(phone, "fixes in order");
await phone.locator("form[action$='/suppose'] button.row:visible").first().click();
check("a fix is next", (await text(phone, ".message.good")).includes("Taken as the cause"), await text(phone, "main"));
await look(phone, "a fix on suspicion");
await press(phone, "Undo the last answer");
await desk.goto(job);
await look(desk, "wide job");

// --- a tree -------------------------------------------------------------------

// Nobody presses anything: the page comes again by itself.
const comes = async (page) => {
	await page.locator("#plan-title").waitFor({ timeout: 30000 }).catch(() => {});
	check("the tree is there", await shows(page, "#plan-title"), await text(page, "main"));
};
const ways = (page) => page.locator(".plan-ways details:not([open]) > summary:visible");

await phone.goto(`${base}/trees`);
await phone.getByRole("link", { name: "Compile a tree" }).click();
check("the rig in hand is chosen", (await phone.locator("#rig").inputValue()) !== "");
await look(phone, "the form for a tree");
await phone.locator("#for").fill("motor noise brake");
await press(phone, "Compile it");
await phone.locator("h1", { hasText: "Compile a tree" }).waitFor();
check("what may be meant is listed, or nothing is", await shows(phone, ".message.bad"), await text(phone, "main"));
check("what was typed is there", (await phone.locator("#for").inputValue()) === "motor noise brake");
await look(phone, "which of them");
await phone.goto(`${base}/symptoms/jerks`);
await phone.getByRole("link", { name: "Compile a tree for this" }).click();
check("it is being worked out", (await text(phone, "h1")) === "Being worked out" || (await shows(phone, "#plan-title")), await text(phone, "main"));
await comes(phone);
check("with what it costs", /Expected: [\d.]+ (min|h)/.test(await text(phone, "main")), await text(phone, "main"));
await look(phone, "a tree");
for (let i = 0; i < 3 && (await ways(phone).count()) > 0; i++)
	await ways(phone).first().click();
check("it opens way by way", (await phone.locator(".plan-ways details[open]").count()) === 3);
await look(phone, "a tree opened");
await open(phone, "The same as a drawing");
check("there is a drawing", await phone.locator(".tree-scroll svg").isVisible());
await look(phone, "a tree drawn");
await open(phone, "Keep it as a tree of your own");
await phone.locator("#keep-title").fill("Jerks, my way");
await press(phone, "Keep it");
await phone.locator(".message.good").waitFor({ timeout: 30000 }).catch(() => {});
check("it is kept", (await text(phone, ".message.good")).includes("Kept as a tree of your own"), await text(phone, "main"));
await look(phone, "a tree kept");
await phone.locator(".message.good a").click();
check("it is one's own", (await text(phone, ".tag")) === "yours" && (await text(phone, "h1")) === "Jerks, my way", await text(phone, "main"));
await look(phone, "an own tree");
await phone.goto(`${base}/symptoms/jerks`);
await phone.getByRole("button", { name: "Jerks, my way" }).click();
for (let i = 0; i < 8 && (await shows(phone, ".step.gate")); i++)
	await answer(phone, true);
await open(phone, "Another check instead");
check("a job follows it", (await text(phone, "main")).includes("Led by: Jerks, my way"), await text(phone, "main"));
await phone.goto(`${base}/trees/own-jerks-my-way`);
await open(phone, "Drop this tree");
await press(phone, "Drop it");
check("it is dropped", (await text(phone, ".message.good")).includes("dropped") && !(await text(phone, ".rows")).includes("my way"), await text(phone, "main"));
await desk.goto(`${base}/plan?for=jerks`);
await comes(desk);
await look(desk, "wide tree");

check("the console is quiet", complaints.length === 0, `\n    ${complaints.join("\n    ")}`);
await browser.close();
console.log(`reason, scripts ${scripts}: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
