/* Finds the lamp in a film. Each frame comes in as a small picture; what is
 * kept is how bright its cells were, so that any spot can be looked at later
 * without the film. Knows nothing of the page: that is film.js. */
(function () {
	"use strict";

	var CELL = 2;			/* pixels, each way */
	var BYTES_MAX = 90e6, FRAMES_MAX = 8000, BLOCK = 64;
	var SPOTS_MAX = 5, TRIES_MAX = 24;	/* spots shown, and looked at */
	var SCORE_MIN = .3;		/* of the swing, where it is a lamp */
	var SWING_MIN = 4;		/* levels of 255 that a change has at least */
	var BINS = 512, ZERO = 128;	/* of a histogram; levels may leave 0-255 */

	function limit(value, low, high) {
		return value < low ? low : value > high ? high : value;
	}

	function median(list) {
		var sorted = Float64Array.from(list).sort();
		return sorted.length === 0 ? 0 : sorted[sorted.length >> 1];
	}

	/* --- what is kept ------------------------------------------------- */

	function Film(width, height) {
		this.wide = Math.floor(width / CELL);
		this.high = Math.floor(height / CELL);
		this.width = width;
		this.cells = this.wide * this.high;
		this.most = Math.min(FRAMES_MAX, Math.floor(BYTES_MAX / (3 * this.cells)));
		this.seconds = [];
		this.blocks = [];
		this.brightest = 0;
	}

	Film.prototype.is_full = function () {
		return this.seconds.length >= this.most;
	};

	/* A frame as the canvas gives it: red, green, blue and opacity in turn. */
	Film.prototype.add = function (seconds, pixels) {
		var n = this.seconds.length, x, y, c, i, k, block, to, row = 4 * this.width;
		if (n % BLOCK === 0)
			this.blocks.push(new Uint8Array(BLOCK * 3 * this.cells));
		block = this.blocks[this.blocks.length - 1];
		to = (n % BLOCK) * 3 * this.cells;
		for (y = 0, c = 0; y < this.high; y++)
			for (x = 0; x < this.wide; x++, c++) {
				i = y * CELL * row + 4 * CELL * x;
				for (k = 0; k < 3; k++, i++, to++) {
					block[to] = (pixels[i] + pixels[i + 4] + pixels[i + row] + pixels[i + row + 4] + 2) >> 2;
					if (block[to] > this.brightest)
						this.brightest = block[to];
				}
			}
		this.seconds.push(seconds);
	};

	/* How bright cells were in one colour (0-2), on average, in every frame. */
	Film.prototype.levels = function (cells, colour, out) {
		var count = this.seconds.length, f, j, sum, block, at;
		for (f = 0; f < count; f++) {
			block = this.blocks[Math.floor(f / BLOCK)];
			at = (f % BLOCK) * 3 * this.cells + colour;
			for (j = 0, sum = 0; j < cells.length; j++)
				sum += block[at + 3 * cells[j]];
			out[f] = sum / cells.length;
		}
		return out;
	};

	/* The cells within some steps of one. */
	Film.prototype.around = function (cell, steps) {
		var x = cell % this.wide, y = Math.floor(cell / this.wide), found = [], i, j;
		for (j = Math.max(0, y - steps); j <= Math.min(this.high - 1, y + steps); j++)
			for (i = Math.max(0, x - steps); i <= Math.min(this.wide - 1, x + steps); i++)
				found.push(j * this.wide + i);
		return found;
	};

	/* --- what the whole frame does ------------------------------------ */

	/* Cameras move their exposure, and all of the picture with it. What the
	 * frame has in common is a line, level = gain * usual level + shift, laid
	 * through the medians of its dark and of its bright cells. Where the
	 * picture has no contrast to see a gain by, it is a shift alone. */
	Film.prototype.settle = function () {
		var count = this.seconds.length, step = Math.max(1, Math.floor(this.cells / 600));
		var every = Math.max(1, Math.floor(count / 60)), c, f, k, usual = [], values, self = this;
		var gain = new Float32Array(count).fill(1), shift = new Float32Array(count);
		var lone = new Float32Array(count), dark, bright, dark_usual, contrast, low;

		function usually(one) { return one.level; }
		function now(one) { return self.luma(f, one.cell); }

		for (c = 0; c < this.cells; c += step) {
			for (values = [], f = 0; f < count; f += every)
				values.push(this.luma(f, c));
			k = median(values);
			if (k > 8 && k < 235)
				usual.push({cell: c, level: k});
		}
		this.common = {gain: gain, shift: shift, lone: lone, has_gain: false};
		if (usual.length < 30)
			return;
		usual.sort(function (a, b) { return a.level - b.level; });
		k = Math.floor(usual.length / 3);
		dark = usual.slice(0, k);
		bright = usual.slice(-k);
		dark_usual = median(dark.map(usually));
		contrast = median(bright.map(usually)) - dark_usual;
		this.common.has_gain = contrast >= 50;
		for (f = 0; f < count; f++) {
			lone[f] = median(usual.map(function (u) { return self.luma(f, u.cell) - u.level; }));
			if (!this.common.has_gain)
				continue;
			low = median(dark.map(now));
			gain[f] = limit((median(bright.map(now)) - low) / contrast, .4, 2.5);
			shift[f] = low - gain[f] * dark_usual;
		}
		if (!this.common.has_gain)
			shift.set(lone);
	};

	Film.prototype.luma = function (frame, cell) {
		var block = this.blocks[Math.floor(frame / BLOCK)], at = ((frame % BLOCK) * this.cells + cell) * 3;
		return (2 * block[at] + 5 * block[at + 1] + block[at + 2]) / 8;
	};

	function without(common, levels, kind, out) {
		for (var f = 0; f < levels.length; f++)
			out[f] = kind === "raw" ? levels[f]
				: kind === "shift" ? levels[f] - common.lone[f]
				: (levels[f] - common.shift[f]) / common.gain[f];
		return out;
	}

	/* --- what a flashing lamp looks like -------------------------------- */

	/* The split of a histogram into a dark and a bright part that leaves the
	 * least spread within them (N. Otsu, IEEE Trans. SMC 9(1), 1979). */
	function split(bins, count) {
		var i, sum = 0, squares = 0, below = 0, sum_below = 0, best = 0, all, spread, cut = null;
		for (i = 0; i < BINS; i++) {
			sum += i * bins[i];
			squares += i * i * bins[i];
		}
		all = sum / count;
		spread = squares / count - all * all;
		for (i = 0; i < BINS - 1; i++) {
			below += bins[i];
			sum_below += i * bins[i];
			if (below === 0 || below === count)
				continue;
			var low = sum_below / below, high = (sum - sum_below) / (count - below);
			var between = below / count * (1 - below / count) * (high - low) * (high - low);
			if (between > best) {
				best = between;
				cut = {low: low - ZERO, high: high - ZERO};
			}
		}
		if (!cut || spread <= 0)
			return {low: 0, high: 0, share: 0, within: 0};
		/* Levels were rounded to whole numbers: 1/12 of that is spread. */
		cut.share = best / spread;
		cut.within = Math.sqrt(Math.max(spread - best, 1 / 12));
		return cut;
	}

	var bins = new Uint32Array(BINS), steps = new Uint32Array(BINS);

	function fill(levels) {
		var f, last = -1, bin;
		bins.fill(0);
		steps.fill(0);
		for (f = 0; f < levels.length; f++) {
			bin = limit(Math.round(levels[f]) + ZERO, 0, BINS - 1);
			bins[bin]++;
			if (f > 0)
				steps[Math.min(BINS - 1, Math.round(4 * Math.abs(levels[f] - last)))]++;
			last = levels[f];
		}
	}

	function quantile(counts, share, total) {
		var i, seen = 0;
		for (i = 0; i < counts.length; i++) {
			seen += counts[i];
			if (seen > share * total)
				return i;
		}
		return counts.length - 1;
	}

	/* How much a series is like a lamp that flashes: the swing between its
	 * high and its low levels beyond what noise makes, times how well two
	 * levels say all of it, times how much of the change comes in jumps. Noise
	 * has no two levels, and what moves or drifts has no jumps. */
	function score(levels) {
		var n = levels.length, swing, noise, cut, f, d, jumps = 0, all = 0;
		fill(levels);
		swing = quantile(bins, .975, n) - quantile(bins, .025, n);
		if (swing < SWING_MIN)
			return 0;
		noise = quantile(steps, .3, n - 1) / 4 / .545;
		swing = Math.min(255, swing) - 4.2 * Math.min(noise, swing / 8);
		if (swing < SWING_MIN)
			return 0;
		cut = split(bins, n);
		for (f = 2; f < n; f++) {
			d = Math.abs(levels[f] - levels[f - 2]);
			all += d;
			if (d > .5 * (cut.high - cut.low))
				jumps += d;
		}
		return all === 0 ? 0 : swing * limit((cut.share - .68) / .2, 0, 1) * limit(2.5 * jumps / all, 0, 1);
	}

	function likeness(a, b) {
		var n = a.length, f, sa = 0, sb = 0, aa = 0, bb = 0, ab = 0, spread;
		for (f = 0; f < n; f++) {
			sa += a[f];
			sb += b[f];
			aa += a[f] * a[f];
			bb += b[f] * b[f];
			ab += a[f] * b[f];
		}
		spread = (aa - sa * sa / n) * (bb - sb * sb / n);
		return spread <= 0 ? 0 : (ab - sa * sb / n) / Math.sqrt(spread);
	}

	function swing_of(levels) {
		fill(levels);
		return quantile(bins, .975, levels.length) - quantile(bins, .025, levels.length);
	}

	/* --- spots ---------------------------------------------------------- */

	/* Score the cells, `reach` neighbours taken together, every `step`th. */
	function score_cells(film, reach, kind, rest) {
		var levels = new Float32Array(film.seconds.length), settled = new Float32Array(levels.length);
		var scores = new Float32Array(film.cells), colours = new Uint8Array(film.cells), step = reach + 1;
		var y = 0;

		function row() {
			var x, colour, cell, value, cells;
			for (x = 0; x < film.wide; x += step) {
				cell = y * film.wide + x;
				cells = film.around(cell, reach);
				for (colour = 0; colour < 3; colour++) {
					value = score(without(film.common, film.levels(cells, colour, levels), kind, settled));
					if (value > scores[cell]) {
						scores[cell] = value;
						colours[cell] = colour;
					}
				}
			}
		}
		return (function go() {
			var until = Date.now() + 40;
			for (; y < film.high && Date.now() < until; y += step)
				row();
			return y >= film.high ? Promise.resolve({scores: scores, colours: colours, kind: kind, reach: reach})
				: rest(y / film.high).then(go);
		}());
	}

	/* A cell that stands alone counts less than one among others. */
	function smooth(film, scores) {
		var out = new Float32Array(film.cells), c, around, j;
		for (c = 0; c < film.cells; c++) {
			if (scores[c] === 0)
				continue;
			for (around = film.around(c, 1), j = 0; j < around.length; j++)
				out[c] += scores[around[j]];
			out[c] += 2 * scores[c];
		}
		return out;
	}

	/* The cells around one that change along with it: those that swing enough
	 * to be the lamp, and those that are only lit by it. */
	function grow(film, seed, map) {
		var levels = new Float32Array(film.seconds.length), own, taken = {}, lit = [], patch = [], colour = map.colours[seed];
		var queue = [seed], most = film.cells * .4, full, cell;

		function at(c) {
			return without(film.common, film.levels(film.around(c, map.reach), colour, levels), map.kind, new Float32Array(levels.length));
		}
		own = at(seed);
		full = swing_of(own);
		taken[seed] = true;
		while (queue.length > 0 && lit.length < most) {
			cell = queue.shift();
			var its = cell === seed ? own : at(cell), swing = swing_of(its);
			if (swing < SWING_MIN - 1 || likeness(own, its) < .5)
				continue;
			lit.push(cell);
			if (swing > .3 * full)
				patch.push(cell);
			film.around(cell, 1).forEach(function (next) {
				if (!taken[next]) {
					taken[next] = true;
					queue.push(next);
				}
			});
		}
		return {patch: patch.length > 0 ? patch : [seed], lit: lit};
	}

	/* Those that flash as a whole, the best first. What moves through the
	 * picture changes one cell after the other, and the patch as a whole by
	 * and by: its cells score, and the patch does not. */
	function pick(film, map) {
		var worth = smooth(film, map.scores), best = 0, tries = 0, spots = [], c, seed, found, spot;
		while (tries++ < TRIES_MAX) {
			for (seed = 0, c = 1; c < film.cells; c++)
				if (worth[c] > worth[seed])
					seed = c;
			if (worth[seed] <= 0 || worth[seed] < .06 * best)
				break;
			best = best || worth[seed];
			film.around(seed, 1).forEach(function (next) {
				if (map.scores[next] > map.scores[seed] && worth[next] > 0)
					seed = next;
			});
			found = grow(film, seed, map);
			spot = read(film, seed, found.patch);
			spot.score = score(spot.series.levels);
			if (flashes(spot.series) && spot.score >= SCORE_MIN * spot.series.swing)
				spots.push(spot);
			spot.score *= Math.min(spot.series.worth, 30);
			found.lit.concat(seed).forEach(function (cell) {
				film.around(cell, 2).forEach(function (next) { worth[next] = 0; });
			});
		}
		spots.sort(function (a, b) { return b.score - a.score; });
		return spots.filter(function (one, i) { return i < SPOTS_MAX && one.score > .06 * spots[0].score; });
	}

	/* The spot around a cell. In a hand that shakes the lamp leaves its cells
	 * now and then; with a margin around them it stays in. */
	function read(film, seed, patch) {
		var inside = {}, wider = [], closer = read_patch(film, patch), series;
		patch.forEach(function (cell) {
			film.around(cell, 1).forEach(function (next) {
				if (!inside[next])
					wider.push(next);
				inside[next] = true;
			});
		});
		series = read_patch(film, wider);
		return {cell: seed, patch: patch, series: series.worth > 1.05 * closer.worth ? series : closer};
	}

	/* The level of a patch: of each colour, with and without what the whole
	 * frame does, the one that two levels say best. One that goes down as the
	 * light goes up is none. */
	function read_patch(film, patch) {
		var n = film.seconds.length, best = null, luma = new Float32Array(n), colours = [];
		var colour, f;
		for (colour = 0; colour < 3; colour++) {
			colours.push(film.levels(patch, colour, new Float32Array(n)));
			for (f = 0; f < n; f++)
				luma[f] += colours[colour][f] * [2, 5, 1][colour] / 8;
		}
		colours.push(luma);
		colours.forEach(function (levels) {
			["raw", "shift", "gain"].forEach(function (kind) {
				if (kind === "gain" && !film.common.has_gain)
					return;
				var its = without(film.common, levels, kind, new Float32Array(n)), cut, worth;
				fill(its);
				cut = split(bins, n);
				worth = cut.high - cut.low < 2 || likeness(its, luma) < 0 ? 0 : (cut.high - cut.low) / cut.within;
				if (!best || worth > 1.05 * best.worth)
					best = {levels: its, worth: worth, low: cut.low, high: cut.high};
			});
		});
		best.swing = swing_of(best.levels);
		best.rises = rises(best);
		return best;
	}

	/* How often it goes from dark to lit. */
	function rises(series) {
		var on = null, count = 0, swing = series.high - series.low, f;
		if (swing < 2)
			return 0;
		for (f = 0; f < series.levels.length; f++)
			if (series.levels[f] > series.low + .6 * swing) {
				if (on === false)
					count++;
				on = true;
			} else if (series.levels[f] < series.low + .4 * swing) {
				on = false;
			}
		return count;
	}

	/* Whether a series is worth calling a lamp that flashes. Noise cut in two
	 * is worth 2.7 (both halves of a bell), and more where there are few
	 * frames and the best of many cells was taken. */
	function flashes(series) {
		return series.swing >= SWING_MIN && series.rises > 0 && series.worth >= 3.2 + 14 / Math.sqrt(series.levels.length);
	}

	/*
	 * Find the spots that flash, the likeliest first. `rest(share)` gives the
	 * page time to draw; what it returns is waited for. Small lamps show in
	 * cells by themselves; faint ones only where some are taken together.
	 */
	function find(film, rest) {
		film.settle();
		var ways = [[0, "gain"], [1, "gain"], [1, "raw"]];

		function attempt(i) {
			return score_cells(film, ways[i][0], ways[i][1], rest).then(function (map) {
				var spots = pick(film, map);
				film.map = film.map || map;
				if (spots.length > 0)
					film.map = map;
				return spots.length > 0 || i + 1 === ways.length ? spots : attempt(i + 1);
			});
		}
		return attempt(0);
	}

	/* The spot at a cell that somebody points at; `near`: the lamp may be a
	 * little beside it. */
	function at(film, cell, near) {
		var seed = cell, patch;
		if (near)
			film.around(cell, 2).forEach(function (next) {
				if (film.map.scores[next] > film.map.scores[seed])
					seed = next;
			});
		patch = film.map.scores[seed] > 0 ? grow(film, seed, film.map).patch : film.around(seed, 1);
		return read(film, seed, patch);
	}

	/* Lines of seconds and level, to a tenth of a millisecond and a hundredth
	 * of a level: closer than any camera is. */
	function csv(film, series) {
		var lines = ["seconds,level"], f;
		for (f = 0; f < film.seconds.length; f++)
			lines.push(Number(film.seconds[f].toFixed(4)) + "," + Number(series.levels[f].toFixed(2)));
		return lines.join("\n") + "\n";
	}

	var root = typeof window === "undefined" ? globalThis : window;
	root.lampwright = root.lampwright || {};
	root.lampwright.spot = {Film: Film, CELL: CELL, find: find, at: at, csv: csv, flashes: flashes};
}());
