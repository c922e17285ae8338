/* Walk-throughs: all of them, and how far one has come in a job. How its
 * steps are taken is left to job, a tree with branches to guide.c. */
#include "view/job.h"

#include "base/err.h"

#include <stdio.h>
#include <string.h>

/* --- all of them --------------------------------------------------------- */

static size_t
steps_for(const struct lw_tree *tree, const struct lw_rig *rig)
{
	size_t count = 0, i;

	for (i = 0; i < tree->step_count; i++)
		count += lw_rig_holds(rig, &tree->steps[i].only);
	return count;
}

static void
put_walk(
    struct view *view, json_t *list, const char *id, const struct lw_rig *rig)
{
	const struct lw_tree *tree;
	json_t *object;
	size_t steps;

	if (view->status != LW_OK ||
	    !view_got(view,
		lw_book_tree(view->book, view->arena, id, &tree, &view->last)))
		return;
	steps = steps_for(tree, rig);
	object = view_add(view, list);
	view_words(view, object, "tree", tree->id);
	view_words(view, object, "title", tree->title);
	view_text(view, object, "description", tree->description);
	view_int(view, object, "steps", (int64_t)steps);
	view_bool(view, object, "one_step", steps == 1);
	view_bool(view, object, "fits", steps > 0);
	view_number(
	    view, object, "left_out", (int64_t)(tree->step_count - steps));
}

/* The rig that they are for: the one named, or else the one in hand. */
static enum lw_status
find_rig(const struct lw_rig **rig, struct view *view, const char *name)
{
	struct lw_entries rigs = {0};
	enum lw_status status;
	size_t i;

	*rig = NULL;
	if (name == NULL) {
		status =
		    lw_rig_list(view->book, view->arena, &rigs, &view->last);
		if (status != LW_OK)
			return status == LW_NOT_FOUND ? LW_OK : status;
		for (i = 0; i < rigs.count && name == NULL; i++)
			if (rigs.items[i].own)
				name = rigs.items[i].id;
		if (name == NULL)
			return LW_OK;
	}
	return lw_rig_get(view->book, view->arena, name, rig, &view->last);
}

enum lw_status
lw_view_walks(struct lw_doc **doc, struct lw_book *book, const char *name,
    struct lw_err *err)
{
	enum lw_status outcome = LW_OK, status;
	struct lw_entries walks = {0};
	const struct lw_rig *rig = NULL;
	struct view view;
	json_t *list;
	size_t i;

	view_begin(&view, book);
	if (view.status == LW_OK) {
		status = find_rig(&rig, &view, name);
		if (status != LW_OK)
			view_fail(&view, status);
	}
	view_text(&view, view.root, "rig", rig != NULL ? rig->rig : NULL);
	view_text(
	    &view, view.root, "rig_title", rig != NULL ? rig->title : NULL);
	list = view_list(&view, view.root, "walks");
	if (view.status == LW_OK &&
	    !view_got(
		&view, lw_book_walks(book, view.arena, &walks, &view.last)))
		walks.count = 0;
	for (i = 0; i < walks.count; i++)
		put_walk(&view, list, walks.items[i].id, rig);
	view_bool(&view, view.root, "has_walks", json_array_size(list) > 0);
	if (view.status == LW_OK && json_array_size(list) == 0)
		outcome = err_set(&view.err, LW_NOT_FOUND,
		    "the book has no walk-through; add a pack that has one");
	return view_end(&view, doc, outcome, err);
}

/* --- one in a job -------------------------------------------------------- */

/* "step 4 of 12", "12 of 12 steps passed", "10 of 12 steps passed". */
static void
put_progress(struct view *view, json_t *object, const struct lw_job_walk *walk)
{
	char text[80];

	if (walk->step > 0)
		snprintf(text, sizeof text, "step %zu of %zu", walk->step,
		    walk->steps);
	else
		snprintf(text, sizeof text, "%zu of %zu %s passed",
		    walk->passed, walk->steps,
		    walk->steps == 1 ? "step" : "steps");
	view_text(view, object, "progress", text);
}

/* The causes that the answer speaks for. */
static void
put_points(struct view *view, json_t *object, const struct lw_job_walk *walk)
{
	json_t *list = view_list(view, object, "points"), *child;
	size_t i;

	for (i = 0; i < walk->point_count; i++) {
		const struct lw_cause *cause = walk->points[i].cause;

		child = view_add(view, list);
		view_words(view, child, "cause", cause->id);
		view_words(view, child, "title", cause->title);
		view_text(view, child, "often", walk->points[i].word);
		view_text(view, child, "fix", cause->fix);
		view_text(view, child, "proof", cause->proof);
	}
	view_bool(view, object, "has_points", walk->point_count > 0);
}

static void
put_failed(struct view *view, json_t *object, const struct lw_job *job)
{
	const struct lw_job_walk *walk = job->walk;
	json_t *failed;

	if (walk->failed == NULL) {
		view_null(view, object, "failed");
		return;
	}
	failed = view_object(view, object, "failed");
	view_text(view, failed, "check", walk->failed->subject);
	view_text(view, failed, "title", walk->failed->title);
	view_text(view, failed, "outcome", walk->failed->outcome);
	view_text(view, failed, "outcome_title", walk->failed->outcome_title);
	view_reading(view, failed, walk->failed);
	/* What the last answer said stands at the top already. */
	view_text(view, failed, "say",
	    walk->failed->say != NULL && job->say != NULL &&
		    strcmp(walk->failed->say, job->say) == 0
		? NULL
		: walk->failed->say);
	view_bool(view, failed, "is_dead", job->power == LW_POWER_ISOLATED);
	put_points(view, failed, walk);
}

void
view_walk(struct view *view, json_t *object, const struct lw_job *job)
{
	const struct lw_job_walk *walk = job->walk;
	json_t *child;

	if (walk == NULL) {
		view_null(view, object, "walk");
		return;
	}
	child = view_object(view, object, "walk");
	view_words(view, child, "tree", walk->tree->id);
	view_words(view, child, "title", walk->tree->title);
	view_text(view, child, "description", walk->tree->description);
	view_number(view, child, "step", (int64_t)walk->step);
	view_int(view, child, "steps", (int64_t)walk->steps);
	view_int(view, child, "passed", (int64_t)walk->passed);
	view_int(view, child, "aside", (int64_t)walk->aside);
	view_number(view, child, "left_out", (int64_t)walk->left_out);
	view_bool(view, child, "complete", walk->complete);
	put_progress(view, child, walk);
	view_text(view, child, "conclusion",
	    walk->complete ? walk->tree->passed : NULL);
	put_failed(view, child, job);
}
