/* The bands of a check of which an end or more is an expression, from the
 * lowest to the highest: each ends where the next one begins. */
#ifndef PACK_CHAIN_H
#define PACK_CHAIN_H

#include "meter/expr.h"
#include "pack/set.h"

struct pack_end {
	bool there;
	const char *says;	      /* NULL: a number */
	double number;		      /* in the check's unit */
	const struct expr *expr;      /* of what it says */
	const struct pack_node *node; /* the scalar */
};

struct pack_band {
	struct pack_end from;
	struct pack_end below;
	bool expected;
	bool placed;		      /* it has its place among them */
	const struct pack_node *node; /* the outcome */
};

struct pack_chain {
	const struct pack_file *file;
	const struct lw_check *check;
	struct lw_arena *arena; /* what was parsed lives there */
	struct pack_band *bands;
	size_t count;
};

/* Whether an end of a band of the check is an expression. */
bool pack_chain_is(const struct lw_check *check);

/* Tell what is wrong with the bands of such a check. */
void pack_lint_chain(const struct pack_file *file, const struct lw_check *check,
    const struct pack_node *node);

/* What a meter on a vehicle of 24 to 120 V reads, generously, in a unit;
 * infinite where it is not known. */
void pack_chain_limits(double *least, double *most, const char *unit);

/* Tell bands that cannot be right on a plausible rig. */
void pack_lint_grid(const struct pack_chain *chain);

#endif
