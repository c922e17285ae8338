/* meter: how far a reading may be off, and which band it is in. */
#include "unit/suites.h"

#include "meter/accuracy.h"
#include "meter/verdict.h"

#include <lampwright/status.h>

#include <math.h>
#include <stdint.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Published values have four digits. */
static void
near_to(double is, double expected)
{
	ck_assert_msg(fabs(is - expected) <= 0.51e-3 * fabs(expected) ||
			  fabs(is - expected) < 1e-12,
	    "%.9g, expected %.9g", is, expected);
}

/* --- accuracy ------------------------------------------------------------ */

/* a = percent |y| + counts step; u = a / sqrt 3: JCGM 100:2008 (GUM), 4.3.7,
 * from memory; U = 2 u: NIST TN 1297, section 6. Worked out by hand. */
START_TEST(accuracy_of_readings)
{
	static const struct {
		const char *stated;
		double reading, step, limit, standard, expanded;
	} cases[] = {
	    {"0.5 % + 2", 48.00, 0.01, 0.2600, 0.1501, 0.3002},
	    {"0.5 % + 2", 48.0, 0.1, 0.4400, 0.2540, 0.5081},
	    {"0.5 % + 2", 0.185, 0.001, 0.002925, 0.001689, 0.003377},
	    {"0.5 % + 2", 2.50, 0.01, 0.03250, 0.01876, 0.03753},
	    {"0.9 % + 2", 1.2, 0.1, 0.2108, 0.1217, 0.2434},
	    {"0.5 % + 2", -48.00, 0.01, 0.2600, 0.1501, 0.3002},
	    {"0.5 % + 2", 48, 0, 0.2400, 0.13856, 0.27713},
	    {"0 %", 48, 0.01, 0, 0, 0},
	    {"1 %", HUGE_VAL, 0, 0, 0, 0},
	};
	struct accuracy meter;
	size_t i;

	for (i = 0; i < COUNT(cases); i++) {
		ck_assert_int_eq(
		    accuracy_parse(&meter, cases[i].stated, NULL), LW_OK);
		near_to(accuracy_limit(&meter, cases[i].reading, cases[i].step),
		    cases[i].limit);
		near_to(
		    accuracy_standard(&meter, cases[i].reading, cases[i].step),
		    cases[i].standard);
		near_to(
		    accuracy_expanded(&meter, cases[i].reading, cases[i].step),
		    cases[i].expanded);
	}
}
END_TEST

/* Uncorrelated: the root of the squares (GUM 5.1.2, from memory).
 * 52.80 V and 51.20 V by a meter of 0.5 % + 2: U of 1.60 V is 0.4573 V. */
START_TEST(accuracy_of_a_difference)
{
	const struct accuracy meter = {.percent = 0.5, .counts = 2};

	near_to(hypot(accuracy_expanded(&meter, 52.80, 0.01),
		    accuracy_expanded(&meter, 51.20, 0.01)),
	    0.4573);
}
END_TEST

START_TEST(accuracy_texts)
{
	static const struct {
		const char *text;
		double percent, counts;
		const char *written;
	} cases[] = {
	    {"0.5% + 2", 0.5, 2, "0.5 % + 2 counts"},
	    {"0.5%+2", 0.5, 2, "0.5 % + 2 counts"},
	    {"0,5 % + 2", 0.5, 2, "0.5 % + 2 counts"},
	    {"0.9 % + 1 digits", 0.9, 1, "0.9 % + 1 count"},
	    {"1%", 1, 0, "1 %"},
	    {" 1 % ", 1, 0, "1 %"},
	    {"\xC2\xB1(0.5 % + 2 counts)", 0.5, 2, "0.5 % + 2 counts"},
	    {"+/-(0.5% of reading + 2 dgts)", 0.5, 2, "0.5 % + 2 counts"},
	    {"+/- 0.5 % rdg + 2 LSD", 0.5, 2, "0.5 % + 2 counts"},
	    {"3 counts", 0, 3, "0 % + 3 counts"},
	    {"0 %", 0, 0, "0 %"},
	    {"100 % + 1000", 100, 1000, "100 % + 1000 counts"},
	    {".025 % + 0.5 d", 0.025, 0.5, "0.025 % + 0.5 counts"},
	};
	struct accuracy meter, again;
	char text[ACCURACY_MAX];
	struct lw_err err;
	size_t i;

	for (i = 0; i < COUNT(cases); i++) {
		ck_assert_msg(
		    accuracy_parse(&meter, cases[i].text, &err) == LW_OK,
		    "%s: %s", cases[i].text, err.text);
		ck_assert(meter.percent == cases[i].percent);
		ck_assert(meter.counts == cases[i].counts);
		accuracy_format(text, &meter);
		ck_assert_str_eq(text, cases[i].written);
		ck_assert_int_eq(accuracy_parse(&again, text, NULL), LW_OK);
		ck_assert(again.percent == meter.percent);
		ck_assert(again.counts == meter.counts);
	}
	meter = (struct accuracy){100.0 / 3, 1000.0 / 3};
	accuracy_format(text, &meter);
	ck_assert_str_eq(text, "33.3333 % + 333.333 counts");
}
END_TEST

START_TEST(accuracy_refuses)
{
	static const struct {
		const char *text;
		unsigned column;
		const char *says;
	} cases[] = {
	    {"", 1, "\"0.5 % + 2\""},
	    {"good", 1, "percent of the reading"},
	    {"0.5", 4, "percent of the reading"},
	    {"0.5 + 2", 5, "percent of the reading"},
	    {"2 counts + 0.5 %", 10, "percent of the reading"},
	    {"0.5 % + 2 mV", 11, "percent of the reading"},
	    {"0.5 % + 2 + 1", 11, "percent of the reading"},
	    {"0.5 % + 2 %", 9, "percent of the reading"},
	    {"0.5 % of range + 2", 7, "percent of the reading"},
	    {"(0.5 % + 2", 11, "percent of the reading"},
	    {"0.5 % + 2)", 10, "percent of the reading"},
	    {"-0.5 % + 2", 1, "percent of the reading"},
	    {"0.5 % + -2", 9, "percent of the reading"},
	    {"1.2.3 %", 6, "percent of the reading"},
	    {"1e3 %", 2, "percent of the reading"},
	    {"nan %", 1, "percent of the reading"},
	    {"101 %", 1, "from 0 to 100"},
	    {"1 % + 1001", 7, "from 0 to 1000"},
	    {"\xC2\xB1 101 %", 3, "from 0 to 100"},
	    {"0.00000000000000000001 %", 21, "percent of the reading"},
	};
	struct accuracy meter = {7, 7};
	char much[300];
	struct lw_err err;
	size_t i;

	for (i = 0; i < COUNT(cases); i++) {
		ck_assert_msg(
		    accuracy_parse(&meter, cases[i].text, &err) == LW_BAD_INPUT,
		    "%s", cases[i].text);
		ck_assert_msg(strstr(err.text, cases[i].says) != NULL, "%s: %s",
		    cases[i].text, err.text);
		ck_assert_msg(err.column == cases[i].column, "%s: column %u",
		    cases[i].text, err.column);
	}
	memset(much, '1', sizeof much);
	much[sizeof much - 1] = '\0';
	ck_assert_int_eq(accuracy_parse(&meter, much, NULL), LW_BAD_INPUT);
	ck_assert(meter.percent == 7 && meter.counts == 7);
}
END_TEST

/* --- verdicts --------------------------------------------------------------
 */

enum { BANDS_MAX = 6 };

/* Bands with these ends between them. */
static size_t
chain(
    struct verdict_band *bands, const struct verdict_edge *edges, size_t count)
{
	size_t i;

	memset(bands, 0, BANDS_MAX * sizeof *bands);
	for (i = 0; i < count; i++) {
		bands[i].below = edges[i];
		bands[i + 1].from = edges[i];
	}
	return count + 1;
}

static struct verdict
judge(const struct verdict_edge *edges, size_t count, double reading,
    double expanded)
{
	struct verdict_band bands[BANDS_MAX];
	struct verdict verdict;

	verdict_judge(
	    &verdict, bands, chain(bands, edges, count), reading, expanded);
	return verdict;
}

static struct verdict
judge_by(const struct verdict_edge *edges, size_t count, const char *stated,
    double reading, double step)
{
	struct accuracy meter;

	ck_assert_int_eq(accuracy_parse(&meter, stated, NULL), LW_OK);
	return judge(
	    edges, count, reading, accuracy_expanded(&meter, reading, step));
}

/* Pass y + U <= L, fail y - U > L, otherwise undecided: ISO 14253-1. The drop
 * along a cable, at most 0.200 V (Army TM 9-2320-211-20), by a meter of
 * 0.5 % + 2 on a range that shows millivolts. */
START_TEST(drop_of_a_cable)
{
	static const struct verdict_edge limit[] = {{true, 0.200, 0.200}};
	struct verdict verdict;

	verdict = judge_by(limit, 1, "0.5 % + 2", 0.185, 0.001);
	ck_assert(!verdict.close && verdict.band == 0);
	near_to(verdict.margin, 0.015);

	verdict = judge_by(limit, 1, "0.5 % + 2", 0.198, 0.001);
	ck_assert(verdict.close && verdict.band == 0 && verdict.other == 1);
	ck_assert(!verdict.by_rig && verdict.edge == 0.2);
	near_to(verdict.margin, 0.002);

	verdict = judge_by(limit, 1, "0.5 % + 2", 0.2015, 0.001);
	ck_assert(verdict.close && verdict.band == 1 && verdict.other == 0);
	ck_assert(!verdict.by_rig && verdict.edge == 0.2);
	near_to(verdict.margin, 0.0015);

	verdict = judge_by(limit, 1, "0.5 % + 2", 0.210, 0.001);
	ck_assert(!verdict.close && verdict.band == 1);
}
END_TEST

/* A resistor of 470 ohm, 5 %: 446.5 to 493.5 ohm, by a meter of 0.9 % + 1
 * that shows tenths. The same rule, at both ends. */
START_TEST(resistor_of_five_percent)
{
	static const struct verdict_edge ends[] = {
	    {true, 446.5, 446.5}, {true, 493.5, 493.5}};
	static const struct {
		double ohms;
		size_t band;
		bool close;
		size_t other;
	} cases[] = {{440, 0, false, 0}, {448, 1, true, 0}, {455, 1, false, 0},
	    {493, 1, true, 2}, {500, 2, false, 0}};
	struct verdict verdict;
	size_t i;

	for (i = 0; i < COUNT(cases); i++) {
		verdict = judge_by(ends, 2, "0.9 % + 1", cases[i].ohms, 0.1);
		ck_assert_uint_eq(verdict.band, cases[i].band);
		ck_assert_int_eq(verdict.close, cases[i].close);
		if (verdict.close)
			ck_assert_uint_eq(verdict.other, cases[i].other);
	}
}
END_TEST

/* From is in the band, below is not. */
START_TEST(ends_without_a_meter)
{
	static const struct verdict_edge ends[] = {
	    {true, 40, 40}, {true, 60, 60}};

	ck_assert_uint_eq(judge(ends, 2, 39.999, 0).band, 0);
	ck_assert_uint_eq(judge(ends, 2, 40, 0).band, 1);
	ck_assert_uint_eq(judge(ends, 2, 59.999, 0).band, 1);
	ck_assert_uint_eq(judge(ends, 2, 60, 0).band, 2);
	ck_assert(!judge(ends, 2, 40, 0).close);
	ck_assert(!judge(ends, 2, 60, 0).close);
	/* Right on the line no meter would do. */
	ck_assert(judge(ends, 2, 40, 1e-9).close);
	ck_assert(judge(ends, 2, 40, 1e-9).margin == 0);
}
END_TEST

START_TEST(open_and_beyond)
{
	static const struct verdict_edge ends[] = {{true, 1, 1}};
	static const struct verdict_edge unknown[] = {{true, -1e30, 1e30}};
	struct verdict verdict;

	verdict = judge(ends, 1, HUGE_VAL, 0);
	ck_assert(!verdict.close && verdict.band == 1);
	verdict = judge(ends, 1, HUGE_VAL, HUGE_VAL);
	ck_assert(!verdict.close && verdict.band == 1);
	verdict = judge(ends, 1, -HUGE_VAL, 5);
	ck_assert(!verdict.close && verdict.band == 0);
	verdict = judge(unknown, 1, HUGE_VAL, 0);
	ck_assert(!verdict.close && verdict.band == 1);
	verdict = judge(ends, 1, 5, HUGE_VAL);
	ck_assert(verdict.close && verdict.band == 1 && verdict.other == 0);
	near_to(verdict.margin, 4);
}
END_TEST

/* One band is always clear. */
START_TEST(one_band)
{
	struct verdict_band band = {0};
	struct verdict verdict;

	verdict_judge(&verdict, &band, 1, -3, 1000);
	ck_assert(!verdict.close && verdict.band == 0);
	ck_assert(isinf(verdict.margin));
}
END_TEST

/* A shunt that reads both ways; invented. */
START_TEST(below_zero)
{
	static const struct verdict_edge ends[] = {
	    {true, -2, -2}, {true, -0.5, -0.5}, {true, 0, 0}};
	struct verdict verdict;

	verdict = judge(ends, 3, -1, 0.1);
	ck_assert(!verdict.close && verdict.band == 1);
	verdict = judge(ends, 3, -1.95, 0.1);
	ck_assert(verdict.close && verdict.band == 1 && verdict.other == 0);
	verdict = judge(ends, 3, -2.05, 0.1);
	ck_assert(verdict.close && verdict.band == 0 && verdict.other == 1);
	verdict = judge(ends, 3, -0.0, 0);
	ck_assert(!verdict.close && verdict.band == 3);
}
END_TEST

/* The meter cannot tell three bands apart: the nearest other one is named. */
START_TEST(three_bands)
{
	static const struct verdict_edge ends[] = {
	    {true, 10, 10}, {true, 11, 11}, {true, 20, 20}};
	struct verdict verdict;

	verdict = judge(ends, 3, 10.7, 2);
	ck_assert(verdict.close && verdict.band == 1 && verdict.other == 2);
	ck_assert(verdict.edge == 11);
	near_to(verdict.margin, 0.3);
	verdict = judge(ends, 3, 10.3, 2);
	ck_assert(verdict.close && verdict.band == 1 && verdict.other == 0);
	verdict = judge(ends, 3, 10.5, 2);
	ck_assert(verdict.close && verdict.band == 1 && verdict.other == 0);
	verdict = judge(ends, 3, 11.5, 2);
	ck_assert(verdict.close && verdict.band == 2 && verdict.other == 1);
	/* Narrower than what the meter may be off: never clear. */
	ck_assert(judge(ends, 3, 10.5, 0.5).close);
	ck_assert(!judge(ends, 3, 10.5, 0.49).close);
}
END_TEST

/* An end of which a value is not known: 40 to 44 V. */
START_TEST(unknown_end)
{
	static const struct verdict_edge ends[] = {
	    {true, 40, 44}, {true, 60, 60}};
	struct verdict verdict;

	verdict = judge(ends, 2, 39.9, 0);
	ck_assert(!verdict.close && verdict.band == 0);
	verdict = judge(ends, 2, 44, 0);
	ck_assert(!verdict.close && verdict.band == 1);

	/* Within, no meter helps, and knowing the value does. */
	verdict = judge(ends, 2, 41, 0);
	ck_assert(verdict.close && verdict.by_rig && verdict.margin == 0);
	ck_assert(verdict.band == 0 && verdict.other == 1);
	ck_assert(verdict.edge == 42);
	verdict = judge(ends, 2, 40, 0);
	ck_assert(verdict.close && verdict.by_rig && verdict.band == 0);
	verdict = judge(ends, 2, 43, 0.2);
	ck_assert(verdict.close && verdict.by_rig && verdict.band == 1);

	/* Just outside, either would help. */
	verdict = judge(ends, 2, 39.9, 0.2);
	ck_assert(verdict.close && verdict.by_rig);
	near_to(verdict.margin, 0.1);

	/* Too close to the end that is known: knowing the other is no help. */
	verdict = judge(ends, 2, 59.9, 0.2);
	ck_assert(verdict.close && !verdict.by_rig && verdict.other == 2);
	near_to(verdict.margin, 0.1);

	/* Off by more than all that the end can be. */
	verdict = judge(ends, 2, 42, 5);
	ck_assert(verdict.close && !verdict.by_rig);
}
END_TEST

/* Both ends of the expected band depend on what is not known. */
START_TEST(unknown_ends)
{
	static const struct verdict_edge ends[] = {
	    {true, 10, 20}, {true, 15, 30}, {true, 100, 100}};
	struct verdict verdict;

	verdict = judge(ends, 3, 17, 0);
	ck_assert(verdict.close && verdict.by_rig && verdict.band == 1);
	verdict = judge(ends, 3, 9, 0.5);
	ck_assert(!verdict.close && verdict.band == 0);
	verdict = judge(ends, 3, 25, 0);
	ck_assert(verdict.close && verdict.by_rig && verdict.band == 2);
	ck_assert(verdict.other == 1);
	verdict = judge(ends, 3, 40, 9);
	ck_assert(!verdict.close && verdict.band == 2);
}
END_TEST

static double
random_to(uint64_t *state, double most)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return most * (double)(*state >> 11) / 9007199254740992.0;
}

/* Where ends and a value within what the meter says may lie decides whether
 * it was right to call it clear, and whether a margin is one. */
START_TEST(verdicts_hold)
{
	struct verdict_edge ends[4], sharp[4];
	struct verdict verdict, known;
	uint64_t state = 42;
	double reading, expanded, at;
	unsigned round, sample, clear = 0;
	size_t i;

	for (round = 0; round < 4000; round++) {
		for (i = 0, at = 0; i < 4; i++) {
			at += 0.1 + random_to(&state, 5);
			ends[i].there = true;
			ends[i].low = at;
			ends[i].high = at;
			if (random_to(&state, 1) < 0.4)
				ends[i].high = at += random_to(&state, 2);
		}
		reading = random_to(&state, 20);
		expanded = random_to(&state, 1);
		verdict = judge(ends, 4, reading, expanded);
		ck_assert_int_eq(verdict.close, !(expanded < verdict.margin));
		if (verdict.close) {
			ck_assert_uint_ne(verdict.band, verdict.other);
			continue;
		}
		clear++;
		for (sample = 0; sample < 20; sample++) {
			memcpy(sharp, ends, sizeof sharp);
			for (i = 0; i < 4; i++)
				sharp[i].low = sharp[i].high =
				    ends[i].low +
				    random_to(
					&state, ends[i].high - ends[i].low);
			known = judge(sharp, 4,
			    reading - expanded +
				random_to(&state, 2 * expanded),
			    0);
			ck_assert_uint_eq(known.band, verdict.band);
		}
	}
	ck_assert_uint_gt(clear, 1000);
}
END_TEST

Suite *
suite_verdict(void)
{
	Suite *suite = suite_create("verdict");
	TCase *tcase = tcase_create("verdict");

	tcase_add_test(tcase, accuracy_of_readings);
	tcase_add_test(tcase, accuracy_of_a_difference);
	tcase_add_test(tcase, accuracy_texts);
	tcase_add_test(tcase, accuracy_refuses);
	tcase_add_test(tcase, drop_of_a_cable);
	tcase_add_test(tcase, resistor_of_five_percent);
	tcase_add_test(tcase, ends_without_a_meter);
	tcase_add_test(tcase, open_and_beyond);
	tcase_add_test(tcase, one_band);
	tcase_add_test(tcase, below_zero);
	tcase_add_test(tcase, three_bands);
	tcase_add_test(tcase, unknown_end);
	tcase_add_test(tcase, unknown_ends);
	tcase_add_test(tcase, verdicts_hold);
	suite_add_tcase(suite, tcase);
	return suite;
}
