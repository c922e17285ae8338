/* Light and dark from levels: takes out ripple, and says whether two levels
 * stand out of the noise at all. What the runs mean is left to the decoder. */
#include "lamp/segment.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>
#include <string.h>

/* How much better than one level two have to be, besides the logarithm of
 * how many samples there are, and what a ripple that is taken away has to
 * save, in nats. */
#define STANDS_OUT 11.0
#define RIPPLE 14.0
#define EVEN 2.5

/* Swing over noise: a wave that is taken for two levels has 4.1. */
#define CLEAR 5.5

/* A lamp that flickers as fast as the eye can follow, in step with the
 * frames: how many of its samples are partly lit, and how sharp it is then. */
#define FLICKER_HZ 12.5
#define FLICKER_CLEAR 3.0
#define FLICKER_SHARP 0.4
#define FLICKER_STEPS 0.25 /* periods from one sample to the next */
#define FLICKER_SAVES 0.5  /* nats a sample: the wave is not in the noise */

/* A longer series is learned from a sample. */
#define LONG 4608

/* Times beyond these are no recording's, and a bin would be lost in them. */
#define LEAST_STEP_S 1e-7
#define MOST_S 1e10

/* Odd levels are no further away, in ranges. */
#define FAR 20.0

/* How wide the levels of a lamp that is dimmed by pulses are, over the swing.
 */
#define WIDE 0.35

/* What a change is of the swing, at least, on the whole. */
#define SHARP 0.55

/* No bins wider than this without a ripple: a pulse of 32 ms is seen. */
#define BIN_S 0.004

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
		sum += levels[i] / (double)count;
	run->from_s = seconds[0];
	run->to_s = seconds[count - 1];
	runs->runs = run;
	runs->count = 1;
	runs->dim = runs->bright = sum;
	return LW_OK;
}

/* Bins, where the series is sampled faster than is of use: whole periods of
 * a ripple, or of a fixed width. */
static enum lw_status
use_bins(struct segment_series *series, double *ripple_hz,
    struct lw_arena *arena, double *spare, struct lw_err *err)
{
	struct segment_series whole = *series;
	double wide_s = BIN_S;

	if (whole.step_s < LEAST_STEP_S || fabs(whole.seconds[0]) > MOST_S ||
	    fabs(whole.seconds[whole.count - 1]) > MOST_S)
		return LW_OK;
	*ripple_hz = segment_ripple(&whole, arena, spare, err);
	if (*ripple_hz < 0)
		return LW_NO_MEMORY;
	if (*ripple_hz > 0)
		wide_s = ceil(BIN_S * *ripple_hz) / *ripple_hz;
	else if (whole.step_s > BIN_S / 2)
		return LW_OK;
	return segment_bins(series, arena, &whole, wide_s, err);
}

/* What is left of the levels without what room says. */
static void
take_rest(double *rest, const struct segment_room *room,
    const struct segment_series *series)
{
	size_t i;

	for (i = 0; i < series->count; i++)
		rest[i] = series->levels[i] - room->base[i] -
			  (room->states[i] ? room->swing[i] : 0);
}

/* A series without a wave in what room leaves of it. LW_UNDECIDED: there is
 * none. */
static enum lw_status
without_beat(struct segment_series *clean, double *hertz,
    struct lw_arena *arena, const struct segment_room *room,
    const struct segment_series *series, struct lw_err *err)
{
	double *levels = arena_array(arena, series->count, sizeof *levels);

	if (levels == NULL)
		return err_no_memory(err);
	*clean = *series;
	clean->levels = levels;
	memcpy(levels, series->levels, series->count * sizeof *levels);
	take_rest(room->spare, room, series);
	*hertz = segment_beat(levels, series, room->spare, arena, err);
	return *hertz > 0 ? LW_OK : *hertz < 0 ? LW_NO_MEMORY : LW_UNDECIDED;
}

/* A reading of the series as two levels. */
struct reading {
	struct segment_series series; /* without the ripple */
	struct segment_model model;
	double cost;
	double ripple_hz;
	double wave_saves; /* what a wave alone explains, in nats */
	unsigned char *states;
};

static void
keep(struct reading *reading, const struct segment_room *room)
{
	memcpy(reading->states, room->states, reading->series.count);
}

static void
show(const struct segment_room *room, const struct reading *reading)
{
	memcpy(room->states, reading->states, reading->series.count);
	segment_follow(room, &reading->series, &reading->model);
}

/* What the changes of a lamp that flashes evenly cost too much, against a
 * wave: there they are no surprise. */
static double
discount(const unsigned char *states, size_t count)
{
	size_t i, changes = 0;

	for (i = 1; i < count; i++)
		changes += states[i] != states[i - 1];
	return EVEN * (double)changes;
}

static double
clearness(const struct reading *reading)
{
	const double *spread = reading->model.spread;

	return reading->model.swing /
	       (spread[0] > spread[1] ? spread[0] : spread[1]);
}

/* Read a series as two levels after a wave was taken off it; keep that where
 * it is better. The wave is looked for in what room leaves of `series`. */
static enum lw_status
try_without_beat(struct reading *best, struct segment_room *room,
    struct lw_arena *arena, const struct segment_series *series,
    const struct segment_scale *scale, struct lw_err *err)
{
	struct segment_scale measured;
	struct reading tried;
	enum lw_status status;

	status = without_beat(
	    &tried.series, &tried.ripple_hz, arena, room, series, err);
	if (status != LW_OK)
		return status == LW_UNDECIDED ? LW_OK : status;
	segment_measure(&measured, &tried.series, room->spare);
	if (!(measured.range > 0))
		return LW_OK;
	measured.least = scale->least;
	measured.odd = scale->odd;
	tried.cost =
	    segment_fit_two(&tried.model, room, &tried.series, &measured) +
	    RIPPLE;
	tried.states = best->states;
	tried.wave_saves = best->wave_saves;
	if (tried.cost - discount(room->states, series->count) <
	    best->cost - discount(best->states, series->count)) {
		*best = tried;
		keep(best, room);
	}
	return LW_OK;
}

/* How much better than one level two have to be: the longer a series, the
 * more chances noise has. */
static double
stands_out(const struct segment_series *series)
{
	return STANDS_OUT + log((double)series->count);
}

/* What one level costs at best: also one that drifts as the two do. */
static double
price_one(const struct reading *best, const struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	struct segment_model model;
	double one = segment_fit_one(&model, room, series, scale), other;

	model = best->model;
	other = segment_fit_none(&model, room, series, scale);
	one = other < one ? other : one;
	if (best->ripple_hz > 0) {
		model = best->model;
		other = RIPPLE +
			segment_fit_none(&model, room, &best->series, scale);
		one = other < one ? other : one;
	}
	return one;
}

/* Whether a reading is better than one level: its changes stand out and are
 * sharp. */
static bool
is_better(
    const struct reading *best, const struct segment_room *room, double one)
{
	double sharp;
	size_t changes = segment_count_changes(&sharp, room, &best->series);

	return changes > 0 && sharp >= SHARP &&
	       best->cost < one - stands_out(&best->series);
}

/* The rest of one level may be a wave alone; or a wave that hides two levels
 * from those who look at them first. *wave is what it costs then. */
static enum lw_status
try_wave(double *wave, struct reading *best, struct segment_room *room,
    struct lw_arena *arena, const struct segment_series *series,
    const struct segment_scale *scale, struct lw_err *err)
{
	struct segment_series clean;
	struct segment_model model;
	enum lw_status status;
	double hertz, one;

	*wave = INFINITY;
	one = segment_fit_one(&model, room, series, scale);
	status = without_beat(&clean, &hertz, arena, room, series, err);
	if (status != LW_OK)
		return status == LW_UNDECIDED ? LW_OK : status;
	*wave = segment_fit_one(&model, room, &clean, scale) + RIPPLE;
	best->wave_saves = one - *wave;
	segment_fit_two(&model, room, &clean, scale);
	return try_without_beat(best, room, arena, series, scale, err);
}

/* A lamp that is dimmed by pulses has a level that is not the same from sample
 * to sample while it is lit. */
static void
try_wide(struct reading *best, const struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	struct segment_scale wide = *scale;
	struct segment_model model;
	double cost;

	wide.lit = WIDE;
	cost = segment_fit_two(&model, room, series, &wide);
	if (cost < best->cost) {
		best->series = *series;
		best->model = model;
		best->cost = cost;
		best->ripple_hz = 0;
		keep(best, room);
	}
}

/* Whether film makes such a slow wave of light that runs on the mains: 100 or
 * 120 times a second (50 and 60 Hz), and twice that. */
static bool
is_mains_beat(double hertz, double step_s)
{
	static const double mains[] = {100, 120, 200, 240};
	size_t i;

	for (i = 0; i < sizeof mains / sizeof mains[0]; i++) {
		double turns = mains[i] * step_s;

		if (fabs(fabs(turns - round(turns)) / step_s - hertz) < 0.4)
			return true;
	}
	return false;
}

/*
 * A lamp that flickers in step with the frames looks like a wave, and is told
 * from one by its pace alone: the eye can follow it, and the mains cannot be
 * it. False: it is none.
 */
static bool
read_flicker(struct reading *best, struct segment_room *room,
    const struct segment_series *series, const struct segment_scale *scale)
{
	double hertz = best->ripple_hz, sharp, low, most;
	struct segment_model model = {.odd = scale->odd};
	size_t changes, i;

	if (!(hertz > 0 && hertz < FLICKER_HZ) ||
	    hertz * series->step_s > FLICKER_STEPS ||
	    best->wave_saves < FLICKER_SAVES * (double)series->count ||
	    is_mains_beat(hertz, series->step_s))
		return false;
	model.swing =
	    segment_range(&low, series->levels, series->count, room->spare);
	model.spread[0] = model.spread[1] = model.swing / FLICKER_CLEAR;
	for (i = 0; i < series->count; i++)
		room->states[i] = series->levels[i] > low + model.swing / 2;
	segment_follow(room, series, &model);
	changes = segment_count_changes(&sharp, room, series);
	most = 2 * hertz *
	       (series->seconds[series->count - 1] - series->seconds[0]);
	if (fabs((double)changes - most) > 0.1 * most + 1 ||
	    sharp < FLICKER_SHARP)
		return false;
	best->series = *series;
	best->model = model;
	best->ripple_hz = 0;
	keep(best, room);
	return true;
}

/* Whether two levels explain the series, with or without a ripple, better
 * than one does. LW_UNDECIDED: they do not. */
static enum lw_status
choose(struct reading *best, struct segment_room *room, struct lw_arena *arena,
    const struct segment_series *series, const struct segment_scale *scale,
    struct lw_err *err)
{
	double one, wave = INFINITY;
	enum lw_status status;

	status = try_without_beat(best, room, arena, series, scale, err);
	if (status != LW_OK)
		return status;
	one = price_one(best, room, series, scale);
	show(room, best);
	if (is_better(best, room, one) && clearness(best) > CLEAR)
		return LW_OK;
	try_wide(best, room, series, scale);
	status = try_wave(&wave, best, room, arena, series, scale, err);
	if (status != LW_OK)
		return status;
	one = price_one(best, room, series, scale);
	show(room, best);
	if (!is_better(best, room, one))
		return LW_UNDECIDED;
	return best->cost - discount(best->states, series->count) >
		       wave - stands_out(series)
		   ? LW_UNDECIDED
		   : LW_OK;
}

static enum lw_status
decide(struct reading *best, struct segment_room *room, struct lw_arena *arena,
    const struct segment_series *series, struct lw_err *err)
{
	struct segment_scale scale;
	enum lw_status status;

	segment_measure(&scale, series, room->spare);
	if (!(scale.range > 0))
		return LW_UNDECIDED;
	best->series = *series;
	best->ripple_hz = 0;
	best->wave_saves = 0;
	best->states = arena_alloc(arena, series->count);
	if (best->states == NULL)
		return err_no_memory(err);
	best->cost = segment_fit_two(&best->model, room, series, &scale);
	keep(best, room);
	status = choose(best, room, arena, series, &scale, err);
	if (status == LW_UNDECIDED && read_flicker(best, room, series, &scale))
		status = LW_OK;
	return status;
}

/* Read a long series by what was learned from a sample of it. */
static enum lw_status
read_whole(struct reading *best, const struct segment_room *room,
    struct lw_arena *arena, const struct segment_series *series,
    struct lw_err *err)
{
	enum lw_status status = LW_OK;

	best->series = *series;
	segment_track_by(room, series, &best->model);
	if (best->ripple_hz > 0) {
		status = without_beat(
		    &best->series, &best->ripple_hz, arena, room, series, err);
		if (status == LW_OK)
			segment_track_by(room, &best->series, &best->model);
	}
	if (status == LW_NO_MEMORY)
		return status;
	if (segment_again(room, &best->series, &best->model, SEGMENT_SLOW))
		segment_follow(room, &best->series, &best->model);
	return LW_OK;
}

static enum lw_status
read_series(struct reading *best, struct segment_room *room,
    struct lw_arena *arena, const struct segment_series *series,
    struct lw_err *err)
{
	struct segment_series sample;
	enum lw_status status;

	if (series->count <= LONG)
		return decide(best, room, arena, series, err);
	status = segment_sample(&sample, arena, series, LONG, err);
	if (status == LW_OK)
		status = decide(best, room, arena, &sample, err);
	if (status == LW_OK)
		status = read_whole(best, room, arena, series, err);
	return status;
}

/* The series with levels about from 0 to 1, and odd ones not far from there,
 * so that no square overflows. *range is 0 where levels do not change. */
static enum lw_status
even_out(struct segment_series *series, double *low, double *range,
    struct lw_arena *arena, double *spare, struct lw_err *err)
{
	double *levels = arena_array(arena, series->count, sizeof *levels);
	size_t i;

	if (levels == NULL)
		return err_no_memory(err);
	/* Halves, as a difference may overflow. */
	for (i = 0; i < series->count; i++)
		levels[i] = series->levels[i] / 2;
	*range = segment_range(low, levels, series->count, spare);
	if (!(*range > 0))
		return LW_OK;
	for (i = 0; i < series->count; i++) {
		double level = (levels[i] - *low) / *range;

		levels[i] = level < -FAR ? -FAR : level > FAR ? FAR : level;
	}
	*low *= 2;
	*range *= 2;
	series->levels = levels;
	return LW_OK;
}

/* From states to what is told of them. */
static enum lw_status
tell(struct lamp_runs *runs, struct lw_arena *arena,
    const struct segment_room *room, const struct reading *best,
    const struct segment_series *given, struct lw_err *err)
{
	if (segment_again(room, &best->series, &best->model, SEGMENT_QUICK)) {
		segment_leave_odd(room, &best->series);
		segment_follow(room, &best->series, &best->model);
	}
	if (best->ripple_hz > 0)
		runs->ripple_hz = best->ripple_hz;
	sum_up(runs, room, &best->series, &best->model);
	return segment_runs(runs, arena, room, &best->series, &best->model,
	    given->seconds[0], given->seconds[given->count - 1], err);
}

/* Two levels told from a series whose levels are evened out. LW_UNDECIDED:
 * there is one. */
static enum lw_status
separate(struct lamp_runs *runs, struct lw_arena *arena,
    const struct segment_series *given, double *spare, struct lw_err *err)
{
	struct segment_series series = *given;
	struct segment_room room;
	struct reading best;
	enum lw_status status;

	status = use_bins(&series, &runs->ripple_hz, arena, spare, err);
	if (status != LW_OK)
		return status;
	if (series.count < 3)
		return LW_UNDECIDED;
	status = make_room(&room, arena, series.count, err);
	if (status == LW_OK)
		status = read_series(&best, &room, arena, &series, err);
	if (status == LW_OK)
		status = tell(runs, arena, &room, &best, given, err);
	return status;
}

enum lw_status
segment_light(struct lamp_runs *runs, struct lw_arena *arena,
    const double *seconds, const double *levels, size_t count,
    struct lw_err *err)
{
	struct segment_series series = {seconds, levels, count, 0, 0, false};
	double *spare = arena_array(arena, count, sizeof *spare);
	double low = 0, range = 0;
	enum lw_status status;

	memset(runs, 0, sizeof *runs);
	if (spare == NULL)
		return err_no_memory(err);
	status = even_out(&series, &low, &range, arena, spare, err);
	if (status != LW_OK)
		return status;
	segment_steps(&series, spare);
	runs->step_s = series.step_s;
	runs->lost = series.lost;
	status = LW_UNDECIDED;
	if (count >= 3 && range > 0)
		status = separate(runs, arena, &series, spare, err);
	if (status == LW_UNDECIDED)
		return one_run(runs, arena, seconds, levels, count, err);
	runs->dim = low + range * runs->dim;
	runs->bright = low + range * runs->bright;
	return status;
}
