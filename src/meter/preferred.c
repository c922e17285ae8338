/* The E series of resistors, IEC 60063. What a value is marked with is left to
 * meter/marking.c. */
#include "meter/preferred.h"

#include <math.h>

const unsigned preferred_series[PREFERRED_SERIES] = {3, 6, 12, 24, 48, 96, 192};

/* In tenths. E12, E6 and E3 are every second, fourth, eighth of it. */
static const unsigned e24[] = {10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
    33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91};

/* 10^(185/192) is 9.194; the standard has 9.20. */
static const unsigned ODD_SERIES = 192, ODD_K = 185, ODD = 920;

static const double CLOSE = 1e-6;

unsigned
preferred_hundredths(unsigned series, unsigned k)
{
	if (series <= 24)
		return 10 * e24[k * (24 / series)];
	if (k * (ODD_SERIES / series) == ODD_K)
		return ODD;
	return (unsigned)lround(100 * pow(10, (double)k / series));
}

double
preferred_scaled(double number, int exponent)
{
	return exponent >= 0 ? number * pow(10, exponent)
			     : number / pow(10, -exponent);
}

/* As hundredths from 100 to 1000, and the exponent of ten that goes with it. */
static double
hundredths(double value, int *exponent)
{
	double scaled;

	*exponent = (int)floor(log10(value)) - 2;
	scaled = preferred_scaled(value, -*exponent);
	if (fabs(scaled - round(scaled)) <= CLOSE * scaled)
		scaled = round(scaled);
	return scaled;
}

void
preferred_around(double *below, double *above, unsigned series, double value)
{
	int exponent;
	double scaled = hundredths(value, &exponent), at;
	unsigned k, low = 100, high = 1000;

	for (k = 0; k < series; k++) {
		at = preferred_hundredths(series, k);
		if (at <= scaled)
			low = preferred_hundredths(series, k);
		if (at >= scaled) {
			high = preferred_hundredths(series, k);
			break;
		}
	}
	*below = preferred_scaled(low, exponent);
	*above = preferred_scaled(high, exponent);
}

bool
preferred_has(unsigned series, double value)
{
	double below, above;

	preferred_around(&below, &above, series, value);
	return fabs(below - value) <= CLOSE * value ||
	       fabs(above - value) <= CLOSE * value;
}
