/* The tap pad: takes the times of the taps, shows them, and asks the book what
 * they say. Reading them is left to the book; the page says how to do without
 * this file. */
(function () {
	"use strict";

	var KEPT = 200; /* taps: an address is not to grow without end */
	var SAME_MS = 30; /* two fingers, or a contact that bounces */
	var ASK_MS = 300; /* from one question to the next, at the least */
	var FAILED_MS = 2000; /* the same, where nobody answered */
	var WAIT_MS = 10000; /* after the last tap it is asked no more */
	var PAUSE_MS = 3000; /* of waiting that counts as dark, at the least */
	var SURE = 0.9;
	/* Taps that are all as far apart may be the beginning of a long group: so
	 * many of them before they count as one flash at a time, and as sure. */
	var EVEN = 8, EVEN_SURE = 12;

	var pad = document.getElementById("tap-pad");
	var all = document.getElementById("tap-all");
	if (!pad || !window.fetch || !window.PointerEvent || !window.performance)
		return;
	var word = document.getElementById("tap-word");
	var count = document.getElementById("tap-count");
	var mark = document.getElementById("tap-mark");
	var picture = document.getElementById("tap-picture");
	var status = document.getElementById("tap-status"), aloud = document.getElementById("tap-aloud");
	var meaning = document.getElementById("tap-meaning");
	var go = document.getElementById("tap-go");
	var back = document.getElementById("tap-back");
	var again = document.getElementById("tap-again");
	var first_words = status.textContent;
	var calm = window.matchMedia("(prefers-reduced-motion: reduce)");

	var taps = []; /* in milliseconds of the page's own clock */
	var round = 0; /* another one whenever what was asked is old */
	var asking = false, asked_ms = -Infinity, told = 0, timer = 0, wait_ms = ASK_MS;
	var sure_of = null, by_key_or_finger_ms = -Infinity;

	all.hidden = false;
	document.getElementById("tap-plain").hidden = true;

	/* --- the address ---------------------------------------------------- */

	function gaps() {
		return taps.slice(1).map(function (at, i) { return at - taps[i]; });
	}

	/* How long nobody tapped is known, but not for long: who is done looks at
	 * the phone while the lamp goes on. */
	function until_ms() {
		var last = taps[taps.length - 1];
		var longest = Math.max.apply(null, [0].concat(gaps()));
		return Math.min(performance.now(), last + Math.max(PAUSE_MS, 1.5 * longest));
	}

	function query() {
		var first = taps[0];
		var words = "taps=" + taps.map(function (at) { return Math.round(at - first); }).join(",") +
			"&until=" + Math.round(until_ms() - first);
		["device", "lamp"].forEach(function (name) {
			var value = all.getAttribute("data-" + name);
			if (value)
				words += "&" + name + "=" + encodeURIComponent(value);
		});
		return words;
	}

	/* The newest groups; a gap longer than the usual one begins a group. */
	function drop_old() {
		var all_gaps, usual, from;
		if (taps.length <= KEPT)
			return;
		all_gaps = gaps();
		usual = all_gaps.slice().sort(function (a, b) { return a - b; })[all_gaps.length >> 1];
		for (from = taps.length - KEPT; from < taps.length; from++)
			if (all_gaps[from - 1] > 1.5 * usual)
				break;
		taps = taps.slice(from < taps.length ? from : taps.length - KEPT);
	}

	/* --- what is shown -------------------------------------------------- */

	/* What is shown changes with nearly every tap; read out is what is new in
	 * it. */
	function say(words, out_loud) {
		out_loud = out_loud || words;
		if (status.textContent !== words)
			status.textContent = words;
		if (aloud.textContent !== out_loud)
			aloud.textContent = out_loud;
	}

	function add(kind, attributes, text) {
		var one = document.createElementNS("http://www.w3.org/2000/svg", kind);
		Object.keys(attributes).forEach(function (name) { one.setAttribute(name, attributes[name]); });
		if (text)
			one.textContent = text;
		picture.appendChild(one);
	}

	/* Where a gap ends a group: at the first clear step between the short
	 * ones and the longer ones. */
	function group_end() {
		var sorted = gaps().sort(function (a, b) { return a - b; });
		for (var i = 1; i < sorted.length; i++)
			if (sorted[i] > 1.5 * sorted[i - 1])
				return (sorted[i] + sorted[i - 1]) / 2;
		return Infinity;
	}

	/* The last taps to scale, the newest at the right, with the count of each
	 * group below it. */
	function draw() {
		var WIDTH = 360, EDGE = 8, MOST_MS = 12000;
		var last = taps[taps.length - 1], end = group_end(), group = [];
		var shown = taps.filter(function (at) { return last - at <= MOST_MS; });
		var scale = (WIDTH - 2 * EDGE) / Math.max(4000, last - shown[0]);
		function x(at) { return (WIDTH - EDGE - (last - at) * scale).toFixed(1); }
		function close(cut) {
			var from = Number(x(group[0])), to = Number(x(group[group.length - 1]));
			add("line", {"class": "tap-line", x1: from - 4, y1: 24, x2: to + 4, y2: 24});
			add("text", {"class": "tap-number", x: (from + to) / 2, y: 40, "text-anchor": "middle"},
				(cut ? "\u2026" : "") + group.length);
			group = [];
		}
		picture.textContent = "";
		shown.forEach(function (at, i) {
			if (i > 0 && at - shown[i - 1] > end)
				close(false);
			group.push(at);
			add("circle", {"class": "tap-dot", cx: x(at), cy: 12, r: 5});
		});
		if (group.length > 0)
			close(shown.length < taps.length && group[0] === shown[0]);
	}

	function show() {
		count.textContent = taps.length === 0 ? "" : taps.length === 1 ? "1 tap" : taps.length + " taps";
		word.hidden = taps.length > 0;
		back.disabled = again.disabled = taps.length === 0;
		if (taps.length > 0)
			draw();
		else
			picture.textContent = "";
	}

	function hide_go() {
		go.hidden = true;
		meaning.textContent = "";
	}

	/* "perhaps 4 or 5" */
	function guesses(doc) {
		var names = (doc.also || []).slice(0, 2).map(function (one) { return one.pattern; });
		return names.length > 0 ? "perhaps " + names.join(" or ") : "";
	}

	function show_doc(doc, words) {
		var match = doc.read && doc.read.matches && doc.read.matches[0], more, guess, read;
		var even = doc.pattern === "1" || doc.coding === "rate";
		var sure = doc.confidence >= SURE && (!even || taps.length >= EVEN_SURE);
		if (doc.pattern && even && taps.length < EVEN) {
			say("Evenly so far. Keep on, over the pause.");
			hide_go();
			sure_of = null;
			return;
		}
		if (!doc.pattern) {
			guess = guesses(doc);
			more = doc.watch_s > 0 ? ", about " + Math.ceil(doc.watch_s) + " s more" : "";
			say("Not sure yet" + (guess ? ": " + guess : "") + ". Keep on tapping" + more + ".",
				"Not sure yet. Keep on tapping.");
			hide_go();
			sure_of = null;
			return;
		}
		read = (sure ? "It reads " : "Perhaps ") + doc.pattern;
		more = even && !sure ? " Keep on if there is a pause to come." : sure ? "" : " One more cycle makes it surer.";
		say(read + ", " + (doc.percent || Math.floor(doc.confidence * 100) + " %") + " sure." + more, read + "." + more);
		meaning.textContent = match ? (sure ? "" : "If it is " + doc.pattern + ": ") + (match.title || match.meaning || "") : "";
		go.textContent = sure ? "Go on with " + doc.pattern : "See what " + doc.pattern + " would mean";
		go.classList.toggle("primary", sure);
		go.href = "/tap?" + words;
		go.hidden = false;
		/* Felt, for who looks at the lamp. */
		if (sure && sure_of !== doc.pattern) {
			sure_of = doc.pattern;
			if (navigator.vibrate)
				navigator.vibrate([40, 60, 40]);
		}
	}

	/* --- asking --------------------------------------------------------- */

	function later() {
		clearTimeout(timer);
		timer = setTimeout(ask, Math.max(0, asked_ms + wait_ms - performance.now()));
	}

	/* One question at a time, and never one in the way of a tap: a tap is noted
	 * before anything else, whatever the book does. */
	function ask() {
		var words, its = round, stop;
		if (asking || taps.length < 2)
			return;
		words = query();
		asking = true;
		asked_ms = performance.now();
		stop = window.AbortController ? new AbortController() : null;
		told = stop ? setTimeout(function () { stop.abort(); }, 5000) : 0;
		fetch("/tap/now?" + words, {cache: "no-store", signal: stop ? stop.signal : undefined})
			.then(function (answer) { return answer.json(); })
			.then(function (doc) {
				wait_ms = ASK_MS;
				if (its !== round)
					return;
				if (doc.error)
					say(doc.error.charAt(0).toUpperCase() + doc.error.slice(1) + ".");
				else
					show_doc(doc, words);
			}, function () {
				wait_ms = FAILED_MS;
				if (its === round && taps.length > 0)
					say("The book cannot be reached. Your taps are counted all the same; keep on.");
			})
			.then(function () {
				clearTimeout(told);
				asking = false;
				if (taps.length > 0 && (its !== round || performance.now() - taps[taps.length - 1] < WAIT_MS))
					later();
			});
	}

	/* --- tapping -------------------------------------------------------- */

	/* A small ring where the finger was. Nothing large changes its brightness,
	 * however fast it is tapped. */
	function ring(x, y) {
		mark.style.left = x + "px";
		mark.style.top = y + "px";
		if (mark.animate)
			mark.animate(calm.matches ? [{opacity: 1}, {opacity: 0}]
				: [{opacity: 1, transform: "translate(-50%, -50%) scale(.5)"},
					{opacity: 0, transform: "translate(-50%, -50%) scale(1)"}], 400);
	}

	function tap(at, x, y) {
		var now = performance.now();
		/* A clock of its own, as of some old browsers, will not do. */
		if (!(Math.abs(now - at) < WAIT_MS))
			at = now;
		by_key_or_finger_ms = now;
		if (taps.length > 0 && at - taps[taps.length - 1] < SAME_MS)
			return;
		taps.push(at);
		round++;
		if (navigator.vibrate)
			navigator.vibrate(10);
		ring(x, y);
		drop_old();
		show();
		if (taps.length === 1)
			say("Keep on: a tap with every flash, and none in the pause.");
		later();
	}

	function in_the_middle() {
		return [pad.clientWidth / 2, pad.clientHeight / 2];
	}

	pad.addEventListener("pointerdown", function (event) {
		var box = pad.getBoundingClientRect();
		if (event.pointerType === "mouse" && event.button !== 0)
			return;
		tap(event.timeStamp, event.clientX - box.left, event.clientY - box.top);
	});
	/* What a screen reader sends is a click, and nothing before it. */
	pad.addEventListener("click", function (event) {
		if (performance.now() - by_key_or_finger_ms > 700)
			tap.apply(null, [event.timeStamp].concat(in_the_middle()));
	});
	document.addEventListener("keydown", function (event) {
		var on = event.target;
		if ((event.key !== " " && event.key !== "Enter") || event.ctrlKey || event.altKey || event.metaKey)
			return;
		if (on !== pad && on.closest && on.closest("a, button, input, select, textarea, summary"))
			return;
		event.preventDefault();
		if (!event.repeat)
			tap.apply(null, [event.timeStamp].concat(in_the_middle()));
	});
	/* A key that goes up on a button is a click. */
	pad.addEventListener("keyup", function (event) {
		if (event.key === " ")
			event.preventDefault();
	});
	["contextmenu", "selectstart", "dragstart"].forEach(function (name) {
		pad.addEventListener(name, function (event) { event.preventDefault(); });
	});

	back.addEventListener("click", function () {
		taps.pop();
		round++;
		sure_of = null;
		hide_go();
		show();
		say(taps.length > 0 ? "The last tap is taken back." : first_words);
		later();
		pad.focus({preventScroll: true});
	});
	again.addEventListener("click", function () {
		taps = [];
		round++;
		sure_of = null;
		hide_go();
		show();
		say(first_words);
		pad.focus({preventScroll: true});
	});
	/* A page that the browser kept shows what it showed; one that it loads
	 * anew begins anew. */
	show();
}());
