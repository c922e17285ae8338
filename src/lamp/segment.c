/* Light and dark from levels: tries how large the swing may be, follows the
 * levels through drift, and says whether two levels stand out at all. What
 * the runs mean is left to the decoder. */
#include "lamp/segment.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>
#include <string.h>

enum { SWINGS = 6, ROUNDS = 3, DRIFTS = 6 };

/* How much better than one level two have to be, in nats. */
#define STANDS_OUT 14.0

/* Room for the work on a series. */
static enum lw_status
make_room(struct segment_room *room, struct lw_arena *arena, size_t count,
    struct lw_err *err)
{
	room->states = arena_alloc(arena, count);
	room->best = arena_alloc(arena, count);
	room->base = arena_array(arena, count, sizeof *room->base);
	room->swing = arena_array(arena, count, sizeof *room->swing);
	room->kept = arena_array(arena, count, 3 * sizeof *room->kept);
	room->spare = arena_array(arena, count, sizeof *room->spare);
	if (room->states == NULL || room->best == NULL || room->base == NULL ||
	    room->swing == NULL || room->kept == NULL || room->spare == NULL)
		return err_no_memory(err);
	return LW_OK;
}

static double
middle_of_three(double a, double b, double c)
{
	double low = a < b ? a : b, high = a < b ? b : a;

	return c < low ? low : c > high ? high : c;
}

/* From the lowest to the highest, without what one sample alone reaches. */
static double
find_range(const struct segment_series *series)
{
	const double *y = series->levels;
	double low, high;
	size_t i;

	if (series->count < 3)
		return series->count < 2 ? 0 : fabs(y[1] - y[0]);
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
    const unsigned char *states, const struct segment_series *series,
    double least)
{
	double sum[2] = {0}, many[2] = {0}, whole;
	size_t i;
	int x;

	for (i = 0; i < series->count; i++) {
		double off, most;

		x = states[i];
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
    const unsigned char *states, const struct segment_series *series,
    double least)
{
	static const double drifts[DRIFTS] = {1e-6, 1e-3, 1e-2, 5e-2, 0.25, 1};
	double best = INFINITY;
	struct segment_model found = *model;
	int d, round;

	for (d = 0; d < DRIFTS; d++) {
		struct segment_model tried = *model;
		double cost = 0;

		for (round = 0; round < 2; round++) {
			double unit = tried.swing * tried.swing;

			tried.drift = drifts[d] * unit;
			tried.swing_drift = drifts[d] * unit / 10;
			cost = segment_follow(room, states, series, &tried);
			find_spreads(&tried, room, states, series, least);
		}
		cost = segment_follow(room, states, series, &tried);
		if (cost < best) {
			best = cost;
			found = tried;
		}
	}
	*model = found;
	segment_follow(room, states, series, model);
	return best + cost_of_changes(series, states);
}

/* What one level costs, however it drifts. */
static double
cost_of_one(const struct segment_room *room,
    const struct segment_series *series, double noise, double range,
    double least)
{
	struct segment_model model = {.swing = range, .spread = {noise, noise}};

	memset(room->states, 0, series->count);
	return fit(&model, room, room->states, series, least);
}

/* Better states by the levels before and after; false where nothing moved. */
static bool
look_again(const struct segment_room *room, const struct segment_series *series,
    const struct segment_model *model)
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

/* The best reading as two levels: left in room->states and the model. */
static double
find_two(struct segment_model *model, const struct segment_room *room,
    const struct segment_series *series, double noise, double range,
    double least)
{
	double best = INFINITY;
	struct segment_model found = {0};
	int s, round;

	for (s = 0; s < SWINGS; s++) {
		double swing = range * pow(0.63, s);
		double spread = noise > swing / 10 ? noise : swing / 10;
		struct segment_model tried = {.swing = swing,
		    .spread = {spread, spread},
		    .drift = 0.1 * swing * swing,
		    .swing_drift = 0.01 * swing * swing};
		double cost;

		segment_track(room->states, series, &tried);
		cost = fit(&tried, room, room->states, series, least);
		tried.swing = mean_swing(room, series->count);
		if (cost < best && tried.swing > 0) {
			best = cost;
			found = tried;
			memcpy(room->best, room->states, series->count);
		}
	}
	*model = found;
	memcpy(room->states, room->best, series->count);
	if (!(model->swing > 0))
		return INFINITY;
	best = fit(model, room, room->states, series, least);
	for (round = 0; round < ROUNDS; round++) {
		if (!look_again(room, series, model))
			break;
		best = fit(model, room, room->states, series, least);
	}
	return best;
}

static bool
changes(const unsigned char *states, size_t count)
{
	return memchr(states, 1 - states[0], count) != NULL;
}

/* Levels while dark and while lit, and whether they drift. */
static void
sum_up(struct lamp_runs *runs, const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model)
{
	size_t i, lit = 0, n = series->count;
	double low = room->base[0], high = low, sum = 0, many, spread;

	for (i = 0; i < n; i++) {
		low = room->base[i] < low ? room->base[i] : low;
		high = room->base[i] > high ? room->base[i] : high;
		lit += room->states[i];
		sum += room->swing[i];
		room->spare[i] = room->base[i];
	}
	many = (double)n;
	spread =
	    sqrt((model->spread[0] * model->spread[0] * (many - (double)lit) +
		     model->spread[1] * model->spread[1] * (double)lit) /
		 many);
	runs->dim = segment_rank(room->spare, n, n / 2);
	runs->bright = runs->dim + sum / many;
	runs->clear = sum / many / spread;
	runs->drifts = high - low > 0.5 * sum / many;
}

/* One run: nothing stands out. */
static enum lw_status
one_run(struct lamp_runs *runs, struct lw_arena *arena, const double *seconds,
    const double *levels, size_t count, struct lw_err *err)
{
	struct lamp_run *run = arena_alloc(arena, sizeof *run);
	double sum = 0;
	size_t i;

	if (run == NULL)
		return err_no_memory(err);
	for (i = 0; i < count; i++)
		sum += levels[i];
	run->from_s = seconds[0];
	run->to_s = seconds[count - 1];
	runs->runs = run;
	runs->count = 1;
	runs->dim = runs->bright = sum / (double)count;
	return LW_OK;
}

enum lw_status
segment_light(struct lamp_runs *runs, struct lw_arena *arena,
    const double *seconds, const double *levels, size_t count,
    struct lw_err *err)
{
	struct segment_series series = {seconds, levels, count, 0, 0, false};
	struct segment_room room;
	struct segment_model model;
	double noise, range, least, one, two;
	enum lw_status status;

	memset(runs, 0, sizeof *runs);
	status = make_room(&room, arena, count, err);
	if (status != LW_OK)
		return status;
	segment_steps(&series, room.spare);
	runs->step_s = series.step_s;
	runs->lost = series.lost;
	range = find_range(&series);
	if (count < 3 || !(range > 0))
		return one_run(runs, arena, seconds, levels, count, err);
	noise = find_noise(&series, room.spare);
	least = range / 300;
	noise = noise > least ? noise : least;
	one = cost_of_one(&room, &series, noise, range, least);
	two = find_two(&model, &room, &series, noise, range, least);
	if (!(two < one - STANDS_OUT) || !changes(room.states, count))
		return one_run(runs, arena, seconds, levels, count, err);
	sum_up(runs, &room, &series, &model);
	return segment_runs(runs, arena, &room, &series, &model, seconds[0],
	    seconds[count - 1], err);
}
