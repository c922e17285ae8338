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
	double spread2; /* variance */
	double weight;	/* how well it was expected, logarithm */
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

/* The edge between samples i - 1 and i, where each sees an exposure. */
static struct edge
place(const struct segment_room *room, const struct segment_series *series,
    const struct segment_model *model, size_t i, double exposure_s)
{
	const double *seconds = series->seconds;
	double from = seconds[i - 1] - exposure_s / 2;
	double to = seconds[i] + exposure_s / 2, wide = to - from;
	double sum = 0, first = 0, second = 0;
	bool rises = room->states[i] != 0;
	double swing = room->swing[i];
	struct edge edge;
	int p, k;

	if (!(swing > 0))
		swing = model->swing;
	for (p = 0; p < PLACES; p++) {
		double part = (p + 0.5) / PLACES, odd = 0, weight;

		for (k = 0; k < 2; k++) {
			size_t s = i - 1 + (size_t)k;
			double share = share_after(
			    seconds[s], exposure_s, from + part * wide);
			double lit = rises ? share : 1 - share;
			double spread = model->spread[room->states[s]];
			double off =
			    (series->levels[s] - room->base[s] - lit * swing) /
			    spread;

			off = 0.5 * off * off;
			odd += off < ODD ? off : ODD;
		}
		weight = exp(-odd);
		sum += weight;
		first += weight * part;
		second += weight * part * part;
	}
	first /= sum;
	second = second / sum - first * first + 1.0 / (12 * PLACES * PLACES);
	edge.at_s = from + first * wide;
	edge.spread2 = second * wide * wide;
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
	double before2 = 0;
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
		run[n].spread_s = sqrt(before2 + edge.spread2);
		before2 = edge.spread2;
		n++;
		run[n].from_s = edge.at_s;
		run[n].on = room->states[i] != 0;
	}
	run[n].to_s = to_s;
	run[n].spread_s = sqrt(before2);
	runs->runs = run;
	runs->count = n + 1;
	return LW_OK;
}
