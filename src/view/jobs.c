/* All jobs, and the first page: the devices, the rigs and what is not over.
 * Reading a job is left to job. */
#include "view/list.h"

#include "view/parts.h"

#include "base/err.h"

#include <string.h>

enum { HOME_JOBS = 5 };

size_t
view_jobs(struct view *view, json_t *list, const char *rig, size_t most_open,
    int64_t now_s)
{
	struct lw_entries jobs;
	size_t i, count = 0;

	if (view->status != LW_OK ||
	    !view_got(view, lw_job_list(view->book, view->arena, now_s, &jobs,
				&view->last)))
		return 0;
	for (i = 0; i < jobs.count; i++) {
		const struct lw_entry *job = &jobs.items[i];

		if (rig != NULL && strcmp(job->subject, rig) != 0)
			continue;
		if (most_open > 0 && view_is_over(job->detail))
			continue;
		if (most_open == 0 || count < most_open)
			view_job_entry(view, list, job);
		count++;
	}
	return count;
}

enum lw_status
lw_view_jobs(struct lw_doc **doc, struct lw_book *book, int64_t now_s,
    struct lw_err *err)
{
	enum lw_status outcome = LW_OK;
	struct view view;
	size_t count;

	view_begin(&view, book);
	count = view_jobs(
	    &view, view_list(&view, view.root, "jobs"), NULL, 0, now_s);
	if (count == 0 && view.status == LW_OK)
		outcome = err_set(&view.err, LW_NOT_FOUND,
		    "there are no jobs; lampwright trace opens one");
	return view_end(&view, doc, outcome, err);
}

enum lw_status
view_jobs_of(struct lw_doc **doc, struct lw_book *book, const char *name,
    int64_t now_s, struct lw_err *err)
{
	enum lw_status outcome = LW_OK;
	const struct lw_rig *rig;
	struct view view;
	size_t count;

	rig = view_begin_rig(&view, book, name);
	if (rig == NULL)
		return view_end(&view, doc, LW_OK, err);
	count = view_jobs(
	    &view, view_list(&view, view.root, "jobs"), rig->rig, 0, now_s);
	if (count == 0 && view.status == LW_OK)
		outcome = err_set(&view.err, LW_NOT_FOUND,
		    "there are no jobs on %s", rig->rig);
	return view_end(&view, doc, outcome, err);
}

static void
put_rigs(struct view *view)
{
	json_t *root = view->root, *list = view_list(view, root, "rigs");
	struct lw_entries rigs = {0};
	const char *name = NULL, *title = NULL;
	json_t *object;
	size_t i;

	if (view->status == LW_OK &&
	    !view_got(
		view, lw_rig_list(view->book, view->arena, &rigs, &view->last)))
		rigs.count = 0;
	for (i = 0; i < rigs.count; i++) {
		const struct lw_entry *rig = &rigs.items[i];

		object = view_add(view, list);
		view_words(view, object, "rig", rig->id);
		view_words(view, object, "title", rig->title);
		view_bool(view, object, "in_hand", rig->own);
		if (rig->own) {
			name = rig->id;
			title = rig->title;
		}
	}
	view_text(view, root, "rig", name);
	view_text(view, root, "rig_title", title);
}

enum lw_status
lw_view_home(struct lw_doc **doc, struct lw_book *book, int64_t now_s,
    struct lw_err *err)
{
	struct lw_entries devices = {0};
	struct view view;
	json_t *list;
	size_t i, count;

	view_begin(&view, book);
	list = view_list(&view, view.root, "devices");
	if (view.status == LW_OK &&
	    !view_got(&view,
		lw_book_list(book, view.arena, "device", &devices, &view.last)))
		devices.count = 0;
	for (i = 0; i < devices.count; i++)
		view_entry(&view, list, &devices.items[i]);
	view_bool(&view, view.root, "empty", devices.count == 0);
	count = view_jobs(
	    &view, view_list(&view, view.root, "jobs"), NULL, HOME_JOBS, now_s);
	view_bool(&view, view.root, "more_jobs", count > HOME_JOBS);
	put_rigs(&view);
	return view_end(&view, doc, LW_OK, err);
}
