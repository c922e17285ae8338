/* meter: readings as people type them, and as they are written back. */
#include "unit/suites.h"
#include "unit/table.h"

#include "base/utf8.h"
#include "meter/bleed.h"
#include "meter/unit.h"

#include <lampwright/reading.h>

#include <math.h>
#include <stdint.h>

static void
check_row(const struct table *row)
{
	const char *text = row->field[0], *expected = row->field[2];
	struct lw_err err = {.column = 0};
	enum lw_status status;
	double value = -777;
	unsigned column;

	status = lw_reading_parse(&value, text, row->field[1], &err);
	if (strncmp(expected, "error ", 6) == 0) {
		column = (unsigned)strtoul(expected + 6, NULL, 10);
		ck_assert_msg(status == LW_BAD_INPUT, "row %u: %s read as %g",
		    row->row, text, value);
		ck_assert_int_eq(err.code, LW_BAD_INPUT);
		ck_assert_msg(err.column == column, "row %u: %s: column %u: %s",
		    row->row, text, err.column, err.text);
		ck_assert_msg(strstr(err.text, row->field[3]) != NULL,
		    "row %u: %s: %s", row->row, text, err.text);
		ck_assert(value == -777);
		return;
	}
	ck_assert_msg(status == LW_OK, "row %u: %s: column %u: %s", row->row,
	    text, err.column, err.text);
	if (strcmp(expected, "OL") == 0)
		ck_assert_msg(isinf(value) && value > 0, "row %u: %s: %g",
		    row->row, text, value);
	else
		ck_assert_msg(value == strtod(expected, NULL),
		    "row %u: %s: %.17g", row->row, text, value);
}

START_TEST(readings_table)
{
	struct table table;
	unsigned rows = 0;

	table_open(&table, "readings.tsv");
	for (; table_next(&table); rows++)
		check_row(&table);
	table_close(&table);
	ck_assert_uint_ge(rows, 100);
}
END_TEST

START_TEST(units_known)
{
	static const char *const known[] = {"V", "mV", "uV", "A", "mA", "uA",
	    "ohm", "kohm", "Mohm", "mohm", "Hz", "kHz", "s", "ms", "min", "h",
	    "%", "degC", "W", "kW", "Ah", "F", "mF", "uF", "nF", "rpm", "volts",
	    "\xC2\xB0"
	    "C",
	    "k\xCE\xA9", "k\xE2\x84\xA6",
	    "\xC2\xB5"
	    "F"};
	static const char *const unknown[] = {"", " ", "k", "M", "R", "m", "X",
	    " V", "V ", "MV", "Vx", "H", "\xFF", "V\n", "5 V",
	    "a name that is far too long for any unit there is"};
	size_t i;

	for (i = 0; i < sizeof known / sizeof known[0]; i++)
		ck_assert_msg(lw_unit_known(known[i]), "%s", known[i]);
	for (i = 0; i < sizeof unknown / sizeof unknown[0]; i++)
		ck_assert_msg(!lw_unit_known(unknown[i]), "%s", unknown[i]);
}
END_TEST

START_TEST(milli_is_not_mega)
{
	double milli, mega;

	ck_assert_int_eq(
	    lw_reading_parse(&milli, "10 mohm", "ohm", NULL), LW_OK);
	ck_assert_int_eq(
	    lw_reading_parse(&mega, "10 Mohm", "ohm", NULL), LW_OK);
	ck_assert(milli == 0.01);
	ck_assert(mega == 1e7);
	ck_assert(unit_find("mV", 2, false) != unit_find("V", 1, false));
	ck_assert_ptr_null(unit_find("MA", 2, true));
}
END_TEST

START_TEST(format_writes)
{
	static const struct {
		double value;
		const char *unit, *text;
	} cases[] = {
	    {12.4, "V", "12.4 V"},
	    {0.185, "V", "0.185 V"},
	    {-0.0, "V", "0 V"},
	    {-12, "V", "-12 V"},
	    {HUGE_VAL, "ohm", "OL"},
	    {4700, "ohm", "4700 ohm"},
	    {95, "%", "95 %"},
	    {1e-6, "F", "0.000001 F"},
	    {0.1 + 0.2, "A", "0.30000000000000004 A"},
	};
	char text[LW_READING_MAX];
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		lw_reading_format(text, cases[i].value, cases[i].unit);
		ck_assert_str_eq(text, cases[i].text);
	}
	lw_reading_format(text, NAN, "V");
	ck_assert_ptr_null(strstr(text, "nan"));
	/* A long unit is cut between characters. */
	lw_reading_format(text, -1.2345678901234567e-300,
	    "\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9"
	    "\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9"
	    "\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9\xCE\xA9");
	ck_assert_uint_lt(strlen(text), LW_READING_MAX);
	ck_assert_uint_eq(utf8_valid(text, strlen(text)), strlen(text));
}
END_TEST

/* A repeatable stream of numbers; Marsaglia's xorshift of 64 bits. */
static uint64_t
next(uint64_t *state)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return *state;
}

/* Whatever is written reads back to the same value, in its unit. */
START_TEST(format_reads_back)
{
	static const char *const units[] = {
	    "V", "mV", "A", "kohm", "h", "degC", "uF", "%", "rpm"};
	uint64_t state = 20240611;
	char text[LW_READING_MAX];
	struct lw_err err;
	double value, back;
	int i;

	for (i = 0; i < 20000; i++) {
		const char *unit = units[next(&state) % 9];

		value = (double)(int64_t)next(&state) /
			pow(10, (double)(next(&state) % 24));
		if (next(&state) % 2)
			value = (double)(next(&state) % 100000) / 1000;
		lw_reading_format(text, value, unit);
		ck_assert_msg(
		    lw_reading_parse(&back, text, unit, &err) == LW_OK,
		    "%s: %s", text, err.text);
		ck_assert_msg(back == value, "%s: %.17g", text, back);
	}
}
END_TEST

/* Any bytes at all: a status, and a sentence in UTF-8 with what it shows. */
START_TEST(random_bytes_are_survived)
{
	static const char *const parts[] = {"1", "2", ",", ".", "e", "-", "V",
	    "k", "m", "M", "R", "O", "L", " ", "\xC2\xB5", "\xCE\xA9", "\xFF",
	    "\x1b", "0"};
	uint64_t state = 7;
	char text[140];
	struct lw_err err;
	double value;
	int i, j, n;

	for (i = 0; i < 50000; i++) {
		text[0] = '\0';
		n = (int)(next(&state) % 14);
		for (j = 0; j < n; j++)
			strcat(text, parts[next(&state) % 19]);
		if (lw_reading_parse(&value, text, "ohm", &err) == LW_OK)
			continue;
		ck_assert_int_eq(err.code, LW_BAD_INPUT);
		ck_assert_uint_eq(
		    utf8_valid(err.text, strlen(err.text)), strlen(err.text));
		ck_assert_ptr_null(strchr(err.text, '\x1b'));
		ck_assert_uint_ge(err.column, 1);
		ck_assert_uint_le(
		    err.column, utf8_count(text, strlen(text)) + 1);
	}
	memset(text, '1', sizeof text);
	text[sizeof text - 1] = '\0';
	ck_assert_int_eq(
	    lw_reading_parse(&value, text, "V", &err), LW_BAD_INPUT);
}
END_TEST

/* A digit and no more: what follows the end is not looked at. Seen by a
 * sanitizer or valgrind. */
START_TEST(nothing_past_the_end)
{
	char *text = malloc(2);
	double value = 0;

	memcpy(text, "1", 2);
	ck_assert_int_eq(lw_reading_parse(&value, text, "V", NULL), LW_OK);
	ck_assert(value == 1);
	free(text);
}
END_TEST

/* Values computed with ngspice 39 and GNU units 2.22, which agree to the
 * four digits given here. */
START_TEST(capacitors_bleed)
{
	static const struct {
		double ohms, farads, from, to, seconds;
	} rows[] = {
	    {100, 10e-3, 96, 60, 0.4700},
	    {100, 10e-3, 96, 50, 0.6523},
	    {100, 10e-3, 96, 5, 2.955},
	    {10e3, 10e-3, 96, 50, 65.23},
	    {10e3, 10e-3, 96, 5, 295.5},
	    {100, 30e-3, 120, 50, 2.626},
	    {100, 30e-3, 120, 5, 9.534},
	    {10e6, 10e-3, 72, 50, 36460},
	};
	size_t i;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++)
		ck_assert_double_eq_tol(
		    bleed_seconds(rows[i].ohms, rows[i].farads, rows[i].from,
			rows[i].to) /
			rows[i].seconds,
		    1, 2e-4);
	/* It is below already: nothing to wait for. */
	ck_assert_double_eq(bleed_seconds(100, 10e-3, 4, 5), 0);
}
END_TEST

START_TEST(capacitors_store)
{
	static const struct {
		double farads, volts, joules;
	} rows[] = {
	    {1e-3, 48, 1.152},
	    {10e-3, 48, 11.52},
	    {30e-3, 72, 77.76},
	    {30e-3, 84, 105.8},
	    {30e-3, 120, 216.0},
	    {111.1e-6, 60, 0.2},
	    {86.81e-3, 48, 100},
	};
	size_t i;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++)
		ck_assert_double_eq_tol(
		    bleed_joules(rows[i].farads, rows[i].volts) /
			rows[i].joules,
		    1, 6e-4);
}
END_TEST

Suite *
suite_meter(void)
{
	Suite *suite = suite_create("meter");
	TCase *tests = tcase_create("meter");

	tcase_set_timeout(tests, 120);
	tcase_add_test(tests, readings_table);
	tcase_add_test(tests, units_known);
	tcase_add_test(tests, milli_is_not_mega);
	tcase_add_test(tests, format_writes);
	tcase_add_test(tests, format_reads_back);
	tcase_add_test(tests, random_bytes_are_survived);
	tcase_add_test(tests, nothing_past_the_end);
	tcase_add_test(tests, capacitors_bleed);
	tcase_add_test(tests, capacitors_store);
	suite_add_tcase(suite, tests);
	return suite;
}
