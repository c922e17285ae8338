/* Information of checks; which of them is worth its cost is left to next and
 * policy. */
#include "reason/bits.h"

#include <math.h>

/* x log2 x. */
static double
x_log_x(double x)
{
	return x > 0 && x != 1 ? x * log2(x) : 0;
}

void
bits_rows(double *row, const struct reason_check *check, size_t causes)
{
	double seen, term;
	size_t o, i;

	for (i = 0; i < causes; i++)
		row[i] = 0;
	for (o = 0; o < check->outcomes; o++) {
		const double *given = check->given + o * causes;

		/* Neighbours often have the same likelihood. */
		seen = 0;
		term = 0;
		for (i = 0; i < causes; i++) {
			if (given[i] != seen) {
				seen = given[i];
				term = x_log_x(seen);
			}
			row[i] -= term;
		}
	}
}

double
bits_told(double *mass, const struct reason_check *check, const double *row,
    const double *weight, size_t causes, double sum)
{
	double told = 0, rows = 0;
	size_t o, i;

	for (o = 0; o < check->outcomes; o++) {
		const double *given = check->given + o * causes;
		double here = 0;

		for (i = 0; i < causes; i++)
			here += weight[i] * given[i];
		mass[o] = here;
		told -= x_log_x(here / sum);
	}
	for (i = 0; i < causes; i++)
		rows += weight[i] * row[i];
	told -= rows / sum;
	return told > 0 ? told : 0;
}
