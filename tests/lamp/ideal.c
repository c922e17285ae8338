/* The ideal observer. Of levels: the likeliest way through a semi-Markov model
 * whose lengths are known (S.-Z. Yu: Hidden semi-Markov models, Artificial
 * Intelligence 174, 2010), on a grid of quarters of a frame. Of taps: least
 * squares against the onsets from any flash on. */
#include "lamp/ideal.h"

#include "lamp/canonical.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { NEAR_MAX = 128, FINE = 4, PARTS_MAX = 256 };

#define FAR (-1e300)

/* What may be shown: its stretches in turn, the first one lit. */
struct shape {
	double s[PARTS_MAX];
	size_t count;
};

struct near {
	struct canonical items[NEAR_MAX];
	size_t count;
};

/* Sums of the likelihoods of the frames before each frame, for dark, half lit
 * and lit. */
struct sums {
	double *of[3];
	size_t moments;
	size_t frames;
};

static void
keep(struct near *near, const struct canonical *one)
{
	struct lw_pattern pattern, other;
	size_t i;

	if (near->count == NEAR_MAX || !canonical_write(&pattern, one))
		return;
	for (i = 0; i < near->count; i++)
		if (canonical_write(&other, &near->items[i]) &&
		    strcmp(pattern.text, other.text) == 0)
			return;
	near->items[near->count++] = *one;
}

/* A flash more or less in group `at`, or flash `at` of the other length. */
static void
change(struct near *near, const struct canonical *from, size_t code, size_t at)
{
	struct canonical one = *from;
	struct code *its = &one.lamps[0].codes[code];

	its->runs[at].flashes++;
	keep(near, &one);
	if (its->runs[at].flashes > 2) {
		its->runs[at].flashes -= 2;
		keep(near, &one);
	}
	one = *from;
	if (its->coding == LW_CODING_LONG_SHORT) {
		its->runs[at].longer = !its->runs[at].longer;
		keep(near, &one);
	}
}

/* The pattern itself first. */
static void
gather(struct near *near, const struct canonical *from)
{
	const struct shown *shown = &from->lamps[0];
	struct canonical one;
	size_t i, k;

	near->count = 0;
	keep(near, from);
	for (i = 0; i < shown->count; i++)
		for (k = 0; k < shown->codes[i].count; k++)
			change(near, from, i, k);
	if (shown->count > 1) {
		for (i = 0; i < shown->count; i++) {
			one = *from;
			one.lamps[0].count = 1;
			one.lamps[0].codes[0] = shown->codes[i];
			keep(near, &one);
		}
	} else if (shown->codes[0].coding == LW_CODING_DIGITS) {
		/* The groups as one. */
		one = *from;
		for (k = 1; k < shown->codes[0].count; k++)
			one.lamps[0].codes[0].runs[0].flashes +=
			    shown->codes[0].runs[k].flashes;
		one.lamps[0].codes[0].count = 1;
		one.lamps[0].codes[0].coding = LW_CODING_COUNT;
		keep(near, &one);
	}
}

static void
shape(struct shape *to, const struct canonical *from, const struct making *how)
{
	const struct shown *shown = &from->lamps[0];
	size_t i, k, n = 0;
	unsigned f;

	for (i = 0; i < shown->count; i++)
		for (k = 0; k < shown->codes[i].count; k++) {
			const struct code *code = &shown->codes[i];
			bool letters = code->coding == LW_CODING_LONG_SHORT;
			double dark = letters && how->between_s > 0
					  ? how->between_s
				      : letters ? how->gap_s
						: how->group_gap_s;

			if (k + 1 == code->count)
				dark = how->pause_s;
			for (f = 0;
			     f < code->runs[k].flashes && n + 2 <= PARTS_MAX;
			     f++) {
				bool last = f + 1 == code->runs[k].flashes;

				to->s[n++] = letters && code->runs[k].longer
						 ? how->long_s
						 : how->on_s;
				to->s[n++] = last ? dark : how->gap_s;
			}
		}
	to->count = n;
}

/* --- levels ----------------------------------------------------------------
 */

static bool
sum_up(struct sums *sums, const struct made *made, const struct making *how)
{
	const struct lw_series *series = &made->series;
	double step = 1 / how->frame_hz, sd = fmax(how->noise, 0.1);
	size_t frames = (size_t)(made->until_s / step) + 2, i, k;

	sums->frames = frames;
	sums->moments = frames * FINE;
	for (k = 0; k < 3; k++)
		if ((sums->of[k] = calloc(frames + 1, sizeof(double))) == NULL)
			return false;
	for (i = 0; i < series->count; i++) {
		size_t frame = (size_t)(series->seconds[i] / step + 0.5);
		double level = (made->levels[i] - how->dark) / how->swing;

		for (k = 0; k < 3 && frame < frames; k++) {
			double off = (level - 0.5 * (double)k) / sd;

			sums->of[k][frame + 1] = -off * off / 2;
		}
	}
	for (k = 0; k < 3; k++)
		for (i = 0; i < frames; i++)
			sums->of[k][i + 1] += sums->of[k][i];
	return true;
}

/* A stretch from a moment to another: the frames that are exposed within it
 * alone, and the one that is cut at its end. */
static double
stretch(const struct sums *sums, size_t from, size_t to, bool on)
{
	size_t first = (from + FINE - 1) / FINE, end = (to + FINE - 2) / FINE;
	double sum = 0;

	if (end > sums->frames)
		end = sums->frames;
	if (end > first)
		sum = sums->of[on ? 2 : 0][end] - sums->of[on ? 2 : 0][first];
	if (to % FINE == 1 && to / FINE < sums->frames)
		sum += sums->of[1][to / FINE + 1] - sums->of[1][to / FINE];
	return sum;
}

static double
likely_light(const struct sums *sums, const struct shape *shape,
    const struct making *how)
{
	size_t parts = shape->count, all = sums->moments, t, d, p, next;
	double *best = malloc(all * parts * sizeof *best), most = FAR;

	if (best == NULL)
		return FAR;
	for (t = 0; t < all * parts; t++)
		best[t] = FAR;
	/* It begins anywhere within any part. */
	for (p = 0; p < parts; p++) {
		double mean = shape->s[p] * how->frame_hz * FINE;

		next = (p + 1) % parts;
		for (t = 0; t < all && (double)t < mean * 1.1; t++)
			best[t * parts + next] = fmax(best[t * parts + next],
			    stretch(sums, 0, t, p % 2 == 0));
	}
	for (t = 0; t < all; t++)
		for (p = 0; p < parts; p++) {
			double mean = shape->s[p] * how->frame_hz * FINE;
			double sd = fmax(0.6, mean * how->jitter), off, sum;
			double from = fmax(1, mean - 4 * sd);
			double now = best[t * parts + p];

			if (now <= FAR)
				continue;
			next = (p + 1) % parts;
			if ((double)(all - t) < mean + 4 * sd)
				most = fmax(most,
				    now + stretch(sums, t, all, p % 2 == 0));
			for (d = (size_t)from;
			     (double)d < mean + 4 * sd + 1 && t + d < all;
			     d++) {
				off = ((double)d - mean) / sd;
				sum = now - off * off / 2 - log(sd) +
				      stretch(sums, t, t + d, p % 2 == 0);
				if (sum > best[(t + d) * parts + next])
					best[(t + d) * parts + next] = sum;
			}
		}
	free(best);
	return most;
}

/* --- taps ------------------------------------------------------------------
 */

static double
likely_taps(const struct made *made, const struct shape *shape,
    const struct making *how)
{
	size_t count = made->series.count, first, i, at;
	double most = FAR;

	for (first = 0; first < shape->count; first += 2) {
		double onset = 0, sum = 0, squares = 0, off, likely;

		for (i = 0, at = first; i < count; i++) {
			off = made->seconds[i] - onset;
			sum += off;
			squares += off * off;
			onset += shape->s[at] + shape->s[at + 1];
			at = (at + 2) % shape->count;
		}
		likely = -(squares - sum * sum / (double)count) /
			 (2 * how->spread_s * how->spread_s);
		/* No tap came where the next one would have stood. */
		if (sum / (double)count + onset <
		    made->until_s - 4 * how->spread_s)
			likely -= 1e3;
		most = fmax(most, likely);
	}
	return most;
}

bool
ideal_tells(const struct made *made, const struct making *how)
{
	struct canonical *from = calloc(1, sizeof *from);
	struct near *near = calloc(1, sizeof *near);
	struct shape *its = calloc(1, sizeof *its);
	struct sums sums = {{0}, 0, 0};
	double likely, shown = FAR;
	bool tells = false, taps = made->series.lamp_count == 0;
	size_t i;

	if (from == NULL || near == NULL || its == NULL ||
	    !canonical_parse(from, how->pattern) ||
	    (!taps && !sum_up(&sums, made, how)))
		goto out;
	gather(near, from);
	tells = true;
	for (i = 0; i < near->count && tells; i++) {
		shape(its, &near->items[i], how);
		likely = taps ? likely_taps(made, its, how)
			      : likely_light(&sums, its, how);
		if (i == 0)
			shown = likely;
		else
			tells = likely < shown;
	}
out:
	for (i = 0; i < 3; i++)
		free(sums.of[i]);
	free(from);
	free(near);
	free(its);
	return tells;
}
