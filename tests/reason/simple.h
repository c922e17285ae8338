/*
 * Simple policies over a table without noise, to be held beside the cheapest
 * tree: what each costs. At most 64 causes.
 */
#ifndef TESTS_REASON_SIMPLE_H
#define TESTS_REASON_SIMPLE_H

#include "reason/plan.h"

enum simple {
	SIMPLE_AUTHORED = 0, /* checks in their order; what tells nothing any
			      * more is passed over */
	SIMPLE_LIKELY,	     /* that which leaves the least beside the likeliest
			      * cause */
	SIMPLE_BITS,	     /* information alone */
	SIMPLE_BITS_COST,    /* information for the cost: I/(c+s) */
	SIMPLE_SQUARE,	     /* I^2/(c+s) */
	SIMPLE_ROLLOUT	     /* rollout over that */
};

#define SIMPLE_COUNT 6

const char *simple_name(enum simple simple);
double simple_cost(const struct plan_grid *grid, enum simple simple);

#endif
