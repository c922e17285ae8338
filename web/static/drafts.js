/* What was typed and not yet taken stays in this tab: it is in the form again
 * when its page comes back, after a lost connection or a slip of the thumb.
 * Words for a step that has passed are shown beside it, and never put into
 * another step's form. Nothing of this leaves the browser. */
(function () {
	"use strict";

	var app = window.lampwright, store;
	var SENT = "sent", DRAFT = "draft ";

	try {
		store = window.sessionStorage;
		store.getItem(SENT);
	} catch (e) {
		return;
	}

	function read(key) {
		try {
			return JSON.parse(store.getItem(key));
		} catch (e) {
			return null;
		}
	}

	function write(key, value) {
		try {
			store.setItem(key, JSON.stringify(value));
		} catch (e) { /* no room: as without this file */ }
	}

	/* A code, or a tick that says a person looked, is for once alone. */
	function is_kept(field) {
		if (!field.name || /^(token|code|sure|sure\..*)$/.test(field.name) ||
			field.autocomplete === "one-time-code")
			return false;
		return /^(TEXTAREA|SELECT)$/.test(field.tagName) || (field.tagName === "INPUT" &&
			/^(text|number|date|search|checkbox|radio)$/.test(field.type));
	}

	function is_tick(field) {
		return field.type === "checkbox" || field.type === "radio";
	}

	function name_of(field) {
		return is_tick(field) ? field.name + "=" + field.value : field.name;
	}

	function value_of(field) {
		return is_tick(field) ? field.checked : field.value;
	}

	/* What the server gave. */
	function given(field) {
		if (is_tick(field))
			return field.defaultChecked;
		if (field.tagName !== "SELECT")
			return field.defaultValue;
		for (var i = 0; i < field.options.length; i++)
			if (field.options[i].defaultSelected)
				return field.options[i].value;
		return field.options.length > 0 ? field.options[0].value : "";
	}

	function set(field, value) {
		if (is_tick(field))
			field.checked = value;
		else
			field.value = value;
	}

	function fields_of(form) {
		return Array.prototype.filter.call(form.elements, is_kept);
	}

	function forms() {
		return Array.prototype.filter.call(document.querySelectorAll("form[method=post]"), function (form) {
			return !/^\/pair\b/.test(form.getAttribute("action"));
		});
	}

	/* A form by what it is about, wherever it stands. */
	function key_of(form) {
		var key = DRAFT + form.getAttribute("action");
		form.querySelectorAll("input[type=hidden]").forEach(function (field) {
			if (!/^(token|serial|back|at\..*|was\..*|asked\..*)$/.test(field.name))
				key += "&" + field.name + "=" + field.value;
		});
		return key;
	}

	/* The step that an answer is for; all else is for no step. */
	function step_of(form) {
		var serial = form.querySelector("[name=serial]");
		return serial && form.querySelector("[name=check]") ? serial.value : "";
	}

	function changed(form) {
		return fields_of(form).filter(function (field) {
			return value_of(field) !== given(field);
		});
	}

	function remember(form) {
		var there = changed(form), fields = {}, title = document.getElementById("step-title");
		there.forEach(function (field) {
			fields[name_of(field)] = [value_of(field), given(field)];
		});
		if (there.length === 0)
			store.removeItem(key_of(form));
		else
			write(key_of(form), {
				step: step_of(form),
				title: step_of(form) && title ? title.textContent.trim() : "",
				fields: fields
			});
	}

	function line_with_button(text, words, forget) {
		var line = document.createElement("p"), button = document.createElement("button");
		line.className = "draft";
		line.append(text + " ");
		if (words) {
			var quote = document.createElement("span");
			quote.className = "words typed-before";
			quote.textContent = words;
			line.append(quote, " ");
		}
		button.type = "button";
		button.className = "quiet";
		button.textContent = "Forget it";
		button.addEventListener("click", function () {
			line.remove();
			forget();
		});
		line.append(button);
		return line;
	}

	function put_back(form) {
		var key = key_of(form), draft = read(key), back = [];
		if (!draft || draft.step !== step_of(form))
			return;
		fields_of(form).forEach(function (field) {
			var kept = draft.fields[name_of(field)];
			if (!kept || value_of(field) !== given(field) || value_of(field) === kept[0] ||
				(given(field) !== kept[1] && given(field) !== ""))
				return;
			set(field, kept[0]);
			back.push(field);
			for (var e = field.parentNode; e && e !== document; e = e.parentNode)
				if (e.tagName === "DETAILS")
					e.open = true;
		});
		remember(form);
		if (back.length > 0 && !form.querySelector(".draft"))
			form.prepend(line_with_button("What you typed before and did not send is here again.", "", function () {
				back.forEach(function (field) { set(field, given(field)); });
				remember(form);
			}));
	}

	/* What was typed for a job and has no form on its page any more. */
	function show_left() {
		var follow = document.getElementById("follow"), here = {};
		document.querySelectorAll(".left").forEach(function (old) { old.remove(); });
		if (!follow || document.querySelector("[data-refused]"))
			return;
		forms().forEach(function (form) { here[key_of(form)] = step_of(form); });
		Object.keys(store).forEach(function (key) {
			var draft, words;
			if (key.indexOf(DRAFT + follow.dataset.job + "/") !== 0)
				return;
			draft = read(key);
			if (!draft || here[key] === draft.step)
				return;
			words = Object.keys(draft.fields).map(function (name) {
				return draft.fields[name][0];
			}).filter(function (value) {
				return typeof value === "string" && value.trim() !== "";
			}).join("\n");
			if (words === "") {
				store.removeItem(key);
				return;
			}
			var box = document.createElement("div");
			box.className = "message left";
			box.append(line_with_button(
				"Typed here and not sent" + (draft.title ? ", for \u201c" + draft.title + "\u201d:" : ":"),
				words, function () {
					store.removeItem(key);
					box.remove();
				}));
			follow.parentNode.after(box);
		});
	}

	/* Browsers put typed text back by the names of fields; an answer's words
	 * must not come back under another step. */
	function clear_strange() {
		forms().forEach(function (form) {
			var draft = read(key_of(form));
			if (step_of(form) !== "" && (!draft || draft.step !== step_of(form)))
				changed(form).forEach(function (field) { set(field, given(field)); });
		});
	}

	app.drafts = function () {
		forms().forEach(put_back);
		show_left();
	};

	/* Whether somebody has begun to fill in a form of this page. */
	app.typing = function () {
		var at = document.activeElement;
		return (at !== null && at.form && is_kept(at) && !is_tick(at)) ||
			forms().some(function (form) { return changed(form).length > 0; });
	};

	/* The page that comes after a form was sent says whether it was taken. */
	var sent = read(SENT), entry = window.performance && performance.getEntriesByType &&
		performance.getEntriesByType("navigation")[0];
	store.removeItem(SENT);
	if (sent && !document.querySelector("[data-refused]") && (!entry || entry.type === "navigate") &&
		(document.referrer.split("#")[0] === sent.page || document.querySelector(".message.good")))
		store.removeItem(sent.key);
	clear_strange();
	app.drafts();

	window.addEventListener("pageshow", function (event) {
		if (event.persisted)
			store.removeItem(SENT);
		else
			clear_strange();
	});

	["input", "change"].forEach(function (kind) {
		document.addEventListener(kind, function (event) {
			var form = event.target.form;
			if (form && forms().indexOf(form) >= 0 && is_kept(event.target))
				remember(form);
		});
	});

	document.addEventListener("submit", function (event) {
		var form = event.target;
		if (event.defaultPrevented || forms().indexOf(form) < 0)
			return;
		remember(form);
		write(SENT, {key: key_of(form), page: location.href.split("#")[0]});
	});
}());
