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

	/* Two people at one job: look now and then whether it has gone on. A
	 * screen that looks on shows it; one that may be filling in a form says
	 * so and leaves the form alone. */
	var follow = document.getElementById("follow");
	function look() {
		if (document.hidden || !follow.hidden)
			return;
		fetch(location.pathname, {credentials: "same-origin"}).then(function (answer) {
			return answer.ok ? answer.text() : null;
		}).then(function (text) {
			var there = text && new DOMParser().parseFromString(text, "text/html")
				.getElementById("follow");
			if (!there || there.dataset.follow === follow.dataset.follow)
				return;
			if (document.querySelector("form.answer, textarea:focus, input:focus") === null)
				location.replace(location.pathname);
			else
				follow.hidden = false;
		}).catch(function () { /* the next look may do better */ });
	}
	if (follow)
		setInterval(look, 8000);

	/* Coming back to a page that the browser kept: its forms work again. */
	window.addEventListener("pageshow", function () {
		var sent = document.querySelectorAll("[data-sent]");
		for (var i = 0; i < sent.length; i++)
			sent[i].removeAttribute("data-sent");
	});
}());
