/* book: what the values of a rig come to: said, worked out, usual, and what
 * contradicts. The rigs and the values are invented; what is expected was
 * worked out by hand beside each check. */
#include "unit/suites.h"

#include "book/store.h"
#include "unit/book.h"

#include <lampwright/rig.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define QUANTITY(name, in, from, to)                   \
	.id = (name), .title = (name), .part = "Part", \
	.kind = LW_VALUE_QUANTITY, .unit = (in), .low = (from), .high = (to)

static const char *const throttles[] = {"hall", "wiper", NULL};
static const char *const throttle_titles[] = {"Hall sensor", "wiper", NULL};

/* clang-format off */
static const struct lw_value values[] = {
    {QUANTITY("pack.cells", "number", 6, 60)},
    {QUANTITY("pack.full", "V", 20, 150),
	.worked = "pack.cells * if(pack.kind = lead, 2.45 V, 3.65 V)"},
    {QUANTITY("pack.half", "V", 1, 150), .worked = "pack.full / 2"},
    {QUANTITY("precharge.resistor", "ohm", 10, 100e3), .tolerance = "10 %"},
    {QUANTITY("bus.capacitor", "F", 1e-6, 1), .tolerance = "20 %"},
    {QUANTITY("fill.time", "s", 0, 1e6),
	.worked = "3 * precharge.resistor * bus.capacitor"},
    {QUANTITY("cable.size", "mm2", 2.5, 150)},
    {QUANTITY("cable.awg", "AWG", -3, 14)},
    {QUANTITY("coil.volts", "V", 5, 130)},
    {QUANTITY("coil.watts", "W", 1, 60), .usual = "12 W -50/+100 %"},
    {QUANTITY("coil.ohms", "ohm", 4, 4000),
	.worked = "coil.volts ^ 2 / coil.watts"},
    {.id = "throttle.kind", .title = "Kind of throttle", .part = "Throttle",
	.kind = LW_VALUE_CHOICE, .choices = throttles,
	.choice_titles = throttle_titles},
    {.id = "meter.volts", .title = "Meter", .part = "Meter",
	.kind = LW_VALUE_ACCURACY, .usual = "0.5 % + 2"},
    /* Two that are worked out from each other, one from itself, and some that
     * cannot be worked out at all. */
    {QUANTITY("loop.one", "V", -100, 100), .worked = "loop.two + 1 V"},
    {QUANTITY("loop.two", "V", -100, 100), .worked = "loop.one - 1 V"},
    {QUANTITY("loop.self", "V", -100, 100), .worked = "loop.self * 1"},
    {QUANTITY("odd.name", "V", -100, 100), .worked = "no.such + 1 V"},
    {QUANTITY("odd.kind", "V", -100, 100), .worked = "coil.volts * 1 A"},
    {QUANTITY("odd.zero", "V", -100, 100),
	.worked = "coil.volts / (pack.cells - pack.cells)"},
    /* What is built in cannot be brought by a pack. */
    {QUANTITY("motor", "V", 0, 1)},
};
/* clang-format on */
static const struct lw_pack values_pack = {
    .name = "values", .values = values, .value_count = COUNT(values)};

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &values_pack, 100, NULL), LW_OK);
	ck_assert_int_eq(
	    lw_rig_new(scratch.book, "cart48", NULL, 10, NULL), LW_OK);
}

static void
teardown(void)
{
	ck_assert_msg(lw_book_check(scratch.book, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	scratch_remove(&scratch);
}

static const struct lw_rig *
rig(void)
{
	const struct lw_rig *found;

	ck_assert_msg(lw_rig_get(scratch.book, scratch.arena, "cart48", &found,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	return found;
}

static const struct lw_rig_value *
value(const char *key)
{
	const struct lw_rig_value *found = lw_rig_value(rig(), key);

	ck_assert_msg(found != NULL, "there is no %s", key);
	return found;
}

static enum lw_status
try(const char *key, const char *text)
{
	struct lw_rig_pair pair = {key, text};

	return lw_rig_set(scratch.book, "cart48", &pair, 1, 20, &scratch.err);
}

static void
set(const char *key, const char *text)
{
	ck_assert_msg(
	    try(key, text) == LW_OK, "%s=%s: %s", key, text, scratch.err.text);
}

/* To a billionth: what is left is the noise of doubles. */
static void
is_about(double got, double wanted)
{
	ck_assert_msg(fabs(got - wanted) <= 1e-9 * fabs(wanted),
	    "%.17g is not "
	    "%.17g",
	    got, wanted);
}

static void
comes_to(const char *key, enum lw_known known, double nominal, double low,
    double high)
{
	const struct lw_rig_value *found = value(key);

	ck_assert_msg(
	    found->known == known, "%s is known as %d", key, (int)found->known);
	is_about(found->nominal, nominal);
	is_about(found->low, low);
	is_about(found->high, high);
	ck_assert(
	    found->low <= found->nominal && found->nominal <= found->high);
}

/* Nothing is known of it but that it is plausible, and what others leave. */
static void
is_unknown(const char *key, double low, double high)
{
	const struct lw_rig_value *found = value(key);
	double number;

	ck_assert_int_eq(found->known, LW_KNOWN_NOT);
	ck_assert_ptr_null(found->text);
	ck_assert_ptr_null(found->from);
	ck_assert(found->low >= low && found->high <= high);
	ck_assert(found->low <= found->high);
	ck_assert(!lw_rig_quantity(rig(), key, &number));
	ck_assert(!lw_rig_range(rig(), key, &number, &number));
}

START_TEST(all_that_there_are)
{
	const struct lw_value *const *all;
	size_t count, own;

	ck_assert_int_eq(lw_rig_values(scratch.book, scratch.arena, &all,
			     &count, &scratch.err),
	    LW_OK);
	lw_rig_built_in(&own);
	/* Of one id the first: "motor" stays the choice. */
	ck_assert_uint_eq(count, own + COUNT(values) - 1);
	ck_assert_str_eq(all[0]->id, "motor");
	ck_assert_int_eq(all[0]->kind, LW_VALUE_CHOICE);
	ck_assert_str_eq(all[own]->id, "pack.cells");
	ck_assert_uint_eq(rig()->value_count, count);
	ck_assert_ptr_null(lw_rig_value(rig(), "none-such"));
	ck_assert_ptr_null(lw_rig_value(NULL, "motor"));
}
END_TEST

START_TEST(nothing_is_known)
{
	double number;

	is_unknown("pack.cells", 6, 60);
	is_unknown("pack.full", 20, 150);
	is_unknown("precharge.resistor", 10, 100e3);
	is_unknown("loop.one", -100, 100);
	is_unknown("odd.name", -100, 100);
	/* ASTM B258: AWG 14 has 2.0809 mm2, 4/0 AWG has 107.22 mm2; the limits
	 * are in order. */
	ck_assert(fabs(value("cable.awg")->low * 1e6 - 2.0809) < 0.001);
	ck_assert(fabs(value("cable.awg")->high * 1e6 - 107.22) < 0.02);
	/* Of a choice all of them. */
	ck_assert_uint_eq(value("throttle.kind")->choices, 3);
	ck_assert_uint_eq(value("motor")->choices, 15);
	ck_assert(!lw_rig_quantity(NULL, "pack.full", &number));
	ck_assert(!lw_rig_range(NULL, "pack.full", &number, &number));
}
END_TEST

START_TEST(what_is_said)
{
	double low, high;

	set("pack.cells", "24");
	comes_to("pack.cells", LW_KNOWN_GIVEN, 24, 24, 24);
	set("precharge.resistor", "470 ohm 5%");
	comes_to("precharge.resistor", LW_KNOWN_GIVEN, 470, 446.5, 493.5);
	ck_assert(!value("precharge.resistor")->usual_tolerance);
	ck_assert_str_eq(value("precharge.resistor")->text, "470 ohm \xC2\xB1"
							    "5 %");
	/* No tolerance is said: the usual 10 %. */
	set("precharge.resistor", "1k");
	comes_to("precharge.resistor", LW_KNOWN_GIVEN, 1000, 900, 1100);
	ck_assert(value("precharge.resistor")->usual_tolerance);
	set("bus.capacitor", "2200 uF");
	comes_to("bus.capacitor", LW_KNOWN_GIVEN, 2.2e-3, 1.76e-3, 2.64e-3);
	/* Where none is usual either, it is what was said. */
	set("cable.size", "35 mm2");
	comes_to("cable.size", LW_KNOWN_GIVEN, 35e-6, 35e-6, 35e-6);
	ck_assert(lw_rig_range(rig(), "cable.size", &low, &high));
	is_about(low, 35);
	is_about(high, 35);
	set("throttle.kind", "wiper");
	ck_assert_uint_eq(value("throttle.kind")->choices, 2);
	ck_assert_int_eq(value("throttle.kind")->known, LW_KNOWN_GIVEN);
	/* ASTM B258: 2 AWG has 33.62 mm2. In AWG the ends are in order, too. */
	set("cable.size", "2 AWG");
	ck_assert(fabs(value("cable.size")->nominal * 1e6 - 33.62) < 0.02);
	set("cable.awg", "33.6 mm2 10 %");
	ck_assert(lw_rig_range(rig(), "cable.awg", &low, &high));
	ck_assert(low < 2 && 2 < high);
}
END_TEST

START_TEST(what_is_worked_out)
{
	const struct lw_rig_value *full;
	double number, high;

	set("pack.cells", "24");
	/* The kind is missing: 24 cells of 2.45 V or 3.65 V. */
	is_unknown("pack.full", 20, 150);
	is_about(value("pack.full")->low, 58.8);
	is_about(value("pack.full")->high, 87.6);
	set("pack.kind", "lead");
	/* 24 x 2.45 V, and half of it in another pass. */
	comes_to("pack.full", LW_KNOWN_WORKED, 58.8, 58.8, 58.8);
	comes_to("pack.half", LW_KNOWN_WORKED, 29.4, 29.4, 29.4);
	full = value("pack.full");
	ck_assert_str_eq(full->text, "58.8 V");
	ck_assert_str_eq(full->from, "24 * 2.45 V");
	ck_assert_ptr_null(full->conflict);
	ck_assert(lw_rig_quantity(rig(), "pack.full", &number));
	is_about(number, 58.8);
	/* What is said counts, and goes on into what is worked out from it. */
	set("pack.full", "57.6 V");
	comes_to("pack.full", LW_KNOWN_GIVEN, 57.6, 57.6, 57.6);
	comes_to("pack.half", LW_KNOWN_WORKED, 28.8, 28.8, 28.8);
	set("pack.full", "unknown");
	comes_to("pack.full", LW_KNOWN_WORKED, 58.8, 58.8, 58.8);
	/* 3 x 10 kohm +-5 % x 10 mF +-20 %: 300 s, 228 s to 378 s. */
	set("precharge.resistor", "10 kohm 5 %");
	set("bus.capacitor", "10000 uF");
	comes_to("fill.time", LW_KNOWN_WORKED, 300, 228, 378);
	ck_assert(lw_rig_range(rig(), "fill.time", &number, &high));
	is_about(high, 378);
	/* Rules go by what is said alone, and facts are those. */
	ck_assert_ptr_null(lw_rig_fact(rig(), "pack.full"));
}
END_TEST

START_TEST(what_is_usual)
{
	double number;

	/* 12 W, half of it to twice as much. */
	comes_to("coil.watts", LW_KNOWN_USUAL, 12, 6, 24);
	ck_assert(!value("coil.watts")->usual_tolerance);
	ck_assert_int_eq(value("meter.volts")->known, LW_KNOWN_USUAL);
	ck_assert_str_eq(value("meter.volts")->text, "0.5 % + 2");
	is_unknown("coil.ohms", 4, 4000);
	/* What rests on a usual value is no more than that: (48 V)^2 over
	 * 12 W. */
	set("coil.volts", "48 V");
	comes_to("coil.ohms", LW_KNOWN_USUAL, 192, 96, 384);
	ck_assert_ptr_nonnull(value("coil.ohms")->from);
	ck_assert(!lw_rig_quantity(rig(), "coil.ohms", &number));
	ck_assert(!lw_rig_range(rig(), "coil.ohms", &number, &number));
	set("coil.watts", "24 W");
	comes_to("coil.ohms", LW_KNOWN_WORKED, 96, 96, 96);
	set("coil.watts", "unknown");
	/* A said value never contradicts a usual one. */
	set("coil.ohms", "4000 ohm");
	ck_assert_ptr_null(value("coil.ohms")->conflict);
	set("meter.volts", "0.9% + 1 digits");
	ck_assert_int_eq(value("meter.volts")->known, LW_KNOWN_GIVEN);
	ck_assert_str_eq(value("meter.volts")->text, "0.9 % + 1 count");
	ck_assert_int_eq(try("meter.volts", "good"), LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "for meter.volts, "));
}
END_TEST

START_TEST(what_contradicts)
{
	static const struct {
		const char *cells, *full;
		bool conflict;
	} cases[] = {
	    /* 16 x 2.45 V = 39.2 V. */
	    {"16", "58.8 V", true},
	    {"16", "39.2 V", false},
	    /* Charge voltages of lead-acid, 2.35 V to 2.5 V a cell, common
	     * practice: 56.4 V to 60 V of 24 cells. */
	    {"24", "56.4 V", false},
	    {"24", "57.6 V", false},
	    {"24", "60 V", false},
	    /* A block of six cells more or less. */
	    {"30", "58.8 V", true},
	    {"18", "58.8 V", true},
	    /* Within its tolerance. */
	    {"16", "52 V 20 %", false},
	};
	const struct lw_rig_value *full;
	size_t i;

	set("pack.kind", "lead");
	for (i = 0; i < COUNT(cases); i++) {
		set("pack.cells", cases[i].cells);
		set("pack.full", cases[i].full);
		ck_assert_msg(
		    (value("pack.full")->conflict != NULL) == cases[i].conflict,
		    "%s cells, %s", cases[i].cells, cases[i].full);
	}
	set("pack.cells", "16");
	set("pack.full", "58.8 V");
	full = value("pack.full");
	ck_assert_str_eq(full->conflict,
	    "pack.full is said to be 58.8 V, and pack.cells (16) and Kind of "
	    "battery (lead-acid) give 39.2 V: one of them is wrong");
	/* It may be either. */
	comes_to("pack.full", LW_KNOWN_GIVEN, 58.8, 39.2, 58.8);
	set("pack.kind", "unknown");
	ck_assert_ptr_null(value("pack.full")->conflict);
	/* What comes out is not plausible: 60 x 3.65 V. */
	set("pack.full", "unknown");
	set("pack.kind", "lfp");
	set("pack.cells", "60");
	is_unknown("pack.full", 20, 150);
	ck_assert_str_eq(value("pack.full")->conflict,
	    "pack.full would come to 219 V by pack.cells (60) and Kind of "
	    "battery (lithium iron phosphate (LFP, LiFePO4)), and it is from "
	    "20 V to 150 V: one of them is wrong");
	is_unknown("pack.half", 1, 150);
}
END_TEST

START_TEST(loops_and_other_oddities)
{
	set("coil.volts", "48 V");
	set("pack.cells", "24");
	is_unknown("loop.one", -100, 100);
	is_unknown("loop.self", -100, 100);
	is_unknown("odd.name", -100, 100);
	is_unknown("odd.kind", -100, 100);
	is_unknown("odd.zero", -100, 100);
	/* Once one of two is said, the other follows, and agrees. */
	set("loop.one", "5 V");
	comes_to("loop.two", LW_KNOWN_WORKED, 4, 4, 4);
	ck_assert_ptr_null(value("loop.one")->conflict);
	set("loop.self", "5 V");
	ck_assert_ptr_null(value("loop.self")->conflict);
}
END_TEST

/* A row that the library cannot have written, or a pack that has changed. */
START_TEST(what_cannot_be)
{
	set("pack.kind", "lead");
	set("pack.cells", "24");
	set("pack.full", "58.8 V");
	set("throttle.kind", "hall");
	ck_assert_int_eq(
	    sqlite3_exec(scratch.book->db,
		"UPDATE rig_facts SET value = '5 V' WHERE key = 'pack.full';"
		"UPDATE rig_facts SET value = 'none' WHERE key = "
		"'throttle.kind'",
		NULL, NULL, NULL),
	    SQLITE_OK);
	/* It is not known, nor is anything put in its place; and it is said. */
	is_unknown("pack.full", 20, 150);
	ck_assert_str_eq(value("pack.full")->conflict,
	    "pack.full was said to be \"5 V\", which it cannot be: say it "
	    "anew, and until then it counts as not known");
	ck_assert_str_eq(lw_rig_fact(rig(), "pack.full"), "5 V");
	ck_assert_uint_eq(value("throttle.kind")->choices, 3);
	set("pack.full", "unknown");
	comes_to("pack.full", LW_KNOWN_WORKED, 58.8, 58.8, 58.8);
}
END_TEST

START_TEST(packs_come_and_go)
{
	const struct lw_rig *found;

	set("pack.cells", "24");
	set("throttle.kind", "hall");
	set("motor", "series");
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "values", NULL), LW_OK);
	/* They stay, behind those that are known. */
	found = rig();
	ck_assert_uint_eq(found->fact_count, 3);
	ck_assert_str_eq(found->facts[0].key, "motor");
	ck_assert_str_eq(found->facts[1].key, "pack.cells");
	ck_assert_str_eq(found->facts[1].value, "24");
	ck_assert_ptr_null(lw_rig_value(found, "pack.cells"));
	/* They cannot be said anew, but taken back. */
	ck_assert_int_eq(try("pack.cells", "16"), LW_BAD_INPUT);
	ck_assert_int_eq(try("pack.cells", "unknown"), LW_OK);
	ck_assert_int_eq(try("pack.cells", "unknown"), LW_BAD_INPUT);
	ck_assert_uint_eq(rig()->fact_count, 2);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &values_pack, 200, NULL), LW_OK);
	ck_assert_int_eq(value("throttle.kind")->known, LW_KNOWN_GIVEN);
}
END_TEST

START_TEST(a_vehicle_that_is_no_rig)
{
	const struct lw_rig_pair pairs[] = {{"pack.cells", "16"},
	    {"pack.kind", "LEAD"}, {"pack.cells", "24"}, {"pack.full", "lots"},
	    {"no.such", "1"}, {"tools", "meter, torch"},
	    {"throttle.kind", NULL}, {"coil.volts", "unknown"}};
	const struct lw_rig *found;
	double number;

	ck_assert_int_eq(lw_rig_of(scratch.book, scratch.arena, pairs,
			     COUNT(pairs), &found, &scratch.err),
	    LW_OK);
	ck_assert_str_eq(found->rig, "");
	ck_assert_uint_eq(found->fact_count, 3);
	ck_assert_str_eq(lw_rig_fact(found, "pack.kind"), "lead");
	ck_assert_uint_eq(found->tool_count, 2);
	/* The last word counts; what cannot be read was never said. */
	ck_assert(lw_rig_quantity(found, "pack.full", &number));
	is_about(number, 58.8);
	ck_assert_int_eq(lw_rig_of(scratch.book, scratch.arena, NULL, 0, &found,
			     &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(found->value_count, rig()->value_count);
	ck_assert_int_eq(lw_rig_value(found, "pack.full")->known, LW_KNOWN_NOT);
}
END_TEST

START_TEST(two_ways_to_write_it)
{
	const struct lw_value *capacitor = value("bus.capacitor")->value;
	char written[LW_SPELLING_MAX], meant[LW_SPELLING_MAX];

	/* 10 mF or 10 uF, both within 1 uF and 1 F. */
	ck_assert_int_eq(try("bus.capacitor", "10 mF 20 %"), LW_UNDECIDED);
	ck_assert_ptr_null(lw_rig_fact(rig(), "bus.capacitor"));
	ck_assert(lw_rig_spellings(capacitor, "10 mF 20 %", written, meant));
	ck_assert_str_eq(written, "10000 uF 20 %");
	ck_assert_str_eq(meant, "10 uF 20 %");
	set("bus.capacitor", meant);
	comes_to("bus.capacitor", LW_KNOWN_GIVEN, 10e-6, 8e-6, 12e-6);
	set("bus.capacitor", written);
	comes_to("bus.capacitor", LW_KNOWN_GIVEN, 10e-3, 8e-3, 12e-3);
	ck_assert(
	    lw_rig_spellings(capacitor, "4,7mF -20/+50%", written, meant));
	ck_assert_str_eq(written, "4700 uF -20/+50 %");
	ck_assert_str_eq(meant, "4.7 uF -20/+50 %");
	ck_assert(!lw_rig_spellings(capacitor, "10 uF", written, meant));
	ck_assert(!lw_rig_spellings(capacitor, "10 V", written, meant));
	ck_assert(
	    !lw_rig_spellings(value("motor")->value, "series", written, meant));
}
END_TEST

START_TEST(long_values)
{
	static const char *const keys[] = {"pack.cells", "pack.full",
	    "bus.capacitor", "throttle.kind", "meter.volts", "no.such"};
	char text[1100];
	size_t i, length;

	for (i = 0; i < COUNT(keys); i++)
		for (length = 90; length < sizeof text; length += 101) {
			memset(text, '1', length);
			text[length] = '\0';
			ck_assert_int_eq(try(keys[i], text), LW_BAD_INPUT);
			ck_assert_uint_lt(strlen(scratch.err.text), 500);
			memset(text, ' ', length);
			memcpy(text + length - 3, "x\xFF", 2);
			ck_assert_int_eq(try(keys[i], text), LW_BAD_INPUT);
		}
	ck_assert_uint_eq(rig()->fact_count, 0);
}
END_TEST

Suite *
suite_rig_values(void)
{
	Suite *suite = suite_create("rig_values");
	TCase *tests = tcase_create("values");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_test(tests, all_that_there_are);
	tcase_add_test(tests, nothing_is_known);
	tcase_add_test(tests, what_is_said);
	tcase_add_test(tests, what_is_worked_out);
	tcase_add_test(tests, what_is_usual);
	tcase_add_test(tests, what_contradicts);
	tcase_add_test(tests, loops_and_other_oddities);
	tcase_add_test(tests, what_cannot_be);
	tcase_add_test(tests, packs_come_and_go);
	tcase_add_test(tests, a_vehicle_that_is_no_rig);
	tcase_add_test(tests, two_ways_to_write_it);
	tcase_add_test(tests, long_values);
	suite_add_tcase(suite, tests);
	return suite;
}
