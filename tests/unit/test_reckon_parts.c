/* reckon: what is worked out of parts, and of a meter's reading. */
#include "unit/reckoned.h"
#include "unit/suites.h"

#include <lampwright/quantity.h>

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct lw_arena *arena;
static const struct lw_reckoning *reckoning;
static char given[1000];

static void
set_up(void)
{
	arena = lw_arena_new();
	ck_assert_ptr_nonnull(arena);
	srand(11);
}

static void
tear_down(void)
{
	lw_arena_free(arena);
}

/* Reckon with what stands in `given`. */
static void
reckon_it(const char *name)
{
	struct lw_err err = {.column = 0};
	enum lw_status status;

	/* Nothing of the one before is kept. */
	lw_arena_free(arena);
	arena = lw_arena_new();
	status = reckoned(&reckoning, arena, name, given, &err);
	ck_assert_msg(status == LW_OK, "%s, %s: %s", name, given, err.text);
}

static double
result_of(const char *name)
{
	const struct lw_reckon_result *result =
	    reckoned_result(reckoning, name);

	ck_assert_msg(result->is_number, "%s: %s", given, result->text);
	return lw_quantity_from(result->value, result->unit);
}

static const char *
words_of(const char *name)
{
	return reckoned_result(reckoning, name)->text;
}

static void
near_to(double is, double expected, double share)
{
	ck_assert_msg(fabs(is - expected) <= share * fabs(expected) + 1e-15,
	    "%s: %.9g, expected %.9g", given, is, expected);
}

static double
random_from(double low, double high)
{
	return low + (high - low) * rand() / RAND_MAX;
}

START_TEST(published)
{
	ck_assert_uint_ge(reckoned_table("reckon-parts.tsv"), 290);
}
END_TEST

/* --- resistors --------------------------------------------------------------
 */

/* IEC 60063, in tenths. */
static const unsigned e24[] = {10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
    33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91};

/* What the colours say, by a table of the test's own (IEC 60062, from
 * memory): digits by their order, gold and silver below one. */
static double
decode(const char *bands, unsigned digits)
{
	static const char *const order[] = {"silver", "gold", "black", "brown",
	    "red", "orange", "yellow", "green", "blue", "violet", "grey",
	    "white"};
	char copy[200], *rest = copy, *band;
	double value = 0;
	unsigned i, place = 0;

	snprintf(copy, sizeof copy, "%s", bands);
	while ((band = strsep(&rest, ",")) != NULL && place <= digits) {
		band += strspn(band, " ");
		for (i = 0; strcmp(order[i], band) != 0;)
			ck_assert_uint_lt(++i, COUNT(order));
		if (place++ < digits)
			value = value * 10 + (int)i - 2;
		else
			value *= pow(10, (int)i - 2);
	}
	return value;
}

static void
check_marks(double ohms, const char *stated, unsigned digits)
{
	char code[100];

	snprintf(given, sizeof given, "value=%.6g ohm %s", ohms, stated);
	reckon_it("resistor");
	near_to(result_of("resistance"), ohms, 1e-9);
	if (digits == 2) {
		near_to(decode(words_of("bands-short"), 2), ohms, 1e-9);
		ck_assert_ptr_nonnull(
		    strstr(words_of("bands-short"), ", gold"));
	}
	near_to(decode(words_of("bands-long"), 3), ohms, 1e-9);
	/* Both read back. */
	snprintf(code, sizeof code, "%s", words_of("marked"));
	snprintf(given, sizeof given, "bands=%s",
	    words_of(digits == 2 ? "bands-short" : "bands-long"));
	reckon_it("resistor");
	near_to(result_of("resistance"), ohms, 1e-9);
	snprintf(given, sizeof given, "code=%s", code);
	reckon_it("resistor");
	near_to(result_of("resistance"), ohms, 1e-9);
}

START_TEST(marks_of_preferred_values)
{
	unsigned i;
	int decade;

	for (decade = -1; decade <= 5; decade++) {
		for (i = 0; i < COUNT(e24); i++)
			check_marks(e24[i] * pow(10, decade), "5%", 2);
		for (i = 0; i < 96; i++)
			check_marks(round(100 * pow(10, i / 96.0)) *
					pow(10, decade - 1),
			    "1%", 3);
	}
}
END_TEST

static bool
is_listed(const char *series)
{
	const char *list = words_of("series");
	size_t n = strlen(series);

	for (; (list = strstr(list, series)) != NULL; list++)
		if (list[n] == '\0' || list[n] == ',')
			return true;
	return false;
}

static bool
is_every(unsigned tenths, unsigned step)
{
	unsigned i;

	for (i = 0; i < COUNT(e24); i += step)
		if (e24[i] == tenths)
			return true;
	return false;
}

/* Each number of three digits: E3, E6, E12 are every eighth, fourth, second
 * of E24 (IEC 60063); E96 is round(10^(k/96), 2), E48 every second of it. */
START_TEST(series_of_all_values)
{
	unsigned n, k;
	bool e48, e96;

	for (n = 100; n < 1000; n++) {
		snprintf(given, sizeof given, "value=%u ohm", n);
		reckon_it("resistor");
		for (k = 0, e48 = e96 = false; k < 96; k++)
			if (lround(100 * pow(10, k / 96.0)) == (long)n) {
				e96 = true;
				e48 = k % 2 == 0;
			}
		ck_assert_int_eq(
		    is_listed("E24"), n % 10 == 0 && is_every(n / 10, 1));
		ck_assert_int_eq(
		    is_listed("E12"), n % 10 == 0 && is_every(n / 10, 2));
		ck_assert_int_eq(
		    is_listed("E6"), n % 10 == 0 && is_every(n / 10, 4));
		ck_assert_int_eq(
		    is_listed("E3"), n % 10 == 0 && is_every(n / 10, 8));
		ck_assert_int_eq(is_listed("E96"), e96);
		ck_assert_int_eq(is_listed("E48"), e48);
	}
}
END_TEST

/* --- windings ---------------------------------------------------------------
 */

static void
give_lines(double ab, double bc, double ca)
{
	snprintf(given, sizeof given, "ab=%.9f|bc=%.9f|ca=%.9f", ab, bc, ca);
	reckon_it("winding");
}

/* Two legs of a wye in series; a leg of a delta beside the other two. */
START_TEST(windings_by_their_circuit)
{
	double a, b, c;
	unsigned i;

	for (i = 0; i < 200; i++) {
		a = random_from(0.5, 0.9);
		b = random_from(0.5, 0.9);
		c = random_from(0.5, 0.9);
		give_lines(a + b, b + c, c + a);
		near_to(result_of("wye-a"), a, 1e-6);
		near_to(result_of("wye-b"), b, 1e-6);
		near_to(result_of("wye-c"), c, 1e-6);
		near_to(result_of("wye-phase"), (a + b + c) / 3, 1e-6);
		/* a from A to B, b from B to C, c from C to A */
		give_lines(a * (b + c) / (a + b + c), b * (c + a) / (a + b + c),
		    c * (a + b) / (a + b + c));
		near_to(result_of("delta-ab"), a, 1e-5);
		near_to(result_of("delta-bc"), b, 1e-5);
		near_to(result_of("delta-ca"), c, 1e-5);
	}
	for (i = 0; i < 50; i++) {
		a = random_from(0.02, 2);
		b = a * random_from(0.98, 1.02);
		give_lines(a + b, a, b);
		ck_assert_str_eq(words_of("open-leg"), "of a delta: A to B");
	}
}
END_TEST

/* --- Hall sensors ------------------------------------------------------------
 */

/* A sensor is high over half of a turn that begins where it stands. */
static unsigned
sensed(unsigned degrees, unsigned spacing)
{
	unsigned state = 0, i;

	for (i = 0; i < 3; i++)
		state =
		    state << 1 | ((degrees + 720 - i * spacing) % 360 < 180);
	return state;
}

static unsigned
stuck_at(unsigned state, unsigned sensor, unsigned level)
{
	unsigned bit = 4u >> sensor;

	return level != 0 ? state | bit : state & ~bit;
}

/* What a motor shows that is turned from somewhere, one way or the other. */
static void
turn(unsigned spacing, unsigned from, int way, unsigned steps, int sensor,
    unsigned level)
{
	char *at = given;
	unsigned i, state;

	at += snprintf(at, 20, "states=");
	for (i = 0; i < steps; i++) {
		state = sensed(
		    (unsigned)((int)from + 3600 + way * 60 * (int)i) % 360,
		    spacing);
		if (sensor >= 0)
			state = stuck_at(state, (unsigned)sensor, level);
		at += snprintf(
		    at, 8, "%u%u%u,", state >> 2, state >> 1 & 1, state & 1);
	}
	reckon_it("hall");
}

static void
check_next(unsigned spacing, unsigned degrees)
{
	unsigned state = sensed(degrees, spacing);
	char expected[40];

	snprintf(expected, sizeof expected, "%u%u%u", state >> 2,
	    state >> 1 & 1, state & 1);
	ck_assert_str_eq(words_of("next"), expected);
}

START_TEST(sensors_as_they_stand)
{
	unsigned spacing, from, steps;
	int way;

	for (spacing = 60; spacing <= 120; spacing += 60)
		for (from = 30; from < 360; from += 60)
			for (way = -1; way <= 1; way += 2)
				for (steps = 7; steps <= 13; steps++) {
					turn(spacing, from, way, steps, -1, 0);
					ck_assert_str_eq(
					    words_of("verdict"), "right");
					ck_assert_str_eq(words_of("fits"),
					    spacing == 60 ? "60 degrees"
							  : "120 degrees");
					check_next(spacing,
					    (unsigned)((int)from + 3600 +
						       way * 60 * (int)steps) %
						360);
				}
}
END_TEST

START_TEST(sensors_that_are_stuck)
{
	unsigned spacing, from, level;
	char expected[20];
	int way, sensor;

	for (spacing = 60; spacing <= 120; spacing += 60)
		for (from = 30; from < 360; from += 60)
			for (way = -1; way <= 1; way += 2)
				for (sensor = 0; sensor < 6; sensor++) {
					level = sensor % 2 == 1;
					turn(spacing, from, way, 9, sensor / 2,
					    level);
					snprintf(expected, sizeof expected,
					    "%c, at %u", 'A' + sensor / 2,
					    level);
					ck_assert_str_eq(
					    words_of("stuck"), expected);
					ck_assert_str_eq(words_of("verdict"),
					    "one sensor is stuck");
				}
}
END_TEST

static bool
has_result(const char *name)
{
	size_t i;

	for (i = 0; i < reckoning->result_count; i++)
		if (strcmp(reckoning->results[i].name, name) == 0)
			return true;
	return false;
}

/* Rocked to and fro: two sensors change often, and none is stuck. */
START_TEST(rocking_is_not_stuck)
{
	snprintf(given, sizeof given,
	    "states=011,010,110,010,011,010,110,010,011,010,110");
	reckon_it("hall");
	ck_assert(!has_result("stuck"));
	ck_assert(!has_result("wrong-steps"));
}
END_TEST

/* --- sources, charge, meter
 * --------------------------------------------------- */

START_TEST(sources_by_their_circuit)
{
	double volts, ohms, one, two;
	unsigned i;

	for (i = 0; i < 200; i++) {
		volts = random_from(24, 120);
		ohms = random_from(0.001, 0.05);
		one = random_from(0, 100);
		two = one + random_from(20, 200);
		snprintf(given, sizeof given,
		    "volts1=%.9f|amps1=%.9f|volts2=%.9f|amps2=%.9f|at=400",
		    volts - one * ohms, one, volts - two * ohms, two);
		reckon_it("source");
		near_to(result_of("resistance"), ohms, 1e-5);
		near_to(result_of("rest-voltage"), volts, 1e-6);
		near_to(result_of("voltage-at"), volts - 400 * ohms, 1e-5);
	}
}
END_TEST

/* More volts are never less charge. */
START_TEST(charge_rises)
{
	double charge, block, before = 0, block_before = 0;
	unsigned i;

	for (i = 0; i <= 200; i++) {
		snprintf(given, sizeof given, "kind=lead|blocks=1|volts=%.4f",
		    11.5 + i * 0.0075);
		reckon_it("charge");
		charge = result_of("charge");
		block = result_of("charge-by-block");
		ck_assert(charge >= before && charge <= 1);
		ck_assert(block >= block_before && block <= 1);
		ck_assert(fabs(charge - block) <= 0.08);
		before = charge;
		block_before = block;
	}
	ck_assert(before >= 1 && block_before >= 1);
}
END_TEST

/* By the rule itself, ISO 14253-1. */
START_TEST(limits_by_the_rule)
{
	double reading, limit, spread;
	unsigned i, seen[3] = {0};
	const char *verdict;

	for (i = 0; i < 300; i++) {
		reading = rand() % 1000 / 1000.0;
		limit = reading + random_from(-0.02, 0.02);
		snprintf(given, sizeof given,
		    "reading=%.3f V|accuracy=1%% + 3|limit=%.6f V", reading,
		    limit);
		spread = 2 * (0.01 * reading + 3 * 0.001) / sqrt(3);
		reckon_it("meter");
		verdict = words_of("verdict");
		near_to(result_of("expanded-uncertainty"), spread, 1e-9);
		if (reading + spread < limit - 1e-5) {
			ck_assert_str_eq(verdict, "pass");
			seen[0]++;
		} else if (reading - spread > limit + 1e-5) {
			ck_assert_str_eq(verdict, "fail");
			seen[1]++;
		} else if (reading + spread > limit + 1e-5 &&
			   reading - spread < limit - 1e-5) {
			ck_assert_str_eq(verdict, "undecided");
			seen[2]++;
		}
	}
	ck_assert(seen[0] > 20 && seen[1] > 20 && seen[2] > 20);
}
END_TEST

Suite *
suite_reckon_parts(void)
{
	Suite *suite = suite_create("reckon_parts");
	TCase *tcase = tcase_create("reckon_parts");

	tcase_add_checked_fixture(tcase, set_up, tear_down);
	tcase_set_timeout(tcase, 60);
	tcase_add_test(tcase, published);
	tcase_add_test(tcase, marks_of_preferred_values);
	tcase_add_test(tcase, series_of_all_values);
	tcase_add_test(tcase, windings_by_their_circuit);
	tcase_add_test(tcase, sensors_as_they_stand);
	tcase_add_test(tcase, sensors_that_are_stuck);
	tcase_add_test(tcase, rocking_is_not_stuck);
	tcase_add_test(tcase, sources_by_their_circuit);
	tcase_add_test(tcase, charge_rises);
	tcase_add_test(tcase, limits_by_the_rule);
	suite_add_tcase(suite, tcase);
	return suite;
}
