/*
 * What to do next where checks may mislead and it ends in fixes: a tree of
 * checks, each done at most once, with fixes in order at its ends. Method:
 * V = min {ECR, min_j c_j + s + sum_o P(o) V}; exact over what can be seen
 * where that is small, else rollout over the policy that asks while one more
 * check lowers the expected cost of repair (Heckerman, Breese and Rommelse
 * 1995; Tu and Pattipati 2003).
 */
#ifndef REASON_POLICY_H
#define REASON_POLICY_H

#include "reason/table.h"

#include <lampwright/arena.h>

struct policy_node {
	size_t check;	     /* REASON_NONE: fixes, in `order` */
	double chance;	     /* of coming here */
	double cost;	     /* from here on, on average, if it comes here */
	const double *share; /* of each cause, here */
	const size_t *order; /* of an end: all causes, as to be fixed */
	const struct policy_node *const *next; /* for each outcome; NULL: it
						* cannot come */
};

struct policy {
	const struct policy_node *root;
	double cost;
	double lower_bound; /* no policy that keeps the rule costs less */
	bool optimal;	    /* proved: none within the bounds costs less */
	size_t checks_used; /* different ones in the tree */
	size_t nodes;
	bool stopped; /* by a limit, so that more time, bytes or nodes may
		       * find a better one */
};

enum policy_effort {
	POLICY_BEST = 0, /* exact where it is small, else rollout */
	POLICY_EXACT,	 /* exact, for tests: LW_TOO_BIG where it is not small;
			  * however improbable, all ways are followed */
	POLICY_ROLLOUT,	 /* rollout also where it is small */
	POLICY_MYOPIC,	 /* one more check at a time */
	POLICY_SURE	 /* for comparison: the check with the best score until
			  * one cause has 95 % */
};

/* Ends that are less probable than this are not divided further. */
#define POLICY_LEAST_CHANCE 1e-4

/*
 * The tree has at most `nodes_max` nodes and is at most `depth_max` checks
 * deep.
 */
struct policy_bounds {
	size_t nodes_max; /* 0: 10,000; fewer for 2,000 causes and more */
	size_t depth_max; /* 0: 12; at most 100 */
};

/*
 * Into *policy, in the arena. The rule: a check is asked only where it tells
 * NEXT_LEAST_BITS or more and does not yield to one in a less hazardous state
 * (next.h). `share` adds up to 1; `bounds` and `limits` may be NULL. Small, for
 * POLICY_EXACT, is what has few sets of findings: 8 checks of 3 outcomes, 12 of
 * 2. Running into a limit is no error: the tree so far, whose ends are fixes,
 * the likely ways divided before the unlikely. LW_BAD_INPUT: no such table,
 * shares or bounds, or no fixes. LW_TOO_BIG: see above. LW_NO_MEMORY.
 */
enum lw_status policy_make(struct policy *policy, struct lw_arena *arena,
    const struct reason_table *table, const double *share,
    const struct reason_fixes *fixes, enum policy_effort effort,
    const struct policy_bounds *bounds, const struct reason_limits *limits,
    struct lw_err *err);

#endif
