/* A check and a tree as items: what each answer says, and where each branch
 * goes. A step of a job is shown by step.c alone. */
#include "view/item.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

static void *
room(struct view *view, size_t count, size_t size)
{
	void *items = arena_array(view->arena, count + 1, size);

	if (items == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	}
	return items;
}

static const struct lw_point *
point_of(struct view *view, const char *id)
{
	const struct lw_point *point;

	if (id == NULL || view->status != LW_OK ||
	    !view_got(view, lw_book_point(view->book, view->arena, id, &point,
				&view->last)))
		return NULL;
	return point;
}

/* The check's own cautions, then those of its power state, each once. */
static void
gather_cautions(struct view *view, struct lw_job_step *step)
{
	const struct lw_refs *own = &step->check->cautions;
	const struct lw_caution **of_state = NULL, **all;
	size_t state_count = 0, count = 0, i, k;
	enum lw_signal signal;

	if (!view_got(view,
		lw_book_cautions_in(view->book, view->arena, step->check->power,
		    &of_state, &state_count, &view->last)))
		state_count = 0;
	all = room(view, own->count + state_count, sizeof *all);
	if (all == NULL)
		return;
	for (i = 0; i < own->count; i++) {
		if (view_got(
			view, lw_book_caution(view->book, view->arena,
				  own->items[i].id, &all[count], &view->last)))
			count++;
	}
	for (i = 0; i < state_count; i++) {
		for (k = 0; k < count; k++) {
			if (strcmp(all[k]->id, of_state[i]->id) == 0)
				break;
		}
		if (k == count)
			all[count++] = of_state[i];
	}
	/* Gravest first, and in the order found within a signal word. */
	step->cautions = of_state = room(view, count, sizeof *of_state);
	if (of_state == NULL)
		return;
	for (signal = LW_SIGNAL_NONE; signal <= LW_SIGNAL_NOTICE; signal++) {
		for (i = 0; i < count; i++) {
			if (all[i]->signal == signal)
				of_state[step->caution_count++] = all[i];
		}
	}
}

/* Every instruction; where it is for some rigs alone, it says which. */
static void
gather_instructions(struct view *view, struct lw_job_step *step)
{
	const struct lw_instructions *all = &step->check->steps;
	const char **texts = room(view, all->count, sizeof *texts);
	size_t i;

	for (i = 0; texts != NULL && i < all->count; i++) {
		const struct lw_instruction *one = &all->items[i];

		texts[i] = one->text;
		if (one->only.count > 0)
			texts[i] =
			    arena_printf(view->arena, "%s (only with: %s)",
				one->text, view_rules_text(view, &one->only));
		if (texts[i] == NULL) {
			err_no_memory(&view->last);
			view_fail(view, LW_NO_MEMORY);
			return;
		}
	}
	step->instructions = texts;
	step->instruction_count = texts != NULL ? all->count : 0;
}

static void
put_speaks(struct view *view, json_t *step, const struct lw_check *check)
{
	json_t *outcomes = json_object_get(step, "outcomes");
	json_t *list, *object;
	size_t i, k;

	for (i = 0; i < check->outcome_count; i++) {
		const struct lw_refs *speaks = &check->outcomes[i].speaks;

		list = view_list(view, json_array_get(outcomes, i), "speaks");
		for (k = 0; k < speaks->count; k++) {
			const struct lw_ref *ref = &speaks->items[k];

			object = view_add(view, list);
			view_words(view, object, "cause", ref->id);
			view_words(view, object, "title",
			    item_title(view, "cause", ref->id));
			view_text(view, object, "word", ref->word);
		}
	}
}

static void
put_titles(struct view *view, json_t *list, const char *kind,
    const struct lw_refs *refs)
{
	json_t *child;
	size_t i;

	for (i = 0; i < refs->count; i++) {
		child = view_add(view, list);
		view_words(view, child, kind, refs->items[i].id);
		view_words(view, child, "title",
		    item_title(view, kind, refs->items[i].id));
	}
}

void
item_put_check(struct view *view, const struct lw_check *check)
{
	const struct lw_point **points;
	struct lw_job_step step;
	json_t *object;
	size_t i;

	if (view->status != LW_OK)
		return;
	memset(&step, 0, sizeof step);
	step.check = check;
	step.black = point_of(view, check->black);
	step.red = point_of(view, check->red);
	points = room(view, check->points.count, sizeof *points);
	if (points == NULL)
		return;
	for (i = 0; i < check->points.count; i++) {
		points[step.point_count] =
		    point_of(view, check->points.items[i].id);
		if (points[step.point_count] != NULL)
			step.point_count++;
	}
	step.points = points;
	for (i = 0; i < check->outcome_count; i++) {
		if (check->outcomes[i].enters != LW_POWER_UNKNOWN) {
			step.gate = true;
			step.into = check->outcomes[i].enters;
		}
		if (check->outcomes[i].expected && step.expected == NULL)
			step.expected = &check->outcomes[i];
	}
	gather_instructions(view, &step);
	gather_cautions(view, &step);
	object = view_object(view, view->root, "check");
	view_step(view, object, &step);
	put_speaks(view, object, check);
	put_titles(
	    view, view_list(view, object, "after"), "check", &check->after);
	view_rules(view, view_list(view, object, "rules"), &check->only);
}

/* Where a branch goes, in words. */
static const char *
branch_to(struct view *view, const struct lw_tree *tree,
    const struct lw_branch *branch)
{
	const char *before = "", *words = branch->target;
	const char *text;
	size_t i;

	switch (branch->kind) {
	case LW_BRANCH_STEP:
		before = "go on with ";
		for (i = 0; i < tree->step_count; i++) {
			if (strcmp(tree->steps[i].id, branch->target) == 0)
				words = item_title(
				    view, "check", tree->steps[i].check);
		}
		break;
	case LW_BRANCH_CAUSE:
		before = "cause: ";
		words = item_title(view, "cause", branch->target);
		break;
	case LW_BRANCH_UNSURE:
		before = "not certain: ";
		break;
	case LW_BRANCH_STOP:
		before = "stop: ";
		break;
	}
	text = arena_printf(view->arena, "%s%s", before, words);
	if (text == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	}
	return text;
}

static void
put_branches(struct view *view, json_t *object, const struct lw_tree *tree,
    const struct lw_step *step, const struct lw_check *check)
{
	json_t *list = view_list(view, object, "branches"), *child;
	size_t i, k;

	for (i = 0; i < step->branch_count; i++) {
		const struct lw_branch *branch = &step->branches[i];
		const char *title = branch->outcome;

		if (strcmp(branch->outcome, "cannot") == 0)
			title = "cannot be done now";
		for (k = 0; check != NULL && k < check->outcome_count; k++) {
			if (strcmp(check->outcomes[k].id, branch->outcome) == 0)
				title = check->outcomes[k].title;
		}
		child = view_add(view, list);
		view_words(view, child, "outcome", branch->outcome);
		view_text(view, child, "title", title);
		view_text(view, child, "to", branch_to(view, tree, branch));
		view_text(view, child, "next",
		    branch->kind == LW_BRANCH_STEP ? branch->target : NULL);
		view_text(view, child, "cause",
		    branch->kind == LW_BRANCH_CAUSE ? branch->target : NULL);
	}
}

void
item_put_tree(struct view *view, const struct lw_tree *tree)
{
	json_t *object = view_object(view, view->root, "tree");
	json_t *list, *child;
	size_t i;

	view_bool(view, object, "walk", tree->walk);
	view_text(view, object, "description", tree->description);
	view_text(view, object, "passed", tree->passed);
	put_titles(
	    view, view_list(view, object, "faults"), "fault", &tree->faults);
	put_titles(view, view_list(view, object, "symptoms"), "symptom",
	    &tree->symptoms);
	list = view_list(view, object, "steps");
	for (i = 0; i < tree->step_count; i++) {
		const struct lw_step *step = &tree->steps[i];
		const struct lw_check *check = NULL;

		if (view->status != LW_OK ||
		    !view_got(view, lw_book_check_of(view->book, view->arena,
					step->check, &check, &view->last)))
			check = NULL;
		child = view_add(view, list);
		view_words(view, child, "step", step->id);
		view_words(view, child, "check", step->check);
		view_words(view, child, "title",
		    check != NULL ? check->title : step->check);
		view_text(view, child, "power_title",
		    check != NULL ? lw_power_title(check->power) : NULL);
		view_rules(view, view_list(view, child, "only"), &step->only);
		put_branches(view, child, tree, step, check);
	}
}
