/* Turns a grid into sets of causes. What is done with them is others'. */
#include "reason/masks.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

static int
by_cost(const void *a, const void *b)
{
	const struct mask *one = a, *other = b;

	return (one->cost > other->cost) - (one->cost < other->cost);
}

static bool
fill_mask(struct mask *mask, const struct plan_grid *grid, size_t check)
{
	unsigned seen[MASKS_OUTCOMES_MAX], outcome;
	size_t i, o;

	memset(mask, 0, sizeof *mask);
	mask->cost = grid->cost[check];
	mask->state = grid->state != NULL ? grid->state[check] : 0;
	for (i = 0; i < grid->causes; i++) {
		outcome = grid->outcome[check * grid->causes + i];
		for (o = 0; o < mask->outcomes && seen[o] != outcome;)
			o++;
		assert(o < MASKS_OUTCOMES_MAX);
		if (o == mask->outcomes)
			seen[mask->outcomes++] = outcome;
		mask->of[o] |= (uint64_t)1 << i;
	}
	return mask->outcomes > 1;
}

void
masks_fill(
    struct masks *masks, const struct plan_grid *grid, bool cheapest_first)
{
	size_t j;

	assert(grid->causes <= 64 && grid->checks <= MASKS_CHECKS_MAX);
	masks->grid = grid;
	masks->count = 0;
	for (j = 0; j < grid->checks; j++)
		if (fill_mask(&masks->checks[masks->count], grid, j))
			masks->count++;
	if (cheapest_first)
		qsort(masks->checks, masks->count, sizeof *masks->checks,
		    by_cost);
}

double
masks_share(const struct masks *masks, uint64_t set)
{
	double all = 0, in = 0;
	size_t i;

	for (i = 0; i < masks->grid->causes; i++) {
		all += masks->grid->weight[i];
		if ((set >> i & 1) != 0)
			in += masks->grid->weight[i];
	}
	return in / all;
}

uint64_t
masks_all(const struct masks *masks)
{
	return UINT64_MAX >> (64 - masks->grid->causes);
}
