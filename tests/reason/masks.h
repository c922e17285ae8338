/* The checks of a grid as sets of causes, a bit each: for at most 64. */
#ifndef TESTS_REASON_MASKS_H
#define TESTS_REASON_MASKS_H

#include "reason/plan.h"

#include <stdint.h>

enum { MASKS_CHECKS_MAX = 128, MASKS_OUTCOMES_MAX = 8 };

struct masks {
	const struct plan_grid *grid;
	size_t count;
	struct mask {
		double cost;
		size_t state;
		size_t outcomes; /* that any cause has */
		uint64_t of[MASKS_OUTCOMES_MAX];
	} checks[MASKS_CHECKS_MAX];
};

/* Of those checks that tell anything apart; in the grid's order, or the
 * cheapest first. */
void masks_fill(
    struct masks *masks, const struct plan_grid *grid, bool cheapest_first);

/* Shares of the causes in a set, together. */
double masks_share(const struct masks *masks, uint64_t set);

uint64_t masks_all(const struct masks *masks);

/* Whether the check parts the set. */
static inline bool
mask_parts(const struct mask *mask, uint64_t set)
{
	size_t o;

	for (o = 0; o < mask->outcomes; o++)
		if ((set & mask->of[o]) != 0)
			return (set & mask->of[o]) != set;
	return false;
}

static inline double
masks_setup(const struct masks *masks, size_t from, size_t to)
{
	return masks->grid->setup == NULL
		   ? 0
		   : masks->grid->setup[from * masks->grid->states + to];
}

static inline unsigned
mask_size(uint64_t set)
{
	unsigned size = 0;

	for (; set != 0; set &= set - 1)
		size++;
	return size;
}

#endif
