// What is looked at on every page: labels, names, sizes, order and contrast.
// Runs inside the page, so that it sees what the browser made of it; works
// with the page's own scripts off. Returns a list of complaints.

export function lookOver() {
	const complaints = [];
	const say = (what, element) => complaints.push(`${what}: ` +
		element.outerHTML.replace(/\s+/g, " ").slice(0, 110));
	const visible = (element) => element.checkVisibility() &&
		element.getBoundingClientRect().width > 1;

	if (document.querySelectorAll("h1").length !== 1)
		complaints.push("not one h1");
	if (document.querySelectorAll("main").length !== 1)
		complaints.push("not one main");
	if (document.documentElement.lang !== "en")
		complaints.push("no language");
	if (document.title === "" || document.title.startsWith(" -"))
		complaints.push("no title");
	const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
	if (new Set(ids).size !== ids.length)
		complaints.push("an id twice: " + ids);
	if (document.documentElement.scrollWidth > window.innerWidth)
		complaints.push(`wider than the screen: ${document.documentElement.scrollWidth}`);

	for (const field of document.querySelectorAll("input, select, textarea")) {
		if (field.type === "hidden")
			continue;
		if (field.labels.length === 0 && !field.ariaLabel)
			say("no label", field);
	}
	for (const element of document.querySelectorAll("a, button, summary"))
		if (visible(element) && element.textContent.trim() === "" && !element.ariaLabel)
			say("no name", element);
	for (const list of document.querySelectorAll("[aria-labelledby], [aria-describedby]"))
		for (const id of `${list.getAttribute("aria-labelledby") || ""} ${list.getAttribute("aria-describedby") || ""}`.trim().split(/\s+/))
			if (!document.getElementById(id))
				say(`refers to nothing, ${id}`, list);

	// WCAG 2.2, 2.5.8 lets links within a sentence be; all else is at least
	// 44 CSS pixels high and wide (2.5.5).
	for (const target of document.querySelectorAll("a, button, select, textarea, summary, input")) {
		if (!visible(target) || target.type === "hidden" || target.classList.contains("skip"))
			continue;
		const inText = target.tagName === "A" && getComputedStyle(target).display === "inline";
		if (inText)
			continue;
		const box = (target.type === "checkbox" || target.type === "radio"
			? target.labels[0] : target).getBoundingClientRect();
		if (box.height < 43.9 || box.width < 43.9)
			say(`a small target, ${Math.round(box.width)} x ${Math.round(box.height)}`, target);
	}

	// WCAG 2.2, 1.4.3: contrast of 4.5, or 3 for large text.
	const parse = (colour) => (colour.match(/[\d.]+/g) || []).map(Number);
	const light = ([r, g, b]) => {
		const part = [r, g, b].map((v) => v / 255).map((v) =>
			v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
		return 0.2126 * part[0] + 0.7152 * part[1] + 0.0722 * part[2];
	};
	const behind = (element) => {
		for (let e = element; e; e = e.parentElement) {
			const colour = parse(getComputedStyle(e).backgroundColor);
			if (colour.length === 3 || colour[3] === 1)
				return colour;
		}
		return [255, 255, 255];
	};
	const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	for (let node = walker.nextNode(); node; node = walker.nextNode()) {
		const element = node.parentElement;
		if (node.data.trim() === "" || !visible(element) || element.closest("option, meter, .skip"))
			continue;
		const style = getComputedStyle(element);
		const ink = light(parse(style.color)), paper = light(behind(element));
		const ratio = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
		const size = parseFloat(style.fontSize);
		const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
		if (ratio < (large ? 3 : 4.5))
			say(`faint, ${ratio.toFixed(2)}`, element);
	}
	return complaints;
}
