// From the QR code that the terminal draws, by way of the code beside it, to a
// finding that a second screen sees; then one sends the other away, and the
// server is started anew.
//
//     node lan.mjs MODULES PROGRAM FOLDER on|off [PICTURES]
import { answer, checker, launch, looker, screen, shows, text } from "./walk.mjs";
import { black, read_blocks, read_picture } from "./qr.mjs";
import { run, serve_lan } from "./serve.mjs";

const [modules, program, folder, scripts, pictures] = process.argv.slice(2);
const check = checker(`lan, scripts ${scripts}`);
const look = looker(check, pictures);
const book = `${folder}/lan.db`;
let server = await serve_lan(program, book);

// --- the terminal ---------------------------------------------------------

const address = read_blocks(modules, server.blocks());
check("the terminal's QR code can be read", address !== null, server.text);
check("it is an address that is printed beside it", server.addresses().includes(address), `${address}, ${server.addresses()}`);
check("there is a code of six digits", /^\d{6}$/.test(server.code() ?? ""), server.text);
check("the code is not in the QR code", !(address ?? "").includes(server.code()));
check("80 columns are enough", server.text.split("\n").every((line) => [...line].length <= 80), server.text);
const shown = await serve_lan(program, `${folder}/shown.db`, { terminal: true });
await shown.until(() => shown.code());
const lines = shown.text.split(/\r?\n/).filter((line) => /[█▀▄]/.test(line) || /^\x1b\[[\d;]*m +\x1b/.test(line));
check("with colours each line sets black on white, and ends that", lines.length > 15 &&
	lines.every((line) => /^\x1b\[38;5;16;48;5;231m[ █▀▄]+\x1b\[0m$/.test(line)), JSON.stringify(lines.slice(0, 3)));
check("and it can be read", shown.addresses().includes(read_blocks(modules, lines.map((line) => line.replace(/\x1b\[[\d;]*m/g, "")), black)), shown.text);
await shown.stop();
const base = (address ?? server.addresses()[0]).replace(/\/$/, "");

const complaints = [];
const browser = await launch(modules);
const phone = await (await screen(browser, base, { phone: true, scripts, complaints })).newPage();
const desk = await (await screen(browser, base, { phone: false, scripts, complaints })).newPage();
const where = (page) => new URL(page.url()).pathname;
const sizes = async (page, name) => {
	const own = page.viewportSize();
	for (const [width, height] of [[390, 844], [1280, 800]]) {
		await page.setViewportSize({ width, height });
		await look(page, `${name}, ${width} wide`);
	}
	await page.setViewportSize(own);
};
// Type the code, and be let in.
async function pair(page, code) {
	const field = page.locator("input[name=code]");
	await field.fill(code);
	await page.locator("form", { has: field }).getByRole("button").first().click();
	await page.waitForLoadState("load");
}

// --- the phone ------------------------------------------------------------

await phone.goto(address);
check("a new phone is asked for the code", where(phone) === "/pair", phone.url());
check("and sees nothing else", !(await shows(phone, "#q")) && !(await text(phone, "body")).includes(server.code()));
await sizes(phone, "to be paired");
const wrong = String((Number(server.code()) + 1) % 1000000).padStart(6, "0");
await pair(phone, wrong);
check("a wrong code is said to be wrong", where(phone) === "/pair" && await shows(phone, ".message.bad, [role=alert]"), await text(phone, "main"));
await sizes(phone, "a wrong code");
await pair(phone, `${server.code().slice(0, 3)} ${server.code().slice(3)}`);
check("the right one leads to the first page", where(phone) === "/" && await shows(phone, "#q"), phone.url());
const mark = (await phone.context().cookies()).find((one) => one.name === "screen");
check("the cookie is out of reach of scripts", mark?.httpOnly === true && mark.sameSite === "Strict" && !mark.value.includes(server.code()), JSON.stringify(mark));
await look(phone, "first page");

// Five flashes, one touch away.
await phone.locator("#device").selectOption("field-cart-drive");
await phone.locator("#q").fill("5");
await phone.locator("#q").press("Enter");
await phone.waitForURL(/\/read\?/);
check("five flashes are read", (await text(phone, "main")).length > 100, await text(phone, "main"));
await phone.getByRole("button", { name: "Find the cause, step by step" }).first().click();
await phone.waitForURL(/\/jobs\/\d+$/);
const job = phone.url();

// --- the second screen ----------------------------------------------------

await desk.goto(job);
check("the second screen is asked for the code, too", where(desk) === "/pair", desk.url());
await pair(desk, server.code());
check("and is led to where it wanted", desk.url() === job, desk.url());
const steps = (page) => page.locator(".findings li, ol.findings > li").count();
const title = await text(desk, "#step-title");
check("it sees the phone's step", title !== "" && title === await text(phone, "#step-title"), title);
const before = await text(desk, "main");
await answer(phone, true);
const next = await text(phone, "#step-title");
check("the phone has gone on", next !== title, next);
if (scripts === "on") {
	const began = Date.now();
	const came = await desk.waitForFunction((was) => document.querySelector("#step-title")?.textContent.trim() !== was, title, { timeout: 20000 })
		.then(() => true, () => false);
	check("the second sees the finding by itself", came, await text(desk, "main"));
	console.log(`seen after ${((Date.now() - began) / 1000).toFixed(1)} s`);
} else {
	await desk.getByRole("link", { name: /Look again|See how it stands/ }).first().click();
	await desk.waitForLoadState("load");
}
check("it shows the same step", (await text(desk, "#step-title")) === next, await text(desk, "#step-title"));
check("which is not what it showed before", (await text(desk, "main")) !== before && (await steps(desk)) >= 0);
await look(desk, "a finding from the phone");

// --- who is paired --------------------------------------------------------

await desk.goto(`${base}/screens`);
const listed = () => JSON.parse(run(program, book, "screen", "list", "--json")).screens;
check("the terminal lists both", listed().length === 2, JSON.stringify(listed()));
const main = await text(desk, "main");
for (const one of listed())
	check(`the page lists ${one.name}`, main.includes(one.name), main);
await sizes(desk, "screens");
for (const scheme of ["light", "dark"]) {
	await desk.emulateMedia({ colorScheme: scheme });
	const drawn = desk.locator("main svg").first();
	await drawn.scrollIntoViewIfNeeded();
	const said = read_picture(modules, await drawn.screenshot());
	check(`the page's QR code can be read, ${scheme}`, said === address, `${said}, not ${address}`);
}
await desk.emulateMedia({ colorScheme: "light" });
check("the code is on no page", !(await desk.content()).includes(server.code()));
const of_phone = listed().find((one) => /phone/.test(one.name));
check("one of them is the phone", of_phone !== undefined, JSON.stringify(listed()));
const row = desk.locator("li, tr", { hasText: of_phone.name }).last();
await row.getByRole("button", { name: /send/i }).first().click();
await desk.waitForLoadState("load");
if (listed().length === 2) {
	await desk.getByRole("button", { name: /send/i }).first().click();
	await desk.waitForLoadState("load");
}
check("the phone is sent away", listed().length === 1 && listed()[0].name !== of_phone.name, JSON.stringify(listed()));
check("the page agrees", !(await desk.locator("li, tr", { hasText: of_phone.name }).count()), await text(desk, "main"));
await sizes(desk, "one screen");
await phone.goto(`${base}/jobs`);
check("the phone's next touch leads to the code", where(phone) === "/pair", phone.url());
await phone.goto(job);
check("also at its job", where(phone) === "/pair" && !(await text(phone, "body")).includes(next), phone.url());

// --- the server is started anew -------------------------------------------

await desk.goto(`${base}/notes`);
await desk.goto(`${base}/faults/supply-low`);
const typed = "typed before, sent afterwards";
const words = desk.locator("form[action='/notes'] textarea");
if (!(await words.isVisible()))
	await desk.locator("details", { has: words }).locator("summary").first().click();
await words.fill(typed);
const ended = await server.stop();
check("the server ends well", ended.status === 0, `${JSON.stringify(ended)} ${server.errors}`);
const old = server.code();
server = await serve_lan(program, book, { port: Number(new URL(base).port) });
check("its QR code is the same", read_blocks(modules, server.blocks()) === address, server.text);
check("its code is another", server.code() !== old || !server.code(), server.code());
await desk.locator("form[action='/notes']").getByRole("button").first().click();
await desk.waitForLoadState("load");
await desk.locator("main", { hasText: typed }).waitFor({ timeout: 15000 }).catch(() => {});
check("what was typed before is taken afterwards", where(desk) === "/faults/supply-low" && (await text(desk, "main")).includes(typed), `${desk.url()} ${await text(desk, "main")}`);
await desk.goto(job);
check("the second screen carries on without a code", desk.url() === job && (await text(desk, "#step-title")) !== "", desk.url());
await phone.goto(`${base}/`);
check("the phone does not", where(phone) === "/pair", phone.url());
await pair(phone, server.code());
check("it is let in with the new code", where(phone) === "/", phone.url());
run(program, book, "screen", "remove", "--all");
await desk.goto(`${base}/`);
check("the terminal sends all of them away", where(desk) === "/pair", desk.url());

check("the console is quiet", complaints.length === 0, `\n    ${complaints.join("\n    ")}`);
await browser.close();
const end = await server.stop();
check("the server ends well", end.status === 0, `${JSON.stringify(end)} ${server.errors}`);
console.log(`lan, scripts ${scripts}: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
