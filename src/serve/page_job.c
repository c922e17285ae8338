/* The pages of jobs that only show: all of them, one, its report, what it
 * waits for; and opening one. The forms that carry it on have files of their
 * own: page_job_answer.c, page_job_change.c, page_job_hold.c. */
#include "serve/job_page.h"
#include "serve/pages.h"

#include <lampwright/view.h>

#include <string.h>

void
page_jobs(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	lw_view_jobs(&doc, request->book, request->now_s, &err);
	if (doc == NULL)
		reply_failure(reply, &err);
	else
		reply_page(reply, 200, "jobs", doc);
}

void
page_job_new(const struct request *request, struct reply *reply)
{
	const char *pattern = form_get_or_null(&request->body, "pattern");
	const struct lw_job_start start = {
	    .rig = form_get_or_null(&request->body, "rig"),
	    .device = form_get_or_null(&request->body, "device"),
	    .lamp = form_get_or_null(&request->body, "lamp"),
	    .patterns = &pattern,
	    .pattern_count = pattern != NULL,
	    .symptom = form_get_or_null(&request->body, "symptom"),
	    .tree = form_get_or_null(&request->body, "tree"),
	};
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;
	int64_t job;

	status = lw_job_new(request->book, &start, request->now_s, &job, &err);
	if (status == LW_OK) {
		job_page_go(reply, job, NULL);
	} else if (pattern != NULL && status != LW_FAILED) {
		/* That page says what is unclear, and offers what is not. */
		reply_see_other(reply);
		buf_add(&reply->location, "/read");
		url_add_query(&reply->location, "pattern", pattern);
		url_add_query(&reply->location, "device", start.device);
		url_add_query(&reply->location, "lamp", start.lamp);
	} else {
		reply_failure(reply, &err);
	}
}

void
page_job(const struct request *request, struct reply *reply)
{
	job_page_show(request, reply, 200, "job");
}

void
page_job_report(const struct request *request, struct reply *reply)
{
	job_page_show(request, reply, 200, "report");
}

/* What waits for which tool: of one job, of one rig, or of all. */
void
page_waits(const struct request *request, struct reply *reply)
{
	const char *place = request->path.segments[0];
	bool one = strcmp(place, "jobs") == 0;
	const char *rig =
	    strcmp(place, "rigs") == 0 ? request->path.segments[1] : NULL;
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	/* No job has the number 0, and the view takes it for all. */
	if (one && job_page_of(request) == 0) {
		reply_error(reply, 404, "there is no such job");
		return;
	}
	lw_view_waits(&doc, request->book, one ? job_page_of(request) : 0, rig,
	    request->now_s, &err);
	if (doc == NULL) {
		if (one)
			job_page_fail(request, reply, &err);
		else
			reply_failure(reply, &err);
		return;
	}
	reply_page(reply, 200, "waits", doc);
	if (one) {
		reply_int(reply, "for_job", job_page_of(request));
		job_page_follow(request, reply, "/waits", NULL);
	}
	reply_text(reply, "for_rig", rig);
	/* Where the forms of wishes lead back to. */
	if (one)
		reply_textf(reply, "wish_back", "/jobs/%lld/waits",
		    (long long)job_page_of(request));
	else if (rig != NULL)
		reply_textf(reply, "wish_back", "/rigs/%s/waits", rig);
	else
		reply_text(reply, "wish_back", "/waits");
}

void
page_job_back(const struct request *request, struct reply *reply)
{
	if (job_page_of(request) > 0) {
		job_page_go(reply, job_page_of(request), NULL);
	} else {
		reply_see_other(reply);
		buf_add(&reply->location, "/jobs");
	}
}
