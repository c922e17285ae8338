/* Answering the step of a job: one finding, or a refusal that changes
 * nothing. What counts as an answer is left to answer, what follows from it
 * to situation. */
#include "job/answer.h"
#include "job/desk.h"
#include "job/step.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

static enum lw_status
refuse_stale(const struct situation *at, struct lw_err *err)
{
	long long job = (long long)at->job->job;

	if (lw_job_is_over(at->state))
		return err_set(err, LW_CONFLICT,
		    "job %lld is over; open it again to go on", job);
	if (at->way.ask == NULL && at->state == LW_JOB_WAITING)
		return err_set(err, LW_CONFLICT,
		    "job %lld waits; go on with it, or take up what was put "
		    "aside, to answer its step",
		    job);
	if (at->way.ask == NULL)
		return err_set(err, LW_CONFLICT,
		    "job %lld has no step to answer: it is %s; take the last "
		    "answer back, or pick a check",
		    job, lw_job_state_name(at->state));
	return err_set(err, LW_CONFLICT,
	    "job %lld has gone on since that step was shown; look at the "
	    "step that comes now",
	    job);
}

/*
 * While the power state was lost without a finding (time, or letting the
 * vehicle go), the step turned into a way in under the same serial. An
 * answer that could be meant for either is refused, and the break is noted,
 * so that the step shown next is beyond doubt.
 */
static enum lw_status
check_lapse(
    struct desk *desk, const struct lw_answer *answer, struct lw_err *err)
{
	struct lw_finding resume = {.kind = LW_FINDING_RESUME};
	struct situation *at = &desk->at;
	struct power before = at->power;
	const struct lw_check *goal = at->then;
	struct answer meant, now;
	enum lw_status status;
	struct way way;

	if (at->power.held == at->power.proved && at->power.fresh)
		return LW_OK;
	/* The form says which check it was for. */
	if (answer->check != NULL)
		return LW_OK;
	before.proved = before.held;
	before.fresh = true;
	if (goal == NULL) {
		status =
		    shelf_gate(&goal, &desk->shelf, LW_POWER_ISOLATED, err);
		if (status != LW_OK || goal == NULL)
			return status;
	}
	status = power_way(
	    &way, &desk->shelf, goal, &before, &at->findings, at->rig, err);
	if (status != LW_OK || way.ask == NULL || way.ask == at->way.ask)
		return status;
	if (answer_read(&meant, way.ask, at->rig, answer->text, answer->sure,
		NULL) != LW_OK)
		return LW_OK;
	/* Giving up means the same thing at either. */
	if (meant.kind != LW_FINDING_CHECK)
		return LW_OK;
	if (answer_read(&now, at->way.ask, at->rig, answer->text, answer->sure,
		NULL) != LW_OK)
		return LW_OK;
	status = desk_append(desk, &resume, false, err);
	if (status != LW_OK)
		return status;
	return err_set(err, LW_CONFLICT,
	    "there was a break, so the power state has to be proved again; "
	    "answer the step that comes now");
}

/* What an aside of the goal is about. */
static const char *
subject_of(const struct situation *at)
{
	switch (at->purpose) {
	case LW_PURPOSE_FIX:
		return LW_JOB_FIX;
	case LW_PURPOSE_PROOF:
		return LW_JOB_PROOF;
	case LW_PURPOSE_AGAIN:
		return LW_JOB_AGAIN;
	case LW_PURPOSE_SAFE:
		return LW_JOB_SAFE;
	default:
		return at->then->id;
	}
}

/* What is put aside: the goal, maybe at a check on the way to it. */
static enum lw_status
record_aside(struct lw_finding *finding, struct desk *desk,
    const struct answer *answer, struct lw_err *err)
{
	const struct situation *at = &desk->at;

	finding->kind = answer->kind;
	finding->subject = subject_of(at);
	finding->title =
	    at->then != NULL ? at->then->title : at->way.ask->title;
	finding->about = at->cause;
	finding->has_value = answer->has_value;
	finding->value = answer->value;
	finding->unit = answer->has_value ? at->way.ask->unit : NULL;
	/* Where it stopped at a way in, the outcome names that. */
	if (at->way.ask != at->then || at->way.gate)
		finding->outcome = at->way.ask->id;
	if (at->way.ask == at->then)
		return LW_OK;
	finding->outcome_title =
	    arena_printf(desk->arena, "stopped at \"%s\"", at->way.ask->title);
	return finding->outcome_title == NULL ? err_no_memory(err) : LW_OK;
}

/* It did something by itself on the way in: the trouble is still there where
 * a fix is being tried, and the check cannot be done elsewhere. */
static void
record_bar(
    struct lw_finding *finding, struct desk *desk, const struct answer *answer)
{
	const struct situation *at = &desk->at;

	finding->kind = LW_FINDING_CANNOT;
	finding->subject = subject_of(at);
	finding->title = at->then->title;
	finding->outcome = at->way.ask->id;
	finding->outcome_title = answer->outcome->title;
	finding->about = LW_JOB_SAFE;
	if (at->purpose == LW_PURPOSE_PROOF ||
	    at->purpose == LW_PURPOSE_AGAIN) {
		finding->kind = LW_FINDING_STILL;
		finding->subject = LW_JOB_AGAIN;
		finding->about = at->cause;
	}
}

/* Whether the answer is one to a way into a live state, and stops. */
static bool
is_bar(const struct situation *at, const struct answer *answer)
{
	return at->way.ask != at->then && at->then != NULL &&
	       at->way.ask->power > LW_POWER_ISOLATED && answer->outcome->stops;
}

static enum lw_status
record_fix(struct lw_finding *finding, struct desk *desk, const char *outcome,
    struct lw_err *err)
{
	const struct lw_cause *cause;
	enum lw_status status;

	status = shelf_cause(&cause, &desk->shelf, desk->at.cause, err);
	if (status != LW_OK)
		return status;
	finding->kind = strcmp(outcome, "fixed") == 0	? LW_FINDING_FIXED
			: strcmp(outcome, "wrong") == 0 ? LW_FINDING_STRUCK
							: LW_FINDING_BEGUN;
	finding->subject = desk->at.cause;
	finding->about = desk->at.cause;
	finding->title = cause != NULL ? cause->title : desk->at.cause;
	/* Names the check that is to prove it. */
	finding->outcome = desk->at.led_by;
	return LW_OK;
}

/* The finding as it will be shown for ever. */
static enum lw_status
record(struct lw_finding *finding, char *expected, size_t size,
    struct desk *desk, const struct answer *answer, struct lw_err *err)
{
	const struct situation *at = &desk->at;
	const struct lw_check *ask = at->way.ask;

	finding->ask = ask->ask;
	if (answer->kind != LW_FINDING_CHECK)
		return record_aside(finding, desk, answer, err);
	if (is_bar(at, answer)) {
		record_bar(finding, desk, answer);
		return LW_OK;
	}
	finding->kind = LW_FINDING_CHECK;
	finding->subject = ask->id;
	finding->title = ask->title;
	finding->outcome = answer->outcome->id;
	finding->outcome_title = answer->outcome->title;
	finding->has_value = answer->has_value;
	finding->value = answer->value;
	finding->unit = answer->has_value ? ask->unit : NULL;
	step_expect_text(expected, size, ask);
	finding->expected = expected[0] != '\0' ? expected : NULL;
	if (ask != at->then)
		return LW_OK;
	if (at->purpose == LW_PURPOSE_FIX) {
		finding->outcome_title = NULL;
		return record_fix(finding, desk, answer->outcome->id, err);
	}
	if (at->purpose == LW_PURPOSE_PROOF) {
		finding->kind = answer->outcome->expected
				    ? LW_FINDING_PROVED
				    : LW_FINDING_NOT_PROVED;
		finding->about = at->cause;
	}
	if (at->purpose == LW_PURPOSE_AGAIN) {
		finding->kind = strcmp(answer->outcome->id, "gone") == 0
				    ? LW_FINDING_GONE
				: strcmp(answer->outcome->id, "still") == 0
				    ? LW_FINDING_STILL
				    : LW_FINDING_NOT_SEEN;
		finding->about = at->cause;
		/* An outcome on an aside would name a way in. */
		finding->outcome = NULL;
	}
	return LW_OK;
}

enum lw_status
lw_job_answer(struct lw_book *book, int64_t job, const struct lw_actor *actor,
    const struct lw_answer *given, struct lw_err *err)
{
	char expected[sizeof((struct lw_job_step *)NULL)->expect_text];
	struct lw_finding finding = {.words = given->words};
	struct answer answer;
	struct desk desk;
	enum lw_status status;

	status = desk_open(&desk, book, job, actor, err);
	if (status == LW_OK)
		status = desk_act(&desk, err);
	if (status != LW_OK)
		goto out;
	if (desk.at.way.ask == NULL ||
	    (given->serial != -1 &&
		given->serial != findings_serial(&desk.at.findings)) ||
	    (given->check != NULL &&
		strcmp(given->check, desk.at.way.ask->id) != 0)) {
		status = refuse_stale(&desk.at, err);
		goto out;
	}
	status = desk_check_words(given->words, err);
	if (status == LW_OK)
		status = check_lapse(&desk, given, err);
	if (status == LW_OK)
		status = answer_read(&answer, desk.at.way.ask, desk.at.rig,
		    given->text, given->sure, err);
	if (status == LW_OK)
		status = record(
		    &finding, expected, sizeof expected, &desk, &answer, err);
	if (status == LW_OK)
		status = desk_append(&desk, &finding, false, err);
out:
	desk_close(&desk);
	return status;
}
