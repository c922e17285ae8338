/* What jobs wait for: the jobs, the tools with what to do while they are
 * here, the settings to read and to write. Which checks wait is worked out in
 * job; by tool they are gathered and put in order in files of their own. */
#include "view/waits.h"

#include "view/job.h"

#include "base/err.h"

#include <stdlib.h>
#include <string.h>

static void
put_job(struct waits *waits, json_t *jobs, const struct lw_job *job)
{
	const char *state = lw_job_state_name(job->state);
	struct view *view = waits->view;
	json_t *object, *list;
	size_t i, deferred = 0;

	for (i = 0; i < job->deferred_count; i++)
		deferred += waits_worth(job, &job->deferred[i]);
	if (lw_job_is_over(job->state) ||
	    (job->state != LW_JOB_WAITING && job->put_aside_count == 0 &&
		deferred == 0))
		return;
	waits->jobs++;
	object = view_add(view, jobs);
	view_int(view, object, "job", job->job);
	view_words(view, object, "title", job->title);
	view_words(view, object, "state", state);
	view_words(view, object, "state_title", view_state_title(state));
	view_text(view, object, "waits_for", job->waits_for);
	view_bool(view, object, "by_person",
	    job->waits_for != NULL || job->put_aside_count > 0);
	view_put_aside(view, object, job);
	list = view_list(view, object, "deferred");
	for (i = 0; i < job->deferred_count; i++)
		if (waits_worth(job, &job->deferred[i]))
			view_next(
			    view, view_add(view, list), &job->deferred[i]);
	waits_gather(waits, job);
}

/* One job; its parts live no longer than it takes to put them down. *rig: the
 * name of its vehicle, or NULL. */
static enum lw_status
look_at(struct waits *waits, json_t *jobs, int64_t number, int64_t now_s,
    const char **rig)
{
	struct view *view = waits->view;
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *job;
	enum lw_status status;

	*rig = NULL;
	if (arena == NULL)
		return err_no_memory(&view->last);
	status = lw_job_get(
	    view->book, arena, number, NULL, now_s, &job, &view->last);
	if (status == LW_OK) {
		put_job(waits, jobs, job);
		if (job->rig != NULL && !lw_job_is_over(job->state))
			*rig = waits_keep(view, job->rig->rig);
	}
	lw_arena_free(arena);
	return status;
}

/* Every job that is not over, or those of one rig. */
static enum lw_status
look_at_all(struct waits *waits, json_t *list, const char *rig, int64_t now_s)
{
	struct view *view = waits->view;
	struct lw_entries jobs;
	enum lw_status status;
	const char *vehicle;
	size_t i;

	status =
	    lw_job_list(view->book, view->arena, now_s, &jobs, &view->last);
	for (i = 0; status == LW_OK && i < jobs.count; i++) {
		const struct lw_entry *entry = &jobs.items[i];

		if (rig != NULL && strcmp(entry->subject, rig) != 0)
			continue;
		if (view_is_over(entry->detail))
			continue;
		status = look_at(
		    waits, list, strtoll(entry->id, NULL, 10), now_s, &vehicle);
	}
	return status;
}

/* --- settings ------------------------------------------------------------- */

/* What is to be read first, then what is to be set: what is there should be
 * known before it is changed. */
static void
put_wishes(
    struct view *view, json_t *list, const struct lw_rig *rig, bool to_read)
{
	struct lw_setting_wishes wishes = {0};
	size_t i;

	if (view->status != LW_OK ||
	    !view_got(view, lw_setting_wishes(view->book, view->arena, rig->rig,
				&wishes, &view->last)))
		return;
	for (i = 0; i < wishes.count; i++)
		if ((wishes.items[i].value == NULL) == to_read)
			view_wish(view, list, rig, &wishes.items[i]);
}

static void
put_settings_of(struct view *view, json_t *list, const char *name)
{
	const struct lw_rig *rig;

	if (view->status != LW_OK ||
	    !view_got(view,
		lw_rig_get(view->book, view->arena, name, &rig, &view->last)))
		return;
	put_wishes(view, list, rig, true);
	put_wishes(view, list, rig, false);
}

/* Of a rig, or (NULL) of all. */
static void
put_settings(struct view *view, json_t *list, const char *rig)
{
	struct lw_entries rigs = {0};
	size_t i;

	if (rig != NULL) {
		put_settings_of(view, list, rig);
		return;
	}
	if (view->status != LW_OK ||
	    !view_got(
		view, lw_rig_list(view->book, view->arena, &rigs, &view->last)))
		return;
	for (i = 0; i < rigs.count; i++)
		put_settings_of(view, list, rigs.items[i].id);
}

/* --- the document --------------------------------------------------------- */

/* The jobs; *settings: whose settings belong to it, NULL for all (*none: for
 * nobody's). */
static enum lw_status
put_jobs(struct waits *waits, int64_t job, const char *rig, int64_t now_s,
    const char **settings, bool *none)
{
	struct view *view = waits->view;
	json_t *jobs = view_list(view, view->root, "jobs");
	const struct lw_rig *found;
	enum lw_status status = LW_OK;

	*settings = rig;
	*none = false;
	if (job != 0) {
		status = look_at(waits, jobs, job, now_s, settings);
		*none = *settings == NULL;
		return status;
	}
	if (rig != NULL)
		status = lw_rig_get(
		    view->book, view->arena, rig, &found, &view->last);
	return status == LW_OK ? look_at_all(waits, jobs, rig, now_s) : status;
}

enum lw_status
lw_view_waits(struct lw_doc **doc, struct lw_book *book, int64_t job,
    const char *rig, int64_t now_s, struct lw_err *err)
{
	enum lw_status status = LW_OK, outcome = LW_OK;
	struct waits waits = {0};
	const char *whose = NULL;
	struct view view;
	json_t *list;
	bool none = false;

	view_begin(&view, book);
	waits.view = &view;
	if (view.status == LW_OK)
		status = put_jobs(&waits, job, rig, now_s, &whose, &none);
	if (status != LW_OK)
		view_fail(&view, status);
	waits_put_tools(&waits, view.root);
	list = view_list(&view, view.root, "settings");
	if (view.status == LW_OK && !none)
		put_settings(&view, list, whose);
	view_bool(&view, view.root, "has_settings", json_array_size(list) > 0);
	if (view.status == LW_OK && waits.jobs == 0 &&
	    json_array_size(list) == 0)
		outcome = err_set(&view.err, LW_NOT_FOUND, "nothing waits");
	free(waits.items);
	return view_end(&view, doc, outcome, err);
}
