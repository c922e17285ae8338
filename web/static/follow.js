/* Follows the job that a page shows. A screen that looks on shows by itself
 * how it stands; one that may be filling in a form says so, puts who asks for
 * the vehicle in its place, and leaves the form alone. */
(function () {
	"use strict";

	var app = window.lampwright;
	var follow = document.getElementById("follow");
	var LOOK_MS = 3000, PATIENCE_MS = 4000, SLOWEST_MS = 10000;
	var known, timer, turn = 0, misses = 0, unpaired = false, since = new Date();

	if (!follow || !app || !window.fetch || !window.AbortController)
		return;
	known = follow.dataset.follow;

	/* What changed by itself is said to those who do not see it. */
	var voice = document.createElement("p");
	voice.className = "vh";
	voice.setAttribute("role", "status");
	document.body.append(voice);

	function show(what, on) {
		follow.querySelector("[data-say=" + what + "]").hidden = !on;
	}

	function begin() {
		document.querySelectorAll(".look-again").forEach(function (line) { line.hidden = true; });
	}

	function text_of(root, what) {
		var found = root.querySelector(what);
		return found ? found.textContent.trim() : "";
	}

	/* What stands at an address: {text}, or {out: true} where this screen may
	 * not see it any more. */
	function ask(address) {
		var stop = new AbortController();
		var end = setTimeout(function () { stop.abort(); }, PATIENCE_MS);
		return fetch(address, {
			credentials: "same-origin", cache: "no-store", redirect: "manual", signal: stop.signal
		}).then(function (answer) {
			if (answer.type === "opaqueredirect" || answer.status === 401 || answer.status === 403)
				return {out: true};
			if (!answer.ok)
				throw new Error(String(answer.status));
			return answer.text().then(function (text) { return {text: text}; });
		}).finally(function () { clearTimeout(end); });
	}

	/* The same page as it is now. What has the focus, is open or was scrolled
	 * to stays so where it is still there. */
	function swap(there) {
		var main = document.querySelector("main"), fresh = there.querySelector("main");
		var at = document.activeElement, id = at && at.id, label = at && at.textContent;
		var tag = at && main.contains(at) ? at.tagName : "", x = window.scrollX, y = window.scrollY;
		var opened = {}, before = text_of(main, "#step-title"), hold = text_of(main, "#hold-title");

		main.querySelectorAll("details").forEach(function (details) {
			opened[text_of(details, "summary")] = details.open;
		});
		main.replaceWith(document.adoptNode(fresh));
		document.querySelectorAll(".safe-bar").forEach(function (bar) { bar.remove(); });
		there.querySelectorAll(".safe-bar").forEach(function (bar) { fresh.after(document.adoptNode(bar)); });
		document.title = there.title;
		history.replaceState(null, "", follow.dataset.page + location.hash);
		follow = document.getElementById("follow");
		begin();
		app.widen();
		fresh.querySelectorAll("details").forEach(function (details) {
			var was = opened[text_of(details, "summary")];
			if (was !== undefined)
				details.open = was;
		});
		if (app.drafts)
			app.drafts();
		if (tag !== "") {
			var same = (id && document.getElementById(id)) ||
				Array.prototype.find.call(fresh.querySelectorAll(tag), function (e) { return e.textContent === label; });
			if (same)
				same.focus({preventScroll: true});
		}
		window.scrollTo(x, y);
		if (text_of(fresh, "#step-title") !== before || text_of(fresh, "#hold-title") === hold)
			voice.textContent = "The job has gone on. " + text_of(fresh, "#step-title");
		else
			voice.textContent = text_of(fresh, "#hold-title");
	}

	/* Beside a form that is being filled in: who has the vehicle and who asks
	 * for it, and whether the form is old. */
	function put_beside(there) {
		var old = document.getElementById("hold"), fresh = there.getElementById("hold");
		var line = there.getElementById("follow").dataset.follow;
		var token = there.querySelector("input[name=token]");

		if (!old || !fresh || old.outerHTML !== fresh.outerHTML) {
			if (old)
				old.remove();
			if (fresh) {
				(fresh.matches(".asked") ? follow : follow.parentNode).before(document.adoptNode(fresh));
				voice.textContent = text_of(fresh, "#hold-title");
			}
		}
		/* Another one where the screen was paired anew. */
		if (token)
			document.querySelectorAll("input[name=token]").forEach(function (field) {
				field.value = token.value;
			});
		show("changed", line.split(" ")[0] !== follow.dataset.follow.split(" ")[0]);
	}

	function is_busy(there) {
		return (app.typing && app.typing()) ||
			(document.querySelector("form.answer") && there.querySelector("form.answer"));
	}

	function change(line) {
		return ask(follow.dataset.page).then(function (answer) {
			var there = answer.out ? null : new DOMParser().parseFromString(answer.text, "text/html");
			/* A form is on its way: the next page shows it. */
			if (!there || document.querySelector("[data-sent]"))
				return;
			if (!there.getElementById("follow"))
				throw new Error("not the page");
			if (is_busy(there))
				put_beside(there);
			else
				swap(there);
			known = line;
		});
	}

	function pause() {
		if (misses === 0)
			return LOOK_MS;
		return misses === 1 ? 1000 : Math.min(LOOK_MS * Math.pow(2, misses - 2), SLOWEST_MS);
	}

	function say_lost() {
		var clock = ("0" + since.getHours()).slice(-2) + ":" + ("0" + since.getMinutes()).slice(-2);
		follow.querySelector("[data-since]").textContent = clock;
		show("lost", true);
	}

	function look() {
		var mine = ++turn;
		clearTimeout(timer);
		if (document.hidden)
			return;
		ask(follow.dataset.job + "/now").then(function (answer) {
			if (mine !== turn)
				return null;
			misses = 0;
			since = new Date();
			app.heard(true);
			show("lost", false);
			/* Paired again: its forms need another token. */
			if (unpaired && !answer.out)
				known = "";
			unpaired = Boolean(answer.out);
			show("unpaired", unpaired);
			return unpaired || answer.text === known ? null : change(answer.text);
		}).catch(function () {
			if (mine !== turn)
				return;
			app.heard(false);
			if (++misses > 1)
				say_lost();
		}).then(function () {
			if (mine === turn)
				timer = setTimeout(look, pause());
		});
	}

	begin();
	timer = setTimeout(look, LOOK_MS);
	document.addEventListener("visibilitychange", look);
	window.addEventListener("online", look);
	window.addEventListener("pageshow", function (event) {
		if (event.persisted)
			look();
	});
}());
