/* Numbers of units to SI and back. Decimal prefixes are exact: they go into
 * the decimal's own exponent. Which unit it is, is left to meter/unit.c. */
#include "meter/unit.h"

#include "base/num.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ASTM B258: the diameter is 0.005 in * 92^((36 - n) / 39). */
static const double GAUGE_METRES = 0.005 * 0.0254;

/* Powers of ten that are doubles. */
static const double tens[] = {1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9,
    1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21,
    1e22};

enum { TENS = sizeof tens / sizeof tens[0] };

bool
unit_is_gauge(const struct unit *unit)
{
	return unit->times == 0;
}

/* A number of up to three places: a whole number and a power of ten, so one
 * operation rounds as reading the text would. */
static bool
shift_short(double *out, double number, int exponent)
{
	double whole;
	int places;

	if (!(fabs(number) < 1e11))
		return false;
	for (places = 0; places < 4; places++) {
		whole = round(number * tens[places]);
		if (whole / tens[places] != number)
			continue;
		exponent -= places;
		if (exponent <= -TENS || exponent >= TENS)
			return false;
		*out = exponent < 0 ? whole / tens[-exponent]
				    : whole * tens[exponent];
		return true;
	}
	return false;
}

double
unit_shift(double number, int exponent)
{
	char text[40], shifted[64];
	char *mark;
	double value;

	if (exponent == 0 || number == 0 || !isfinite(number))
		return number;
	if (shift_short(&value, number, exponent))
		return value;
	num_format(text, sizeof text, number);
	mark = strchr(text, 'e');
	if (mark != NULL) {
		exponent += (int)strtol(mark + 1, NULL, 10);
		*mark = '\0';
	}
	snprintf(shifted, sizeof shifted, "%se%d", text, exponent);
	(void)num_parse(&value, shifted, strlen(shifted));
	return value;
}

static double
gauge_area(double gauge)
{
	double metres = GAUGE_METRES * pow(92, (36 - gauge) / 39);

	return acos(-1) / 4 * metres * metres;
}

static double
gauge_of(double area)
{
	double gauge;

	if (!(area > 0))
		return HUGE_VAL;
	gauge =
	    36 - 39 * log(sqrt(4 * area / acos(-1)) / GAUGE_METRES) / log(92);
	return round(gauge * 1e10) / 1e10;
}

double
unit_delta(const struct unit *unit, double number)
{
	return unit_shift(number * unit->times, unit->exponent) / unit->over;
}

double
unit_from(const struct unit *unit, double number)
{
	if (unit_is_gauge(unit))
		return gauge_area(number);
	if (unit->offset != 0)
		number += unit->offset;
	return unit_delta(unit, number);
}

/* What subtracting the offset leaves is not of more than so many places. */
static double
tidy_offset(double number)
{
	double rounded = round(number * 1e9) / 1e9;

	return fabs(number) < 1e5 ? rounded : number;
}

double
unit_in(const struct unit *unit, double value)
{
	double number, rounded;

	if (unit_is_gauge(unit))
		return gauge_of(value);
	number = unit_shift(value * unit->over, -unit->exponent) / unit->times;
	if (unit->offset != 0)
		return tidy_offset(number - unit->offset);
	if (unit->times == 1 && unit->over == 1)
		return number;
	rounded = num_round(number, 15);
	return unit_from(unit, rounded) == value ? rounded : number;
}
