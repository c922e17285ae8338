/* How large the swing, the noise and the drift of a series are, and how well
 * one level and two explain it. Which of them is true is decided elsewhere. */
#include "lamp/segment.h"

#include <math.h>
#include <string.h>

enum { SWINGS = 8, ROUNDS = 3, DRIFTS = 9 };

/* A level that drifts hardly at all, against one of which nothing is known. */
#define STEADY 0.03

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

/* Samples above or below these ranks may be odd ones. */
#define ODD_SHARE 0.02

double
segment_range(double *low, const double *levels, size_t count, double *spare)
{
	size_t i, odd = (size_t)(ODD_SHARE * (double)count);
	double high = 0, bottom = 0, top = 0;

	memcpy(spare, levels, count * sizeof *spare);
	*low = segment_rank(spare, count, odd);
	high = segment_rank(spare, count, count - 1 - odd);
	/* What lasts longer than a sample is none. */
	bottom = *low;
	top = high;
	for (i = 1; i + 1 < count; i++) {
		double m =
		    middle_of_three(levels[i - 1], levels[i], levels[i + 1]);

		bottom = m < bottom ? m : bottom;
		top = m > top ? m : top;
	}
	*low = bottom;
	return top - bottom;
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
	double low;

	scale->range =
	    segment_range(&low, series->levels, series->count, spare);
	scale->least = scale->range / 300;
	/* Any level over twice the range, once in fifty samples; costs are
	 * without the root of two pi. */
	scale->odd = log(100 * scale->range) - 0.9189;
	scale->lit = 0;
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
			    series->step_s, SEGMENT_SLOW);
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

double
segment_price(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model)
{
	double odd;

	return segment_weigh(&odd, room->states, series, model) +
	       cost_of_changes(series, room->states);
}

static void
set_drift(struct segment_model *model, int step)
{
	static const double steps[DRIFTS] = {
	    1e-6, 3e-4, 1e-3, 3e-3, 1e-2, 3e-2, 0.1, 0.3, 1};

	model->drift = steps[step] * model->swing * model->swing;
	model->swing_drift = model->drift / 10;
}

/* Follow, and set the spreads by it. */
static void
settle(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, double least)
{
	segment_follow(room, series, model);
	find_spreads(model, room, series, least);
}

/* Fit drift and spreads to given states, uphill from the drift of the last
 * fit; returns what all costs. */
static double
fit(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, double least, int *drift)
{
	double best, cost;
	struct segment_model tried = *model;
	int way, at = *drift, moved = 0;

	set_drift(&tried, at);
	settle(&tried, room, series, least);
	*model = tried;
	best = segment_weigh(&cost, room->states, series, &tried);
	for (way = 1; way >= -1; way -= 2) {
		while (at + way >= 0 && at + way < DRIFTS) {
			tried = *model;
			set_drift(&tried, at + way);
			settle(&tried, room, series, least);
			cost =
			    segment_weigh(&cost, room->states, series, &tried);
			if (cost >= best)
				break;
			best = cost;
			at += way;
			*model = tried;
			moved = 1;
		}
		if (moved)
			break;
	}
	*drift = at;
	settle(model, room, series, least);
	best = segment_price(room, series, model);
	segment_follow(room, series, model);
	return best;
}

double
segment_fit_one(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	int drift = DRIFTS / 2;

	*model = (struct segment_model){.swing = scale->range,
	    .spread = {scale->noise, scale->noise},
	    .odd = scale->odd};
	memset(room->states, 0, series->count);
	return fit(model, room, series, scale->least, &drift);
}

double
segment_fit_none(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	memset(room->states, 0, series->count);
	settle(model, room, series, scale->least);
	settle(model, room, series, scale->least);
	return segment_price(room, series, model);
}

bool
segment_again(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model,
    double least)
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
			    series->step_s, least);
	}
	segment_viterbi(room->states, series->levels, series->count, room->base,
	    bright, model->spread, model->odd, costs);
	return memcmp(room->best, room->states, series->count) != 0;
}

/* For a series of which little is known: so much noise and drift that a path
 * finds back from a wrong beginning. */
static void
loosen(struct segment_model *model, double noise)
{
	double swing = model->swing;

	model->drift = 0.1 * swing * swing;
	model->swing_drift = 0.01 * swing * swing;
	model->spread[0] = model->spread[1] =
	    between(noise, swing / 12, swing / 5);
}

void
segment_track_by(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model)
{
	struct segment_model loose = *model;
	int x;

	loosen(&loose, model->spread[0]);
	for (x = 0; x < 2; x++)
		if (loose.spread[x] < model->spread[x])
			loose.spread[x] = model->spread[x];
	segment_track(room->states, series, &loose);
	segment_follow(room, series, model);
}

/* Try a swing: what the series costs then, with noise and drift as much
 * larger or smaller as suits it. */
static double
try_swing(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	struct segment_model steady;
	double odd, cost = INFINITY, still;
	int round;

	loosen(model, scale->noise);
	if (scale->lit > 0)
		model->spread[1] = scale->lit * model->swing;
	segment_track(room->states, series, model);
	for (round = 0; round < 4; round++) {
		cost = segment_weigh(&odd, room->states, series, model);
		if (odd > 0.7 && odd < 1.3)
			break;
		odd = between(odd, 0.02, 50);
		model->drift *= odd;
		model->swing_drift *= odd;
		model->spread[0] *= sqrt(odd);
		model->spread[1] *= sqrt(odd);
	}
	steady = *model;
	steady.drift *= STEADY;
	steady.swing_drift *= STEADY;
	still = segment_weigh(&odd, room->states, series, &steady);
	if (still < cost) {
		cost = still;
		*model = steady;
	}
	return cost + cost_of_changes(series, room->states);
}

double
segment_fit_two(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	double best = INFINITY;
	int s, round, drift = DRIFTS / 2;

	*model = (struct segment_model){0};
	for (s = 0; s < SWINGS; s++) {
		struct segment_model tried = {
		    .swing = scale->range * pow(0.7, s), .odd = scale->odd};
		double cost = try_swing(&tried, room, series, scale);

		if (cost < best) {
			best = cost;
			*model = tried;
			memcpy(room->best, room->states, series->count);
		}
	}
	memcpy(room->states, room->best, series->count);
	for (round = 0; round < ROUNDS; round++) {
		best = fit(model, room, series, scale->least, &drift);
		model->swing = mean_swing(room, series->count);
		if (!(model->swing > 0))
			return INFINITY;
		if (!segment_again(room, series, model, SEGMENT_SLOW))
			return best;
	}
	return fit(model, room, series, scale->least, &drift);
}
