/* light: what is seen in recordings and taps that are made by chance (invented
 * data; a small part of the grid of tests/bench/lamp.c), and what must change
 * nothing. */
#include "unit/suites.h"

#include "lamp/cells.h"
#include "lamp/chance.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { EACH = 12 };

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct lw_arena *arena;
static struct made made;

static void
set_up(void)
{
	arena = lw_arena_new();
	ck_assert_ptr_nonnull(arena);
}

static void
tear_down(void)
{
	lw_arena_free(arena);
	made_free(&made);
}

/* --- the grid --------------------------------------------------------------
 */

/* Right answers of EACH, at least. */
static const struct {
	const char *cell;
	size_t floor;
} floors[] = {
    {"clean", 12},
    {"noise", 12},
    {"jitter", 12},
    {"lost", 12},
    {"frames", 12},
    {"start", 12},
    {"flash", 12},
    {"all", 11},
    {"quick", 11},
    {"few", 12},
    {"some", 12},
    {"many", 11},
    {"digits2", 11},
    {"digits3", 11},
    {"long", 11},
    {"rate", 11},
    {"turn", 11},
    {"lamps", 11},
    {"listed", 12},
    {"unlisted", 11},
    {"drift", 11},
    {"reacts", 11},
    {"ripple", 11},
    {"pwm", 11},
    {"uneven", 11},
    {"missed", 10},
    {"doubled", 10},
    {"two", 10},
    {"taps", 12},
    {"taps-digits", 11},
};

/* Where all is slow, some of them; what is counted says nothing then. */
static bool
is_short(void)
{
	return getenv("LAMPWRIGHT_SHORT") != NULL ||
	       getenv("LAMPWRIGHT_WALKS_SHORT") != NULL;
}

START_TEST(grid)
{
	const struct cell *cell = cell_named(floors[_i].cell);
	struct tried tried;
	uint64_t seed, missed = 0;
	size_t right = 0;

	ck_assert_ptr_nonnull(cell);
	for (seed = 1; seed <= (is_short() ? 1 : EACH); seed++) {
		ck_assert(cell_try(&tried, cell, seed, NULL));
		right += tried.verdict == VERDICT_RIGHT;
		if (tried.verdict != VERDICT_RIGHT)
			missed = seed;
		ck_assert_msg(
		    tried.verdict != VERDICT_WRONG || tried.confidence <= 0.99,
		    "%s, seed %u: %s read as %s, sure by %.4f", cell->name,
		    (unsigned)seed, tried.how.pattern, tried.text,
		    tried.confidence);
	}
	if (is_short())
		return;
	ck_assert_msg(right >= floors[_i].floor,
	    "%s: %zu of %d are right, not %zu; seed %u is not", cell->name,
	    right, (int)EACH, floors[_i].floor, (unsigned)missed);
}
END_TEST

/* Recordings that were read wrongly once, each for a reason of its own. */
static const struct {
	const char *cell;
	uint64_t seed;
} slips[] = {
    {"taps-doubled", 166}, /* a hand off by more than its tempo */
    {"anything", 1017},	   /* one code of a pair was whole but once */
    {"anything", 1123},	   /* ... and then with a flash in two */
};

START_TEST(slips_are_mended)
{
	struct tried tried;

	ck_assert(
	    cell_try(&tried, cell_named(slips[_i].cell), slips[_i].seed, NULL));
	ck_assert_msg(tried.verdict == VERDICT_RIGHT, "%s read as %s",
	    tried.how.pattern, tried.text);
}
END_TEST

START_TEST(nothing_wrong_is_sure)
{
	struct tried tried;
	uint64_t seed;
	size_t i;

	for (i = 0; i < cell_count; i++)
		for (seed = 1001; seed <= (is_short() ? 1001 : 1003); seed++) {
			ck_assert(cell_try(&tried, &cells[i], seed, NULL));
			ck_assert_msg(tried.verdict != VERDICT_WRONG ||
					  tried.confidence <= 0.99,
			    "%s, seed %u: %s read as %s, sure by %.4f",
			    cells[i].name, (unsigned)seed, tried.how.pattern,
			    tried.text, tried.confidence);
		}
}
END_TEST

/* --- what changes nothing ---------------------------------------------------
 */

static const char *const patterns[] = {
    "1", "4", "7", "12", "3-2", "1-4-2", "2L3S", "1S2L1S", "3+7"};

/* A film as it usually is. */
static void
film(const char *pattern, unsigned cycles, uint64_t seed)
{
	struct making how = {.seed = seed,
	    .on_s = 0.25,
	    .long_s = 0.8,
	    .gap_s = 0.25,
	    .group_gap_s = 0.7,
	    .pause_s = 1.5,
	    .cycles = cycles,
	    .tail = 0.5,
	    .start = START_MID_GROUP,
	    .jitter = 0.02,
	    .frame_hz = 30,
	    .exposure = 0.5,
	    .lost = 0.03,
	    .noise = 0.08,
	    .dark = 40,
	    .swing = 60};

	made_free(&made);
	strcpy(how.pattern, pattern);
	ck_assert(make_recording(&made, &how));
}

static const struct lw_seen *
see(const struct lw_series *series, const struct lw_known_lamp *known)
{
	const struct lw_seen *seen = NULL;
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;

	status = lw_light_read(&seen, arena, series, known, &err);
	ck_assert_msg(
	    status == LW_OK || status == LW_UNDECIDED, "%s", err.text);
	ck_assert_ptr_nonnull(seen);
	return seen;
}

START_TEST(level_and_time_have_no_scale)
{
	const struct lw_seen *seen, *again;
	size_t i;

	film(patterns[_i], 4, 21);
	seen = see(&made.series, NULL);
	ck_assert_str_eq(seen->text, patterns[_i]);
	for (i = 0; i < made.series.count; i++) {
		made.levels[i] = 1e-4 * made.levels[i] - 7;
		made.seconds[i] += 86400;
	}
	again = see(&made.series, NULL);
	ck_assert_str_eq(again->text, patterns[_i]);
	ck_assert_double_eq_tol(again->confidence, seen->confidence, 0.01);
	ck_assert_uint_eq(again->cycles, seen->cycles);
	for (i = 0; i < made.series.count; i++)
		made.seconds[i] *= 1.3;
	ck_assert_str_eq(see(&made.series, NULL)->text, patterns[_i]);
}
END_TEST

/* A second lamp that shows nothing changes nothing for the first. */
START_TEST(lamps_are_read_apart)
{
	const struct lw_seen *seen;
	double *levels;
	size_t i, rows;

	film(patterns[_i], 4, 22);
	rows = made.series.count;
	seen = see(&made.series, NULL);
	levels = calloc(2 * rows, sizeof *levels);
	ck_assert_ptr_nonnull(levels);
	memcpy(levels, made.levels, rows * sizeof *levels);
	srand(22);
	for (i = 0; i < rows; i++)
		levels[rows + i] = rand() % 100;
	made.series.levels = levels;
	made.series.lamp_count = 2;
	ck_assert_uint_eq(see(&made.series, NULL)->lamp_count, 2);
	ck_assert_str_eq(
	    see(&made.series, NULL)->lamps[0].text, seen->lamps[0].text);
	ck_assert_double_eq_tol(see(&made.series, NULL)->lamps[0].confidence,
	    seen->lamps[0].confidence, 1e-9);
	made.series.lamp_count = 1;
	free(levels);
}
END_TEST

/* Of several lamps the one counts of which the fewest cycles were seen, be
 * it the first. */
START_TEST(the_fewest_cycles_count)
{
	const struct lw_seen *seen;
	double *levels;
	size_t i, rows;

	film("4", 4, 22);
	rows = made.series.count;
	levels = calloc(2 * rows, sizeof *levels);
	ck_assert_ptr_nonnull(levels);
	memcpy(levels + rows, made.levels, rows * sizeof *levels);
	for (i = rows / 3; i < rows / 2; i++)
		levels[i] = 100;
	made.series.levels = levels;
	made.series.lamp_count = 2;
	seen = see(&made.series, NULL);
	ck_assert_uint_eq(seen->lamps[0].cycles, 0);
	ck_assert_uint_ge(seen->lamps[1].cycles, 3);
	ck_assert_uint_eq(seen->cycles, 0);
	made.series.lamp_count = 1;
	free(levels);
}
END_TEST

/* A whole number of rows from row `from` on. */
static struct lw_series
part_of(const struct lw_series *series, size_t from, size_t count)
{
	struct lw_series part = *series;

	part.seconds += from;
	part.levels += from;
	part.count = count;
	return part;
}

/* Three and a half cycles, from wherever in the first one. */
START_TEST(any_moment_will_do)
{
	struct lw_series part;
	const struct lw_seen *seen;
	size_t from, cycle, rows;

	film(patterns[_i], 6, 23);
	cycle = (size_t)(made.period_s * 30 * 0.97);
	rows = cycle * 9 / 2;
	ck_assert_uint_lt(rows + cycle, made.series.count);
	for (from = 0; from < cycle;
	     from += 1 + cycle / (is_short() ? 3 : 20)) {
		part = part_of(&made.series, from, rows);
		seen = see(&part, NULL);
		ck_assert_msg(cell_right(seen->text, patterns[_i]),
		    "%s from row %zu is read as \"%s\"", patterns[_i], from,
		    seen->text);
	}
}
END_TEST

/* What runs backwards reads backwards. */
START_TEST(backwards)
{
	static const char *const both[][2] = {{"1", "1"}, {"7", "7"},
	    {"12", "12"}, {"3-2", "2-3"}, {"1-4-2", "2-4-1"}, {"2L3S", "3S2L"},
	    {"2L1S1L", "1L1S2L"}, {"2.5Hz/50%", "2.5Hz/50%"}, {"3+7", "7+3"}};
	size_t i, last;
	double s;

	film(both[_i][0], _i == 7 ? 12 : 4, 24);
	last = made.series.count - 1;
	for (i = 0; i < made.series.count / 2; i++) {
		s = made.levels[i];
		made.levels[i] = made.levels[last - i];
		made.levels[last - i] = s;
		s = made.seconds[i];
		made.seconds[i] = -made.seconds[last - i];
		made.seconds[last - i] = -s;
	}
	if (made.series.count % 2 == 1)
		made.seconds[last / 2] *= -1;
	ck_assert_msg(cell_right(see(&made.series, NULL)->text, both[_i][1]),
	    "%s backwards is read as %s", both[_i][0],
	    see(&made.series, NULL)->text);
}
END_TEST

/* --- a lamp that is known ---------------------------------------------------
 */

START_TEST(a_list_hides_nothing)
{
	static const char *const list[] = {"6", "8"};
	struct lw_known_lamp known = {.coding = LW_CODING_COUNT,
	    .on_s = 0.25,
	    .gap_s = 0.25,
	    .pause_s = 1.5,
	    .patterns = list,
	    .pattern_count = 2};
	const struct lw_seen *seen;
	size_t i, said = 0;

	film("7", 3, 25 + (uint64_t)_i);
	seen = see(&made.series, &known);
	ck_assert_str_eq(seen->text, "7");
	ck_assert_double_gt(seen->confidence, 0.9);
	for (i = 0; i < seen->lamps[0].remark_count; i++)
		said += strstr(seen->lamps[0].remarks[i], "list") != NULL;
	ck_assert_uint_ge(said, 1);
}
END_TEST

/* Nor does a coding that the lamp does not have. */
START_TEST(a_coding_hides_nothing)
{
	struct lw_known_lamp known = {.coding = LW_CODING_COUNT};

	film("3-2", 4, 31);
	ck_assert_str_eq(see(&made.series, &known)->text, "3-2");
	known.coding = LW_CODING_DIGITS;
	film("5", 4, 32);
	ck_assert_str_eq(see(&made.series, &known)->text, "5");
	known.coding = LW_CODING_RATE;
	film("2L3S", 4, 33);
	ck_assert_str_eq(see(&made.series, &known)->text, "2L3S");
}
END_TEST

/* What cannot be told without knowing the lamp is told where it is known. */
START_TEST(a_list_tells_what_light_cannot)
{
	static const char *const digits[] = {"1-1", "1-2", "2-1"};
	struct lw_known_lamp known = {.coding = LW_CODING_DIGITS,
	    .on_s = 0.25,
	    .gap_s = 0.25,
	    .group_gap_s = 0.7,
	    .pause_s = 1.5,
	    .patterns = digits,
	    .pattern_count = 3};
	const struct lw_seen *seen;

	film("1-1", 4, 34);
	seen = see(&made.series, NULL);
	ck_assert_str_ne(seen->text, "1-1");
	seen = see(&made.series, &known);
	ck_assert_str_eq(seen->text, "1-1");
}
END_TEST

/* What is shown, and what a lamp that lists `listed` makes of it. */
static const struct {
	const char *shown;
	enum lw_coding coding;
	const char *listed;
	const char *read;
} sharpened[] = {
    {"3+7", LW_CODING_IN_TURN, "7+3", "7+3"},
    {"3+7", LW_CODING_COUNT, "3", "3+7"},
    {"3L", LW_CODING_LONG_SHORT, "1L2S", "3L"},
    {"3S", LW_CODING_LONG_SHORT, "1L2S", "3S"},
    {"2L3S", LW_CODING_LONG_SHORT, "1L2S", "2L3S"},
    {"2.5Hz/50%", LW_CODING_RATE, "2.2Hz", "2.5Hz/50%"},
    {"2.5Hz/50%", LW_CODING_COUNT, "3", "2.5Hz/50%"},
    {"1-1", LW_CODING_LONG_SHORT, "2S1L", "2S"},
    {"7", LW_CODING_RATE, "1Hz", "7"},
    {"7", LW_CODING_STEADY, "on", "7"},
};

START_TEST(what_is_known_sharpens)
{
	struct lw_known_lamp known = {.coding = sharpened[_i].coding,
	    .on_s = 0.25,
	    .gap_s = 0.25,
	    .pause_s = 1.5,
	    .patterns = &sharpened[_i].listed,
	    .pattern_count = 1};
	const struct lw_seen *seen;
	double sum;
	size_t i;

	film(sharpened[_i].shown,
	    strstr(sharpened[_i].shown, "Hz") != NULL ? 12 : 4, 41);
	seen = see(&made.series, &known);
	ck_assert_msg(strcmp(seen->text, sharpened[_i].read) == 0,
	    "%s read as \"%s\" (%.4f), not %s", sharpened[_i].shown, seen->text,
	    seen->confidence, sharpened[_i].read);
	ck_assert_double_gt(seen->confidence, 0.9);
	sum = seen->confidence;
	for (i = 0; i < seen->also_count; i++)
		sum += seen->also[i].confidence;
	ck_assert_double_le(sum, 1);
}
END_TEST

/* 2 with a wide gap is 1-1 to the eye: no watching would settle it, and none
 * is asked for. */
START_TEST(what_looks_alike)
{
	struct lw_known_lamp known = {.coding = LW_CODING_DIGITS};
	const struct lw_seen *seen;
	size_t i, said = 0;

	film("1-1", 6, 34);
	seen = see(&made.series, &known);
	ck_assert_uint_ge(seen->also_count, 1);
	ck_assert_msg(strcmp(seen->also[0].text, "2") == 0 ||
			  strcmp(seen->also[0].text, "1-1") == 0,
	    "%s and %s", seen->text, seen->also[0].text);
	ck_assert_double_eq(seen->watch_s, 0);
	for (i = 0; i < seen->lamps->remark_count; i++) {
		said += strstr(seen->lamps->remarks[i], "look alike") != NULL;
		ck_assert_ptr_null(
		    strstr(seen->lamps->remarks[i], "would settle"));
	}
	ck_assert_uint_eq(said, 1);
}
END_TEST

/* Light that comes and goes by chance shows nothing, however long it is
 * watched; random words by a published generator, as in the bench. */
START_TEST(chance_shows_nothing)
{
	const struct lw_seen *seen;
	struct chance chance;
	size_t i;

	chance_seed(&chance, 60 + (uint64_t)_i);
	film("7", 12, 60 + (uint64_t)_i);
	for (i = 0; i < made.series.count; i++)
		made.levels[i] = chance_share(&chance) < 0.5 ? 0 : 100;
	seen = see(&made.series, NULL);
	ck_assert_str_eq(seen->text, "");
	ck_assert_double_eq(seen->confidence, 0);
}
END_TEST

/* Flashes whose ends fall on the samples' times last a sample more or less,
 * which is no other kind of gap. */
START_TEST(ends_on_samples)
{
	static double seconds[400], levels[400];
	struct lw_series series = {.count = 400,
	    .seconds = seconds,
	    .lamp_count = 1,
	    .levels = levels};
	size_t i;

	/* Five of 0.2 s, 0.2 s apart, and 1.4 s; 30 a second. */
	for (i = 0; i < 400; i++) {
		double at = fmod((double)i / 30, 3.2);

		seconds[i] = (double)i / 30;
		levels[i] = at < 1.8 && fmod(at, 0.4) < 0.2 ? 100 : 0;
	}
	ck_assert_str_eq(see(&series, NULL)->text, "5");
}
END_TEST

START_TEST(a_level_that_never_changes)
{
	const struct lw_seen *seen;
	const char *one, *other;
	size_t i;

	film("7", 3, 35);
	for (i = 0; i < made.series.count; i++)
		made.levels[i] = 50;
	seen = see(&made.series, NULL);
	ck_assert_str_eq(seen->text, "");
	ck_assert_double_eq(seen->confidence, 0);
	ck_assert_uint_eq(seen->also_count, 2);
	one = seen->also[0].text;
	other = seen->also[1].text;
	ck_assert(strcmp(one, "on") == 0 || strcmp(one, "off") == 0);
	ck_assert(strcmp(other, "on") == 0 || strcmp(other, "off") == 0);
	ck_assert_str_ne(one, other);
}
END_TEST

/* --- taps ----------------------------------------------------------------- */

static const struct lw_seen *
tapped(const double *seconds, size_t count, double until_s)
{
	const struct lw_seen *seen = NULL;
	enum lw_status status =
	    lw_taps_read(&seen, arena, seconds, count, until_s, NULL, NULL);

	ck_assert(status == LW_OK || status == LW_UNDECIDED);
	ck_assert_ptr_nonnull(seen);
	return seen;
}

/* A finger that bounces, even at the last tap, taps once. */
START_TEST(bounces)
{
	static const double taps[] = {
	    0, 0.4, 0.43, 1.8, 2.2, 3.6, 3.65, 4.0, 4.03};
	const struct lw_seen *seen = tapped(taps, COUNT(taps), 5.4);
	const struct lw_sight *sight = seen->lamps;

	ck_assert_str_eq(seen->text, "2");
	ck_assert_uint_eq(seen->cycles, 3);
	ck_assert_uint_eq(sight->stretch_count, 6);
	ck_assert_double_eq_tol(sight->stretches[5].from_s, 4, 1e-9);
	ck_assert_double_eq_tol(sight->stretches[5].to_s, 5.4, 1e-9);
	ck_assert(sight->stretches[5].open);
}
END_TEST

/* Nothing is known of the time after the last tap. */
START_TEST(no_end)
{
	static const double taps[] = {0, 0.4, 1.8, 2.2, 3.6, 4.0};
	static const double ends[] = {-1, 0, 4, NAN, INFINITY};
	const struct lw_seen *seen = tapped(taps, COUNT(taps), ends[_i]);

	ck_assert_str_eq(seen->text, "2");
	ck_assert_uint_eq(seen->lamps->stretch_count, 5);
	ck_assert(!seen->lamps->stretches[4].open);
	ck_assert_double_eq_tol(seen->lamps->stretches[4].to_s, 4, 1e-9);
}
END_TEST

Suite *
suite_light(void)
{
	Suite *suite = suite_create("light");
	TCase *tests = tcase_create("light");

	tcase_set_timeout(tests, 120);
	tcase_add_checked_fixture(tests, set_up, tear_down);
	tcase_add_loop_test(tests, grid, 0, COUNT(floors));
	tcase_add_loop_test(tests, slips_are_mended, 0, COUNT(slips));
	tcase_add_test(tests, nothing_wrong_is_sure);
	tcase_add_loop_test(
	    tests, level_and_time_have_no_scale, 0, COUNT(patterns));
	tcase_add_loop_test(tests, lamps_are_read_apart, 0, COUNT(patterns));
	tcase_add_test(tests, the_fewest_cycles_count);
	tcase_add_loop_test(tests, any_moment_will_do, 0, COUNT(patterns));
	tcase_add_loop_test(tests, backwards, 0, 9);
	tcase_add_loop_test(tests, a_list_hides_nothing, 0, 6);
	tcase_add_test(tests, a_coding_hides_nothing);
	tcase_add_test(tests, a_list_tells_what_light_cannot);
	tcase_add_loop_test(tests, what_is_known_sharpens, 0, COUNT(sharpened));
	tcase_add_test(tests, what_looks_alike);
	tcase_add_loop_test(tests, chance_shows_nothing, 0, 8);
	tcase_add_test(tests, ends_on_samples);
	tcase_add_test(tests, a_level_that_never_changes);
	tcase_add_test(tests, bounces);
	tcase_add_loop_test(tests, no_end, 0, 5);
	suite_add_tcase(suite, tests);
	return suite;
}
