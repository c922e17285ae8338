/* A job: its page and report, and the forms that carry it on. What comes
 * next is worked out by the job itself. */
#include "serve/pages.h"

#include "base/err.h"
#include "base/num.h"

#include <lampwright/job.h>
#include <lampwright/reading.h>
#include <lampwright/view.h>

#include <string.h>

/* The job that the address names; 0, which no job has, where it is not a
 * plain number. */
static int64_t
job_of(const struct request *request)
{
	const char *text = request->path.segments[1];
	int64_t job;

	if (text[0] < '1' || text[0] > '9' || !num_parse_int(&job, text))
		return 0;
	return job;
}

static void
go_to_job(struct reply *reply, int64_t job, const char *said)
{
	reply_see_other(reply);
	buf_printf(&reply->location, "/jobs/%lld", (long long)job);
	url_add_query(&reply->location, "said", said);
}

/* A form's address opened as a page, as by reloading a tab: back to the job
 * it was for. */
void
page_job_back(const struct request *request, struct reply *reply)
{
	reply_see_other(reply);
	if (job_of(request) > 0)
		buf_printf(&reply->location, "/jobs/%lld",
		    (long long)job_of(request));
	else
		buf_add(&reply->location, "/jobs");
}

/* A failure, with the list of jobs as the way on. */
static void
fail(struct reply *reply, const struct lw_err *err)
{
	if (err->code == LW_NOT_FOUND)
		reply_error(reply, 404, "there is no such job");
	else
		reply_failure(reply, err);
	reply_text(reply, "way", "/jobs");
	reply_text(reply, "way_title", "All jobs");
}

/* What a phone's number pad lacks: whether the reading that the step asks for
 * may be OL, or below zero. */
static void
set_pad(const struct request *request, struct reply *reply, int64_t job)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_check *check;
	const struct lw_job *now;
	bool minus = false, overload = false;
	double value;
	size_t i;

	if (arena == NULL ||
	    lw_job_get(request->book, arena, job, request->now_s, &now, NULL) !=
		LW_OK ||
	    now->step == NULL || now->step->check->unit == NULL)
		goto out;
	check = now->step->check;
	overload = lw_reading_parse(&value, "OL", check->unit, NULL) == LW_OK;
	for (i = 0; i < check->outcome_count; i++)
		if ((check->outcomes[i].has_from &&
			check->outcomes[i].from < 0) ||
		    (check->outcomes[i].has_below &&
			check->outcomes[i].below < 0))
			minus = true;
out:
	reply_bool(reply, "takes_overload", overload);
	reply_bool(reply, "takes_minus", minus);
	lw_arena_free(arena);
}

/* The job's page in a template; false when `reply` has an error instead. */
static bool
show(const struct request *request, struct reply *reply, unsigned status,
    const char *template)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;
	int64_t job = job_of(request);

	if (lw_view_job(&doc, request->book, job, request->now_s, &err) !=
	    LW_OK) {
		fail(reply, &err);
		return false;
	}
	reply_page(reply, status, template, doc);
	set_pad(request, reply, job);
	return true;
}

/* The job's page after a form that could not be taken; a stale one among
 * them, so that the current step is seen. */
static void
show_again(const struct request *request, struct reply *reply,
    const struct lw_err *err, const char *typed)
{
	struct lw_err why = *err;

	if (why.code == LW_NOT_FOUND ||
	    reply_status_of(why.code) == reply_status_of(LW_FAILED)) {
		fail(reply, &why);
		return;
	}
	if (!show(request, reply, reply_status_of(why.code), "job"))
		return;
	if (why.code == LW_CONFLICT) {
		reply_sentence(reply, "error", why.text);
		return;
	}
	reply_bool(reply, "at_answer", true);
	reply_typed(reply, typed, &why);
	reply_text(
	    reply, "typed_words", form_get_or_null(&request->body, "words"));
}

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
		go_to_job(reply, job, NULL);
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
	show(request, reply, 200, "job");
}

void
page_job_report(const struct request *request, struct reply *reply)
{
	show(request, reply, 200, "report");
}

/* Whether the form is about the job as it stands now; else `reply` shows
 * that. For the forms whose calls take no serial. */
static bool
is_current(const struct request *request, struct reply *reply)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *job;
	struct lw_err err = {.code = LW_OK};
	int64_t serial;

	if (arena == NULL)
		err_no_memory(&err);
	else if (lw_job_get(request->book, arena, job_of(request),
		     request->now_s, &job, &err) == LW_OK &&
		 (!num_parse_int(&serial, form_get(&request->body, "serial")) ||
		     serial != job->serial))
		err_set(&err, LW_CONFLICT,
		    "the job has gone on since that page was opened; this is "
		    "how it stands now");
	lw_arena_free(arena);
	if (err.code != LW_OK)
		show_again(request, reply, &err, "");
	return err.code == LW_OK;
}

void
page_job_answer(const struct request *request, struct reply *reply)
{
	const char *choice = form_get_or_null(&request->body, "choice");
	const char *typed = form_get(&request->body, "answer");
	struct lw_err err = {.code = LW_OK};
	struct buf answer;
	int64_t serial;

	if (!num_parse_int(&serial, form_get(&request->body, "serial")) ||
	    serial < 0) {
		err_set(&err, LW_CONFLICT,
		    "the answer does not say which step it is for; this is "
		    "the step to do now");
		show_again(request, reply, &err, "");
		return;
	}
	buf_init(&answer, FORM_BYTES_MAX);
	if (choice != NULL) {
		buf_add(&answer, choice);
	} else {
		/* The sign is ticked where the pad has no minus. */
		if (form_get_or_null(&request->body, "minus") != NULL &&
		    typed[strspn(typed, " \t")] != '-')
			buf_add_char(&answer, '-');
		buf_add(&answer, typed);
	}
	if (buf_check(&answer, &err) == LW_OK &&
	    lw_job_answer(request->book, job_of(request), serial,
		buf_text(&answer), form_get_or_null(&request->body, "words"),
		request->now_s, &err) == LW_OK)
		go_to_job(reply, job_of(request), NULL);
	else
		show_again(request, reply, &err, buf_text(&answer));
	buf_clear(&answer);
}

void
page_job_undo(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};

	if (!is_current(request, reply))
		return;
	if (lw_job_undo(request->book, job_of(request), request->now_s, &err) ==
	    LW_OK) {
		go_to_job(reply, job_of(request), "undone");
		return;
	}
	/* Nothing to take back is not a missing page. */
	if (err.code == LW_NOT_FOUND)
		err.code = LW_CONFLICT;
	show_again(request, reply, &err, "");
}

void
page_job_note(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};
	const char *words = form_get(&request->body, "words");
	int64_t note;

	if (lw_book_add_note(request->book, "job", request->path.segments[1],
		words, request->now_s, &note, &err) == LW_OK) {
		go_to_job(reply, job_of(request), "note");
	} else if (err.code == LW_BAD_INPUT || err.code == LW_TOO_BIG) {
		if (!show(request, reply, reply_status_of(err.code), "job"))
			return;
		reply_sentence(reply, "error", err.text);
		reply_text(reply, "typed_note", words);
		reply_bool(reply, "note_open", true);
	} else {
		fail(reply, &err);
	}
}

void
page_job_close(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};

	if (!is_current(request, reply))
		return;
	if (lw_job_close(request->book, job_of(request),
		form_get_or_null(&request->body, "words"), request->now_s,
		&err) == LW_OK)
		go_to_job(reply, job_of(request), "closed");
	else
		show_again(request, reply, &err, "");
}

void
page_job_reopen(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};

	if (!is_current(request, reply))
		return;
	if (lw_job_reopen(
		request->book, job_of(request), request->now_s, &err) == LW_OK)
		go_to_job(reply, job_of(request), "reopened");
	else
		show_again(request, reply, &err, "");
}

void
page_job_resume(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};

	if (lw_job_resume(
		request->book, job_of(request), request->now_s, &err) == LW_OK)
		go_to_job(reply, job_of(request), NULL);
	else
		show_again(request, reply, &err, "");
}
