/* All jobs, and the first page: the devices and what is open. */
#include "view/parts.h"

#include "base/err.h"

#include <string.h>

enum { HOME_JOBS = 5 };

/* Add the jobs to a list, the last touched first: all, or the first few that
 * are not closed; how many there are of that kind. */
static size_t
put_jobs(struct view *view, json_t *list, int64_t now_s, bool all)
{
	struct lw_entries jobs;
	size_t i, count = 0;

	if (view->status != LW_OK ||
	    !view_got(view, lw_job_list(view->book, view->arena, now_s, &jobs,
				&view->last)))
		return 0;
	for (i = 0; i < jobs.count; i++) {
		if (!all && strcmp(jobs.items[i].detail,
				lw_job_state_name(LW_JOB_CLOSED)) == 0)
			continue;
		if (all || count < HOME_JOBS)
			view_job_entry(view, list, &jobs.items[i]);
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
	count =
	    put_jobs(&view, view_list(&view, view.root, "jobs"), now_s, true);
	if (count == 0 && view.status == LW_OK)
		outcome = err_set(&view.err, LW_NOT_FOUND,
		    "there are no jobs; lampwright trace opens one");
	return view_end(&view, doc, outcome, err);
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
	count =
	    put_jobs(&view, view_list(&view, view.root, "jobs"), now_s, false);
	view_bool(&view, view.root, "more_jobs", count > HOME_JOBS);
	return view_end(&view, doc, LW_OK, err);
}
