/* What the pages and forms of a job share; what each of them does is left to
 * page_job.c and its sisters, and what comes next to the job itself. */
#include "serve/job_page.h"

#include "base/err.h"
#include "base/num.h"
#include "serve/pages.h"

#include <lampwright/reading.h>
#include <lampwright/view.h>

#include <string.h>

int64_t
job_page_of(const struct request *request)
{
	const char *text = request->path.segments[1];
	int64_t job;

	if (text[0] < '1' || text[0] > '9' || !num_parse_int(&job, text))
		return 0;
	return job;
}

void
job_page_go(struct reply *reply, int64_t job, const char *said)
{
	reply_see_other(reply);
	buf_printf(&reply->location, "/jobs/%lld", (long long)job);
	url_add_query(&reply->location, "said", said);
}

static bool
is_there(const struct request *request)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *job;
	bool there =
	    arena != NULL &&
	    lw_job_get(request->book, arena, job_page_of(request),
		request->screen.id, request->now_s, &job, NULL) == LW_OK;

	lw_arena_free(arena);
	return there;
}

void
job_page_fail(const struct request *request, struct reply *reply,
    const struct lw_err *err)
{
	struct lw_err why = *err;

	if (why.code == LW_NOT_FOUND && is_there(request)) {
		reply_failure(reply, &why);
		reply_textf(reply, "way", "/jobs/%lld",
		    (long long)job_page_of(request));
		reply_text(reply, "way_title", "Back to the job");
		return;
	}
	if (why.code == LW_NOT_FOUND)
		reply_error(reply, 404, "there is no such job");
	else
		reply_failure(reply, &why);
	reply_text(reply, "way", "/jobs");
	reply_text(reply, "way_title", "All jobs");
}

/* Whether a reading below zero has to be told apart by a tick: a phone's
 * number pad has no minus, and a reading must never become positive by it. */
static bool
may_be_negative(const struct lw_job_step *step)
{
	const struct lw_check *check = step->check;
	size_t i;

	switch (check->meter) {
	case LW_METER_VOLTS_DC:
	case LW_METER_AMPS_DC:
	case LW_METER_CLAMP_DC:
	case LW_METER_TEMPERATURE:
		return true;
	default:
		break;
	}
	for (i = 0; step->bands != NULL && i < check->outcome_count; i++)
		if ((step->bands[i].has_from && step->bands[i].from < 0) ||
		    (step->bands[i].has_below && step->bands[i].below < 0))
			return true;
	return false;
}

/* What a phone's number pad lacks: whether the reading that the step asks for
 * may be OL, or below zero. */
static void
set_pad(struct reply *reply, const struct lw_job_step *step)
{
	const struct lw_check *check = step->check;
	double value;

	if (check->unit == NULL)
		return;
	reply_bool(reply, "takes_overload",
	    lw_reading_parse(&value, "OL", check->unit, NULL) == LW_OK);
	reply_bool(reply, "takes_minus", may_be_negative(step));
}

/* Whether it waits because a person said so, and not for what was put aside:
 * then it can be gone on with as it is. */
static bool
is_paused(const struct lw_job *job)
{
	size_t i;

	for (i = job->finding_count; i > 0; i--) {
		const struct lw_finding *finding = &job->findings[i - 1];

		if (finding->undone)
			continue;
		switch (finding->kind) {
		case LW_FINDING_WAIT:
			return job->state == LW_JOB_WAITING;
		case LW_FINDING_RESUME:
		case LW_FINDING_TAKE_UP:
		case LW_FINDING_REOPEN:
		case LW_FINDING_PICK:
		case LW_FINDING_SUPPOSE:
			return false;
		default:
			break;
		}
	}
	return false;
}

/* How many cautions of each signal word were shown before and still hold; a
 * danger is shown every time. */
static void
set_standing(struct reply *reply, const struct lw_job_step *step)
{
	static const struct {
		const char *key;
		enum lw_signal signal;
	} words[] = {
	    {"brief_warning", LW_SIGNAL_WARNING},
	    {"brief_caution", LW_SIGNAL_CAUTION},
	    {"brief_notice", LW_SIGNAL_NOTICE},
	};
	size_t i, k, count;

	for (i = 0; i < sizeof words / sizeof words[0]; i++) {
		for (k = count = 0; k < step->caution_count; k++)
			count += step->standing != NULL && step->standing[k] &&
				 step->cautions[k]->signal == words[i].signal;
		reply_int(reply, words[i].key, (int64_t)count);
	}
}

/* What the templates ask besides the document: what this screen may press. */
static void
set_ways(struct reply *reply, const struct lw_job *job)
{
	bool may_act = job->hold.mine || !job->hold.held;

	reply_text(reply, "proved_title", lw_power_title(job->power));
	reply_int(reply, "job_serial", job->serial);
	reply_bool(reply, "may_choose",
	    may_act && job->walk == NULL &&
		(job->state == LW_JOB_OPEN || job->state == LW_JOB_FOUND ||
		    job->state == LW_JOB_UNDECIDED ||
		    (job->state == LW_JOB_WAITING && job->cause == NULL)));
	reply_bool(reply, "paused", is_paused(job));
	reply_bool(reply, "not_dead", job->power != LW_POWER_ISOLATED);
	/* Where the step leads there anyway, a button would be one more thing
	 * to think about. */
	reply_bool(reply, "offer_safe",
	    job->step != NULL ? job->power != LW_POWER_ISOLATED &&
				    job->step->into != LW_POWER_ISOLATED
			      : job->make_safe);
	if (job->step != NULL) {
		reply_bool(reply, "at_fix",
		    job->step->purpose == LW_PURPOSE_FIX &&
			job->step->into == LW_POWER_UNKNOWN);
		reply_bool(reply, "lacks_tools", job->step->missing_count > 0);
		reply_bool(reply, "has_lacks", job->step->lack_count > 0);
		reply_bool(reply, "by_hand",
		    job->step->bands != NULL && job->step->wide &&
			!job->step->gate);
		set_standing(reply, job->step);
		set_pad(reply, job->step);
	}
}

bool
job_page_show(const struct request *request, struct reply *reply,
    unsigned status, const char *template)
{
	struct lw_arena *arena = lw_arena_new();
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;
	const struct lw_job *job;

	if (arena == NULL)
		err_no_memory(&err);
	else
		lw_view_job_with(&doc, &job, request->book, arena,
		    job_page_of(request), request->screen.id, request->now_s,
		    &err);
	if (doc == NULL) {
		lw_arena_free(arena);
		job_page_fail(request, reply, &err);
		return false;
	}
	reply_page(reply, status, template, doc);
	reply_text(reply, "screen_name", request->screen.name);
	job_page_follow(request, reply,
	    strcmp(template, "report") == 0  ? "/report"
	    : strcmp(template, "state") == 0 ? "/state"
					     : "",
	    job);
	set_ways(reply, job);
	lw_arena_free(arena);
	return true;
}

void
job_page_again(const struct request *request, struct reply *reply,
    const struct lw_err *err)
{
	struct lw_err why = *err;

	if (why.code == LW_NOT_FOUND ||
	    reply_status_of(why.code) == reply_status_of(LW_FAILED)) {
		job_page_fail(request, reply, &why);
		return;
	}
	if (job_page_show(request, reply, reply_status_of(why.code), "job"))
		reply_sentence(reply, "error", why.text);
}

bool
job_page_serial(const struct request *request, int64_t *serial)
{
	return num_parse_int(serial, form_get(&request->body, "serial")) &&
	       *serial >= 0;
}

bool
job_page_is_current(const struct request *request, struct reply *reply)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *job;
	struct lw_err err = {.code = LW_OK};
	int64_t serial;

	if (arena == NULL)
		err_no_memory(&err);
	else if (lw_job_get(request->book, arena, job_page_of(request),
		     request->screen.id, request->now_s, &job, &err) == LW_OK &&
		 (!job_page_serial(request, &serial) || serial != job->serial))
		err_set(&err, LW_CONFLICT,
		    "the job has gone on since that page was opened; this is "
		    "how it stands now");
	lw_arena_free(arena);
	if (err.code != LW_OK)
		job_page_again(request, reply, &err);
	return err.code == LW_OK;
}

void
job_page_end(const struct request *request, struct reply *reply,
    enum lw_status status, struct lw_err *err, const char *said)
{
	if (status == LW_OK)
		job_page_go(reply, job_page_of(request), said);
	else
		job_page_again(request, reply, err);
}

void
job_page_act(const struct request *request, struct reply *reply,
    job_page_call *call, const char *said)
{
	const struct lw_actor actor = pages_actor(request);
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;

	status = call(request->book, job_page_of(request), &actor, &err);
	job_page_end(request, reply, status, &err, said);
}
