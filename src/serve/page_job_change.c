/* The forms that change a job's course: undo, close, pause, go on, choose a
 * check or a cause, leave the tree, make safe; and its notes. What each comes
 * to is left to the job. */
#include "serve/job_page.h"
#include "serve/pages.h"

#include "base/err.h"

#include <string.h>

/* The words of a form that could not be taken: in the form again, and where
 * the job has gone on, which may have taken the form away, beside the sentence
 * too. */
static void
show_typed(const struct request *request, struct reply *reply, const char *key)
{
	const char *words = form_get(&request->body, "words");

	if (reply->template == NULL || strcmp(reply->template, "job") != 0 ||
	    words[0] == '\0')
		return;
	reply_text(reply, key, words);
	reply_bool(reply, "more_open", true);
	if (reply->status == reply_status_of(LW_CONFLICT))
		reply_text(reply, "typed_lost", words);
}

void
page_job_undo(const struct request *request, struct reply *reply)
{
	const struct lw_actor actor = pages_actor(request);
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;

	if (!job_page_is_current(request, reply))
		return;
	status = lw_job_undo(request->book, job_page_of(request), &actor, &err);
	/* Nothing to take back is not a missing page. */
	if (status == LW_NOT_FOUND)
		err.code = LW_CONFLICT;
	job_page_end(request, reply, status, &err, "undone");
}

void
page_job_close(const struct request *request, struct reply *reply)
{
	const struct lw_actor actor = pages_actor(request);
	bool given_up =
	    strcmp(form_get(&request->body, "end"), "given-up") == 0;
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;

	if (!job_page_is_current(request, reply)) {
		show_typed(request, reply, "typed_close");
		return;
	}
	status = lw_job_close(request->book, job_page_of(request), given_up,
	    form_get_or_null(&request->body, "words"), &actor, &err);
	job_page_end(
	    request, reply, status, &err, given_up ? "given-up" : "closed");
	show_typed(request, reply, "typed_close");
}

void
page_job_reopen(const struct request *request, struct reply *reply)
{
	if (job_page_is_current(request, reply))
		job_page_act(request, reply, lw_job_reopen, "reopened");
}

void
page_job_resume(const struct request *request, struct reply *reply)
{
	job_page_act(request, reply, lw_job_resume, NULL);
}

void
page_job_wait(const struct request *request, struct reply *reply)
{
	const struct lw_actor actor = pages_actor(request);
	const char *words = form_get(&request->body, "words");
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;

	if (!job_page_is_current(request, reply)) {
		show_typed(request, reply, "typed_wait");
		return;
	}
	status = lw_job_wait(
	    request->book, job_page_of(request), words, &actor, &err);
	job_page_end(request, reply, status, &err, "waits");
	show_typed(request, reply, "typed_wait");
}

/* Never refused as stale: whatever the job stands at, this is right. */
void
page_job_safe(const struct request *request, struct reply *reply)
{
	job_page_act(request, reply, lw_job_make_safe, "safe");
}

void
page_job_pick(const struct request *request, struct reply *reply)
{
	const struct lw_actor actor = pages_actor(request);
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;

	if (!job_page_is_current(request, reply))
		return;
	status = lw_job_pick(request->book, job_page_of(request),
	    form_get(&request->body, "check"), &actor, &err);
	job_page_end(request, reply, status, &err, "picked");
}

void
page_job_suppose(const struct request *request, struct reply *reply)
{
	const struct lw_actor actor = pages_actor(request);
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;

	if (!job_page_is_current(request, reply))
		return;
	status = lw_job_suppose(request->book, job_page_of(request),
	    form_get(&request->body, "cause"), &actor, &err);
	job_page_end(request, reply, status, &err, "supposed");
}

void
page_job_leave(const struct request *request, struct reply *reply)
{
	if (job_page_is_current(request, reply))
		job_page_act(request, reply, lw_job_leave, "left");
}

void
page_job_note(const struct request *request, struct reply *reply)
{
	const char *words = form_get(&request->body, "words");
	struct lw_err err = {.code = LW_OK};
	int64_t note;

	if (lw_book_add_note(request->book, "job", request->path.segments[1],
		words, request->now_s, &note, &err) == LW_OK) {
		job_page_go(reply, job_page_of(request), "note");
	} else if (err.code == LW_BAD_INPUT || err.code == LW_TOO_BIG) {
		job_page_again(request, reply, &err);
		reply_text(reply, "typed_note", words);
		reply_bool(reply, "note_open", true);
	} else {
		job_page_fail(request, reply, &err);
	}
}
