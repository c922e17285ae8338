/*
 * Products of many probabilities without underflow, good to about 1e-30, so
 * that the order of the factors is not seen in what comes of them. Method:
 * the product of doubles without error (Dekker 1971) and an exponent apart.
 */
#ifndef REASON_PRODUCT_H
#define REASON_PRODUCT_H

#include <stddef.h>
#include <stdint.h>

struct product {
	double high, low; /* (high + low) * 2^exponent; high 0, or 0.5-1 */
	int64_t exponent;
};

/* What counts as a likelihood: 0-1; what is negative or NaN is 0. */
double product_likelihood(double likelihood);

/* What counts as a weight: finite and above 0, else 0. */
double product_weight(double weight);

struct product product_of(double factor);

/* `factor` is finite and 0 or more. */
void product_times(struct product *product, double factor);

/* Divided by what is above 0; good to a double's precision. */
struct product product_over(const struct product *product, double divisor);

/* weight times the likelihoods of one cause, `likelihood` being that of the
 * first finding and the next standing `stride` further on; without finding
 * `skip` (REASON_NONE: with all). */
struct product product_column(double weight, const double *likelihood,
    size_t stride, size_t findings, size_t skip);

/* product / 2^exponent, 0 where that is too small. */
double product_scaled(const struct product *product, int64_t exponent);

/* -infinity for 0. */
double product_log2(const struct product *product);

#endif
