/*
 * The way through an authored tree, from the findings alone.
 */
#ifndef JOB_WALK_H
#define JOB_WALK_H

#include "job/findings.h"
#include "job/shelf.h"

#include <lampwright/catalogue.h>

enum walk_end {
	WALK_ASK = 1,	/* `check` has no answer yet */
	WALK_CAUSE,	/* `target` is the cause's id */
	WALK_UNSURE,	/* `target` is the author's words */
	WALK_STOP,	/* `target` is the author's words */
	WALK_STUCK,	/* `check` was put aside and nothing leads on */
	WALK_NO_BRANCH, /* the tree has nothing for the answer to `check` */
	WALK_THROUGH,	/* of a walk-through: every step passed or was put
			 * aside */
	WALK_LOST	/* the tree is empty, loops, or names no such step */
};

struct walk {
	enum walk_end end;
	const char *check;
	const char *target;
	/* the findings that put a step of this way aside, in order */
	const struct lw_finding **aside;
	size_t aside_count;
	/* of a walk-through: see through.h */
	size_t step;	 /* which one `check` is, from 1; 0: none */
	size_t steps;	 /* those for the rig */
	size_t passed;	 /* of them */
	size_t left_out; /* those for other rigs */
};

/* A tree that is no walk-through. A step whose check is for other rigs than
 * this one (NULL: nothing is known) goes the way of one that was put aside, and
 * nothing is left undone by it. */
enum lw_status walk_tree(struct walk *walk, struct shelf *shelf,
    const struct lw_tree *tree, const struct findings *findings,
    const struct lw_rig *rig, struct lw_err *err);

#endif
