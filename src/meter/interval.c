/* Interval arithmetic with ends rounded outwards. Which operations an
 * expression may ask for is left to meter/expr_range.c. */
#include "meter/interval.h"

#include <math.h>

/* So near to zero a rounding error may itself be lost. */
#define TINY 1e-290
/* What the C library's exp, log and pow may be off by, and more. */
#define LOOSE (4 * 0x1p-52)

/* The number or one below, which the exact result of one operation is not
 * under. Sums are exact at zero and among the tiniest. */
static double
down(double x)
{
	if (isinf(x))
		return x;
	if (fabs(x) < TINY)
		return x == 0 ? 0 : nextafter(x, -HUGE_VAL);
	return x - fabs(x) * 0x1p-52;
}

static double
up(double x)
{
	return -down(-x);
}

static struct interval
widened(double low, double high)
{
	struct interval z;

	if (isnan(low) || isnan(high))
		return interval_all();
	z = interval_of(low, high);
	if (isfinite(low))
		z.low = fabs(low) < TINY ? nextafter(low, -HUGE_VAL)
					 : low - fabs(low) * LOOSE;
	if (isfinite(high))
		z.high = fabs(high) < TINY ? nextafter(high, HUGE_VAL)
					   : high + fabs(high) * LOOSE;
	return z;
}

struct interval
interval_of(double low, double high)
{
	struct interval z = {low, high};

	return z;
}

struct interval
interval_all(void)
{
	return interval_of(-HUGE_VAL, HUGE_VAL);
}

bool
interval_is_point(struct interval x)
{
	return x.low == x.high;
}

bool
interval_is_finite(struct interval x)
{
	return isfinite(x.low) && isfinite(x.high);
}

bool
interval_has_zero(struct interval x)
{
	return x.low <= 0 && x.high >= 0;
}

double
interval_middle(struct interval x)
{
	return interval_is_point(x) ? x.low : x.low / 2 + x.high / 2;
}

/* Ends that were rounded to nearest, outwards; of points as they are. */
static struct interval
rounded(double low, double high, bool exact)
{
	if (isnan(low) || isnan(high))
		return interval_all();
	if (exact)
		return interval_of(low, high);
	return interval_of(down(low), up(high));
}

struct interval
interval_add(struct interval x, struct interval y)
{
	return rounded(x.low + y.low, x.high + y.high,
	    interval_is_point(x) && interval_is_point(y));
}

struct interval
interval_sub(struct interval x, struct interval y)
{
	return interval_add(x, interval_neg(y));
}

/* A product, where it is rounded to zero the tiniest number of its sign. */
static double
times(double x, double y)
{
	double z = x * y;

	if (x == 0 || y == 0)
		return 0;
	if (z == 0)
		return (x > 0) == (y > 0) ? 0x1p-1074 : -0x1p-1074;
	return z;
}

struct interval
interval_mul(struct interval x, struct interval y)
{
	double a, b, c, d;

	if (interval_is_point(x) && interval_is_point(y)) {
		a = x.low == 0 || y.low == 0 ? 0 : x.low * y.low;
		return rounded(a, a, true);
	}
	a = times(x.low, y.low);
	b = times(x.low, y.high);
	c = times(x.high, y.low);
	d = times(x.high, y.high);
	if (isnan(a) || isnan(b) || isnan(c) || isnan(d))
		return interval_all();
	return rounded(
	    fmin(fmin(a, b), fmin(c, d)), fmax(fmax(a, b), fmax(c, d)), false);
}

struct interval
interval_div(struct interval x, struct interval y)
{
	struct interval reciprocal;

	if (interval_has_zero(y))
		return interval_all();
	if (interval_is_point(x) && interval_is_point(y))
		return rounded(x.low / y.low, x.low / y.low, true);
	/* One rounding more than a division of its own, and no more cases. */
	reciprocal.low = isinf(y.high) ? 0 : down(1 / y.high);
	reciprocal.high = isinf(y.low) ? 0 : up(1 / y.low);
	return interval_mul(x, reciprocal);
}

struct interval
interval_neg(struct interval x)
{
	return interval_of(-x.high, -x.low);
}

struct interval
interval_min(struct interval x, struct interval y)
{
	return interval_of(fmin(x.low, y.low), fmin(x.high, y.high));
}

struct interval
interval_max(struct interval x, struct interval y)
{
	return interval_of(fmax(x.low, y.low), fmax(x.high, y.high));
}

struct interval
interval_abs(struct interval x)
{
	if (x.low >= 0)
		return x;
	if (x.high <= 0)
		return interval_neg(x);
	return interval_of(0, fmax(-x.low, x.high));
}

struct interval
interval_hull(struct interval x, struct interval y)
{
	return interval_of(fmin(x.low, y.low), fmax(x.high, y.high));
}

struct interval
interval_exp(struct interval x)
{
	struct interval z;

	if (interval_is_point(x))
		return interval_of(exp(x.low), exp(x.low));
	z = widened(exp(x.low), exp(x.high));
	z.low = fmax(z.low, 0);
	return z;
}

struct interval
interval_ln(struct interval x)
{
	struct interval z;

	if (interval_is_point(x))
		return interval_of(log(x.low), log(x.low));
	z = widened(log(x.low), log(x.high));
	if (x.low == 1)
		z.low = 0;
	if (x.high == 1)
		z.high = 0;
	return z;
}

struct interval
interval_sqrt(struct interval x)
{
	if (interval_is_point(x))
		return interval_of(sqrt(x.low), sqrt(x.low));
	return rounded(sqrt(x.low), sqrt(x.high), false);
}

/* Of numbers that are not below zero, in which it never falls. */
static struct interval
positive_power(double low, double high, int power)
{
	struct interval z = widened(pow(low, power), pow(high, power));

	if (low == 0)
		z.low = 0;
	if (high == 0)
		z.high = 0;
	return z;
}

struct interval
interval_power(struct interval x, int power)
{
	struct interval z;

	if (interval_is_point(x))
		return interval_of(pow(x.low, power), pow(x.low, power));
	if (power == 0)
		return interval_of(1, 1);
	if (power < 0)
		return interval_div(
		    interval_of(1, 1), interval_power(x, -power));
	if (power % 2 == 0) {
		x = interval_abs(x);
		return positive_power(x.low, x.high, power);
	}
	if (x.low >= 0)
		return positive_power(x.low, x.high, power);
	if (x.high <= 0)
		return interval_neg(positive_power(-x.high, -x.low, power));
	z.low = -positive_power(0, -x.low, power).high;
	z.high = positive_power(0, x.high, power).high;
	return z;
}

struct interval
interval_root(struct interval x, double power)
{
	double low = pow(x.low, power), high = pow(x.high, power);
	struct interval z;

	if (interval_is_point(x))
		return interval_of(low, high);
	z = power < 0 ? widened(high, low) : widened(low, high);
	z.low = fmax(z.low, 0);
	return z;
}
