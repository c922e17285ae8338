/* How a job ends or may end: the cause, what is ruled out, what was put
 * aside. Which it is, job works out. */
#include "view/job.h"

#include <string.h>

/* The cause found (whole), or the one that the tree points to. */
static void
put_cause(struct view *view, json_t *parent, const char *key, const char *id,
    bool whole)
{
	const struct lw_cause *cause;
	json_t *object;

	if (id == NULL || view->status != LW_OK ||
	    !view_got(view, lw_book_cause(view->book, view->arena, id, &cause,
				&view->last))) {
		view_null(view, parent, key);
		return;
	}
	object = view_object(view, parent, key);
	view_words(view, object, "cause", cause->id);
	view_words(view, object, "title", cause->title);
	view_text(view, object, "fix", cause->fix);
	view_text(view, object, "proof", cause->proof);
	if (!whole)
		return;
	view_text(view, object, "why", cause->why);
	view_text(view, object, "parts", cause->parts);
	view_text(view, object, "tools", cause->tools);
	view_text(view, object, "damages", cause->damages);
	view_text(view, object, "source", cause->source);
}

static void
put_excluded(struct view *view, json_t *parent, const struct lw_job *job)
{
	json_t *list = view_list(view, parent, "excluded"), *object;
	size_t i;

	for (i = 0; i < job->excluded_count; i++) {
		const struct lw_excluded *excluded = &job->excluded[i];

		object = view_add(view, list);
		view_words(view, object, "cause", excluded->cause);
		view_words(view, object, "title", excluded->title);
		view_text(view, object, "reason", excluded->reason);
		view_bool(view, object, "repaired", excluded->repaired);
	}
	view_number(
	    view, parent, "excluded_count", (int64_t)job->excluded_count);
}

void
view_ends(struct view *view, json_t *object, const struct lw_job *job)
{
	json_t *list;
	size_t i;

	put_cause(view, object, "cause", job->cause, true);
	put_cause(view, object, "likely", job->likely, false);
	put_excluded(view, object, job);
	view_text(view, object, "ending", job->ending);
	view_text(view, object, "waits_for", job->waits_for);
	view_text(view, object, "say", job->say);
	list = view_list(view, object, "remarks");
	for (i = 0; i < job->remark_count; i++)
		view_add_text(view, list, job->remarks[i]);
}

const char *
view_words_aside(const struct lw_job *job, const char *check)
{
	size_t i;

	for (i = job->finding_count; i-- > 0;) {
		const struct lw_finding *finding = &job->findings[i];

		if (finding->undone || finding->subject == NULL ||
		    strcmp(finding->subject, check) != 0)
			continue;
		if (finding->kind == LW_FINDING_CANNOT ||
		    finding->kind == LW_FINDING_SKIP ||
		    finding->kind == LW_FINDING_DIFFERS ||
		    finding->kind == LW_FINDING_NOT_SEEN)
			return finding->words;
	}
	return NULL;
}

void
view_put_aside(struct view *view, json_t *object, const struct lw_job *job)
{
	json_t *list = view_list(view, object, "put_aside"), *child, *needs;
	size_t i, k;

	for (i = 0; i < job->put_aside_count; i++) {
		const struct lw_check *check = job->put_aside[i];

		child = view_add(view, list);
		view_words(view, child, "check", check->id);
		view_words(view, child, "title", check->title);
		needs = view_list(view, child, "needs");
		for (k = 0; k < check->tools.count; k++)
			view_add_text(view, needs, check->tools.items[k].text);
		view_words(
		    view, child, "power_title", lw_power_title(check->power));
		view_minutes(view, child, "minutes", check->minutes);
		view_text(
		    view, child, "words", view_words_aside(job, check->id));
	}
}
