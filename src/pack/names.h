/* The names that expressions may use: the values of rigs that are built in,
 * those of the files, and those of the book's other packs. */
#ifndef PACK_NAMES_H
#define PACK_NAMES_H

#include "meter/expr.h"
#include "pack/set.h"

#define PACK_VALUES_MAX 200    /* in all files and the book together */
#define PACK_WORK_MAX 10000000 /* on rigs, in all; see grid.c */

struct pack_named {
	const char *id;
	const struct lw_value *value;  /* NULL: it has problems of its own */
	const struct pack_item *item;  /* NULL: it is none of the files' */
	struct lw_dimension dimension; /* of a quantity */
	bool usable;  /* in expressions: a choice, or a quantity */
	bool unknown; /* what gives it from others has a problem */
	struct pack_named *const *needs; /* what it is worked out from */
	size_t need_count;
	unsigned colour; /* while loops are looked for */
	size_t mark;	 /* of the last look at what hangs together */
};

struct pack_names {
	struct pack_named *items;
	size_t count;
	struct pack_map ids;
	size_t mark; /* the last one that was given */
	bool full;   /* there were more than there may be */
	bool looped; /* some are worked out from themselves */
	size_t work; /* that was done on rigs */
	bool spent;  /* it is more than may be */
};

/* Put all of them together in set->names. Tells those beyond
 * PACK_VALUES_MAX. */
enum lw_status pack_names_load(struct pack_set *set, struct lw_err *err);

struct pack_named *pack_names_find(
    const struct pack_set *set, const char *name);

/* Where an expression stands, and what it has to be. */
struct pack_formula {
	const struct pack_file *file; /* NULL: in the book; nothing is told */
	const struct pack_node *node; /* the scalar */
	const char *text;
	const char *unit; /* whose dimension it has to have */
};

/* Where a column in the expression's text is in the file; 0: not known. */
struct lw_where pack_formula_place(
    const struct pack_node *node, unsigned column);

/*
 * Parse an expression into an arena. NULL where it has a problem, which is
 * told unless it follows from one that is told already, or where memory has
 * run out.
 */
const struct expr *pack_formula_parse(struct pack_set *set,
    const struct pack_formula *formula, struct lw_arena *arena);

/* The values of the files and what they are worked out from. */
enum lw_status pack_lint_values(struct pack_set *set, struct lw_err *err);

#endif
