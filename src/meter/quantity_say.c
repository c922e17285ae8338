/* Writes a value in the unit that suits its size. Which units go together is
 * here; exact texts are left to meter/quantity_format.c. */
#include "base/num.h"
#include "meter/gauge.h"
#include "meter/unit_table.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* A unit is used from `least` on, in SI; a family ends with its smallest, of
 * which `least` is 0. */
static const struct {
	int unit;
	double least;
} families[] = {
    {U_KV, 1e4},
    {U_V, 0.1},
    {U_MV, 1e-4},
    {U_UV, 0},
    {U_KA, 1e4},
    {U_A, 0.1},
    {U_MA, 1e-4},
    {U_UA, 0},
    {U_MEGOHM, 1e6},
    {U_KOHM, 1e3},
    {U_OHM, 0.1},
    {U_MOHM, 1e-4},
    {U_UOHM, 0},
    {U_F, 0.1},
    {U_UF, 1e-7},
    {U_NF, 1e-10},
    {U_PF, 0},
    {U_HENRY, 0.1},
    {U_MILLIHENRY, 1e-4},
    {U_MICROHENRY, 0},
    {U_DAY, 172800},
    {U_H, 7200},
    {U_MIN, 600},
    {U_S, 0.1},
    {U_MS, 1e-4},
    {U_US, 0},
    {U_KHZ, 1e3},
    {U_HZ, 0},
    {U_KW, 1e3},
    {U_W, 0.1},
    {U_MW, 0},
    {U_KJ, 1e3},
    {U_J, 0.1},
    {U_MJ, 0},
    {U_KWH, 3.6e6},
    {U_WH, 0},
    {U_AH, 360},
    {U_MAH, 0},
    {U_KM, 1e3},
    {U_M, 0.1},
    {U_MM, 0},
    {U_FT, 0.3048},
    {U_IN, 0},
    {U_KOHM_V, 1e3},
    {U_OHM_V, 0},
};

enum { ROWS = sizeof families / sizeof families[0], EXACT_DIGITS = 15 };

/* The row of the family that a unit is of; ROWS: it stays as it is. Millifarads
 * are said in uF. */
static size_t
family_of(const struct unit *unit)
{
	size_t first = 0, i;

	if (unit == &unit_table[U_MF])
		unit = &unit_table[U_F];
	for (i = 0; i < ROWS; i++) {
		if (&unit_table[families[i].unit] == unit)
			return first;
		if (families[i].least == 0)
			first = i + 1;
	}
	return ROWS;
}

static double
rounded(double value, int digits)
{
	return digits > EXACT_DIGITS ? value : num_round(value, digits);
}

/* The unit of the family in which a value is said. */
static const struct unit *
suiting(const struct unit *unit, double value, int digits)
{
	double size = fabs(rounded(value, digits)) * (1 + 1e-12);
	size_t i = family_of(unit);

	if (i == ROWS || value == 0)
		return unit;
	while (size < families[i].least)
		i++;
	return &unit_table[families[i].unit];
}

/* The nearest size; false where the value is beyond them. */
static bool
say_gauge(char *text, double value, const struct unit *unit)
{
	double gauge = round(unit_in(unit, value));

	if (!(gauge >= GAUGE_LEAST && gauge <= GAUGE_MOST))
		return false;
	gauge_write(text, (int)gauge);
	return true;
}

void
lw_quantity_say(char *text, double value, const char *unit, int digits)
{
	const struct unit *as = unit_named(unit);
	char number[40];
	double said;

	assert(as != NULL && digits >= 1 && digits <= 17);
	if (!isfinite(value)) {
		snprintf(text, LW_QUANTITY_MAX, "%s",
		    isnan(value) ? "not a number"
		    : value > 0	 ? "without limit"
				 : "without limit below zero");
		return;
	}
	if (unit_is_gauge(as)) {
		if (say_gauge(text, value, as))
			return;
		as = &unit_table[U_MM2];
	}
	as = suiting(as, value, digits);
	said = rounded(unit_in(as, value), digits);
	num_format(number, sizeof number, said == 0 ? 0 : said);
	snprintf(text, LW_QUANTITY_MAX, "%s%s%s", number,
	    as->name[0] == '\0' ? "" : " ", as->name);
}
