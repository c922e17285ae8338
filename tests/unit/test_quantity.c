/* quantity: what people type, what it is shown as, and what units measure. */
#include "unit/suites.h"
#include "unit/table.h"

#include <lampwright/quantity.h>
#include <lampwright/reading.h>

#include <math.h>
#include <stdint.h>

/* --- the table ------------------------------------------------------------ */

/* Half of one in the last digit of a published number. */
static double
half_a_digit(const char *number)
{
	const char *mark = strchr(number, '.'), *e = strchr(number, 'e');
	size_t end = e == NULL ? strlen(number) : (size_t)(e - number);
	int places =
	    mark == NULL ? 0 : (int)(end - (size_t)(mark - number)) - 1;
	int exponent = e == NULL ? 0 : atoi(e + 1);

	return 0.5001 * pow(10, exponent - places);
}

static void
check_values(const struct table *row, const struct lw_quantity *quantity)
{
	const char *text = row->field[3];
	double wanted, ends[2];
	char *rest;

	if (text[0] == '~') {
		wanted = strtod(text + 1, NULL);
		ck_assert_msg(
		    fabs(quantity->value - wanted) <= half_a_digit(text + 1),
		    "row %u: %.17g, and %s is published", row->row,
		    quantity->value, text + 1);
		return;
	}
	wanted = strtod(text, &rest);
	ck_assert_msg(quantity->value == wanted, "row %u: %.17g", row->row,
	    quantity->value);
	ck_assert_msg(
	    quantity->toleranced == (*rest != '\0'), "row %u", row->row);
	ends[0] = *rest == '\0' ? wanted : strtod(rest, &rest);
	ends[1] = *rest == '\0' ? wanted : strtod(rest, &rest);
	ck_assert_msg(
	    fabs(quantity->low - ends[0]) <= 1e-12 * fabs(wanted) &&
		fabs(quantity->high - ends[1]) <= 1e-12 * fabs(wanted),
	    "row %u: %.17g to %.17g", row->row, quantity->low, quantity->high);
}

static void
check_reads_back(const struct lw_quantity *quantity, const char *text)
{
	struct lw_quantity back;
	struct lw_err err;

	ck_assert_msg(lw_quantity_parse(&back, text, NULL, &err) == LW_OK,
	    "%s: %s", text, err.text);
	ck_assert_msg(back.value == quantity->value &&
			  back.low == quantity->low &&
			  back.high == quantity->high &&
			  back.number == quantity->number &&
			  back.toleranced == quantity->toleranced,
	    "%s: %.17g [%.17g %.17g], was %.17g [%.17g %.17g]", text,
	    back.value, back.low, back.high, quantity->value, quantity->low,
	    quantity->high);
	ck_assert_str_eq(back.unit, quantity->unit);
	ck_assert(lw_dimension_equal(back.dimension, quantity->dimension));
}

static void
check_row(const struct table *row)
{
	const char *text = row->field[0], *expected = row->field[2];
	const char *unit =
	    strcmp(row->field[1], "-") == 0 ? NULL : row->field[1];
	struct lw_err err = {.column = 777};
	struct lw_quantity quantity = {.value = -777};
	char shown[LW_QUANTITY_MAX];
	enum lw_status status;

	status = lw_quantity_parse(&quantity, text, unit, &err);
	if (strncmp(expected, "error ", 6) == 0) {
		ck_assert_msg(status == LW_BAD_INPUT, "row %u: %s read as %g",
		    row->row, text, quantity.value);
		ck_assert_msg(err.column == strtoul(expected + 6, NULL, 10),
		    "row %u: %s: column %u: %s", row->row, text, err.column,
		    err.text);
		ck_assert_msg(strstr(err.text, row->field[3]) != NULL,
		    "row %u: %s: %s", row->row, text, err.text);
		ck_assert(quantity.value == -777);
		ck_assert_int_eq(
		    lw_quantity_parse(&quantity, text, unit, NULL), status);
		return;
	}
	ck_assert_msg(status == LW_OK, "row %u: %s: column %u: %s", row->row,
	    text, err.column, err.text);
	lw_quantity_format(shown, &quantity);
	ck_assert_msg(strcmp(shown, expected) == 0, "row %u: %s shown as %s",
	    row->row, text, shown);
	check_values(row, &quantity);
	check_reads_back(&quantity, shown);
}

START_TEST(quantities_table)
{
	struct table table;
	unsigned rows = 0;

	table_open(&table, "quantities.tsv");
	for (; table_next(&table); rows++)
		check_row(&table);
	table_close(&table);
	ck_assert_uint_ge(rows, 200);
}
END_TEST

/* --- the last digit ------------------------------------------------------- */

START_TEST(last_digit)
{
	static const struct {
		const char *text;
		double step;
	} cases[] = {
	    {"12.40 V", 0.01},
	    {"12.4 V", 0.1},
	    {"48 V", 1},
	    {"48. V", 1},
	    {"185 mV", 0.001},
	    {"1.50 kohm", 10},
	    {"4k7", 100},
	    {"R47", 0.01},
	    {"1e3 V", 1000},
	    {"1.25e-3 V", 1e-5},
	    {"21.5 degC", 0.1},
	    {"470 ohm 5 %", 1},
	    {"2 AWG", 0},
	    {"20 to 30 A", 0},
	};
	struct lw_quantity quantity;
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		ck_assert_int_eq(
		    lw_quantity_parse(&quantity, cases[i].text, NULL, NULL),
		    LW_OK);
		ck_assert_msg(quantity.step == cases[i].step, "%s: %.17g",
		    cases[i].text, quantity.step);
	}
}
END_TEST

START_TEST(last_digit_of_readings)
{
	static const struct {
		const char *text, *unit;
		double value, step;
	} cases[] = {
	    {"12.40", "V", 12.4, 0.01},
	    {"12.40 V", "mV", 12400, 10},
	    {"185 mV", "V", 0.185, 0.001},
	    {"4k7", "ohm", 4700, 100},
	    {"4k7", "kohm", 4.7, 0.1},
	    {"90 s", "min", 1.5, 1 / 60.},
	    {"212 degF", "degC", 100, 1 / 1.8},
	    {"21.5 degC", "degC", 21.5, 0.1},
	    {"1.5 Wh", "J", 5400, 360},
	    {"OL", "ohm", HUGE_VAL, 0},
	};
	struct lw_reading reading;
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		ck_assert_int_eq(lw_reading_read(&reading, cases[i].text,
				     cases[i].unit, NULL),
		    LW_OK);
		ck_assert_msg(reading.value == cases[i].value, "%s: %.17g",
		    cases[i].text, reading.value);
		ck_assert_msg(
		    fabs(reading.step - cases[i].step) <= 1e-12 * cases[i].step,
		    "%s: %.17g", cases[i].text, reading.step);
	}
}
END_TEST

/* --- what is plausible ---------------------------------------------------- */

/* What is expected begins with "error" or "undecided", or is what is shown. */
static const struct plausible {
	const char *text, *unit;
	double low, high;
	bool sure;
	const char *expected, *part;
} plausible[] = {
    {"48 V", "V", 1, 100, false, "48 V", ""},
    {"48", "V", 1, 100, false, "48 V", ""},
    {"48 V", "V", 1, 10, false, "error", "48 V is not from 1 V to 10 V"},
    {"48 V", "V", 1, 10, true, "error", "48 V is not from 1 V to 10 V"},
    {"480 mV", "V", 1, 10, false, "error", "decimal point"},
    {"48 A", "V", 1, 100, false, "error", "give it in V"},
    {"10 mF", "F", 1e-3, 1, false, "10 mF", ""},
    {"10 mF", "F", 1e-6, 1, false, "undecided", "write 10000 uF or 10 uF"},
    {"10 mF", "F", 1e-6, 1, true, "10 mF", ""},
    {"10 mF", "F", 1e-6, 1e-3, false, "error", "if 10 uF is meant"},
    {"10 mF", "F", 1e-6, 1e-3, true, "error", "if 10 uF is meant"},
    {"10 millifarads", "F", 1e-6, 1, false, "10 mF", ""},
    {"10000 uF", "F", 1e-6, 1, false, "10000 uF", ""},
    {"10 mfd", "F", 1e-6, 1, false, "10 uF", ""},
    {"10 mF -20/+50 %", "F", 1e-3, 1, false, "10 mF -20/+50 %", ""},
    {"10 mohm", "ohm", 1e-3, 1, false, "10 mohm", ""},
    {"10 mohm", "ohm", 1e6, 1e9, false, "error", "if 10 Mohm is meant"},
    {"10 Mohm", "ohm", 1e-3, 1, false, "error", "if 10 mohm is meant"},
    {"10 Mohm", "ohm", 1e-3, 1e9, false, "undecided",
	"write 10000 kohm or 0.01 ohm"},
    {"10 mohm", "ohm", 10, 1e5, false, "error", "decimal point"},
    {"10 megohms", "ohm", 1e-3, 1e9, false, "10 Mohm", ""},
    {"10 M", "ohm", 1e-3, 1e9, false, "10 Mohm", ""},
    {"10 m", "ohm", 1e-3, 1, false, "10 mohm", ""},
    {"10 m", "ohm", 1e6, 1e9, false, "10 Mohm", ""},
    {"10 m 5 %", "ohm", 1e6, 1e9, false,
	"10 Mohm \xC2\xB1"
	"5 %",
	""},
    {"10 m", "ohm", 1e-3, 1e9, false, "undecided",
	"write 0.01 ohm or 10000 kohm"},
    {"10 m", "ohm", 1e-3, 1e9, true, "error", "write 0.01 ohm or 10000 kohm"},
    {"5 m", "s", 1, 600, false, "5 min", ""},
    {"5 m", "m", 1, 20, false, "5 m", ""},
    {"2 AWG", "mm2", 2.5, 150, false, "2 AWG", ""},
    {"2/0", "mm2", 2.5, 50, false, "error", "not from 2.5 mm2 to 50 mm2"},
    {"2", "AWG", 10, 0, false, "2 AWG", ""},
    {"2/0", "AWG", 10, 0, false, "error", "not from 10 AWG to 1/0 AWG"},
    {"48", "furlong", 0, 1, false, "error", "not known"},
};

START_TEST(plausible_ones)
{
	const struct plausible *row = &plausible[_i];
	struct lw_quantity quantity = {.value = -777};
	char shown[LW_QUANTITY_MAX];
	struct lw_err err = {.code = LW_OK};
	enum lw_status status, expected = LW_OK;

	if (strcmp(row->expected, "error") == 0)
		expected = LW_BAD_INPUT;
	if (strcmp(row->expected, "undecided") == 0)
		expected = LW_UNDECIDED;
	status = lw_quantity_parse_plausible(&quantity, row->text, row->unit,
	    row->low, row->high, row->sure, &err);
	ck_assert_msg(
	    status == expected, "%s: %d: %s", row->text, status, err.text);
	if (status == LW_OK) {
		lw_quantity_format(shown, &quantity);
		ck_assert_str_eq(shown, row->expected);
		return;
	}
	ck_assert_int_eq(err.code, status);
	ck_assert_msg(
	    strstr(err.text, row->part) != NULL, "%s: %s", row->text, err.text);
	ck_assert(quantity.value == -777);
}
END_TEST

/* --- what is said --------------------------------------------------------- */

START_TEST(said)
{
	static const struct {
		double value;
		const char *unit;
		int digits;
		const char *text;
	} cases[] = {
	    {0.0048, "A", 4, "4.8 mA"},
	    {0.3125, "A", 4, "0.3125 A"},
	    {1600, "A", 4, "1600 A"},
	    {12345, "A", 3, "12.3 kA"},
	    {0.02, "V", 4, "20 mV"},
	    {-0.02, "mV", 4, "-20 mV"},
	    {58.8, "mV", 4, "58.8 V"},
	    {0, "V", 4, "0 V"},
	    {4700, "ohm", 4, "4.7 kohm"},
	    {999.96, "ohm", 4, "1 kohm"},
	    {999.94, "ohm", 4, "999.9 ohm"},
	    {0.001952, "ohm", 4, "1.952 mohm"},
	    {0.01, "F", 4, "10000 uF"},
	    {0.0999, "F", 4, "99900 uF"},
	    {0.5, "uF", 4, "0.5 F"},
	    {4.7e-8, "F", 4, "47 nF"},
	    {299.573, "s", 4, "299.6 s"},
	    {898.7, "s", 4, "14.98 min"},
	    {0.9, "number", 4, "0.9"},
	    {0.9, "%", 4, "90 %"},
	    {293.15, "degC", 4, "20 degC"},
	    {50, "rpm", 4, "3000 rpm"},
	    {35e-6, "mm2", 4, "35 mm2"},
	    {33.63e-6, "AWG", 4, "2 AWG"},
	    {35e-6, "AWG", 4, "2 AWG"},
	    {67.43e-6, "AWG", 4, "2/0 AWG"},
	    {0.0005, "AWG", 4, "500 mm2"},
	    {360000, "Ah", 4, "100 Ah"},
	    {0.3048, "ft", 4, "1 ft"},
	    {0.1, "in", 4, "3.937 in"},
	    {9500, "J", 4, "9.5 kJ"},
	    {48.123456789, "V", 3, "48.1 V"},
	    {48.123456789, "V", 17, "48.123456789 V"},
	    {HUGE_VAL, "V", 4, "without limit"},
	};
	char text[LW_QUANTITY_MAX];
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		lw_quantity_say(
		    text, cases[i].value, cases[i].unit, cases[i].digits);
		ck_assert_str_eq(text, cases[i].text);
	}
}
END_TEST

/* --- units ---------------------------------------------------------------- */

/* Dimensions by the SI brochure, tables 4 and 5. */
static const struct {
	const char *unit;
	struct lw_dimension dimension;
	const char *said;
} units[] = {
    {"number", {0, 0, 0, 0, 0}, "a bare number"},
    {"", {0, 0, 0, 0, 0}, "a bare number"},
    {"%", {0, 0, 0, 0, 0}, "a bare number"},
    {"V", {1, 2, -3, -1, 0}, "a voltage (V)"},
    {"mV", {1, 2, -3, -1, 0}, "a voltage (V)"},
    {"volts", {1, 2, -3, -1, 0}, "a voltage (V)"},
    {"A", {0, 0, 0, 1, 0}, "a current (A)"},
    {"ohm", {1, 2, -3, -2, 0}, "a resistance (ohm)"},
    {"k\xCE\xA9", {1, 2, -3, -2, 0}, "a resistance (ohm)"},
    {"F", {-1, -2, 4, 2, 0}, "a capacitance (F)"},
    {"H", {1, 2, -2, -2, 0}, "an inductance (H)"},
    {"s", {0, 0, 1, 0, 0}, "a time (s)"},
    {"Hz", {0, 0, -1, 0, 0}, "a rate (Hz, rpm)"},
    {"rpm", {0, 0, -1, 0, 0}, "a rate (Hz, rpm)"},
    {"K", {0, 0, 0, 0, 1}, "a temperature (degC)"},
    {"degF", {0, 0, 0, 0, 1}, "a temperature (degC)"},
    {"W", {1, 2, -3, 0, 0}, "a power (W)"},
    {"hp", {1, 2, -3, 0, 0}, "a power (W)"},
    {"J", {1, 2, -2, 0, 0}, "an energy or a torque (J, N m)"},
    {"kWh", {1, 2, -2, 0, 0}, "an energy or a torque (J, N m)"},
    {"N m", {1, 2, -2, 0, 0}, "an energy or a torque (J, N m)"},
    {"lbf in", {1, 2, -2, 0, 0}, "an energy or a torque (J, N m)"},
    {"Ah", {0, 0, 1, 1, 0}, "a charge (Ah)"},
    {"ft", {0, 1, 0, 0, 0}, "a length (m)"},
    {"mm2", {0, 2, 0, 0, 0}, "a cross-section (mm2)"},
    {"AWG", {0, 2, 0, 0, 0}, "a cross-section (mm2)"},
    {"km/h", {0, 1, -1, 0, 0}, "a speed (km/h)"},
    {"lb", {1, 0, 0, 0, 0}, "a mass (kg)"},
    {"N", {1, 1, -2, 0, 0}, "a force (N)"},
    {"A/mm2", {0, -2, 0, 1, 0}, "a current density (A/mm2)"},
    {"ohm/km", {1, 1, -3, -2, 0}, "a resistance per length (ohm/km)"},
    {"ohm/V", {0, 0, 0, -1, 0}, "ohms per volt (ohm/V)"},
    {"rpm/V", {-1, -2, 2, 1, 0}, "a speed per volt (rpm/V)"},
    {"N m/A", {1, 2, -2, -1, 0}, "a torque per amp (N m/A)"},
};

START_TEST(units_have_dimensions)
{
	struct lw_dimension dimension;
	char text[LW_QUANTITY_MAX];
	size_t i;

	for (i = 0; i < sizeof units / sizeof units[0]; i++) {
		ck_assert_msg(
		    lw_unit_dimension(&dimension, units[i].unit, NULL) == LW_OK,
		    "%s", units[i].unit);
		ck_assert_msg(lw_dimension_equal(dimension, units[i].dimension),
		    "%s", units[i].unit);
		lw_dimension_say(text, dimension);
		ck_assert_str_eq(text, units[i].said);
	}
}
END_TEST

START_TEST(units_that_are_none)
{
	static const struct {
		const char *unit, *part;
	} cases[] = {
	    {"k", "not a unit"},
	    {"furlong", "write V, A or ohm"},
	    {"kohmm", "write kohm"},
	    {"V\n", "\"V\" is not"},
	    {"\xFF", "\"\" is not"},
	    {"a name that is far too long to be that of a unit, or shown",
		"\"a name that is far too long to be that o\" is not"},
	};
	struct lw_dimension dimension;
	struct lw_err err;
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		ck_assert_int_eq(
		    lw_unit_dimension(&dimension, cases[i].unit, &err),
		    LW_BAD_INPUT);
		ck_assert_msg(
		    strstr(err.text, cases[i].part) != NULL, "%s", err.text);
	}
}
END_TEST

START_TEST(dimensions_without_a_name)
{
	static const struct {
		struct lw_dimension dimension;
		const char *text;
	} cases[] = {
	    {{1, 2, -4, 0, 0}, "kg m2/s4"},
	    {{0, 0, -2, 0, 0}, "1/s2"},
	    {{0, 3, 0, 0, 0}, "m3"},
	    {{1, 0, -3, 0, -1}, "kg/(s3 K)"},
	    {{-128, -128, -128, -128, -128}, "1/(kg128 m128 s128 A128 K128)"},
	};
	char text[LW_QUANTITY_MAX];
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		lw_dimension_say(text, cases[i].dimension);
		ck_assert_str_eq(text, cases[i].text);
	}
}
END_TEST

/* Factors of NIST SP 811, appendix B.8; one in each unit. */
START_TEST(units_convert)
{
	static const struct {
		const char *unit;
		double si;
	} exact[] = {
	    {"uV", 1e-6},
	    {"kohm", 1e3},
	    {"Mohm", 1e6},
	    {"pF", 1e-12},
	    {"%", 0.01},
	    {"min", 60},
	    {"h", 3600},
	    {"day", 86400},
	    {"Ah", 3600},
	    {"mAh", 3.6},
	    {"Wh", 3600},
	    {"kWh", 3.6e6},
	    {"in", 0.0254},
	    {"ft", 0.3048},
	    {"mile", 1609.344},
	    {"mm2", 1e-6},
	    {"mph", 0.44704},
	    {"lb", 0.45359237},
	    {"lbf", 4.4482216152605},
	    {"degC", 274.15},
	    {"K", 1},
	};
	size_t i;
	double number;

	for (i = 0; i < sizeof exact / sizeof exact[0]; i++) {
		ck_assert_msg(lw_quantity_from(1, exact[i].unit) == exact[i].si,
		    "%s", exact[i].unit);
		ck_assert_msg(lw_quantity_in(exact[i].si, exact[i].unit) == 1,
		    "%s", exact[i].unit);
	}
	for (i = 0; i < sizeof units / sizeof units[0]; i++)
		for (number = -3; number <= 40; number += 0.25)
			ck_assert_msg(lw_quantity_in(lw_quantity_from(
							 number, units[i].unit),
					  units[i].unit) == number,
			    "%g %s", number, units[i].unit);
}
END_TEST

/* --- whatever comes ------------------------------------------------------- */

/* A repeatable stream of numbers; Marsaglia's xorshift of 64 bits. */
static uint64_t
next(uint64_t *state)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return *state;
}

static void
put_number(char *text, uint64_t *state)
{
	static const int digits[] = {1, 2, 3, 5, 17};
	double number = (double)(next(state) >> 11) * 0x1p-53;
	int reach = next(state) % 8 == 0 ? 250 : 8;

	number *= pow(10, (int)(next(state) % (uint64_t)(2 * reach)) - reach);
	snprintf(text, 40, "%.*g", digits[next(state) % 5], number);
}

static void
put_quantity(char *text, size_t size, uint64_t *state)
{
	const char *unit =
	    units[next(state) % (sizeof units / sizeof units[0])].unit;
	char a[40], b[40], c[40];
	uint64_t form = next(state) % 6;

	if (strcmp(unit, "number") == 0)
		unit = "";
	put_number(a, state);
	put_number(b, state);
	put_number(c, state);
	if (strcmp(unit, "AWG") == 0)
		snprintf(a, sizeof a, "%u", (unsigned)(next(state) % 40));
	switch (form) {
	case 0:
	case 1:
		snprintf(text, size, "%s%s %s", form == 0 ? "" : "-", a, unit);
		break;
	case 2:
		snprintf(text, size, "%s %s \xC2\xB1%s %%", a, unit, b);
		break;
	case 3:
		snprintf(text, size, "%s %s \xC2\xB1%s %s", a, unit, b, unit);
		break;
	case 4:
		snprintf(text, size, "%s %s -%s/+%s %%", a, unit, b, c);
		break;
	default:
		snprintf(text, size, "%s to %s %s", a, b, unit);
		break;
	}
}

START_TEST(reads_back_to_the_last_bit)
{
	char text[200], shown[LW_QUANTITY_MAX];
	struct lw_quantity quantity;
	uint64_t state = 20260611;
	unsigned read = 0;
	size_t i;

	for (i = 0; i < 20000; i++) {
		put_quantity(text, sizeof text, &state);
		if (lw_quantity_parse(&quantity, text, NULL, NULL) != LW_OK)
			continue;
		lw_quantity_format(shown, &quantity);
		check_reads_back(&quantity, shown);
		read++;
	}
	ck_assert_uint_ge(read, 10000);
}
END_TEST

START_TEST(random_bytes_are_survived)
{
	static const char letters[] =
	    "0123456789.,-+/%e VAohmkMFdegCKrupAWGinft()#'\"\xC2\xB1\xB5\xE2";
	char text[LW_QUANTITY_TEXT_MAX + 8], shown[LW_QUANTITY_MAX];
	struct lw_quantity quantity;
	uint64_t state = 48;
	struct lw_err err;
	size_t i, k, length;

	for (i = 0; i < 30000; i++) {
		length = next(&state) % (i % 10 == 0 ? sizeof text : 16);
		for (k = 0; k < length; k++)
			text[k] = letters[next(&state) % (sizeof letters - 1)];
		text[length] = '\0';
		if (lw_quantity_parse(&quantity, text, NULL, &err) == LW_OK) {
			lw_quantity_format(shown, &quantity);
			check_reads_back(&quantity, shown);
		} else {
			ck_assert_uint_ge(err.column, 1);
			ck_assert_uint_le(err.column, length + 1);
		}
	}
}
END_TEST

Suite *
suite_quantity(void)
{
	Suite *suite = suite_create("quantity");
	TCase *tests = tcase_create("quantity");

	tcase_set_timeout(tests, 120);
	tcase_add_test(tests, quantities_table);
	tcase_add_test(tests, last_digit);
	tcase_add_test(tests, last_digit_of_readings);
	tcase_add_loop_test(tests, plausible_ones, 0,
	    (int)(sizeof plausible / sizeof plausible[0]));
	tcase_add_test(tests, said);
	tcase_add_test(tests, units_have_dimensions);
	tcase_add_test(tests, units_that_are_none);
	tcase_add_test(tests, dimensions_without_a_name);
	tcase_add_test(tests, units_convert);
	tcase_add_test(tests, reads_back_to_the_last_bit);
	tcase_add_test(tests, random_bytes_are_survived);
	suite_add_tcase(suite, tests);
	return suite;
}
