/*
 * What the files of the plan share: the grid made ready, with equal rows in
 * groups and without checks that help nobody, and the drafts of trees over it.
 */
#ifndef REASON_PLAN_WORK_H
#define REASON_PLAN_WORK_H

#include "reason/plan.h"

#include <stdint.h>

struct plan_work {
	const struct plan_grid *grid;
	const struct reason_limits *limits;
	struct lw_arena *arena; /* freed with the work */
	size_t answer;		/* bytes that the answer takes, about */
	bool stopped;
	size_t ticks;

	size_t groups;	/* by weight, the heaviest first */
	double *weight; /* of each group; they add up to 1 */
	size_t *first;	/* group k has member[first[k]] up to the next's */
	size_t *member; /* causes, in the table's order */

	size_t checks; /* those that help, the cheapest first */
	size_t *check; /* their numbers in the grid */
	double *cost;  /* in units, see below */
	size_t *state;
	size_t *kinds;	/* outcomes that the groups give */
	uint16_t *kind; /* [check * groups + group]: below kinds, in the order
			 * of the grid's outcomes */
	size_t kinds_max;

	size_t states;
	double *setup; /* [from * states + to], in units */
	double unit;   /* one unit, as the grid counts costs */

	size_t *mute;
	size_t mute_count;
};

/* A tree, as the checks of its inner nodes in preorder. */
struct plan_draft {
	size_t *check; /* numbers in the work */
	size_t count;
	double cost; /* in units */
};

/* Which check comes next for a set of groups; REASON_NONE: the greedy one. */
struct plan_chooser {
	size_t (*choose)(void *what, const size_t *list, size_t count,
	    size_t state, double weight);
	void *what;
};

/* plan_ready.c. LW_NO_MEMORY. The grid has been looked at. */
enum lw_status plan_ready(struct plan_work *work, struct lw_err *err);

/* plan.c: false when it is time to stop. `ticks`: the work since the last call,
 * in nanoseconds, about; asks when there is enough of it. */
bool plan_goes_on(struct plan_work *work, size_t ticks);
/* Zeroed memory within the limit; NULL past it. */
void *plan_room(struct plan_work *work, size_t count, size_t size);
/* Bytes that are left; SIZE_MAX without a limit. */
size_t plan_left(const struct plan_work *work);

/* plan_draft.c: LW_NO_MEMORY. `chooser` NULL: greedy all the way. */
enum lw_status plan_draft_make(struct plan_draft *draft, struct plan_work *work,
    const struct plan_chooser *chooser);
/* Groups of a list side by side by what they give: list is sorted by kind
 * (else keeps its order), ends[k] is where part k ends. The count of parts. */
size_t plan_split(size_t *list, size_t count, size_t *ends, size_t *spare,
    const struct plan_work *work, size_t check);
/* The check of the greatest I^2/(c+s). `from`: all before it do not split;
 * raised to the first that does. */
size_t plan_greedy(struct plan_work *work, const size_t *list, size_t count,
    size_t state, size_t *from);

/* plan_tree.c: the draft as the answer. */
enum lw_status plan_tree(struct plan *plan, struct lw_arena *arena,
    const struct plan_work *work, const struct plan_draft *draft);

#endif
