/* Walks an authored tree as far as the standing findings lead; whether a
 * check may be asked now, and in which power state, is left to power. */
#include "job/walk.h"

#include "base/arena.h"
#include "base/err.h"

#include <stdlib.h>
#include <string.h>

static const struct lw_step *
find_step(const struct lw_tree *tree, const char *id)
{
	size_t i;

	for (i = 0; i < tree->step_count && id != NULL; i++)
		if (strcmp(tree->steps[i].id, id) == 0)
			return &tree->steps[i];
	return NULL;
}

static const struct lw_branch *
find_branch(const struct lw_step *step, const char *outcome)
{
	size_t i;

	for (i = 0; i < step->branch_count && outcome != NULL; i++)
		if (strcmp(step->branches[i].outcome, outcome) == 0)
			return &step->branches[i];
	return NULL;
}

/* Where a step leads that was put aside: its `cannot` branch, else the first
 * one that leads to another step. */
static const struct lw_branch *
find_way_on(const struct lw_step *step)
{
	const struct lw_branch *branch = find_branch(step, "cannot");
	size_t i;

	for (i = 0; i < step->branch_count && branch == NULL; i++)
		if (step->branches[i].kind == LW_BRANCH_STEP)
			branch = &step->branches[i];
	return branch;
}

static int
by_serial(const void *a, const void *b)
{
	const struct lw_finding *one = *(const struct lw_finding *const *)a;
	const struct lw_finding *other = *(const struct lw_finding *const *)b;

	return (one->serial > other->serial) - (one->serial < other->serial);
}

/* A check that two steps of the way share is put aside once. */
static void
put_aside(struct walk *walk, const struct lw_finding *finding)
{
	size_t i;

	for (i = 0; i < walk->aside_count; i++)
		if (walk->aside[i] == finding)
			return;
	walk->aside[walk->aside_count++] = finding;
}

/* Take the branch: the next step, or NULL with the end in `walk`. */
static const struct lw_step *
follow(struct walk *walk, const struct lw_tree *tree,
    const struct lw_branch *branch)
{
	const struct lw_step *step = NULL;

	walk->target = branch->target;
	/* In a damaged book. */
	if (branch->target == NULL) {
		walk->target = "Stop here, keep away, and keep others away.";
		walk->end =
		    branch->kind == LW_BRANCH_STOP ? WALK_STOP : WALK_LOST;
		return NULL;
	}
	switch (branch->kind) {
	case LW_BRANCH_STEP:
		step = find_step(tree, branch->target);
		walk->end = WALK_LOST;
		break;
	case LW_BRANCH_CAUSE:
		walk->end = WALK_CAUSE;
		break;
	case LW_BRANCH_UNSURE:
		walk->end = WALK_UNSURE;
		break;
	case LW_BRANCH_STOP:
		walk->end = WALK_STOP;
		break;
	default:
		walk->end = WALK_LOST;
	}
	return step;
}

/* Whether a step's check is for this rig. */
static enum lw_status
is_for(bool *here, struct shelf *shelf, const struct lw_step *step,
    const struct lw_rig *rig, struct lw_err *err)
{
	const struct lw_check *check = NULL;
	enum lw_status status = LW_OK;

	if (step->check != NULL)
		status = shelf_check(&check, shelf, step->check, err);
	*here = check == NULL || lw_rig_holds(rig, &check->only);
	return status;
}

enum lw_status
walk_tree(struct walk *walk, struct shelf *shelf, const struct lw_tree *tree,
    const struct findings *findings, const struct lw_rig *rig,
    struct lw_err *err)
{
	const struct lw_step *step;
	const struct lw_branch *branch;
	const struct lw_finding *answer;
	enum lw_status status;
	size_t taken;
	bool here;

	memset(walk, 0, sizeof *walk);
	walk->end = WALK_LOST;
	if (tree->step_count == 0)
		return LW_OK;
	walk->aside = arena_array(
	    shelf->work, tree->step_count, sizeof(const struct lw_finding *));
	if (walk->aside == NULL)
		return err_no_memory(err);
	step = &tree->steps[0];
	/* A way without a loop has no more steps than the tree. */
	for (taken = 0; step != NULL && taken < tree->step_count; taken++) {
		walk->check = step->check;
		answer = findings_on(findings, step->check);
		status = is_for(&here, shelf, step, rig, err);
		if (status != LW_OK)
			return status;
		if (answer == NULL && !here) {
			branch = find_way_on(step);
			if (branch == NULL) {
				walk->end = WALK_STUCK;
				step = NULL;
				break;
			}
			step = follow(walk, tree, branch);
			continue;
		}
		if (answer == NULL) {
			walk->end = WALK_ASK;
			step = NULL;
			break;
		}
		if (findings_is_outcome(answer->kind))
			branch = find_branch(step, answer->outcome);
		else {
			put_aside(walk, answer);
			branch = find_way_on(step);
		}
		if (branch == NULL) {
			walk->end = findings_is_outcome(answer->kind)
					? WALK_NO_BRANCH
					: WALK_STUCK;
			step = NULL;
			break;
		}
		step = follow(walk, tree, branch);
	}
	if (walk->aside_count > 1)
		qsort(walk->aside, walk->aside_count,
		    sizeof(const struct lw_finding *), by_serial);
	return LW_OK;
}
