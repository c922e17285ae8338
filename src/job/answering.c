/* Answering the step of a job: one finding, or a refusal that changes
 * nothing. What counts as an answer is left to answer, what follows from it
 * to situation. */
#include "job/answer.h"
#include "job/desk.h"
#include "job/ends.h"
#include "job/expect.h"

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

/* What the step was before the power state was lost without a finding (time,
 * or letting the vehicle go); NULL where it is the same or there was none. */
static enum lw_status
step_before(
    const struct lw_check **before, struct desk *desk, struct lw_err *err)
{
	struct situation *at = &desk->at;
	struct power power = at->power;
	const struct lw_check *goal = at->then;
	enum lw_status status = LW_OK;
	struct way way = {0};

	*before = NULL;
	power.proved = power.held;
	power.fresh = true;
	if (goal == NULL)
		status =
		    shelf_gate(&goal, &desk->shelf, LW_POWER_ISOLATED, err);
	if (status == LW_OK && goal != NULL)
		status = power_way(&way, &desk->shelf, goal, &power,
		    &at->findings, at->rig, err);
	if (status == LW_OK && way.ask != at->way.ask)
		*before = way.ask;
	return status;
}

/*
 * While the power state was lost without a finding, the step turned into a
 * way in under the same serial. An answer that does not say which check it
 * is for, and could be meant for the step before, is refused, and the break
 * is noted, so that the step shown next is beyond doubt. Only an outcome's
 * own word, that the step before has not, is beyond doubt already.
 */
static enum lw_status
check_lapse(
    struct desk *desk, const struct lw_answer *answer, struct lw_err *err)
{
	struct lw_finding resume = {.kind = LW_FINDING_RESUME};
	struct situation *at = &desk->at;
	const struct lw_check *before;
	struct answer meant, now;
	struct answer_to to = {at->way.ask, at->vehicle, answer->sure, false};
	enum lw_status status;

	if (answer->check != NULL ||
	    (at->power.held == at->power.proved && at->power.fresh))
		return LW_OK;
	status = step_before(&before, desk, err);
	if (status != LW_OK || before == NULL)
		return status;
	/* What is none of this step's is refused in any case. */
	status = answer_read(&now, desk->arena, &to, answer->text, NULL);
	if (status != LW_OK && status != LW_UNDECIDED)
		return LW_OK;
	to.check = before;
	if (now.kind == LW_FINDING_CHECK && !now.has_value) {
		status =
		    answer_read(&meant, desk->arena, &to, answer->text, NULL);
		if (status != LW_OK && status != LW_UNDECIDED)
			return LW_OK;
	}
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
	if (at->way.ask != at->then || at->way.gate) {
		finding->outcome = at->way.ask->id;
		/* Where it is live, nothing was switched on before the way in
		 * itself; before isolated, it was not proved dead. */
		if (!at->way.compulsory || at->way.into == LW_POWER_ISOLATED)
			finding->leads = at->way.into;
	}
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
	finding->leads = at->way.into;
	finding->say = answer->outcome->say;
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

/* Keep that an answer says to stop, by its outcome or by the tree that it
 * leads through, with the sentence that says so. */
static enum lw_status
keep_stop(struct lw_finding *finding, struct desk *desk,
    const struct lw_outcome *outcome, struct lw_err *err)
{
	const struct findings *before = &desk->at.findings;
	struct lw_finding *items;
	struct findings after;
	struct walk walk = {0};
	enum lw_status status;

	if (!findings_is_outcome(finding->kind) &&
	    !findings_is_aside(finding->kind))
		return LW_OK;
	/* What stops a way into a live state bars that state alone. */
	if (findings_is_outcome(finding->kind) && outcome->stops) {
		finding->stop = ends_say_stop(desk->arena, outcome);
		if (finding->stop == NULL)
			return err_no_memory(err);
	}
	if (desk->at.tree == NULL || desk->at.through ||
	    desk->at.walk.end == WALK_STOP)
		return LW_OK;
	items = arena_array(desk->arena, before->count + 1, sizeof *items);
	if (items == NULL)
		return err_no_memory(err);
	memcpy(items, before->items, before->count * sizeof *items);
	items[before->count] = *finding;
	items[before->count].serial = findings_serial(before) + 1;
	status =
	    findings_settle(&after, desk->arena, items, before->count + 1, err);
	if (status == LW_OK)
		status = walk_tree(&walk, &desk->shelf, desk->at.tree, &after,
		    desk->at.rig, err);
	if (status == LW_OK && walk.end == WALK_STOP)
		finding->stop = walk.target;
	return status;
}

/* The finding as it will be shown for ever. */
static enum lw_status
record(struct lw_finding *finding, char *expected, size_t size,
    struct desk *desk, const struct answer *answer, struct lw_err *err)
{
	const struct situation *at = &desk->at;
	const struct lw_check *ask = at->way.ask;
	enum lw_status status;

	finding->ask = ask->ask;
	finding->step = answer->step;
	finding->spread = answer->spread;
	finding->also = answer->also != NULL ? answer->also->id : NULL;
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
	finding->say = answer->outcome->say;
	power_conclude(
	    finding, ask, answer->outcome, answer->also, at->power.proved);
	status =
	    expect_text(expected, size, desk->arena, ask, at->vehicle, err);
	if (status != LW_OK)
		return status;
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

/* What lets somebody go on, or says that a fix has taken or a step of a
 * walk-through has passed, is never a reading that is too close to call. */
static enum lw_status
read_answer(struct answer *answer, struct desk *desk,
    const struct lw_answer *given, struct lw_err *err)
{
	const struct situation *at = &desk->at;
	const struct answer_to to = {
	    .check = at->way.ask,
	    .vehicle = at->vehicle,
	    .sure = given->sure,
	    .strict =
		at->way.gate || at->purpose == LW_PURPOSE_PROOF || at->through,
	};

	return answer_read(answer, desk->arena, &to, given->text, err);
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
		status = read_answer(&answer, &desk, given, err);
	if (status == LW_OK)
		status = record(
		    &finding, expected, sizeof expected, &desk, &answer, err);
	if (status == LW_OK)
		status = keep_stop(&finding, &desk, answer.outcome, err);
	if (status == LW_OK)
		status = desk_append(&desk, &finding, false, err);
out:
	desk_close(&desk);
	return status;
}
