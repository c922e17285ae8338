/* A job as it stands: the step to do, the suspects, the findings, the end.
 * What comes next is worked out in job. */
#include "view/parts.h"

#include "base/err.h"

#include <lampwright/reading.h>

#include <stdio.h>

static void
put_state(struct view *view, const struct lw_job *job)
{
	const char *state = lw_job_state_name(job->state);
	json_t *root = view->root;

	view_words(view, root, "state", state);
	view_words(view, root, "state_title", view_state_title(state));
	view_bool(view, root, "open", job->state == LW_JOB_OPEN);
	view_bool(view, root, "is_found", job->state == LW_JOB_FOUND);
	view_bool(view, root, "undecided", job->state == LW_JOB_UNDECIDED);
	view_bool(view, root, "stopped", job->state == LW_JOB_STOPPED);
	view_bool(view, root, "closed", job->state == LW_JOB_CLOSED);
	view_words(view, root, "power", lw_power_name(job->power));
	view_words(view, root, "power_title", lw_power_title(job->power));
	/* A fix is hands on metal, wherever the last check was made. */
	view_bool(view, root, "make_safe",
	    job->power != LW_POWER_ISOLATED &&
		(job->state == LW_JOB_FOUND || job->state == LW_JOB_UNDECIDED));
}

/* What the job started from. */
static void
put_start(struct view *view, const struct lw_job *job)
{
	const struct lw_device *device = NULL;
	const struct lw_symptom *symptom = NULL;
	const struct lw_fault *fault = NULL;
	const struct lw_tree *tree = NULL;
	json_t *root = view->root, *list, *child;
	size_t i;

	view_text(view, root, "device", job->device);
	if (job->device != NULL &&
	    !view_got(view, lw_book_device(view->book, view->arena, job->device,
				&device, &view->last)))
		device = NULL;
	view_text(
	    view, root, "device_title", device != NULL ? device->title : NULL);
	view_text(view, root, "lamp", job->lamp);
	list = view_list(view, root, "patterns");
	for (i = 0; i < job->finding_count; i++) {
		const struct lw_finding *finding = &job->findings[i];

		if (finding->kind == LW_FINDING_PATTERN && !finding->undone)
			view_add_text(view, list, finding->subject);
	}
	if (job->fault != NULL &&
	    view_got(view, lw_book_fault(view->book, view->arena, job->fault,
			       &fault, &view->last))) {
		child = view_object(view, root, "fault");
		view_words(view, child, "fault", fault->id);
		view_words(view, child, "title", fault->title);
		view_text(view, child, "meaning", fault->meaning);
		view_text(
		    view, child, "severity", lw_severity_name(fault->severity));
		view_text(view, child, "meanwhile", fault->meanwhile);
	} else {
		view_null(view, root, "fault");
	}
	if (job->symptom != NULL &&
	    view_got(view, lw_book_symptom(view->book, view->arena,
			       job->symptom, &symptom, &view->last))) {
		child = view_object(view, root, "symptom");
		view_words(view, child, "symptom", symptom->id);
		view_words(view, child, "title", symptom->title);
		view_text(view, child, "description", symptom->description);
		view_cautions(view, view_list(view, child, "cautions"),
		    &symptom->cautions);
	} else {
		view_null(view, root, "symptom");
	}
	if (job->tree != NULL &&
	    view_got(view, lw_book_tree(view->book, view->arena, job->tree,
			       &tree, &view->last))) {
		child = view_object(view, root, "tree");
		view_words(view, child, "tree", tree->id);
		view_words(view, child, "title", tree->title);
	} else {
		view_null(view, root, "tree");
	}
}

static void
put_findings(struct view *view, const struct lw_job *job)
{
	json_t *list = view_list(view, view->root, "findings"), *object;
	char reading[LW_READING_MAX];
	size_t i;

	for (i = 0; i < job->finding_count; i++) {
		const struct lw_finding *finding = &job->findings[i];

		object = view_add(view, list);
		view_int(view, object, "serial", finding->serial);
		view_time(view, object, finding->time_s);
		view_words(
		    view, object, "kind", lw_finding_kind_name(finding->kind));
		view_text(view, object, "subject", finding->subject);
		view_text(view, object, "title", finding->title);
		view_text(view, object, "outcome", finding->outcome);
		view_text(
		    view, object, "outcome_title", finding->outcome_title);
		reading[0] = '\0';
		if (finding->has_value)
			lw_reading_format(
			    reading, finding->value, finding->unit);
		view_text(view, object, "reading", reading);
		view_text(view, object, "expected", finding->expected);
		view_text(view, object, "words", finding->words);
		view_bool(view, object, "undone", finding->undone);
	}
}

static void
put_suspects(struct view *view, const struct lw_job *job)
{
	json_t *list = view_list(view, view->root, "suspects"), *object;
	size_t i;

	for (i = 0; i < job->suspect_count; i++) {
		const struct lw_suspect *suspect = &job->suspects[i];

		object = view_add(view, list);
		view_words(view, object, "cause", suspect->cause);
		view_words(view, object, "title", suspect->title);
		view_share(view, object, suspect->share);
	}
}

/* The cause found, or the one that the tree points to. */
static void
put_cause(struct view *view, const char *key, const char *id, bool whole)
{
	const struct lw_cause *cause;
	json_t *object;

	if (id == NULL || !view_got(view, lw_book_cause(view->book, view->arena,
					      id, &cause, &view->last))) {
		view_null(view, view->root, key);
		return;
	}
	object = view_object(view, view->root, key);
	view_words(view, object, "cause", cause->id);
	view_words(view, object, "title", cause->title);
	if (whole)
		view_text(view, object, "why", cause->why);
	view_text(view, object, "fix", cause->fix);
	if (whole)
		view_text(view, object, "parts", cause->parts);
	view_text(view, object, "proof", cause->proof);
	if (whole)
		view_text(view, object, "source", cause->source);
}

static void
put_put_aside(struct view *view, const struct lw_job *job)
{
	json_t *list = view_list(view, view->root, "put_aside"), *object;
	size_t i, k;

	view_bool(
	    view, view->root, "has_put_aside", job->put_aside_count > 0);

	for (i = 0; i < job->put_aside_count; i++) {
		const struct lw_check *check = job->put_aside[i];
		json_t *needs;

		object = view_add(view, list);
		view_words(view, object, "check", check->id);
		view_words(view, object, "title", check->title);
		needs = view_list(view, object, "needs");
		for (k = 0; k < check->tools.count; k++)
			view_add_text(view, needs, check->tools.items[k].text);
	}
}

static void
put_job(struct view *view, const struct lw_job *job)
{
	json_t *root = view->root, *step;
	char number[24];

	view_int(view, root, "job", job->job);
	view_words(view, root, "title", job->title);
	put_state(view, job);
	view_int(view, root, "serial", job->serial);
	put_start(view, job);
	if (job->step != NULL) {
		step = view_object(view, root, "step");
		view_step(view, step, job->step);
		view_int(view, step, "serial", job->serial);
	} else {
		view_null(view, root, "step");
	}
	put_suspects(view, job);
	put_findings(view, job);
	put_cause(view, "cause", job->cause, true);
	put_cause(view, "likely", job->likely, false);
	view_text(view, root, "ending", job->ending);
	view_text(view, root, "say", job->say);
	put_put_aside(view, job);
	snprintf(number, sizeof number, "%lld", (long long)job->job);
	view_notes(view, view_list(view, root, "notes"), "job", number);
	view_bool(view, root, "can_undo", job->can_undo);
}

enum lw_status
lw_view_job(struct lw_doc **doc, struct lw_book *book, int64_t job,
    int64_t now_s, struct lw_err *err)
{
	const struct lw_job *found;
	enum lw_status status;
	struct view view;

	view_begin(&view, book);
	if (view.status == LW_OK) {
		status = lw_job_get(
		    book, view.arena, job, now_s, &found, &view.last);
		if (status == LW_OK)
			put_job(&view, found);
		else
			view_fail(&view, status);
	}
	return view_end(&view, doc, LW_OK, err);
}
