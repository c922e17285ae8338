/*
 * Preferred values of resistors: the E series of IEC 60063. E24 and those
 * within it are the standard's table, which is not the rounded formula from
 * 2.7 to 4.7 nor at 8.2; E192 and those within it are 10^(k/n) to three
 * digits, but for 9.20.
 */
#ifndef METER_PREFERRED_H
#define METER_PREFERRED_H

#include <stdbool.h>
#include <stddef.h>

enum { PREFERRED_SERIES = 7 };

/* 3, 6, 12, 24, 48, 96, 192. */
extern const unsigned preferred_series[PREFERRED_SERIES];

/* The kth of a series, 0 to n - 1, in hundredths: 100 to 999. */
unsigned preferred_hundredths(unsigned series, unsigned k);
/* Whether a value above zero is in a series, to one in a million. */
bool preferred_has(unsigned series, double value);
/* The largest of a series that is not above a value, and the smallest that is
 * not below it; the value itself where it is in the series. */
void preferred_around(
    double *below, double *above, unsigned series, double value);

/* number * 10^exponent, rounded once. */
double preferred_scaled(double number, int exponent);

#endif
