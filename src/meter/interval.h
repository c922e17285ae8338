/*
 * Intervals: all the numbers from `low` to `high`.
 *
 * What is known exactly (low == high) stays a number and is rounded to
 * nearest, so that an expression over exact values is what plain arithmetic
 * makes of it. Everything wider is rounded outwards and so never narrower
 * than the truth. Ends may be infinite in slopes; an infinite end times zero
 * is zero. R. E. Moore, R. B. Kearfott, M. J. Cloud, Introduction to Interval
 * Analysis, SIAM 2009, chapters 2 and 3.
 */
#ifndef METER_INTERVAL_H
#define METER_INTERVAL_H

#include <stdbool.h>

struct interval {
	double low;
	double high;
};

struct interval interval_of(double low, double high);
/* Every number there is. */
struct interval interval_all(void);
bool interval_is_point(struct interval x);
bool interval_is_finite(struct interval x);
bool interval_has_zero(struct interval x);
double interval_middle(struct interval x);

struct interval interval_add(struct interval x, struct interval y);
struct interval interval_sub(struct interval x, struct interval y);
struct interval interval_mul(struct interval x, struct interval y);
/* Everything where y may be zero. */
struct interval interval_div(struct interval x, struct interval y);
struct interval interval_neg(struct interval x);
struct interval interval_min(struct interval x, struct interval y);
struct interval interval_max(struct interval x, struct interval y);
struct interval interval_abs(struct interval x);
struct interval interval_hull(struct interval x, struct interval y);
struct interval interval_exp(struct interval x);
/* x above zero (ln), zero or above (sqrt). */
struct interval interval_ln(struct interval x);
struct interval interval_sqrt(struct interval x);
/* A whole power; below zero only of what cannot be zero. */
struct interval interval_power(struct interval x, int power);
/* Any power of what is not below zero; an infinite end where it is zero and
 * the power below zero. */
struct interval interval_root(struct interval x, double power);

#endif
