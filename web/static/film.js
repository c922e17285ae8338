/* The film page: plays a chosen film in this browser, has the lamp found in it
 * (film_spot.js), shows where, and puts its brightness over time into the
 * form. Times are the film's own, never the clock's. */
(function () {
	"use strict";

	var spot = window.lampwright && window.lampwright.spot;
	var tool = document.getElementById("film-tool");
	var SIDE = 160, STILL_SIDE = 640;	/* pixels of the longer side */
	var SHORTEST_S = 2, LONGEST_S = 120, FEWEST = 20, DARK = 24;
	var WAIT_MS = 15000, STALL_MS = 8000, SEEK_MS = 4000, SEEK_STEP_S = 1 / 30;
	var SAFE_HZ = 45;	/* pictures a second that any screen shows in full */
	var SLOWEST = .4;	/* of the film's own pace */

	if (!tool || !spot || !window.URL || !window.Promise)
		return;

	function by(id) {
		return document.getElementById("film-" + id);
	}

	var video = by("video"), status = by("status"), progress = by("progress");
	var picture = by("spot"), trace = by("trace"), box = document.getElementById("series");
	var run = 0, address = null, film = null, spots = [], turn = 0, taken = null, still = null, shape = null;

	tool.hidden = false;

	/* `state`: reading, found, failed or stopped. */
	function say(sentence, state) {
		var bad = state === "failed";
		status.dataset.state = state;
		status.textContent = sentence;
		status.classList.toggle("message", Boolean(sentence));
		status.classList.toggle("bad", bad);
	}

	/* What ends the reading with a sentence for the person. */
	function Trouble(sentence) {
		this.sentence = sentence;
	}

	function stop_if_old(mine) {
		if (mine !== run)
			throw null;
	}

	function free() {
		video.pause();
		video.removeAttribute("src");
		video.load();
		if (address !== null)
			URL.revokeObjectURL(address);
		address = null;
	}

	/* The first of some events of the video, or null when it takes too long. */
	function next(names, patience_ms) {
		return new Promise(function (resolve) {
			var timer;
			function done(event) {
				clearTimeout(timer);
				names.forEach(function (name) { video.removeEventListener(name, done); });
				resolve(event && event.type ? event.type : null);
			}
			names.forEach(function (name) { video.addEventListener(name, done); });
			timer = setTimeout(done, patience_ms);
		});
	}

	function breathe() {
		return new Promise(function (resolve) { setTimeout(resolve, 0); });
	}

	function show_progress(percent) {
		progress.value = Math.max(progress.value, Math.min(100, percent));
	}

	var UNPLAYABLE = "This browser cannot play that file as a film; film the lamp here, or choose a film that this phone plays";

	/* --- reading a film --------------------------------------------------- */

	function load(file) {
		if (/^(audio|image|text)\//.test(file.type))
			throw new Trouble("That file is not a film; choose a film of the lamp");
		address = URL.createObjectURL(file);
		video.muted = true;
		video.src = address;
		return next(["loadeddata", "error"], WAIT_MS).then(function (what) {
			if (what !== "loadeddata" || video.videoWidth === 0)
				throw new Trouble(UNPLAYABLE);
			if (isFinite(video.duration))
				return null;
			/* Some recorders leave the length out; it shows at the end. */
			var known = next(["durationchange", "error"], SEEK_MS);
			video.currentTime = 1e7;
			return known.then(function () {
				var there = next(["seeked", "error"], SEEK_MS);
				video.currentTime = 0;
				return there;
			});
		}).then(function () {
			if (isFinite(video.duration) && video.duration < SHORTEST_S)
				throw new Trouble("The film is too short to tell a pattern; film 15 seconds, or until the code has come three times");
			if (isFinite(video.duration) && video.duration > LONGEST_S)
				throw new Trouble("The film is longer than " + LONGEST_S + " seconds; cut it, or film again for 15 seconds");
		});
	}

	/* Something to draw frames on, small and in proportion. */
	function make_grabber() {
		var canvas = document.createElement("canvas"), pen;
		var scale = SIDE / Math.max(video.videoWidth, video.videoHeight);
		canvas.width = Math.max(2 * spot.CELL, Math.round(video.videoWidth * Math.min(1, scale)));
		canvas.height = Math.max(2 * spot.CELL, Math.round(video.videoHeight * Math.min(1, scale)));
		pen = canvas.getContext("2d", {willReadFrequently: true, alpha: false});
		pen.imageSmoothingEnabled = true;
		pen.imageSmoothingQuality = "medium";
		film = new spot.Film(canvas.width, canvas.height);
		return function (seconds) {
			if (film.is_full())
				throw new Trouble("The film has more frames than can be read here; film 15 seconds at an ordinary speed");
			pen.drawImage(video, 0, 0, canvas.width, canvas.height);
			film.add(seconds, pen.getImageData(0, 0, canvas.width, canvas.height).data);
		};
	}

	/* Play it through and look at each frame as it is shown. Resolves to false
	 * where the browser does not let it play, or goes silent. */
	function play(mine, grab) {
		return new Promise(function (resolve, reject) {
			var last = -1, heard = Date.now(), known_missed = 0, watch, over = false;

			function finish(outcome, why) {
				if (over)
					return;
				over = true;
				clearInterval(watch);
				document.removeEventListener("visibilitychange", look);
				video.removeEventListener("ended", ended);
				video.pause();
				if (why === undefined)
					resolve(outcome);
				else
					reject(why);
			}
			function ended() {
				/* The last frame may still be on its way. */
				setTimeout(function () { finish(true); }, 150);
			}
			/* Frames are not shown in a tab that is not seen. */
			function look() {
				heard = Date.now();
				if (document.hidden)
					video.pause();
				else if (!over)
					video.play().catch(function () { finish(false); });
			}
			/* As fast as is sure to be shown in full; slower when frames are
			 * passed over. A film may have gaps of its own, which are not
			 * counted. */
			function set_pace(about) {
				var n = film.seconds.length, dropped = video.getVideoPlaybackQuality
					? video.getVideoPlaybackQuality().droppedVideoFrames : 0;
				var missed = about.presentedFrames - n + dropped;
				if (n === 12)
					video.playbackRate = Math.min(2, Math.max(1, SAFE_HZ * film.seconds[11] / 11));
				else if (n % 24 === 0 && missed - known_missed > 2)
					video.playbackRate = Math.max(SLOWEST, video.playbackRate * .7);
				if (n === 12 || n % 24 === 0)
					known_missed = missed;
			}
			function frame(now, about) {
				if (over)
					return;
				try {
					stop_if_old(mine);
					if (about.mediaTime > last) {
						last = about.mediaTime;
						heard = Date.now();
						grab(last);
						if (isFinite(video.duration))
							show_progress(100 * last / video.duration * .9);
						if (last > LONGEST_S)
							throw new Trouble("The film is longer than " + LONGEST_S + " seconds; cut it, or film again for 15 seconds");
						set_pace(about);
					}
				} catch (why) {
					finish(false, why);
					return;
				}
				video.requestVideoFrameCallback(frame);
			}
			watch = setInterval(function () {
				if (mine !== run)
					finish(false, null);
				else if (!document.hidden && Date.now() - heard > STALL_MS)
					finish(false);
			}, 250);
			video.addEventListener("ended", ended);
			document.addEventListener("visibilitychange", look);
			video.requestVideoFrameCallback(frame);
			video.playbackRate = 1;
			video.play().catch(function () { finish(false); });
		});
	}

	/* Without frames that say when they are: step by step. */
	function step_through(mine, grab) {
		var end = video.duration, at = 0;
		if (!isFinite(end))
			throw new Trouble(UNPLAYABLE);
		return (function go() {
			if (at >= end)
				return Promise.resolve();
			var there = next(["seeked", "error"], SEEK_MS);
			video.currentTime = at;
			return there.then(function (what) {
				stop_if_old(mine);
				if (what !== "seeked")
					throw new Trouble(UNPLAYABLE);
				grab(at);
				show_progress(100 * at / end * .9);
				at += SEEK_STEP_S;
				return go();
			});
		}());
	}

	function look_at_all(mine) {
		var grab = make_grabber();
		if (!video.requestVideoFrameCallback)
			return step_through(mine, grab);
		return play(mine, grab).then(function (whole) {
			if (whole)
				return null;
			stop_if_old(mine);
			return step_through(mine, make_grabber());
		});
	}

	/* A larger still, from a moment at which the spot is lit. */
	function take_still(mine) {
		var series = spots.length > 0 ? spots[0].series : null, when = 0, i, n = film.seconds.length, there;
		if (series)
			for (i = n >> 2; i < n; i++)
				if (series.levels[i] >= series.high - .1 * (series.high - series.low)) {
					when = film.seconds[i];
					break;
				}
		there = next(["seeked", "error"], SEEK_MS);
		video.currentTime = when + .002;
		return there.then(breathe).then(function () {
			stop_if_old(mine);
			var scale = Math.min(1, STILL_SIDE / Math.max(shape.width, shape.height));
			still = document.createElement("canvas");
			still.width = Math.max(1, Math.round(shape.width * scale));
			still.height = Math.max(1, Math.round(shape.height * scale));
			still.getContext("2d").drawImage(video, 0, 0, still.width, still.height);
		});
	}

	/* One promise after the other, to the sentence at the end. */
	function read(file) {
		var mine = ++run;
		free();
		spots = [];
		taken = null;
		by("found").hidden = true;
		by("reading").hidden = false;
		progress.value = 0;
		say("Reading the film.", "reading");
		by("reading").scrollIntoView({block: "nearest"});
		Promise.resolve().then(function () {
			return load(file);
		}).then(function () {
			stop_if_old(mine);
			shape = {width: video.videoWidth, height: video.videoHeight};
			return look_at_all(mine);
		}).then(function () {
			var n = film.seconds.length;
			stop_if_old(mine);
			if (n < FEWEST || film.seconds[n - 1] - film.seconds[0] < SHORTEST_S - .2)
				throw new Trouble("The film is too short to tell a pattern; film 15 seconds, or until the code has come three times");
			if (film.brightest < DARK)
				throw new Trouble("The film is too dark to see a lamp in it; make light, or zoom in on the lamp, and film it again");
			say("Looking for the lamp.", "reading");
			return spot.find(film, function (share) {
				stop_if_old(mine);
				show_progress(90 + 9 * share);
				return breathe();
			});
		}).then(function (found) {
			stop_if_old(mine);
			spots = found;
			return take_still(mine);
		}).then(function () {
			by("reading").hidden = true;
			free();
			show_found();
		}).catch(function (why) {
			if (mine !== run)
				return;
			by("reading").hidden = true;
			free();
			film = null;
			say(why instanceof Trouble ? why.sentence + "."
				: "The film could not be read here; try a shorter one, or count the flashes.", "failed");
		});
	}

	/* --- the spot ------------------------------------------------------------ */

	function place_words(cell) {
		var x = (cell % film.wide + .5) / film.wide, y = (Math.floor(cell / film.wide) + .5) / film.high;
		var across = x < 1 / 3 ? "left" : x > 2 / 3 ? "right" : "", down = y < 1 / 3 ? "top" : y > 2 / 3 ? "bottom" : "";
		return !across && !down ? "in the middle" : !down ? "in the middle, " + across
			: "at the " + down + (across ? " " + across : ", in the middle");
	}

	function draw_ring(pen, cells, scale) {
		var left = Infinity, right = 0, top = Infinity, bottom = 0, radius;
		cells.forEach(function (cell) {
			var x = cell % film.wide, y = Math.floor(cell / film.wide);
			left = Math.min(left, x);
			right = Math.max(right, x + 1);
			top = Math.min(top, y);
			bottom = Math.max(bottom, y + 1);
		});
		radius = Math.max(Math.hypot(right - left, bottom - top) / 2 * scale + 6, 22);
		[["#000", 9], ["#ffd100", 5]].forEach(function (line) {
			pen.beginPath();
			pen.arc((left + right) / 2 * scale, (top + bottom) / 2 * scale, radius, 0, 2 * Math.PI);
			pen.strokeStyle = line[0];
			pen.lineWidth = line[1];
			pen.stroke();
		});
	}

	function draw() {
		var pen = picture.getContext("2d");
		picture.width = STILL_SIDE;
		picture.height = Math.round(STILL_SIDE * still.height / still.width);
		pen.drawImage(still, 0, 0, picture.width, picture.height);
		if (taken)
			draw_ring(pen, taken.patch, picture.width / film.wide);
		draw_trace();
	}

	/* How bright the spot was, left to right. */
	function draw_trace() {
		var pen = trace.getContext("2d"), n = film.seconds.length, first = film.seconds[0], all = film.seconds[n - 1] - first;
		var low = Infinity, high = -Infinity, i;
		trace.hidden = !taken;
		if (!taken)
			return;
		pen.clearRect(0, 0, trace.width, trace.height);
		for (i = 0; i < n; i++) {
			low = Math.min(low, taken.series.levels[i]);
			high = Math.max(high, taken.series.levels[i]);
		}
		pen.beginPath();
		for (i = 0; i < n; i++)
			pen.lineTo(4 + (film.seconds[i] - first) / all * (trace.width - 8),
				trace.height - 6 - (taken.series.levels[i] - low) / Math.max(1, high - low) * (trace.height - 12));
		pen.strokeStyle = getComputedStyle(trace).color;
		pen.lineWidth = 3;
		pen.lineJoin = "round";
		pen.stroke();
	}

	function take(one, which) {
		var seconds = Math.round(film.seconds[film.seconds.length - 1] - film.seconds[0]);
		taken = one;
		box.value = spot.csv(film, one.series);
		by("send").hidden = false;
		by("where").textContent = which + " " + place_words(one.cell) + ". " +
			(!spot.flashes(one.series) ? "Nothing flashes there."
				: "It lights up " + (one.series.rises === 1 ? "once" : one.series.rises + " times") + " in " + seconds + " seconds.");
		draw();
	}

	function take_spot(i) {
		turn = i;
		take(spots[i], spots.length === 1 ? "The one spot that flashes," : "Spot " + (i + 1) + " of " + spots.length + ",");
	}

	function show_found() {
		by("found").hidden = false;
		by("next").hidden = spots.length < 2;
		progress.value = 100;
		document.getElementById("film-found-title").textContent = spots.length > 0
			? "Is the ring around the lamp?" : "Where is the lamp?";
		if (spots.length > 0) {
			say("Found a spot that flashes. See whether the ring is around the lamp, then read it.", "found");
			take_spot(0);
		} else {
			say("Nothing in the film flashes; touch the lamp in the picture if it does, zoom in and hold still to film it again, " +
				"or type on or off below if it is steady.", "failed");
			taken = null;
			box.value = "";
			by("send").hidden = true;
			by("where").textContent = "";
			draw();
		}
		(spots.length > 0 ? by("found") : status).scrollIntoView({block: "start"});
	}

	function point(cell, near) {
		take(spot.at(film, cell, near), "Your spot,");
	}

	picture.addEventListener("click", function (event) {
		var box = picture.getBoundingClientRect();
		var x = Math.floor((event.clientX - box.left) / box.width * film.wide);
		var y = Math.floor((event.clientY - box.top) / box.height * film.high);
		point(Math.max(0, Math.min(film.high - 1, y)) * film.wide + Math.max(0, Math.min(film.wide - 1, x)), true);
	});

	picture.addEventListener("keydown", function (event) {
		var way = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1]}[event.key];
		if (!way || event.ctrlKey || event.altKey || event.metaKey)
			return;
		event.preventDefault();
		var cell = taken ? taken.cell : (film.high >> 1) * film.wide + (film.wide >> 1);
		var x = cell % film.wide + 2 * way[0], y = Math.floor(cell / film.wide) + 2 * way[1];
		point(Math.max(0, Math.min(film.high - 1, y)) * film.wide + Math.max(0, Math.min(film.wide - 1, x)), false);
	});

	by("next").addEventListener("click", function () {
		take_spot((turn + 1) % spots.length);
	});

	by("send").addEventListener("click", function () {
		if (taken)
			box.value = spot.csv(film, taken.series);
	});

	by("stop").addEventListener("click", function () {
		run++;
		free();
		film = null;
		by("reading").hidden = true;
		say("Stopped; nothing was read.", "stopped");
		by("file").focus();
	});

	["file", "take"].forEach(function (id) {
		by(id).addEventListener("change", function () {
			var file = this.files[0];
			if (!file)
				return;
			read(file);
			/* So that the same film may be chosen again. */
			this.value = "";
		});
	});

	window.addEventListener("pagehide", function (event) {
		if (!event.persisted && address !== null)
			URL.revokeObjectURL(address);
	});

	/* The line that could not be read, where the page came back with one. */
	if (box.dataset.line) {
		var lines = box.value.split("\n"), n = Number(box.dataset.line) - 1;
		if (n < lines.length) {
			var start = lines.slice(0, n).join("\n").length + (n > 0 ? 1 : 0);
			box.setSelectionRange(start, start + lines[n].length);
		}
	}
}());
