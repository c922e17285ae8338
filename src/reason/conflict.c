/* Whether findings go together; what is said of it is left to job. Method:
 * Jensen, Chamberlain, Nordahl and Jensen 1990. */
#include "reason/conflict.h"

#include "reason/product.h"
#include "reason/table.h"

#include <math.h>
#include <stdbool.h>

/* Bits for what cannot be at all: log2 of 1e300. */
static const double IMPOSSIBLE = 996.57842846620871;

/* So many findings are left out at a time, each for itself. */
enum { BATCH = 32 };

/* A sum of products, on a scale of its own. */
struct total {
	double sum;
	int64_t exponent;
};

static void
add(struct total *total, const struct product *product)
{
	struct product old = {.high = total->sum, .exponent = total->exponent};

	if (!(product->high > 0))
		return;
	if (!(total->sum > 0) || product->exponent > total->exponent) {
		total->exponent = product->exponent;
		total->sum = product_scaled(&old, total->exponent);
	}
	total->sum += product_scaled(product, total->exponent);
}

/* log2 of one over the other; -infinity where it cannot be. */
static double
bits_of(const struct total *total, const struct total *of)
{
	if (!(total->sum > 0))
		return -INFINITY;
	return log2(total->sum / of->sum) +
	       (double)(total->exponent - of->exponent);
}

static struct total
total_of(const double *prior, size_t causes, const double *likelihood,
    size_t findings)
{
	struct total total = {0};
	struct product product;
	size_t i;

	for (i = 0; i < causes; i++) {
		product = product_column(
		    prior[i], likelihood + i, causes, findings, REASON_NONE);
		add(&total, &product);
	}
	return total;
}

/* Into total[k] P(all findings but first + k). */
static void
totals_without(struct total *total, size_t first, size_t count,
    const double *prior, size_t causes, const double *likelihood,
    size_t findings)
{
	struct product all, product;
	size_t i, k, zeros;
	double one;

	for (k = 0; k < count; k++)
		total[k] = (struct total){0};
	for (i = 0; i < causes; i++) {
		all = product_of(product_weight(prior[i]));
		for (k = 0, zeros = 0; k < findings && zeros < 2; k++) {
			one = product_likelihood(likelihood[k * causes + i]);
			if (one > 0)
				product_times(&all, one);
			else
				zeros++;
		}
		for (k = 0; k < count; k++) {
			one = product_likelihood(
			    likelihood[(first + k) * causes + i]);
			if (zeros > (one > 0 ? 0 : 1))
				continue;
			product = one > 0 ? product_over(&all, one) : all;
			add(&total[k], &product);
		}
	}
}

/* `apart` is the log2 of the product of P(e_k), `together` that of P(e). */
static double
conflict_of(double apart, double together)
{
	return fmin(apart - together, IMPOSSIBLE);
}

double
conflict_bits(double *without, const double *prior, size_t causes,
    const double *likelihood, size_t findings)
{
	struct total before, one, batch[BATCH];
	double apart = 0, bits;
	size_t k, j, count;

	before = total_of(prior, causes, likelihood, 0);
	for (k = 0; k < findings; k++) {
		one = total_of(prior, causes, likelihood + k * causes, 1);
		bits = fmax(bits_of(&one, &before), -IMPOSSIBLE);
		apart += bits;
		if (without != NULL)
			without[k] = bits;
	}
	for (k = 0; without != NULL && k < findings; k += count) {
		count = findings - k < BATCH ? findings - k : BATCH;
		totals_without(
		    batch, k, count, prior, causes, likelihood, findings);
		for (j = 0; j < count; j++)
			without[k + j] =
			    findings < 3 ? 0
					 : conflict_of(apart - without[k + j],
					       bits_of(&batch[j], &before));
	}
	if (findings < 2)
		return 0;
	one = total_of(prior, causes, likelihood, findings);
	return conflict_of(apart, bits_of(&one, &before));
}

/* Whether no finding speaks much against the cause. */
static bool
explains(const double *prior, size_t causes, const double *likelihood,
    size_t findings, size_t cause)
{
	double usual;
	size_t k, i;

	for (k = 0; k < findings; k++) {
		for (i = 0, usual = 0; i < causes; i++)
			usual += prior[i] * likelihood[k * causes + i];
		if (likelihood[k * causes + cause] < CONFLICT_EXPLAINS * usual)
			return false;
	}
	return true;
}

bool
conflict_is_rare_case(double bits, const double *prior, const double *share,
    size_t causes, const double *likelihood, size_t findings)
{
	size_t i;

	for (i = 0; i < causes; i++)
		if (prior[i] > 0 && share[i] > 0 &&
		    log2(share[i] / prior[i]) >= bits &&
		    explains(prior, causes, likelihood, findings, i))
			return true;
	return false;
}

size_t
conflict_repeat(const double *without, const double *cost, size_t findings)
{
	double least = INFINITY;
	bool found = false;
	size_t k, best = 0;

	for (k = 0; k < findings; k++)
		least = fmin(least, without[k]);
	for (k = 0; k < findings; k++)
		if (without[k] <= least + 1e-9 &&
		    (!found || cost[k] <= cost[best])) {
			best = k;
			found = true;
		}
	return best;
}
