/* Writes a quantity that could mean two things so that it means one. Reading
 * it is left to meter/quantity.c, keeping it to facts.c. */
#include <lampwright/rig.h>

#include "base/num.h"

#include <lampwright/quantity.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { DIGITS = 9, NUMBER_MAX = 32 };

/* mF is used for a millionth of a farad as well, and before ohm m and M are
 * mixed up. 0: nothing else is meant by it. */
static double
other_times(const struct lw_quantity *quantity)
{
	const char *unit = quantity->unit;

	if (strcmp(unit, "mF") == 0)
		return 1e-3;
	if (strcmp(unit, "mohm") == 0)
		return 1e9;
	if (strcmp(unit, "Mohm") == 0)
		return 1e-9;
	return 0;
}

/* In a unit that nobody takes for another. */
static void
write_number(char *text, size_t size, double value, bool farads)
{
	double times = 1;
	const char *unit = farads ? "F" : "ohm";
	char number[NUMBER_MAX];

	if (farads && value < 0.1) {
		times = 1e6;
		unit = "uF";
	} else if (!farads && value >= 10e3) {
		times = 1e-3;
		unit = "kohm";
	}
	num_format(number, sizeof number, num_round(value * times, DIGITS));
	snprintf(text, size, "%s %s", number, unit);
}

static void
write_tolerance(char *text, size_t size, const struct lw_quantity *quantity)
{
	double less = 100 * (1 - quantity->low / quantity->value);
	double more = 100 * (quantity->high / quantity->value - 1);
	char low[NUMBER_MAX], high[NUMBER_MAX];

	text[0] = '\0';
	if (!quantity->toleranced)
		return;
	num_format(low, sizeof low, num_round(less, DIGITS));
	num_format(high, sizeof high, num_round(more, DIGITS));
	if (strcmp(low, high) == 0)
		snprintf(text, size, " %s %%", low);
	else
		snprintf(text, size, " -%s/+%s %%", low, high);
}

bool
lw_rig_spellings(
    const struct lw_value *value, const char *text, char *written, char *meant)
{
	struct lw_quantity quantity;
	char number[2 * NUMBER_MAX], tolerance[3 * NUMBER_MAX];
	double times;
	bool farads, bare;

	if (value->kind != LW_VALUE_QUANTITY || value->unit == NULL ||
	    lw_quantity_parse_plausible(&quantity, text, value->unit,
		value->low, value->high, true, NULL) != LW_OK)
		return false;
	bare = strcmp(quantity.unit, "mm2") == 0;
	times = bare ? 1 : other_times(&quantity);
	if (!(times > 0) || !(quantity.value > 0))
		return false;
	farads = strcmp(quantity.unit, "mF") == 0;
	write_tolerance(tolerance, sizeof tolerance, &quantity);
	if (bare) {
		num_format(number, NUMBER_MAX, quantity.number);
		snprintf(written, LW_SPELLING_MAX, "%s mm2", number);
		snprintf(meant, LW_SPELLING_MAX, "%s AWG", number);
		return true;
	}
	write_number(number, sizeof number, quantity.value, farads);
	snprintf(written, LW_SPELLING_MAX, "%s%s", number, tolerance);
	write_number(number, sizeof number, quantity.value * times, farads);
	snprintf(meant, LW_SPELLING_MAX, "%s%s", number, tolerance);
	return true;
}
