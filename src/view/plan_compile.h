/*
 * A tree compiled from the book: what it is for, the table that it is made
 * from, and what was reckoned.
 */
#ifndef VIEW_PLAN_COMPILE_H
#define VIEW_PLAN_COMPILE_H

#include "job/weigh.h"
#include "reason/policy.h"
#include "view/plan.h"

#include <lampwright/plan.h>

/* A cause is listed at an end from this share on, and so many of them. */
#define PLAN_LISTED 0.01
enum { PLAN_CAUSES_LISTED = 6 };

/* What a tree is for, and the table it is made from. */
struct plan_compiled {
	struct shelf shelf;
	struct play play;
	struct weighing weighing;
	struct reason_table table; /* of the checks that can be done */
	size_t *speaker; /* of each of them: its place in the weighing */
	size_t late;	 /* checks left out, whose tool is not at hand */
	double *share;	 /* of each cause, to begin with */
	struct policy policy;
	const struct lw_fault *fault; /* one of the two */
	const struct lw_symptom *symptom;
	const char *device; /* id, or NULL */
	const char *title;
};

/* Everything is in the arena. Statuses as of lw_plan_book. */
enum lw_status plan_compile(struct plan_compiled *of, struct lw_book *book,
    struct lw_arena *arena, const struct lw_plan_for *plan,
    const struct lw_plan_limits *limits, struct lw_err *err);

/* The cause that an end is sure of, with 90 % or more; or NULL. */
const struct lw_cause *plan_sure_cause(
    const struct plan_compiled *of, const struct policy_node *node);

/* A cause's title, or the words for what no book lists. */
const char *plan_cause_title(const struct play_cause *item);

/* What an end that is not sure says; NULL when memory has run out. */
const char *plan_say_end(
    struct plan_compiled *of, const struct policy_node *node);

/* What an outcome that ends the way says. */
const char *plan_say_stop(const struct lw_check *check, size_t outcome);

/* The document of what was compiled; `saved` is the tree's id, or NULL. */
void plan_put(struct view *view, struct plan_compiled *of, const char *saved);

#endif
