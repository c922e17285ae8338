/*
 * Causes by checks as plain arrays: what next and policy reason over. What
 * they stand for is the caller's. Times are in any one unit (a job takes
 * minutes).
 */
#ifndef REASON_TABLE_H
#define REASON_TABLE_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>

struct reason_check {
	size_t outcomes;     /* 1 or more */
	const double *given; /* [outcome * causes + cause]: P(outcome | cause);
			      * for each cause they add up to 1 */
	double cost;	     /* of doing it: 0 or more */
	size_t state;	     /* the state that it is done in */
};

/* What it takes to try fixes until one cures, single fault, each tried at
 * most once and known at once to have cured or not. */
struct reason_fixes {
	const double *cost; /* for each cause, more than 0: its fix and the
			     * look whether it cured */
	const size_t
	    *cluster; /* for each cause: the cluster that has to be
		       * opened before it (a tool to fetch, a cover to
		       * take off), or REASON_NONE; NULL: no clusters */
	size_t clusters;
	const double *open; /* what opening each cluster costs */
	size_t last;	    /* a cause that is taken up last, whatever it
			     * costs (none of those listed); REASON_NONE */
};

#define REASON_NONE ((size_t)-1)

struct reason_table {
	size_t causes; /* 1 or more */
	size_t checks; /* 0 or more */
	const struct reason_check *check;
	size_t states;	     /* 1 or more, in order of hazard; 0 the least */
	const double *setup; /* [from * states + to], 0 or more, 0 from a state
			      * to itself; NULL: nothing */
	size_t begin;	     /* the state it is in */
};

/* How long it may take, and how much memory. `stop` is asked now and then, and
 * says true when time is up; NULL: never. What is found until then is the
 * answer. */
struct reason_limits {
	size_t bytes; /* 0: no limit */
	bool (*stop)(void *what);
	void *what;
};

/* No cost is above this, so that sums and products of them stay numbers. */
#define REASON_COST_MAX 1e12

/* LW_BAD_INPUT for what is no such table: NaN, negative costs, likelihoods
 * that do not add up to 1 (to 1e-6), a state there is none of, no outcome.
 * `fixes` may be NULL. */
enum lw_status reason_table_check(const struct reason_table *table,
    const struct reason_fixes *fixes, struct lw_err *err);

/* The same for fixes alone, and for shares (to add up to 1 to 1e-6). */
enum lw_status reason_fixes_check(
    const struct reason_fixes *fixes, size_t causes, struct lw_err *err);
enum lw_status reason_shares_check(
    const double *share, size_t causes, struct lw_err *err);

#endif
