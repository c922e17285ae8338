/*
 * Small invented tables of checks that may mislead, for the tests of next,
 * fixes and policy, and what those compute, straight from the definitions.
 */
#ifndef UNIT_NOISY_H
#define UNIT_NOISY_H

#include "reason/table.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

enum {
	NOISY_CAUSES = 8,
	NOISY_CHECKS = 8,
	NOISY_OUTCOMES = 3,
	NOISY_STATES = 3
};

struct noisy {
	struct reason_table table;
	struct reason_fixes fixes;
	double share[NOISY_CAUSES];
	struct reason_check check[NOISY_CHECKS];
	double given[NOISY_CHECKS][NOISY_OUTCOMES * NOISY_CAUSES];
	double setup[NOISY_STATES * NOISY_STATES];
	double cost[NOISY_CAUSES];
	size_t cluster[NOISY_CAUSES];
	double open[2];
};

/* A generator with a seed of its own: 0 to below 1. */
static inline double
noisy_draw(uint64_t *state)
{
	*state = *state * 6364136223846793005u + 1442695040888963407u;
	return (double)(*state >> 11) / (double)(UINT64_C(1) << 53);
}

static inline size_t
noisy_pick(uint64_t *state, size_t count)
{
	return (size_t)(noisy_draw(state) * (double)count);
}

/* Shares, costs 2-32 and two clusters (used where fixes.cluster is set). */
static inline void
noisy_fixes(struct noisy *made, uint64_t *seed, size_t causes)
{
	double sum = 0;
	size_t i;

	for (i = 0; i < causes; i++) {
		made->share[i] = -log(1 - noisy_draw(seed)) + 1e-3;
		sum += made->share[i];
		made->cost[i] = 2 + 30 * noisy_draw(seed);
		made->cluster[i] = noisy_pick(seed, 3);
		if (made->cluster[i] == 2)
			made->cluster[i] = REASON_NONE;
	}
	for (i = 0; i < causes; i++)
		made->share[i] /= sum;
	made->open[0] = 20 * noisy_draw(seed);
	made->open[1] = 20 * noisy_draw(seed);
	made->fixes.cost = made->cost;
	made->fixes.open = made->open;
	made->fixes.last = REASON_NONE;
}

/* One outcome is the likeliest for each cause, with 0.6 to 0.98. */
static inline void
noisy_given(double *given, uint64_t *seed, size_t causes, size_t outcomes)
{
	size_t i, o, likeliest;
	double value;

	for (i = 0; i < causes; i++) {
		likeliest = noisy_pick(seed, outcomes);
		value = outcomes == 1 ? 1 : 0.6 + 0.38 * noisy_draw(seed);
		for (o = 0; o < outcomes; o++)
			given[o * causes + i] =
			    o == likeliest
				? value
				: (1 - value) / (double)(outcomes - 1);
	}
}

/* Outcomes: as many for each check, or 0 for 1 to 3. */
static inline void
noisy_make(struct noisy *made, uint64_t seed, size_t causes, size_t checks,
    size_t outcomes, size_t states)
{
	size_t j, a, b;

	memset(made, 0, sizeof *made);
	seed = seed * UINT64_C(0x9e3779b97f4a7c15) + 1;
	noisy_draw(&seed);
	noisy_fixes(made, &seed, causes);
	for (j = 0; j < checks; j++) {
		struct reason_check *check = &made->check[j];

		check->outcomes =
		    outcomes > 0 ? outcomes : 1 + noisy_pick(&seed, 3);
		noisy_given(made->given[j], &seed, causes, check->outcomes);
		check->given = made->given[j];
		check->cost = 0.5 + 4 * noisy_draw(&seed);
		check->state = noisy_pick(&seed, states);
	}
	for (a = 0; a < states; a++)
		for (b = 0; b < states; b++)
			made->setup[a * states + b] =
			    a == b ? 0 : 4 * noisy_draw(&seed);
	made->table = (struct reason_table){.causes = causes,
	    .checks = checks,
	    .check = made->check,
	    .states = states,
	    .setup = made->setup};
}

/* --- by definition ------------------------------------------------------- */

static inline double
noisy_open(const struct reason_fixes *fixes, size_t cause, unsigned *opened)
{
	size_t cluster =
	    fixes->cluster == NULL ? REASON_NONE : fixes->cluster[cause];

	if (cluster == REASON_NONE || (*opened >> cluster & 1) != 0)
		return 0;
	*opened |= 1u << cluster;
	return fixes->open[cluster];
}

/* What fixing in this order costs, times the sum of the weights. */
static inline double
noisy_order_cost(const size_t *order, size_t count, const double *weight,
    const struct reason_fixes *fixes)
{
	double left = 0, cost = 0;
	unsigned opened = 0;
	size_t k;

	for (k = 0; k < count; k++)
		left += weight[k];
	for (k = 0; k < count && left > 1e-15; k++) {
		size_t i = order[k];

		cost += left * (fixes->cost[i] + noisy_open(fixes, i, &opened));
		left -= weight[i];
	}
	return cost;
}

/* The least over every order of the causes that are left. */
static inline double
noisy_least_cost(size_t causes, const double *weight,
    const struct reason_fixes *fixes, unsigned tried, unsigned opened)
{
	double left = 0, least = INFINITY, cost;
	size_t i, others = 0;
	unsigned now;

	for (i = 0; i < causes; i++)
		if ((tried >> i & 1) == 0) {
			left += weight[i];
			others += i != fixes->last && weight[i] > 0;
		}
	if (!(left > 0))
		return 0;
	for (i = 0; i < causes; i++) {
		if ((tried >> i & 1) != 0 || !(weight[i] > 0) ||
		    (i == fixes->last && others > 0))
			continue;
		now = opened;
		cost = left * (fixes->cost[i] + noisy_open(fixes, i, &now));
		cost += noisy_least_cost(
		    causes, weight, fixes, tried | 1u << i, now);
		least = fmin(least, cost);
	}
	return least;
}

/* Bits of a check: sum of P(o, i) log2 P(o | i) / P(o). */
static inline double
noisy_bits(
    const struct reason_check *check, const double *weight, size_t causes)
{
	double bits = 0, sum = 0, mass;
	size_t o, i;

	for (i = 0; i < causes; i++)
		sum += weight[i];
	for (o = 0; o < check->outcomes; o++) {
		const double *given = check->given + o * causes;

		for (i = 0, mass = 0; i < causes; i++)
			mass += weight[i] * given[i];
		for (i = 0; i < causes; i++)
			if (weight[i] * given[i] > 0)
				bits += weight[i] * given[i] / sum *
					log2(given[i] / (mass / sum));
	}
	return bits;
}

#endif
