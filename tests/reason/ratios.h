/* Ratios of one figure to another over many seeds: mean and worst. */
#ifndef TESTS_REASON_RATIOS_H
#define TESTS_REASON_RATIOS_H

#include <math.h>
#include <stddef.h>
#include <stdint.h>

struct ratios {
	size_t count;
	double sum;
	double worst; /* the greatest */
	uint64_t worst_seed;
};

/* What is no number counts as the worst. */
static inline void
ratios_add(struct ratios *ratios, double ratio, uint64_t seed)
{
	if (isnan(ratio))
		ratio = INFINITY;
	if (ratios->count == 0 || ratio > ratios->worst) {
		ratios->worst = ratio;
		ratios->worst_seed = seed;
	}
	ratios->count++;
	ratios->sum += ratio;
}

static inline double
ratios_mean(const struct ratios *ratios)
{
	return ratios->count > 0 ? ratios->sum / (double)ratios->count : NAN;
}

#endif
