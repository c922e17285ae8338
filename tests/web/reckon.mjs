// Walks what the meter should say in a real browser: a rig in numbers, what
// could not be taken of it, every page of reckoning with nothing, with nonsense
// and with its example, and a step that asks for a value and doubts a reading.
//
//     node reckon.mjs MODULES ADDRESS on|off [PICTURES]
import { checker, launch, looker, screen, shows, text } from "./walk.mjs";

const [modules, base, scripts, pictures] = process.argv.slice(2);
const check = checker(`reckon, scripts ${scripts}`);
const look = looker(check, pictures);
const complaints = [];
const browser = await launch(modules);
const phone = await (await screen(browser, base, { phone: true, scripts, complaints })).newPage();
const desk = await (await screen(browser, base, { phone: false, scripts, complaints })).newPage();
const press = async (page, name) => {
	await page.getByRole("button", { name }).first().click();
	await page.waitForLoadState("load");
};

// Whether the thing is on the screen, at least its upper edge.
async function inSight(page, what) {
	const box = await page.locator(what).first().boundingBox();
	return box !== null && box.y >= -1 && box.y < page.viewportSize().height;
}

// --- a rig in numbers -------------------------------------------------------

await phone.goto(`${base}/rigs`);
await phone.locator("#title").fill("36 V orchard trike");
await phone.getByText("Short name", { exact: true }).click();
await phone.locator("#rig").fill("trike36");
await press(phone, "Put it in the book");
for (const part of await phone.locator("details.part > summary").all())
	await part.click();
await look(phone, "every part of a rig open");
await phone.locator("[name='fact.bus.capacitor']").fill("10 uF");
await phone.locator("[name='fact.precharge.resistor']").fill("470 ohm 5%");
await phone.locator("[name='fact.cable.size']").fill("4 kg");
await press(phone, "Keep all that I changed");
check("two facts are refused", (await phone.locator(".fact .problem").count()) === 2, await text(phone, "main"));
check("each is linked at the top", (await phone.locator(".problem-link a").count()) === 2);
check("without the name of a key", !/for [a-z]+\.[a-z]+, /.test((await phone.locator(".problem").allInnerTexts()).join()));
await look(phone, "refused facts");
await phone.locator(".problem-link a").first().click();
check("the link leads there", await inSight(phone, ".fact:target"));
await phone.locator("[name='fact.bus.capacitor']").fill("10 mF");
await phone.locator("[name='fact.cable.size']").fill("2 AWG");
await press(phone, "Keep what I changed");
await phone.goto(`${base}/rigs/trike36?part=pre-charge-and-capacitors`);
check("what was right is kept", (await phone.locator("[name='fact.precharge.resistor']").inputValue()) === "470 ohm ±5 %",
	await phone.locator("[name='fact.precharge.resistor']").inputValue());
await phone.locator("[name='fact.precharge.watts']").fill("5");
await phone.locator("#part-pre-charge-and-capacitors button").last().click();
await phone.waitForLoadState("load");
check("a part says that it is kept, where it is", await inSight(phone, "#part-pre-charge-and-capacitors .message.good"));
await look(phone, "a part that was kept");

// --- reckoning ---------------------------------------------------------------

await desk.goto(`${base}/reckon`);
await look(desk, "reckoners");
const links = await desk.locator("#main a[href^='/reckon/']").evaluateAll((all) => all.map((one) => one.getAttribute("href").split("?")[0]));
check("there are fifteen", links.length === 15, links.join(" "));
for (const [i, link] of links.entries()) {
	const page = i % 2 === 0 ? phone : desk;
	await page.goto(`${base}${link}?rig=`);
	await look(page, `${link} empty`);
	const form = page.locator(`form[action='${link}']`);
	// The browser itself holds back what is needed and empty.
	const required = await form.locator("input[required]").count();
	check(`${link} marks what it needs`, (await form.locator("label", { hasText: "needed" }).count()) >= required);
	for (const field of await form.locator("input[type=text]").all())
		await field.fill("banana");
	await press(page, "Work it out");
	check(`${link}: nonsense is refused`, (await text(page, ".message.bad")) !== "", await text(page, "main"));
	check(`${link}: at one field`, (await page.locator(".fact .problem").count()) === 1);
	check(`${link}: with what was typed`, (await form.locator("input[type=text]").first().inputValue()) === "banana");
	await page.locator(".problem-link a").first().click();
	check(`${link}: the link leads to the field`, (await page.locator(":target").count()) === 1);
	await look(page, `${link} nonsense`);
	await page.goto(`${base}${link}?rig=`);
	await page.getByRole("link", { name: "Show an example" }).click();
	await page.waitForLoadState("load");
	const results = await page.locator(".results > div").count();
	check(`${link}: results`, results > 0, await text(page, "main"));
	check(`${link}: sources`, (await page.locator(".sources li").count()) > 0);
	for (const one of await page.locator(".results dd strong").allInnerTexts())
		check(`${link}: ${one} has few digits`, one.replace(/[^\d]/g, "").replace(/^0+/, "").length <= 5, one);
	if (await shows(page, "svg.plot")) {
		check(`${link}: the curve has a name`, (await page.locator("svg.plot").getAttribute("aria-label")) !== "");
		check(`${link}: and axes with units`, (await page.locator("svg.plot").textContent()).includes("(s)") ||
			(await page.locator("svg.plot").textContent()).includes("(V)"));
	}
	await look(page, `${link} example`);
}
await phone.goto(`${base}/reckon/precharge`);
check("the rig fills it in", (await phone.locator("#resistor").inputValue()).startsWith("470 ohm"), await text(phone, "main"));
await look(phone, "from the rig");

// --- a step that asks --------------------------------------------------------

await phone.goto(`${base}/read?pattern=3-3&device=orchard-trike-drive`);
await press(phone, "Find the cause, step by step");
for (const words of ["every path", "0.1", "even, cool"]) {
	if (await shows(phone, "#answer")) {
		await phone.locator("#answer").fill(words);
		await press(phone, "That is the reading");
	} else {
		await phone.locator("button.outcome", { hasText: words }).first().click();
		await phone.waitForLoadState("load");
	}
}
const step = await text(phone, "#step-title");
check("the step asks for a value", await shows(phone, "form.ask-value"), `${step}\n${await text(phone, "main")}`);
check("and says where it is found", (await text(phone, ".ask-value")).includes("Where to find it"));
check("its band is wide until then", (await text(phone, ".expect")).includes("at the widest"));
await look(phone, "a step that asks");
await phone.locator("#answer").fill("36,5");
await press(phone, "That is the reading");
check("a reading cannot be judged yet", (await text(phone, ".answer .message.bad")).includes("not known of the vehicle"),
	await text(phone, ".answer .message.bad"));
for (const words of ["", "abc", "10 V", "300"]) {
	await phone.locator("#value").fill(words);
	await press(phone, "Say it");
	check(`a value "${words}" is refused where it was typed`, await inSight(phone, ".ask-value .message.bad"), await text(phone, "main"));
	check("and nowhere else", (await phone.locator(".message.bad:visible").count()) === 1);
}
await look(phone, "a value that was refused");
await phone.locator("#value").fill("10");
await press(phone, "Say it");
check("the band is narrower", (await text(phone, ".expect")).includes("20 V to 42 V"), await text(phone, ".expect"));
check("what was said is shown back", (await text(phone, ".answered")).includes("Cells in series: 10"), await text(phone, ".answered"));
check("and the band is in sight", await inSight(phone, ".expect"));
check("the next value is asked for", (await text(phone, ".ask-value")).includes("Kind of battery"), await text(phone, ".ask-value"));
await look(phone, "a choice that is asked for");
await phone.locator(".ask-value label.choice", { hasText: "iron" }).click();
await press(phone, "Say it");
check("nothing more is asked for", !(await shows(phone, "form.ask-value")), await text(phone, ".ask-value"));
check("the band is the vehicle's", (await text(phone, ".expect")).includes("30 V to 36.5 V"), await text(phone, ".expect"));
check("and says from what", (await text(phone, ".step")).includes("Worked out from"));
await phone.locator("#answer").fill("10 mF");
await press(phone, "That is the reading");
check("a wrong unit is named", (await text(phone, ".answer .message.bad")).includes("measures farads"), await text(phone, ".answer .message.bad"));
await phone.locator("#answer").fill("OL");
await press(phone, "That is the reading");
check("OL is told what to do", (await text(phone, ".answer .message.bad")).includes("higher range"), await text(phone, ".answer .message.bad"));
await phone.locator("#answer").fill("30.2");
await press(phone, "That is the reading");
const doubt = await text(phone, ".answer .message.bad");
check("a close one is not judged", doubt.includes("too close"), doubt);
check("in few digits", !/\d\.\d{5}/.test(doubt), doubt);
await look(phone, "too close to call");
await phone.locator("label.sure").click();
await press(phone, "That is the reading");
check("who insists goes on", (await text(phone, ".answered")).includes("too close to call"), await text(phone, "main"));
await press(phone, "Undo the last answer");

check("the console is quiet", complaints.length === 0, `\n    ${complaints.join("\n    ")}`);
await browser.close();
console.log(`reckon, scripts ${scripts}: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
