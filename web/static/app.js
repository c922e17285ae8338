/* Small comforts: a form is sent once, and only where there is somebody to
 * take it; on a wide screen what is known is open. Every page works without
 * this file. */
(function () {
	"use strict";

	var app = window.lampwright = {};
	var able = window.fetch && window.AbortController &&
		HTMLFormElement.prototype.requestSubmit;
	var FRESH_MS = 5000, misses = 0, heard_ms = Date.now();

	/* The book has answered, or it has not. */
	app.heard = function (good) {
		heard_ms = good ? Date.now() : 0;
		misses = good ? 0 : misses;
	};

	/* Whether anybody answers there. What a browser says of being online is
	 * no help: the book may be on this very computer. */
	function probe() {
		var stop = new AbortController();
		var timer = setTimeout(function () { stop.abort(); }, 3000);
		return fetch("/static/lamp.svg", {method: "HEAD", cache: "no-store", signal: stop.signal})
			.then(function () { return true; }, function () { return false; })
			.then(function (good) {
				clearTimeout(timer);
				return good;
			});
	}

	function say_unsent(form, button) {
		var line = document.createElement("p");
		line.className = "problem unsent";
		line.setAttribute("role", "alert");
		line.textContent = "The book cannot be reached. Nothing was sent; what you typed is still here.";
		if (button && button.parentNode && form.contains(button))
			button.parentNode.insertBefore(line, button);
		else
			form.appendChild(line);
	}

	/* A second press while the first is on its way would be refused as
	 * stale; it is not sent. Where the book was not heard of just now, it is
	 * asked first. The third press that finds nobody goes out all the same,
	 * so that no form is held here for good. */
	document.addEventListener("submit", function (event) {
		var form = event.target, button = event.submitter;
		if ((form.getAttribute("method") || "").toLowerCase() !== "post" || event.defaultPrevented)
			return;
		if (form.hasAttribute("data-sent")) {
			event.preventDefault();
			return;
		}
		form.setAttribute("data-sent", "yes");
		setTimeout(function () { form.removeAttribute("data-sent"); }, 10000);
		if (!able || form.hasAttribute("data-go") || Date.now() - heard_ms < FRESH_MS) {
			form.removeAttribute("data-go");
			return;
		}
		event.preventDefault();
		form.querySelectorAll(".unsent").forEach(function (line) { line.remove(); });
		probe().then(function (good) {
			misses++;
			app.heard(good);
			form.removeAttribute("data-sent");
			if (!good && misses < 3) {
				say_unsent(form, button);
				return;
			}
			form.setAttribute("data-go", "yes");
			form.requestSubmit(button && button.form === form ? button : null);
		});
	});

	/* Coming back to a page that the browser kept: its forms work again. */
	window.addEventListener("pageshow", function (event) {
		if (event.persisted)
			app.heard(false);
		document.querySelectorAll("[data-sent]").forEach(function (form) {
			form.removeAttribute("data-sent");
		});
	});

	/* Where there is room beside the step, what is known is open. */
	app.widen = function () {
		if (window.matchMedia("(min-width: 1000px)").matches)
			document.querySelectorAll("[data-wide]").forEach(function (details) {
				details.open = true;
			});
	};
	app.widen();
}());
