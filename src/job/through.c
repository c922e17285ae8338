/* Goes through the steps of a walk-through by the findings that stand, and
 * says what an answer that was not the expected one points to. What the job
 * comes to at the end is left to ends. */
#include "job/through.h"

#include "base/arena.h"
#include "base/err.h"
#include "job/play.h"

#include <stdlib.h>
#include <string.h>

/* Whether an answer is what is expected: as it was judged then, and still is
 * where the book has its check. */
static bool
has_passed(const struct lw_finding *answer, const struct lw_check *check)
{
	size_t i;

	if (!findings_is_outcome(answer->kind) || !answer->passed)
		return false;
	for (i = 0; check != NULL && i < check->outcome_count; i++)
		if (answer->outcome != NULL &&
		    strcmp(check->outcomes[i].id, answer->outcome) == 0)
			return check->outcomes[i].expected;
	return check == NULL;
}

/* Take one step into account: passed, put aside, or the first that is not. */
static enum lw_status
take_step(struct walk *walk, struct shelf *shelf, const struct lw_step *step,
    const struct findings *findings, struct lw_err *err)
{
	const struct lw_finding *answer = NULL;
	const struct lw_check *check;
	enum lw_status status;

	status = shelf_check(&check, shelf, step->check, err);
	if (status != LW_OK)
		return status;
	walk->steps++;
	if (step->check != NULL)
		answer = findings_on(findings, step->check);
	if (answer != NULL && has_passed(answer, check)) {
		walk->passed++;
		return LW_OK;
	}
	if (answer != NULL && findings_is_aside(answer->kind)) {
		walk->aside[walk->aside_count++] = answer;
		return LW_OK;
	}
	if (walk->end != WALK_THROUGH)
		return LW_OK;
	/* In a damaged book. */
	walk->end = step->check != NULL ? WALK_ASK : WALK_LOST;
	walk->step = walk->steps;
	walk->check = step->check;
	return LW_OK;
}

enum lw_status
through_find(struct walk *walk, struct shelf *shelf, const struct lw_tree *tree,
    const struct findings *findings, const struct lw_rig *rig,
    struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i;

	memset(walk, 0, sizeof *walk);
	walk->end = WALK_THROUGH;
	walk->aside = arena_array(shelf->work, tree->step_count + 1,
	    sizeof(const struct lw_finding *));
	if (walk->aside == NULL)
		return err_no_memory(err);
	for (i = 0; i < tree->step_count && status == LW_OK; i++) {
		if (lw_rig_holds(rig, &tree->steps[i].only))
			status = take_step(
			    walk, shelf, &tree->steps[i], findings, err);
		else
			walk->left_out++;
	}
	return status;
}

/* --- what it points to --------------------------------------------------- */

/* The likelier first; as the author has them where two are alike. */
static int
by_weight(const void *a, const void *b)
{
	const struct lw_pointed *one = a, *other = b;

	if (one->weight != other->weight)
		return one->weight < other->weight ? 1 : -1;
	return (one->place > other->place) - (one->place < other->place);
}

/* The causes that an outcome speaks for; one that never gives it is none. */
static enum lw_status
find_points(struct lw_job_walk *show, struct shelf *shelf,
    const struct lw_refs *speaks, struct lw_err *err)
{
	struct lw_pointed *list, *item;
	const struct lw_cause *cause;
	enum lw_status status;
	double often;
	size_t i;

	if (speaks->count == 0)
		return LW_OK;
	list = arena_array(shelf->arena, speaks->count, sizeof *list);
	if (list == NULL)
		return err_no_memory(err);
	for (i = 0; i < speaks->count; i++) {
		often = lw_likelihood_value(speaks->items[i].word);
		if (!(often > lw_likelihood_value("never")))
			continue;
		status = shelf_cause(&cause, shelf, speaks->items[i].id, err);
		if (status != LW_OK)
			return status;
		if (cause == NULL)
			continue;
		item = &list[show->point_count++];
		item->cause = cause;
		item->word = speaks->items[i].word;
		item->weight = often * play_weight(cause, NULL);
		item->place = i;
	}
	qsort(list, show->point_count, sizeof *list, by_weight);
	show->points = list;
	return LW_OK;
}

/* The answer that stands for a check, where it is not as expected. */
static const struct lw_finding *
find_failed(const struct situation *at, const struct lw_check *check)
{
	const struct lw_finding *answer =
	    check != NULL ? findings_on(&at->findings, check->id) : NULL;

	if (answer == NULL || !findings_is_outcome(answer->kind) ||
	    has_passed(answer, check))
		return NULL;
	return answer;
}

/* Of what is asked now, or else of what that leads to. */
static enum lw_status
show_failed(struct lw_job_walk *show, struct shelf *shelf,
    const struct situation *at, struct lw_err *err)
{
	const struct lw_check *check = at->way.ask;
	size_t i;

	show->failed = find_failed(at, check);
	if (show->failed == NULL) {
		check = at->then;
		show->failed = find_failed(at, check);
	}
	for (i = 0; show->failed != NULL && i < check->outcome_count; i++)
		if (show->failed->outcome != NULL &&
		    strcmp(check->outcomes[i].id, show->failed->outcome) == 0)
			return find_points(
			    show, shelf, &check->outcomes[i].speaks, err);
	return LW_OK;
}

enum lw_status
through_show(const struct lw_job_walk **out, struct shelf *shelf,
    const struct situation *at, struct lw_err *err)
{
	struct lw_job_walk *show = arena_alloc(shelf->arena, sizeof *show);
	const struct walk *walk = &at->walk;

	if (show == NULL)
		return err_no_memory(err);
	*out = show;
	show->tree = at->tree;
	show->step = walk->step;
	show->steps = walk->steps;
	show->passed = walk->passed;
	show->aside = walk->aside_count;
	show->left_out = walk->left_out;
	show->complete = walk->steps > 0 && walk->passed == walk->steps;
	if (at->way.ask == NULL || at->purpose == LW_PURPOSE_SAFE)
		return LW_OK;
	return show_failed(show, shelf, at, err);
}
