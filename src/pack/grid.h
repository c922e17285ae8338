/*
 * Plausible rigs, one after the other: each value that is looked at is at the
 * low end, in the middle and at the high end of what is plausible, each choice
 * is made. What is worked out from others is worked out; a rig on which it is
 * not plausible is left out.
 */
#ifndef PACK_GRID_H
#define PACK_GRID_H

#include "pack/names.h"

#include <stdint.h>

enum {
	GRID_RIGS_MAX = 600,
	GRID_NAMES_MAX = 64 /* that the expressions of one check hang on */
};

struct grid_item {
	struct pack_named *named;
	const struct expr *worked; /* NULL: it is said */
	size_t options;		   /* of what is said */
	size_t option;
	double least; /* by its tolerance, as a share */
	double most;
	struct expr_value value; /* on this rig */
};

struct grid {
	struct pack_set *set;
	struct lw_arena *arena;
	size_t mark;
	struct grid_item items[GRID_NAMES_MAX]; /* what they need is before */
	size_t count;
	size_t rigs; /* to try */
	size_t tried;
	bool whole; /* those are all that there are */
	uint64_t seed;
};

/* Begin with the names of expressions, which may be NULL, and with what else
 * can be worked out from those. False: it cannot be done, for a reason that is
 * told, here (at `at`) or already. */
bool grid_start(struct grid *grid, const struct pack_file *file,
    struct lw_where at, struct lw_arena *arena, uint64_t seed,
    const struct expr *const *exprs, size_t count);

/* Begin with one value and what it is worked out from, and nothing else.
 * False: it cannot be done, for a reason that is told. */
bool grid_of_value(struct grid *grid, struct pack_set *set,
    struct lw_arena *arena, struct pack_named *named);

/* On to the next rig that is plausible; false at the end. */
bool grid_next(struct grid *grid);

/* What an expression, which is this text, comes to on the rig, in SI;
 * LW_BAD_INPUT. */
enum lw_status grid_number(double *number, struct grid *grid,
    const struct expr *expr, const char *text, struct lw_err *err);

/* "with pack.cells 6 and pack.kind lfp"; "on every rig" where nothing is
 * said. */
void grid_say(char *text, size_t size, const struct grid *grid);

#endif
