/* What jobs wait for, by job and by tool. Which checks were put aside is
 * worked out in job. */
#include "view/job.h"

#include "base/err.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

struct waits {
	struct view *view;
	json_t *jobs;
	json_t *tools;
	size_t count; /* jobs that wait */
};

/* The entry of a tool in the list, made where there is none. */
static json_t *
tool_entry(struct waits *waits, const char *tool)
{
	json_t *entry, *name;
	size_t i;

	for (i = 0; i < json_array_size(waits->tools); i++) {
		entry = json_array_get(waits->tools, i);
		name = json_object_get(entry, "tool");
		if (name != NULL && json_is_string(name) &&
		    strcmp(json_string_value(name), tool) == 0)
			return entry;
	}
	entry = view_add(waits->view, waits->tools);
	view_words(waits->view, entry, "tool", tool);
	view_list(waits->view, entry, "checks");
	return entry;
}

static bool
is_at_hand(const struct lw_rig *rig, const char *tool)
{
	size_t i;

	for (i = 0; rig != NULL && i < rig->tool_count; i++) {
		if (strcasecmp(rig->tools[i], tool) == 0)
			return true;
	}
	return false;
}

/* Put a check down under each tool that it needs and the rig is not known to
 * have. */
static void
put_tools(
    struct waits *waits, const struct lw_job *job, const struct lw_check *check)
{
	json_t *object;
	size_t i;

	for (i = 0; i < check->tools.count; i++) {
		const char *tool = check->tools.items[i].text;

		if (is_at_hand(job->rig, tool))
			continue;
		object = view_add(waits->view,
		    json_object_get(tool_entry(waits, tool), "checks"));
		view_int(waits->view, object, "job", job->job);
		view_words(waits->view, object, "check", check->id);
		view_words(waits->view, object, "title", check->title);
	}
}

static void
put_job(struct waits *waits, const struct lw_job *job)
{
	const char *state = lw_job_state_name(job->state);
	struct view *view = waits->view;
	json_t *object;
	size_t i;

	if (lw_job_is_over(job->state) ||
	    (job->state != LW_JOB_WAITING && job->put_aside_count == 0))
		return;
	waits->count++;
	object = view_add(view, waits->jobs);
	view_int(view, object, "job", job->job);
	view_words(view, object, "title", job->title);
	view_words(view, object, "state", state);
	view_words(view, object, "state_title", view_state_title(state));
	view_text(view, object, "waits_for", job->waits_for);
	view_put_aside(view, object, job);
	for (i = 0; i < job->put_aside_count; i++)
		put_tools(waits, job, job->put_aside[i]);
}

/* One job; its parts live no longer than it takes to put them down. */
static enum lw_status
look_at(struct waits *waits, int64_t number, int64_t now_s)
{
	struct view *view = waits->view;
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *job;
	enum lw_status status;

	if (arena == NULL)
		return err_no_memory(&view->last);
	status = lw_job_get(
	    view->book, arena, number, NULL, now_s, &job, &view->last);
	if (status == LW_OK)
		put_job(waits, job);
	lw_arena_free(arena);
	return status;
}

/* Every job that is not over, or those of one rig. */
static enum lw_status
look_at_all(struct waits *waits, const char *rig, int64_t now_s)
{
	struct view *view = waits->view;
	const struct lw_rig *found;
	struct lw_entries jobs;
	enum lw_status status = LW_OK;
	size_t i;

	if (rig != NULL)
		status = lw_rig_get(
		    view->book, view->arena, rig, &found, &view->last);
	if (status == LW_OK)
		status = lw_job_list(
		    view->book, view->arena, now_s, &jobs, &view->last);
	for (i = 0; status == LW_OK && i < jobs.count; i++) {
		const struct lw_entry *entry = &jobs.items[i];

		if (rig != NULL && strcmp(entry->subject, rig) != 0)
			continue;
		if (view_is_over(entry->detail))
			continue;
		status = look_at(waits, strtoll(entry->id, NULL, 10), now_s);
	}
	return status;
}

enum lw_status
lw_view_waits(struct lw_doc **doc, struct lw_book *book, int64_t job,
    const char *rig, int64_t now_s, struct lw_err *err)
{
	enum lw_status status, outcome = LW_OK;
	struct waits waits = {0};
	struct view view;

	view_begin(&view, book);
	waits.view = &view;
	waits.jobs = view_list(&view, view.root, "jobs");
	waits.tools = view_list(&view, view.root, "tools");
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	if (job != 0)
		status = look_at(&waits, job, now_s);
	else
		status = look_at_all(&waits, rig, now_s);
	if (status != LW_OK)
		view_fail(&view, status);
	else if (waits.count == 0)
		outcome = err_set(&view.err, LW_NOT_FOUND, "nothing waits");
	return view_end(&view, doc, outcome, err);
}
