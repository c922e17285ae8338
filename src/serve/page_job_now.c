/* How a job stands, in one line: what a page that shows it asks for again and
 * again, to see whether it is old. What comes next is left to the job, and
 * what is done about an old page to the page's script. */
#include "serve/job_page.h"
#include "serve/pages.h"

#include "base/err.h"

#include <string.h>
#include <time.h>

#define LINE_BYTES_MAX 4096

/*
 * Up to the first space what the page's forms are about: another there makes
 * them stale. After it who has the vehicle, who asks for it, and whether it
 * is free. Only ever compared with another such line.
 */
static void
add_line(struct buf *line, const struct lw_job *job)
{
	const struct lw_hold *hold = &job->hold;

	buf_printf(line, "%lld/%s/%s/%s", (long long)job->serial,
	    lw_job_state_name(job->state), lw_power_name(job->power),
	    hold->mine	 ? "mine"
	    : hold->held ? "others"
			 : "nobody");
	buf_printf(line, " %lld/%s/%s/%s", (long long)hold->job,
	    hold->held && hold->name != NULL ? hold->name : "-",
	    hold->asker_name != NULL ? hold->asker_name : "-",
	    hold->free ? "free" : "kept");
}

static enum lw_status
read_line(struct buf *line, const struct request *request, struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *job;
	enum lw_status status;

	if (arena == NULL)
		return err_no_memory(err);
	status = lw_job_get(request->book, arena, job_page_of(request),
	    request->screen.id, request->now_s, &job, err);
	if (status == LW_OK) {
		add_line(line, job);
		status = buf_check(line, err);
	}
	lw_arena_free(arena);
	return status;
}

void
page_job_now(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};

	reply_clear(reply);
	if (read_line(&reply->owned, request, &err) != LW_OK) {
		job_page_fail(request, reply, &err);
		return;
	}
	reply->status = 200;
	reply->type = "text/plain; charset=utf-8";
	reply->data = buf_text(&reply->owned);
	reply->size = reply->owned.length;
}

void
job_page_follow(const struct request *request, struct reply *reply,
    const char *place, const struct lw_job *job)
{
	const time_t now = (time_t)request->now_s;
	struct lw_err err = {.code = LW_OK};
	struct buf line;
	struct tm utc;
	char clock[8];

	buf_init(&line, LINE_BYTES_MAX);
	if (job != NULL) {
		add_line(&line, job);
		buf_check(&line, &err);
	} else {
		read_line(&line, request, &err);
	}
	if (err.code == LW_OK) {
		reply_text(reply, "follow", buf_text(&line));
		reply_int(reply, "page_job", job_page_of(request));
		reply_textf(reply, "page", "/jobs/%lld%s",
		    (long long)job_page_of(request), place);
		if (gmtime_r(&now, &utc) != NULL &&
		    strftime(clock, sizeof clock, "%H:%M", &utc) > 0)
			reply_text(reply, "shown", clock);
	}
	buf_clear(&line);
}
