/*
 * The cheapest trees of all subsets, bottom up over the numbers 1 to 2^n - 1
 * (the dynamic programme of Garey 1972): for few groups, where a search would
 * reach nearly all of them. When to use it is left to plan.c.
 */
#include "reason/plan_sets.h"

#include "base/arena.h"

#include <math.h>
#include <string.h>

enum { GROUPS_MAX = 26, HALF = 13 };

/* Weights of sets as the sum of two halves. */
struct halves {
	double low[1 << HALF];
	double high[1 << HALF];
};

size_t
plan_array_bytes(const struct plan_work *work)
{
	size_t states = work->states;

	if (work->groups > GROUPS_MAX || states > 64)
		return 0;
	return ((size_t)1 << work->groups) * states * sizeof(double) +
	       sizeof(struct halves) + 4096;
}

static void
fill_half(double *half, const double *weight, size_t count)
{
	size_t set, i;

	for (set = 1; set < (size_t)1 << HALF; set++) {
		half[set] = half[set & (set - 1)];
		i = (size_t)__builtin_ctzl(set);
		if (i < count)
			half[set] += weight[i];
	}
}

/* What is left behind a check; below 0 where it does not split. */
static double
behind(const struct plan_array *array, size_t set, size_t check)
{
	const struct plan_sets *sets = array->sets;
	const struct plan_work *work = sets->work;
	const uint64_t *mask = sets->mask + sets->offset[check];
	const double *value = array->value + work->state[check];
	size_t kind, part = set & mask[0];
	double sum;

	if (part == set)
		return -1;
	sum = value[part * work->states];
	if (work->kinds[check] == 2)
		return part == 0 ? -1
				 : sum + value[(set ^ part) * work->states];
	for (kind = 1; kind < work->kinds[check]; kind++) {
		part = set & mask[kind];
		if (part == set)
			return -1;
		sum += value[part * work->states];
	}
	return sum;
}

/* One set without states: checks are sorted by cost, so that the rest can cost
 * no less than what the check itself does. */
static double
best_plain(const struct plan_array *array, size_t set, double weight)
{
	const struct plan_work *work = array->sets->work;
	double best = INFINITY, left;
	size_t j;

	for (j = 0; j < work->checks; j++) {
		double step = work->cost[j] * weight;

		if (step >= best)
			break;
		left = behind(array, set, j);
		if (left >= 0 && step + left < best)
			best = step + left;
	}
	return best;
}

/* One set in all states: the best check of each state first. */
static void
fill_states(
    const struct plan_array *array, size_t set, double weight, double *best)
{
	const struct plan_work *work = array->sets->work;
	double *value = array->value + set * work->states, left;
	size_t g, h, j;

	for (g = 0; g < work->states; g++) {
		best[g] = INFINITY;
		value[g] = INFINITY;
	}
	for (j = 0; j < work->checks; j++) {
		h = work->state[j];
		if (work->cost[j] * weight >= best[h])
			continue;
		left = behind(array, set, j);
		if (left >= 0)
			best[h] = fmin(best[h], work->cost[j] * weight + left);
	}
	for (g = 0; g < work->states; g++)
		for (h = 0; h < work->states; h++)
			value[g] = fmin(value[g],
			    best[h] +
				work->setup[g * work->states + h] * weight);
}

bool
plan_array_fill(struct plan_array *array, struct plan_sets *sets)
{
	struct plan_work *work = sets->work;
	size_t n = work->groups, end = (size_t)1 << n, set;
	struct halves *halves = plan_room(work, 1, sizeof *halves);
	double best[64], weight;

	array->sets = sets;
	array->value = plan_room(work, end * work->states, sizeof(double));
	if (array->value == NULL || halves == NULL)
		return false;
	fill_half(halves->low, work->weight, n);
	if (n > HALF)
		fill_half(halves->high, work->weight + HALF, n - HALF);
	for (set = 3; set < end; set++) {
		if (set % 1024 == 0 &&
		    !plan_goes_on(work, 3 * 1024 * work->checks))
			return false;
		weight = halves->low[set & ((1 << HALF) - 1)] +
			 halves->high[set >> HALF];
		if ((set & (set - 1)) == 0 || !(weight > 0))
			continue;
		if (work->states == 1)
			array->value[set] = best_plain(array, set, weight);
		else
			fill_states(array, set, weight, best);
	}
	return true;
}

size_t
plan_array_choose(
    void *what, const size_t *list, size_t count, size_t state, double weight)
{
	const struct plan_array *array = what;
	const struct plan_work *work = array->sets->work;
	size_t set = 0, best = REASON_NONE, i, j;
	double least = INFINITY, left;

	if (!(weight > 0))
		return REASON_NONE;
	for (i = 0; i < count; i++)
		set |= (size_t)1 << list[i];
	for (j = 0; j < work->checks; j++) {
		left = behind(array, set, j);
		if (left < 0)
			continue;
		left += weight *
			(work->cost[j] +
			    work->setup[state * work->states + work->state[j]]);
		if (left < least) {
			least = left;
			best = j;
		}
	}
	return best;
}
