// What the browser tests share: a browser, screens in it, what they complain
// of, and answering a job from what its page shows.
import { createRequire } from "node:module";
import { lookOver } from "./look.mjs";

export async function launch(modules) {
	const { chromium } = createRequire(`${modules}/package.json`)("playwright-core");
	return chromium.launch({
		executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
		args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking",
			"--disable-component-update", "--disable-sync", "--no-first-run"],
	});
}

// A press is over when its form has gone out, or was held back. The page asks
// first whether the book is there, so the browser alone does not know.
function waitForForms(page) {
	const locator = Object.getPrototypeOf(page.locator("body"));
	if (locator.waits)
		return;
	locator.waits = true;
	for (const deed of ["click", "press"]) {
		const plain = locator[deed];
		locator[deed] = async function (...more) {
			await plain.apply(this, more);
			await this.page().waitForFunction(() => !document.querySelector("form[data-sent]")).catch(() => {});
		};
	}
}

// check(what, good, more) counts; check.passed and check.failed.
export function checker(label) {
	const check = (what, good, more = "") => {
		if (good) {
			check.passed++;
		} else {
			check.failed++;
			console.log(`NOT OK, ${label}: ${what} ${more}`);
		}
	};
	check.passed = check.failed = 0;
	return check;
}

// A screen: a browser with cookies of its own. `phone` or not.
export async function screen(browser, base, { phone, scripts, complaints }) {
	const context = await browser.newContext({
		viewport: phone ? { width: 390, height: 844 } : { width: 1280, height: 800 },
		userAgent: phone ? "Test/1.0 (a telephone) Mobile" : "Test/1.0 (a desk)",
		hasTouch: phone,
		isMobile: phone,
		javaScriptEnabled: scripts === "on",
		// Colours would fade over while they are looked at.
		reducedMotion: "reduce",
	});
	context.setDefaultTimeout(15000);
	context.on("page", (page) => {
		waitForForms(page);
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
			// A film that was chosen has an address within its page.
			if (!request.url().replace(/^blob:/, "").startsWith(base))
				complaints.push(`${request.url()} is not ours`);
		});
	});
	return context;
}

// look(page, name): looks a page over in light and dark; with `pictures` it
// is kept there as a picture.
export function looker(check, pictures) {
	let pictured = 0;
	return async (page, name) => {
		// A press has gone on to another page; its style may still be coming.
		await page.waitForLoadState("load");
		for (const scheme of ["light", "dark"]) {
			await page.emulateMedia({ colorScheme: scheme });
			const found = await page.evaluate(lookOver);
			check(`${name}, ${scheme}`, found.length === 0, `\n    ${found.join("\n    ")}`);
			if (pictures)
				await page.screenshot({
					path: `${pictures}/${String(++pictured).padStart(3, "0")}-${name.replace(/\W+/g, "-")}-${scheme}.png`,
					fullPage: true,
				});
		}
		await page.emulateMedia({ colorScheme: "light" });
	};
}

export const shows = async (page, what) => (await page.locator(what).count()) > 0;
export const text = async (page, what) =>
	((await shows(page, what)) ? (await page.locator(what).first().innerText()).trim() : "");

// A reading inside the band that the page says to expect, or outside.
function reading(expect, sound) {
	const ends = (expect.match(/-?\d+(\.\d+)?/g) || ["0"]).map(Number);
	if (/at least/.test(expect))
		return sound ? ends[0] * 1.5 : ends[0] / 2;
	if (ends.length > 1)
		return sound ? (ends[0] + ends[1]) / 2 : ends[0] / 2;
	return sound ? ends[0] / 2 : ends[0] * 2;
}

// Answer the step that is shown: as a sound vehicle would, or not so. What
// leads into a power state, a fix and its proof are always as they should be.
// Returns what was done.
export async function answer(page, sound) {
	const expect = await text(page, ".expect strong");
	const right = sound || (await shows(page, ".step.gate")) || (await shows(page, ".lead > .found"));
	if (await shows(page, "#answer")) {
		// So many digits that none of the last ones matters.
		const value = reading(expect, right).toFixed(3);
		await page.locator("#answer").fill(value);
		await page.getByRole("button", { name: "That is the reading" }).click();
		return value;
	}
	const choices = page.locator("form.answer .outcomes-set button.outcome");
	const all = (await choices.allInnerTexts()).map((one) => one.trim());
	let at = all.indexOf("The fix is done");
	if (at < 0)
		at = Math.max(0, all.indexOf(expect));
	if (!right)
		at = all.length > 1 && at === 0 ? 1 : 0;
	await choices.nth(at).click();
	return all[at];
}

// Sheets of A4 that a page prints on.
export async function sheets(page) {
	const paper = await page.pdf({ format: "A4" });
	return (paper.toString("latin1").match(/\/Type\s*\/Page\b/g) || []).length;
}
