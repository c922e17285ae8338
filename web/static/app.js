/* Small comforts. Every page works without this file. */
(function () {
	"use strict";

	/* A second press while the first is on its way would be refused as
	 * stale; do not send it. */
	document.addEventListener("submit", function (event) {
		var form = event.target;
		if (!form.hasAttribute("data-once"))
			return;
		if (form.hasAttribute("data-sent")) {
			event.preventDefault();
			return;
		}
		form.setAttribute("data-sent", "yes");
	});

	/* Where there is room beside the step, what is known is open. */
	if (window.matchMedia("(min-width: 1000px)").matches) {
		var wide = document.querySelectorAll("[data-wide]");
		for (var k = 0; k < wide.length; k++)
			wide[k].open = true;
	}

	/* Coming back to a page that the browser kept: its forms work again. */
	window.addEventListener("pageshow", function () {
		var sent = document.querySelectorAll("[data-sent]");
		for (var i = 0; i < sent.length; i++)
			sent[i].removeAttribute("data-sent");
	});
}());
