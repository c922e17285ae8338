/* Light told from dark in invented recordings, from seeds: how many changes
 * are missed or seen where there are none, how near they are, and that
 * nothing is seen in noise, drift and ripple. Limits are a few changes in
 * 1000, and more where lost frames can hide a flash whole. SEGMENT_SAY=1 in
 * the environment prints what was measured. */
#include "lamp/segment.h"
#include "unit/scene.h"
#include "unit/suites.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

/* A scene; so many recordings of it; limits: wrong changes in 1000 true ones,
 * error of an edge in steps of sampling (root of the mean square), and that
 * error over what it is said to be, at most. */
struct trial {
	struct scene scene;
	int many;
	double wrong;
	double steps;
	double spreads;
};

/* Three flashes of the shortest times that are promised, filmed. */
#define FLASHES                                                    \
	.flashes = 3, .on_s = 0.15, .gap_s = 0.15, .pause_s = 0.8, \
	.length_s = 20
#define FILM .hertz = 24, .exposure = 0.5
#define FILM_30 .hertz = 30, .exposure = 0.5
#define LOGGER(rate) .hertz = (rate), .exposure = 0

static const struct trial trials[] = {
    {{"plain", FLASHES, FILM}, 12, 1, 0.3, 1.3},
    {{"noise", FLASHES, FILM, .noise = 0.16}, 12, 2, 0.3, 1.3},
    {{"noise, whole exposure", FLASHES, .hertz = 24, .exposure = 1,
	 .noise = 0.16},
	12, 2, 0.3, 1.3},
    {{"lost", FLASHES, FILM, .noise = 0.03, .lost = 0.12}, 25, 8, 0.4, 1.3},
    {{"noise and lost", FLASHES, FILM, .noise = 0.16, .lost = 0.12}, 25, 8, 0.5,
	1.3},
    {{"jitter, uneven", FLASHES, FILM, .noise = 0.05, .jitter = 0.06,
	 .uneven = 0.5},
	12, 2, 0.3, 1.3},
    {{"all at once, 24", FLASHES, FILM, .noise = 0.16, .lost = 0.12,
	 .jitter = 0.06, .uneven = 0.3, .wave = 0.5, .wave_s = 15},
	25, 15, 0.5, 1.3},
    {{"all at once, 30", FLASHES, FILM_30, .noise = 0.16, .lost = 0.12,
	 .jitter = 0.06, .uneven = 0.3, .wave = 0.5, .wave_s = 15},
	25, 10, 0.5, 1.3},
    {{"all at once, 60", FLASHES, .hertz = 60, .exposure = 0.5, .noise = 0.16,
	 .lost = 0.12, .jitter = 0.06, .uneven = 0.3, .wave = 0.5,
	 .wave_s = 15},
	12, 3, 0.5, 1.3},
    {{"all at once, 240", FLASHES, .hertz = 240, .exposure = 0.5, .noise = 0.16,
	 .lost = 0.12, .jitter = 0.06, .uneven = 0.3, .wave = 0.5,
	 .wave_s = 15},
	6, 3, 0.6, 1.3},
    {{"noise, 1 kHz", FLASHES, LOGGER(1000), .noise = 0.16}, 6, 6, 1, 1.3},
    {{"noise, 4 kHz", FLASHES, LOGGER(4000), .noise = 0.16}, 3, 15, 3, 1.3},
    {{"drift of two swings", FLASHES, FILM, .noise = 0.08, .wave = 1,
	 .wave_s = 10},
	12, 3, 0.3, 1.3},
    {{"exposure steps", FLASHES, FILM, .noise = 0.08, .step_s = 4}, 12, 3, 0.4,
	1.3},
    {{"exposure follows", FLASHES, FILM, .noise = 0.05, .react = 0.6,
	 .react_s = 0.3},
	12, 3, 0.3, 1.3},
    {{"exposure follows slow flashes", .flashes = 3, .on_s = 1, .gap_s = 1,
	 .pause_s = 3, .length_s = 20, FILM, .noise = 0.08, .react = 0.7,
	 .react_s = 0.4},
	12, 4, 0.4, 1.3},
    {{"drift that multiplies", FLASHES, FILM, .noise = 0.05, .wave = 0.8,
	 .wave_s = 12, .scales = true},
	12, 3, 0.4, 1.3},
    {{"ripple, 100 Hz at 24", FLASHES, .hertz = 24, .exposure = 0.05,
	 .noise = 0.03, .ripple = 0.3, .ripple_hz = 100},
	12, 5, 0.4, 1.3},
    {{"ripple, 120 Hz at 25", FLASHES, .hertz = 25, .exposure = 0.05,
	 .noise = 0.03, .ripple = 0.3, .ripple_hz = 120},
	12, 5, 0.4, 1.3},
    {{"ripple, 100 Hz at 30", FLASHES, .hertz = 30, .exposure = 0.05,
	 .noise = 0.03, .ripple = 0.3, .ripple_hz = 100},
	12, 5, 0.4, 1.3},
    {{"ripple, 120 Hz at 29.97", FLASHES, .hertz = 29.97, .exposure = 0.05,
	 .noise = 0.03, .ripple = 0.3, .ripple_hz = 120},
	12, 5, 0.4, 1.3},
    {{"ripple, 100 Hz at 60", FLASHES, .hertz = 60, .exposure = 0.05,
	 .noise = 0.03, .ripple = 0.3, .ripple_hz = 100},
	12, 5, 0.4, 1.3},
    {{"ripple, 100 Hz at 1 kHz", FLASHES, LOGGER(1000), .noise = 0.05,
	 .ripple = 0.3, .ripple_hz = 100},
	6, 15, 3, 1.5},
    /* An edge is known to a part of a period. */
    {{"PWM, 60 Hz at 1 kHz", FLASHES, LOGGER(1000), .noise = 0.05, .pwm_hz = 60,
	 .pwm_duty = 0.5},
	6, 15, 6, 2.5},
    {{"PWM, 200 Hz at 2 kHz", FLASHES, LOGGER(2000), .noise = 0.05,
	 .pwm_hz = 200, .pwm_duty = 0.2},
	6, 15, 6, 2.5},
    {{"PWM, 203 Hz in a film", FLASHES, .hertz = 30, .exposure = 0.3,
	 .noise = 0.05, .pwm_hz = 203, .pwm_duty = 0.5},
	12, 5, 0.5, 1.5},
    {{"odd samples", FLASHES, FILM, .noise = 0.05, .odd = 0.02}, 12, 15, 0.4,
	1.5},
    {{"lit nearly always", .flashes = 1, .on_s = 3.8, .pause_s = 0.2,
	 .length_s = 40, FILM, .noise = 0.1},
	12, 5, 0.4, 1.5},
    {{"dark nearly always", .flashes = 1, .on_s = 0.2, .pause_s = 3.8,
	 .length_s = 40, FILM, .noise = 0.1},
	12, 5, 0.4, 1.5},
    {{"long pauses", .flashes = 3, .on_s = 0.2, .gap_s = 0.2, .pause_s = 10,
	 .length_s = 60, FILM, .noise = 0.12},
	12, 5, 0.4, 1.5},
    /* CiA 303-3: flickering, 50 ms on and 50 ms off. */
    {{"flickering at 1 kHz", .flashes = 1, .on_s = 0.05, .pause_s = 0.05,
	 .length_s = 20, LOGGER(1000), .noise = 0.1},
	6, 1, 1, 1.3},
    /* Agency letter nht94-2.4: four pulses within 255 ms, then 745 ms. */
    {{"burst at 1 kHz", .flashes = 4, .on_s = 0.032, .gap_s = 0.042,
	 .pause_s = 0.745, .length_s = 20, LOGGER(1000), .noise = 0.1},
	6, 3, 1, 1.3},
    {{"burst at 240", .flashes = 4, .on_s = 0.032, .gap_s = 0.042,
	 .pause_s = 0.745, .length_s = 20, .hertz = 240, .exposure = 0.5,
	 .noise = 0.1},
	6, 3, 0.4, 1.3},
    {{"flashes of a frame or two", .flashes = 3, .on_s = 0.07, .gap_s = 0.3,
	 .pause_s = 1, .length_s = 20, FILM, .noise = 0.03},
	12, 5, 0.4, 1.3},
    {{"on once", LAMP_ONCE, .length_s = 20, FILM, .noise = 0.16}, 40, 50, 0.6,
	2},
};

/* Nothing flashes: a scene, and so many recordings of it. */
static const struct {
	struct scene scene;
	int many;
} quiet[] = {
    {{"noise", LAMP_NONE, .length_s = 20, FILM, .noise = 0.3}, 400},
    {{"noise at 240", LAMP_NONE, .length_s = 20, .hertz = 240, .noise = 0.3},
	40},
    {{"noise at 1 kHz", LAMP_NONE, .length_s = 20, .hertz = 1000, .noise = 0.3},
	20},
    {{"a short one", LAMP_NONE, .length_s = 2, FILM, .noise = 0.3}, 400},
    {{"a long one", LAMP_NONE, .length_s = 600, FILM, .noise = 0.3}, 10},
    {{"even noise", LAMP_NONE, .length_s = 20, FILM, .noise = 0.3,
	 .kind = NOISE_EVEN},
	100},
    {{"Laplace's noise", LAMP_NONE, .length_s = 20, FILM, .noise = 0.3,
	 .kind = NOISE_LAPLACE},
	100},
    {{"stepped noise", LAMP_NONE, .length_s = 20, FILM, .noise = 0.3,
	 .kind = NOISE_STEPPED},
	100},
    {{"drift alone", LAMP_NONE, .length_s = 20, FILM, .wave = 1, .wave_s = 8},
	60},
    {{"drift and noise", LAMP_NONE, .length_s = 20, FILM, .noise = 0.05,
	 .wave = 1, .wave_s = 8},
	100},
    {{"slow drift", LAMP_NONE, .length_s = 20, FILM, .noise = 0.1, .wave = 1,
	 .wave_s = 30},
	100},
    {{"ripple at 24", LAMP_NONE, .length_s = 20, FILM, .noise = 0.03,
	 .ripple = 0.3, .ripple_hz = 100},
	30},
    {{"ripple alone", LAMP_NONE, .length_s = 20, .hertz = 25, .exposure = 0.05,
	 .ripple = 0.3, .ripple_hz = 120},
	30},
    {{"ripple at 30", LAMP_NONE, .length_s = 20, FILM_30, .noise = 0.1,
	 .ripple = 0.3, .ripple_hz = 100},
	30},
    {{"slow beat", LAMP_NONE, .length_s = 20, .hertz = 29.97, .exposure = 0.05,
	 .noise = 0.03, .ripple = 0.3, .ripple_hz = 120},
	30},
    {{"ripple at 1 kHz", LAMP_NONE, .length_s = 20, .hertz = 1000,
	 .noise = 0.03, .ripple = 0.3, .ripple_hz = 100},
	10},
    {{"ripple and drift", LAMP_NONE, .length_s = 20, FILM, .noise = 0.02,
	 .ripple = 0.3, .ripple_hz = 100, .wave = 1, .wave_s = 12},
	30},
    {{"odd samples", LAMP_NONE, .length_s = 20, FILM, .noise = 0.05,
	 .odd = 0.02},
	100},
};

/* What was right and wrong in some recordings of a scene. */
struct tally {
	double changes;
	double missed;
	double extra;
	double found;
	double error2;	 /* in steps */
	double lengths;	 /* of closed runs */
	double spreads2; /* their errors over what was said */
	double seen;	 /* recordings with any change */
};

/* Changes beside either end may be seen or not. */
static bool
is_open(const struct scene *scene, double seconds, double margin_s)
{
	return seconds < margin_s || seconds > scene->length_s - margin_s;
}

static size_t
nearest_run(
    const struct lamp_runs *runs, const bool *taken, bool on, double seconds)
{
	double best = INFINITY;
	size_t i, which = 0;

	for (i = 1; i < runs->count; i++) {
		double apart = fabs(runs->runs[i].from_s - seconds);

		if (!taken[i] && runs->runs[i].on == on && apart < best) {
			best = apart;
			which = i;
		}
	}
	return which;
}

static void
measure_run(struct tally *tally, const struct lamp_run *run, double from_s,
    double to_s, double within_s)
{
	double off = run->to_s - run->from_s - (to_s - from_s);

	if (fabs(run->to_s - to_s) > within_s)
		return;
	tally->lengths++;
	tally->spreads2 += off * off / (run->spread_s * run->spread_s);
}

static void
compare(struct tally *tally, const struct lamp_runs *runs,
    const struct recorded *recorded, const struct scene *scene)
{
	double step_s = 1 / scene->hertz, within_s = 2 * step_s + 0.01;
	double margin_s = 2.5 * step_s + 0.02;
	bool *taken = calloc(runs->count, sizeof *taken);
	size_t i, r;

	ck_assert_ptr_nonnull(taken);
	tally->seen += runs->count > 1;
	for (i = 0; i < recorded->edge_count; i++) {
		double edge = recorded->edges[i], off;
		bool on = recorded->lit == ((i & 1) == 1);
		bool open =
		    is_open(scene, edge, margin_s) ||
		    (i > 0 &&
			is_open(scene, recorded->edges[i - 1], margin_s)) ||
		    (i + 1 < recorded->edge_count &&
			is_open(scene, recorded->edges[i + 1], margin_s));

		tally->changes++;
		r = nearest_run(runs, taken, on, edge);
		off = r > 0 ? runs->runs[r].from_s - edge : INFINITY;
		if (fabs(off) > within_s) {
			tally->missed += !open;
			continue;
		}
		taken[r] = true;
		tally->found++;
		tally->error2 += off * off / (step_s * step_s);
		if (r + 1 < runs->count && i + 1 < recorded->edge_count)
			measure_run(tally, &runs->runs[r], edge,
			    recorded->edges[i + 1], within_s);
	}
	for (r = 1; r < runs->count; r++)
		tally->extra += !taken[r] &&
				!is_open(scene, runs->runs[r].from_s, margin_s);
	free(taken);
}

/* What holds of any runs. */
static void
check_runs(const struct lamp_runs *runs, const struct recorded *recorded)
{
	size_t i;

	ck_assert_uint_ge(runs->count, 1);
	ck_assert(runs->runs[0].from_s == recorded->seconds[0]);
	ck_assert(runs->runs[runs->count - 1].to_s ==
		  recorded->seconds[recorded->count - 1]);
	for (i = 0; i < runs->count; i++) {
		ck_assert(runs->runs[i].to_s > runs->runs[i].from_s);
		if (i == 0)
			continue;
		ck_assert(runs->runs[i].from_s == runs->runs[i - 1].to_s);
		ck_assert(runs->runs[i].on != runs->runs[i - 1].on);
		ck_assert(runs->runs[i].spread_s > 0);
	}
	ck_assert((runs->clear > 0) == (runs->count > 1));
}

static struct tally
try(const struct scene *scene, int many, uint64_t seed)
{
	struct chance chance = {seed * 0x9e3779b97f4a7c15u + 1};
	struct tally tally = {0};
	struct lw_err err;
	int i;

	for (i = 0; i < 20; i++)
		chance_even(&chance);
	for (i = 0; i < many; i++) {
		struct lw_arena *arena = lw_arena_new();
		struct recorded recorded;
		struct lamp_runs runs;

		scene_record(&recorded, scene, &chance);
		ck_assert_int_eq(segment_light(&runs, arena, recorded.seconds,
				     recorded.levels, recorded.count, &err),
		    LW_OK);
		check_runs(&runs, &recorded);
		compare(&tally, &runs, &recorded, scene);
		scene_clear(&recorded);
		lw_arena_free(arena);
	}
	return tally;
}

/* Where all is slow, some of them; what is counted says nothing then. */
static bool
is_short(void)
{
	return getenv("LAMPWRIGHT_SHORT") != NULL ||
	       getenv("LAMPWRIGHT_WALKS_SHORT") != NULL;
}

START_TEST(changes_are_found_where_they_are)
{
	const struct trial *trial = &trials[_i];
	struct tally tally =
	    try(&trial->scene, is_short() ? 1 + trial->many / 20 : trial->many,
		100 + (uint64_t)_i);
	double wrong = 1000 * (tally.missed + tally.extra) / tally.changes;
	double steps = sqrt(tally.error2 / tally.found);
	double spreads = sqrt(tally.spreads2 / fmax(tally.lengths, 1));

	if (getenv("SEGMENT_SAY") != NULL)
		printf("%-30s changes %5.0f missed %3.0f extra %3.0f wrong "
		       "%5.2f steps %.2f spreads %.2f\n",
		    trial->scene.name, tally.changes, tally.missed, tally.extra,
		    wrong, steps, spreads);
	if (is_short())
		return;
	ck_assert_msg(wrong <= trial->wrong, "%s: %.2f in 1000 are wrong",
	    trial->scene.name, wrong);
	ck_assert_msg(steps <= trial->steps, "%s: edges are off by %.2f steps",
	    trial->scene.name, steps);
	ck_assert_msg(spreads <= trial->spreads,
	    "%s: lengths are off by %.2f times what is said", trial->scene.name,
	    spreads);
}
END_TEST

START_TEST(nothing_is_seen_where_nothing_flashes)
{
	const struct scene *scene = &quiet[_i].scene;
	int many = is_short() ? 1 + quiet[_i].many / 30 : quiet[_i].many;
	struct tally tally = try(scene, many, 300 + (uint64_t)_i);

	ck_assert_msg(tally.seen == 0, "%s: a change is seen in %.0f of %d",
	    scene->name, tally.seen, many);
}
END_TEST

/* Levels by hand: t, level, and how many runs there are. */
static void
expect_runs(const double *levels, size_t count, size_t runs_count, bool first)
{
	double seconds[64];
	struct lw_arena *arena = lw_arena_new();
	struct lamp_runs runs;
	struct lw_err err;
	size_t i;

	for (i = 0; i < count; i++)
		seconds[i] = 5 + (double)i / 30;
	ck_assert_int_eq(
	    segment_light(&runs, arena, seconds, levels, count, &err), LW_OK);
	ck_assert_uint_eq(runs.count, runs_count);
	if (runs_count > 1)
		ck_assert_int_eq(runs.runs[0].on, first);
	lw_arena_free(arena);
}

START_TEST(short_and_plain_series_are_read)
{
	static const double steps[40] = {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1,
	    1, 1, 1, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 1, 1,
	    1, 1, 1, 1};
	static const double still[10] = {7, 7, 7, 7, 7, 7, 7, 7, 7, 7};
	double turned[40];
	size_t i;

	expect_runs(steps, 40, 6, false);
	for (i = 0; i < 40; i++)
		turned[i] = 1e9 - 1e6 * steps[i];
	expect_runs(turned, 40, 6, true);
	for (i = 0; i < 40; i++)
		turned[i] = 1e-9 * steps[i];
	expect_runs(turned, 40, 6, false);
	for (i = 1; i <= 10; i++)
		expect_runs(still, i, 1, false);
	for (i = 1; i <= 3; i++)
		expect_runs(steps + 8, i, 1, false);
}
END_TEST

START_TEST(what_is_missing_is_counted)
{
	static const struct scene scene = {
	    "lost", FLASHES, FILM, .noise = 0.1, .lost = 0.12};
	struct chance chance = {77};
	struct lw_arena *arena = lw_arena_new();
	struct recorded recorded;
	struct lamp_runs runs;
	struct lw_err err;

	scene_record(&recorded, &scene, &chance);
	ck_assert_int_eq(segment_light(&runs, arena, recorded.seconds,
			     recorded.levels, recorded.count, &err),
	    LW_OK);
	ck_assert_double_eq_tol(runs.step_s, 1.0 / 24, 1e-6);
	ck_assert_double_eq_tol(runs.lost, 0.12, 0.04);
	ck_assert_double_eq_tol(runs.dim, 2, 0.1);
	ck_assert_double_eq_tol(runs.bright, 3, 0.15);
	ck_assert(runs.clear > 5);
	ck_assert(!runs.drifts);
	scene_clear(&recorded);
	lw_arena_free(arena);
}
END_TEST

START_TEST(ranks_are_those_of_sorted_items)
{
	struct chance chance = {5};
	double items[60], copy[60];
	size_t round, count, rank, i, below, same;

	for (round = 0; round < 2000; round++) {
		double got;

		count = 1 + (size_t)(59 * chance_even(&chance));
		for (i = 0; i < count; i++)
			items[i] = floor(10 * chance_even(&chance));
		rank = (size_t)((double)count * chance_even(&chance));
		memcpy(copy, items, sizeof copy);
		got = segment_rank(copy, count, rank);
		for (i = below = same = 0; i < count; i++) {
			below += items[i] < got;
			same += items[i] == got;
		}
		ck_assert(below <= rank && rank < below + same);
	}
}
END_TEST

Suite *
suite_segment(void)
{
	Suite *suite = suite_create("segment");
	TCase *tests = tcase_create("all");

	tcase_set_timeout(tests, 120);
	tcase_add_loop_test(
	    tests, changes_are_found_where_they_are, 0, COUNT(trials));
	tcase_add_loop_test(
	    tests, nothing_is_seen_where_nothing_flashes, 0, COUNT(quiet));
	tcase_add_test(tests, short_and_plain_series_are_read);
	tcase_add_test(tests, what_is_missing_is_counted);
	tcase_add_test(tests, ranks_are_those_of_sorted_items);
	suite_add_tcase(suite, tests);
	return suite;
}
