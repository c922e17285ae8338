/*
 * What keeps no pack out of the book, and makes it a worse one to work with:
 * told by `pack check` alone, once nothing else is wrong.
 */
#ifndef PACK_ADVICE_H
#define PACK_ADVICE_H

#include "pack/set.h"

/* Every check that the files and the book have together. */
struct advice {
	struct pack_set *set;
	const struct lw_check **checks;
	const struct pack_item **items; /* of each; NULL: it is of the book */
	size_t check_count;
	size_t left; /* steps of comparing that may still be taken */
	bool spent;  /* and that was told */
};

/* Look at all of it; LW_NO_MEMORY, or what the book says. */
enum lw_status pack_advise(struct pack_set *set, struct lw_err *err);

/* Take steps of comparing; false, told once at `item`, where none are left. */
bool advice_take(
    struct advice *advice, const struct pack_item *item, size_t steps);

/* What checks tell of causes: a cause that none speaks for, causes that none
 * tells apart, a live check that an isolated one makes needless. */
enum lw_status advice_rows(struct advice *advice, struct lw_err *err);

/* Checks and steps that lead nowhere: without effect, without a way out, an
 * expectation that nothing meets. */
enum lw_status advice_ways(struct advice *advice, struct lw_err *err);

/* Two actions in one instruction. */
void advice_actions(const struct pack_file *file, const struct lw_check *check);

/* How many actions an instruction asks for, by its words; 0: it only informs,
 * or forbids. */
unsigned advice_count_actions(const char *text);

/* Two names for one thing, or one name for two. */
enum lw_status advice_names(struct advice *advice, struct lw_err *err);

#endif
