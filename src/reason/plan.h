/*
 * The cheapest decision tree over a table without noise: each check gives each
 * cause one outcome. Method: dynamic programming over sets of causes (Garey
 * 1972), bounds by Huffman codes and separation costs (Pattipati and
 * Alexandridis 1990), rollout over a greedy tree (Tu and Pattipati 2003).
 */
#ifndef REASON_PLAN_H
#define REASON_PLAN_H

#include "reason/table.h"

#include <lampwright/arena.h>

struct plan_grid {
	size_t causes;		 /* 1 to PLAN_CAUSES_MAX */
	size_t checks;		 /* 0 to PLAN_CHECKS_MAX */
	const double *weight;	 /* 0 or more, at least one above 0 */
	const double *cost;	 /* of each check, 0 or more */
	const unsigned *outcome; /* [check * causes + cause], below 65536 */
	size_t states;		 /* as in struct reason_table; 1: none */
	const size_t *state;	 /* of each check; NULL: all 0 */
	const double *setup;	 /* [from * states + to]; NULL: nothing */
	size_t begin;
};

#define PLAN_CAUSES_MAX 100000
#define PLAN_CHECKS_MAX 10000

struct plan_node {
	size_t check;	      /* REASON_NONE: a leaf */
	double share;	      /* of all cases, what comes this way */
	const size_t *causes; /* of a leaf: those that are left, which no check
			       * tells apart, in the table's order */
	size_t cause_count;
	const struct plan_branch *branches; /* one for each outcome that can
					     * come here, by outcome */
	size_t branch_count;
};

struct plan_branch {
	unsigned outcome;
	const struct plan_node *node;
};

struct plan {
	const struct plan_node *root;
	double cost;	    /* the tree's: sum over causes of share times the
			     * costs on its path */
	double lower_bound; /* no tree costs less */
	bool optimal;	    /* proved */
	size_t checks_used; /* different ones in the tree */
	const size_t *mute; /* checks that tell nothing apart */
	size_t mute_count;
	size_t groups; /* groups of causes that the checks tell apart */
};

/* How far to go. */
enum plan_effort {
	PLAN_BEST = 0, /* all of it, within the limits */
	PLAN_ROLLOUT,  /* no search beyond the rollout: for comparison */
	PLAN_GREEDY    /* I^2/(c+s) alone: for comparison */
};

/*
 * LW_BAD_INPUT: no such grid (NaN, negative, too large), in a sentence.
 * LW_NO_MEMORY. Running into a limit is no error: the best tree so far and a
 * bound that holds. The bytes are for working and for the answer; making ready
 * and the answer itself take what they need even where that is more. `stop` is
 * asked about every millisecond. Without limits (NULL) it takes as long as it
 * takes: past some 40 causes that may be for ever. Above 1,024 groups of causes
 * there is no more than the greedy tree. Causes of weight 0 cost nothing and
 * are told apart by the greedy tree. A tree may be as deep as there are
 * checks: walk it without recursion.
 */
enum lw_status plan_make(struct plan *plan, struct lw_arena *arena,
    const struct plan_grid *grid, enum plan_effort effort,
    const struct reason_limits *limits, struct lw_err *err);

/* The cost of a tree by its definition, from the grid alone: for tests. */
double plan_cost_of(const struct plan_node *root, const struct plan_grid *grid);

#endif
