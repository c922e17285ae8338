/* How large the swing, the noise and the drift of a series are, and how well
 * one level and two explain it. Which of them is true is decided elsewhere. */
#include "lamp/segment.h"

#include <math.h>
#include <string.h>

enum { SWINGS = 6, ROUNDS = 3, DRIFTS = 6 };

static double
between(double x, double low, double high)
{
	return x < low ? low : x > high ? high : x;
}

static double
middle_of_three(double a, double b, double c)
{
	return a < b ? between(c, a, b) : between(c, b, a);
}

/* From the lowest to the highest, without what one sample alone reaches. */
static double
find_range(const struct segment_series *series)
{
	const double *y = series->levels;
	double low, high;
	size_t i;

	low = high = middle_of_three(y[0], y[1], y[2]);
	for (i = 2; i + 1 < series->count; i++) {
		double m = middle_of_three(y[i - 1], y[i], y[i + 1]);

		low = m < low ? m : low;
		high = m > high ? m : high;
	}
	return high - low;
}

/* The noise of one sample: from what differs between neighbours, the smaller
 * half of it, so that edges do not count. */
static double
find_noise(const struct segment_series *series, double *spare)
{
	size_t i, n = series->count - 1;

	for (i = 0; i < n; i++)
		spare[i] = fabs(series->levels[i + 1] - series->levels[i]);
	/* 0.4 of |N(0, 2)| lie below 0.5244 * sqrt(2). */
	return segment_rank(spare, n, n * 2 / 5) / 0.7416;
}

void
segment_measure(struct segment_scale *scale,
    const struct segment_series *series, double *spare)
{
	scale->range = find_range(series);
	scale->least = scale->range / 300;
	scale->noise = find_noise(series, spare);
	if (scale->noise < scale->least)
		scale->noise = scale->least;
}

/* What the changes of a path cost. */
static double
cost_of_changes(
    const struct segment_series *series, const unsigned char *states)
{
	double cost = 0;
	size_t i;

	for (i = 1; i < series->count; i++)
		if (states[i] != states[i - 1])
			cost += segment_cost(
			    series->seconds[i] - series->seconds[i - 1],
			    series->step_s);
	return cost;
}

/* Spreads about the levels that were followed, odd samples cut. */
static void
find_spreads(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, double least)
{
	double sum[2] = {0}, many[2] = {0}, whole;
	size_t i;
	int x;

	for (i = 0; i < series->count; i++) {
		double off, most;

		x = room->states[i];
		off = series->levels[i] - room->base[i] -
		      (x ? room->swing[i] : 0);
		most = 3.3 * model->spread[x];
		off = fabs(off) < most ? off : most;
		sum[x] += off * off;
		many[x]++;
	}
	whole = (sum[0] + sum[1]) / (many[0] + many[1]);
	for (x = 0; x < 2; x++) {
		/* Few samples: as the others. */
		double spread = sqrt((sum[x] + 6 * whole) / (many[x] + 6));

		model->spread[x] = spread > least ? spread : least;
	}
}

/* The swing that the levels were followed to, on the whole. */
static double
mean_swing(const struct segment_room *room, size_t count)
{
	double sum = 0;
	size_t i;

	for (i = 0; i < count; i++)
		sum += room->swing[i];
	return sum / (double)count;
}

/* Fit drift and spreads to given states; returns what all costs. */
static double
fit(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, double least)
{
	static const double drifts[DRIFTS] = {1e-6, 1e-3, 1e-2, 5e-2, 0.25, 1};
	double best = INFINITY;
	struct segment_model found = *model;
	int d, round;

	for (d = 0; d < DRIFTS; d++) {
		struct segment_model tried = *model;
		double unit = tried.swing * tried.swing, cost;

		tried.drift = drifts[d] * unit;
		tried.swing_drift = drifts[d] * unit / 10;
		for (round = 0; round < 2; round++) {
			segment_follow(room, series, &tried);
			find_spreads(&tried, room, series, least);
		}
		cost = segment_follow(room, series, &tried);
		if (cost < best) {
			best = cost;
			found = tried;
		}
	}
	*model = found;
	segment_follow(room, series, model);
	return best + cost_of_changes(series, room->states);
}

double
segment_fit_one(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	*model = (struct segment_model){
	    .swing = scale->range, .spread = {scale->noise, scale->noise}};
	memset(room->states, 0, series->count);
	return fit(model, room, series, scale->least);
}

double
segment_fit_none(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	memset(room->states, 0, series->count);
	find_spreads(model, room, series, scale->least);
	segment_follow(room, series, model);
	find_spreads(model, room, series, scale->least);
	return segment_follow(room, series, model);
}

bool
segment_again(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model)
{
	double *bright = room->kept, *costs = room->spare;
	size_t i;

	memcpy(room->best, room->states, series->count);
	costs[0] = 0;
	for (i = 0; i < series->count; i++) {
		bright[i] = room->base[i] + room->swing[i];
		if (i > 0)
			costs[i] = segment_cost(
			    series->seconds[i] - series->seconds[i - 1],
			    series->step_s);
	}
	segment_viterbi(room->states, series->levels, series->count, room->base,
	    bright, model->spread, costs);
	return memcmp(room->best, room->states, series->count) != 0;
}

double
segment_fit_two(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	double best = INFINITY;
	int s, round;

	*model = (struct segment_model){0};
	for (s = 0; s < SWINGS; s++) {
		double swing = scale->range * pow(0.63, s), cost;
		double spread = between(scale->noise, swing / 12, swing / 5);
		struct segment_model tried = {.swing = swing,
		    .spread = {spread, spread},
		    .drift = 0.1 * swing * swing,
		    .swing_drift = 0.01 * swing * swing};

		segment_track(room->states, series, &tried);
		cost = fit(&tried, room, series, scale->least);
		tried.swing = mean_swing(room, series->count);
		if (cost < best && tried.swing > 0) {
			best = cost;
			*model = tried;
			memcpy(room->best, room->states, series->count);
		}
	}
	memcpy(room->states, room->best, series->count);
	if (!(model->swing > 0))
		return INFINITY;
	best = fit(model, room, series, scale->least);
	for (round = 0; round < ROUNDS; round++) {
		if (!segment_again(room, series, model))
			break;
		best = fit(model, room, series, scale->least);
	}
	return best;
}
