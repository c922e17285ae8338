/* Bayes' rule over plain arrays; which causes and findings they stand for is
 * left to job. Method: single-fault diagnosis with conditionally independent
 * findings (Lauritzen and Spiegelhalter 1988 for the general case). */
#include "reason/belief.h"

#include "reason/product.h"
#include "reason/table.h"

#include <math.h>
#include <stdbool.h>

/* What is kept, of 1, for the outcomes that an author left unsaid, so that
 * one wrong answer cannot rule a cause out for good: judgement. */
static const double UNSAID = 0.01;

/* How often a sound vehicle, or one with a fault that the check is not about,
 * gives what is expected: judgement. */
static const double AS_EXPECTED = 0.95;

static const double FACTOR_MOST = 1e6;

void
belief_shares(double *share, const double *weight, size_t n)
{
	double largest = 0, sum = 0;
	size_t i;

	for (i = 0; i < n; i++)
		largest = fmax(largest, product_weight(weight[i]));
	/* Divided by the largest first, so that the sum cannot overflow. */
	for (i = 0; i < n; i++) {
		share[i] =
		    largest > 0 ? product_weight(weight[i]) / largest : 1;
		sum += share[i];
	}
	for (i = 0; i < n; i++)
		share[i] /= sum;
}

void
belief_update(double *weight, const double *likelihood, size_t n)
{
	double largest = 0;
	size_t i;

	for (i = 0; i < n; i++)
		largest = fmax(largest, product_weight(weight[i]) *
					    product_likelihood(likelihood[i]));
	if (!(largest > 0))
		return;
	for (i = 0; i < n; i++)
		weight[i] = product_weight(weight[i]) *
			    product_likelihood(likelihood[i]) / largest;
}

double
belief_likelihood(const double *given, size_t outcomes, size_t outcome)
{
	double said = 0, value, left;
	size_t unsaid = 0, o;

	if (outcome >= outcomes)
		return 0;
	for (o = 0; o < outcomes; o++) {
		value = product_likelihood(given[o]);
		said += value;
		unsaid += value > 0 ? 0 : 1;
	}
	if (unsaid == outcomes)
		return 1.0 / (double)outcomes;
	value = product_likelihood(given[outcome]);
	if (unsaid == 0)
		return value / said;
	left = 1 - said;
	if (left < UNSAID)
		left = UNSAID;
	if (!(value > 0))
		value = left / (double)unsaid;
	return value / (said + left);
}

double
belief_unnamed(size_t outcomes, size_t expected, size_t outcome)
{
	if (outcome >= outcomes)
		return 0;
	if (expected >= outcomes || outcomes == 1)
		return 1.0 / (double)outcomes;
	if (outcome == expected)
		return AS_EXPECTED;
	return (1 - AS_EXPECTED) / (double)(outcomes - 1);
}

static bool
any_weight(const double *weight, size_t n)
{
	size_t i;

	for (i = 0; i < n; i++)
		if (product_weight(weight[i]) > 0)
			return true;
	return false;
}

void
belief_posterior(double *share, const double *weight, size_t causes,
    const double *likelihood, size_t findings)
{
	bool weighed = any_weight(weight, causes), possible = false;
	struct product product;
	int64_t largest = 0;
	size_t i;

	for (i = 0; i < causes; i++) {
		product = product_column(weighed ? weight[i] : 1,
		    likelihood + i, causes, findings, REASON_NONE);
		if (product.high > 0 &&
		    (!possible || product.exponent > largest))
			largest = product.exponent;
		possible = possible || product.high > 0;
	}
	for (i = 0; possible && i < causes; i++) {
		product = product_column(weighed ? weight[i] : 1,
		    likelihood + i, causes, findings, REASON_NONE);
		share[i] = product_scaled(&product, largest);
	}
	belief_shares(share, possible ? share : weight, causes);
}

/*
 * What was believed without each finding, as logarithms to base 2 and on no
 * scale in particular: into log[k * causes + i].
 */
static void
without_each(double *log, const double *weight, size_t causes,
    const double *likelihood, size_t findings)
{
	bool weighed = any_weight(weight, causes);
	struct product all;
	size_t i, k, zeros;
	double value, one;

	for (i = 0; i < causes; i++) {
		all = product_of(weighed ? product_weight(weight[i]) : 1);
		for (k = 0, zeros = 0; k < findings; k++) {
			one = product_likelihood(likelihood[k * causes + i]);
			if (one > 0)
				product_times(&all, one);
			else
				zeros++;
		}
		value = product_log2(&all);
		for (k = 0; k < findings; k++) {
			one = product_likelihood(likelihood[k * causes + i]);
			if (one > 0)
				log[k * causes + i] =
				    zeros > 0 ? -INFINITY : value - log2(one);
			else
				log[k * causes + i] =
				    zeros > 1 ? -INFINITY : value;
		}
	}
}

/* The largest one, other than `skip`; REASON_NONE where all others are
 * impossible. */
static size_t
largest_of(const double *log, size_t n, size_t skip)
{
	size_t i, best = REASON_NONE;

	for (i = 0; i < n; i++)
		if (i != skip && log[i] > -INFINITY &&
		    (best == REASON_NONE || log[i] > log[best]))
			best = i;
	return best;
}

/* The mean of `row` over all causes but `skip`, weighed with 2^log; -1 where
 * there is no other. */
static double
mean_of_others(const double *row, const double *log, size_t n, size_t skip)
{
	size_t i, top = largest_of(log, n, skip);
	double weight, sum = 0, weighed = 0;

	if (top == REASON_NONE)
		return -1;
	for (i = 0; i < n; i++) {
		if (i == skip)
			continue;
		weight = exp2(log[i] - log[top]);
		sum += weight;
		weighed += weight * product_likelihood(row[i]);
	}
	return weighed / sum;
}

static double
factor_of(double likelihood, double mean)
{
	double factor;

	if (mean < 0)
		return likelihood > 0 ? 1 : 1 / FACTOR_MOST;
	if (!(mean > 0) && !(likelihood > 0))
		return 1;
	factor = mean > 0 ? likelihood / mean : FACTOR_MOST;
	return fmin(fmax(factor, 1 / FACTOR_MOST), FACTOR_MOST);
}

/* `log` is this finding's row of without_each, with one at least that is
 * possible, and takes the factors. The likeliest cause is told by a sum over
 * the others alone: taking it off the sum over all would leave nothing but
 * rounding. For any other that loses no more than FACTOR_MOST times what a
 * double does. */
static void
factors_of(double *log, const double *row, size_t n)
{
	size_t i, top = largest_of(log, n, REASON_NONE);
	double of_top = mean_of_others(row, log, n, top), scale = log[top];
	double sum = 0, all = 0, own, mean;

	for (i = 0; i < n; i++) {
		log[i] = exp2(log[i] - scale);
		sum += log[i];
		all += log[i] * product_likelihood(row[i]);
	}
	for (i = 0; i < n; i++) {
		own = product_likelihood(row[i]);
		mean = i == top
			   ? of_top
			   : fmax((all - log[i] * own) / (sum - log[i]), 0);
		log[i] = factor_of(own, mean);
	}
}

void
belief_factors(double *factor, const double *weight, size_t causes,
    const double *likelihood, size_t findings)
{
	bool weighed = any_weight(weight, causes);
	double *row;
	size_t i, k;

	without_each(factor, weight, causes, likelihood, findings);
	for (k = 0; causes > 0 && k < findings; k++) {
		row = factor + k * causes;
		/* Where the others rule all out: the shares before, as
		 * belief_posterior has it. */
		if (largest_of(row, causes, REASON_NONE) == REASON_NONE)
			for (i = 0; i < causes; i++)
				row[i] = weighed
					     ? log2(product_weight(weight[i]))
					     : 0;
		factors_of(row, likelihood + k * causes, causes);
	}
}
