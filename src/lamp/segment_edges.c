/* Where between two samples the lamp came on or went out, from levels between
 * dark and lit (film exposes a frame for a while). Which samples are lit is
 * decided by others. */
#include "lamp/segment.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>

/* No level counts against a place more than this, in nats. */
#define ODD 5.5

enum { PLACES = 24, TRIED = 2000, EXPOSURES = 5 };

struct edge {
	double at_s;
	double spread_s; /* standard deviation */
	double weight;	 /* how well it was expected, logarithm */
};

/* Share of a sample's exposure that is after a moment. */
static double
share_after(double seconds, double exposure_s, double moment)
{
	double share;

	if (exposure_s <= 0)
		return seconds > moment ? 1 : 0;
	share = (seconds - moment) / exposure_s + 0.5;
	return share < 0 ? 0 : share > 1 ? 1 : share;
}

/* The samples that may say where the edge before sample i is: those beside
 * it, and one more on each side where that is of the same run. */
struct window {
	size_t first;
	size_t last;
	double from_s;
	double wide_s;
};

static struct window
look_about(const struct segment_room *room, const struct segment_series *series,
    size_t i, double exposure_s)
{
	const double *t = series->seconds;
	const unsigned char *states = room->states;
	struct window window = {i - 1, i, 0, 0};
	double to_s = t[i] + exposure_s / 2;

	window.from_s = t[i - 1] - exposure_s / 2;
	if (i > 1 && states[i - 2] == states[i - 1]) {
		window.first = i - 2;
		window.from_s = t[i - 2];
	}
	if (i + 1 < series->count && states[i + 1] == states[i]) {
		window.last = i + 1;
		to_s = t[i + 1];
	}
	window.wide_s = to_s - window.from_s;
	return window;
}

/* What the levels of a window have against an edge at a moment. */
static double
doubt(const struct segment_room *room, const struct segment_series *series,
    const struct segment_model *model, const struct window *window,
    double moment, double exposure_s)
{
	bool rises = room->states[window->last] != 0;
	double sum = 0;
	size_t s;

	for (s = window->first; s <= window->last; s++) {
		double share =
		    share_after(series->seconds[s], exposure_s, moment);
		double lit = rises ? share : 1 - share;
		double spread =
		    lit * model->spread[1] + (1 - lit) * model->spread[0];
		double off =
		    (series->levels[s] - room->base[s] - lit * room->swing[s]) /
		    spread;

		off = 0.5 * off * off;
		sum += off < ODD ? off : ODD;
	}
	return sum;
}

/* The edge before sample i, where each sample sees an exposure. */
static struct edge
place(const struct segment_room *room, const struct segment_series *series,
    const struct segment_model *model, size_t i, double exposure_s)
{
	struct window window = look_about(room, series, i, exposure_s);
	double sum = 0, first = 0, second = 0;
	struct edge edge;
	int p;

	for (p = 0; p < PLACES; p++) {
		double part = (p + 0.5) / PLACES;
		double weight = exp(-doubt(room, series, model, &window,
		    window.from_s + part * window.wide_s, exposure_s));

		sum += weight;
		first += weight * part;
		second += weight * part * part;
	}
	first /= sum;
	second = second / sum - first * first + 1.0 / (12 * PLACES * PLACES);
	edge.at_s = window.from_s + first * window.wide_s;
	edge.spread_s = sqrt(second) * window.wide_s;
	edge.weight = log(sum / PLACES);
	return edge;
}

/* The exposure that explains the levels at the edges best. */
static double
find_exposure(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model)
{
	double sums[EXPOSURES] = {0};
	size_t i, tried = 0;
	int e, best = 0;

	if (series->bins)
		return series->step_s;
	for (i = 1; i < series->count && tried < TRIED; i++) {
		if (room->states[i] == room->states[i - 1])
			continue;
		tried++;
		for (e = 0; e < EXPOSURES; e++)
			sums[e] += place(room, series, model, i,
			    series->step_s * e / (EXPOSURES - 1))
				       .weight;
	}
	for (e = 1; e < EXPOSURES; e++)
		best = sums[e] > sums[best] ? e : best;
	return series->step_s * best / (EXPOSURES - 1);
}

enum lw_status
segment_runs(struct lamp_runs *runs, struct lw_arena *arena,
    const struct segment_room *room, const struct segment_series *series,
    const struct segment_model *model, double from_s, double to_s,
    struct lw_err *err)
{
	double exposure_s = find_exposure(room, series, model);
	double before_s = 0;
	struct lamp_run *run;
	size_t i, n = 1;

	for (i = 1; i < series->count; i++)
		n += room->states[i] != room->states[i - 1];
	run = arena_array(arena, n, sizeof *run);
	if (run == NULL)
		return err_no_memory(err);
	run[0].from_s = from_s;
	run[0].on = room->states[0] != 0;
	for (i = 1, n = 0; i < series->count; i++) {
		struct edge edge;

		if (room->states[i] == room->states[i - 1])
			continue;
		edge = place(room, series, model, i, exposure_s);
		/* Two edges beside the same sample may not cross. */
		if (edge.at_s <= run[n].from_s)
			edge.at_s = run[n].from_s +
				    1e-3 * (series->seconds[i] - run[n].from_s);
		run[n].to_s = edge.at_s;
		run[n].spread_s = hypot(before_s, edge.spread_s);
		before_s = edge.spread_s;
		n++;
		run[n].from_s = edge.at_s;
		run[n].on = room->states[i] != 0;
	}
	run[n].to_s = to_s;
	run[n].spread_s = before_s;
	runs->runs = run;
	runs->count = n + 1;
	return LW_OK;
}
