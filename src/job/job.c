/* The job as a person sees it. How it stands is worked out in situation;
 * what may be done to it is left to change. */
#include "job/advise.h"
#include "job/reasons.h"
#include "job/step.h"
#include "job/suspects.h"
#include "job/through.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "book/look.h"

#include <string.h>

enum { REMARKS = 4 };

const char *
lw_job_state_name(enum lw_job_state state)
{
	switch (state) {
	case LW_JOB_OPEN:
		return "open";
	case LW_JOB_FOUND:
		return "found";
	case LW_JOB_UNDECIDED:
		return "undecided";
	case LW_JOB_STOPPED:
		return "stopped";
	case LW_JOB_CLOSED:
		return "closed";
	case LW_JOB_WAITING:
		return "waiting";
	case LW_JOB_FIXING:
		return "fixing";
	case LW_JOB_PROVING:
		return "proving";
	case LW_JOB_GIVEN_UP:
		return "given-up";
	case LW_JOB_PASSED:
		return "passed";
	}
	return "";
}

bool
lw_job_is_over(enum lw_job_state state)
{
	return state == LW_JOB_CLOSED || state == LW_JOB_GIVEN_UP;
}

const char *
lw_purpose_name(enum lw_purpose purpose)
{
	switch (purpose) {
	case LW_PURPOSE_TREE:
		return "tree";
	case LW_PURPOSE_PICK:
		return "pick";
	case LW_PURPOSE_FIX:
		return "fix";
	case LW_PURPOSE_PROOF:
		return "proof";
	case LW_PURPOSE_AGAIN:
		return "again";
	case LW_PURPOSE_SAFE:
		return "safe";
	case LW_PURPOSE_NEXT:
		return "next";
	}
	return "";
}

static enum lw_status
list_put_aside(struct lw_job *job, struct shelf *shelf, const struct walk *walk,
    struct lw_err *err)
{
	const struct lw_check **checks, *check;
	enum lw_status status;
	size_t i;

	if (walk->aside_count == 0)
		return LW_OK;
	checks = arena_array(
	    shelf->arena, walk->aside_count, sizeof(const struct lw_check *));
	if (checks == NULL)
		return err_no_memory(err);
	for (i = 0; i < walk->aside_count; i++) {
		status =
		    shelf_check(&check, shelf, walk->aside[i]->subject, err);
		if (status != LW_OK)
			return status;
		if (check != NULL)
			checks[job->put_aside_count++] = check;
	}
	job->put_aside = checks;
	return LW_OK;
}

static void
copy_situation(struct lw_job *job, const struct situation *at)
{
	const struct lw_finding *finding;
	size_t i;

	job->job = at->job->job;
	job->created_s = at->job->created_s;
	job->device = at->job->device;
	job->lamp = at->job->lamp;
	job->title = at->job->title;
	job->state = at->state;
	job->power = at->power.proved;
	job->serial = findings_serial(&at->findings);
	job->findings = at->findings.items;
	job->finding_count = at->findings.count;
	job->can_undo = at->findings.last != NULL;
	job->rig = at->rig;
	job->rig_name = at->job->rig;
	job->cause = at->cause;
	job->likely = at->likely;
	job->ending = at->ending;
	job->waits_for = at->waits_for;
	job->cured = at->state == LW_JOB_CLOSED && at->repair.cured;
	job->tree = at->led != NULL ? at->led->subject : NULL;
	finding = findings_first(&at->findings, LW_FINDING_SYMPTOM);
	job->symptom = finding != NULL ? finding->subject : NULL;
	for (i = 0; i < at->findings.count && job->fault == NULL; i++) {
		finding = &at->findings.items[i];
		if (finding->kind == LW_FINDING_PATTERN &&
		    finding->outcome != NULL && finding->outcome[0] != '\0')
			job->fault = finding->outcome;
	}
}

static enum lw_status
build_step(struct lw_job *job, struct shelf *shelf, const struct situation *at,
    struct lw_err *err)
{
	const struct lw_symptom *symptom = NULL;
	enum lw_status status;

	/* Its cautions come before anything is done, and before it is brought
	 * about once more. */
	if (at->findings.on_count == 0 || at->purpose == LW_PURPOSE_AGAIN) {
		status = shelf_symptom(&symptom, shelf, job->symptom, err);
		if (status != LW_OK)
			return status;
	}
	return step_build(&job->step, shelf, at, symptom, err);
}

/* Whether hands have to be kept off until it is proved dead. A step says so
 * itself; a job that is over is somebody's vehicle in use, unless it was left
 * switched on. */
static bool
needs_making_safe(const struct lw_job *job, const struct situation *at)
{
	if (at->power.proved == LW_POWER_ISOLATED || at->way.ask != NULL)
		return false;
	if (job->cured)
		return at->power.proved > LW_POWER_ISOLATED;
	if (at->state == LW_JOB_STOPPED)
		return at->power.last > LW_POWER_ISOLATED;
	if (lw_job_is_over(at->state))
		return at->power.last > LW_POWER_ISOLATED;
	return true;
}

/* Time between findings, long breaks left out. */
static int64_t
time_worked(const struct findings *findings)
{
	int64_t sum = 0, gap;
	size_t i;

	for (i = 1; i < findings->count; i++)
		if (!__builtin_sub_overflow(findings->items[i].time_s,
			findings->items[i - 1].time_s, &gap) &&
		    gap > 0 && gap < LW_JOB_POWER_HOLDS_S)
			sum += gap;
	return sum;
}

static enum lw_status
add_remark(
    struct lw_job *job, const char **list, const char *text, struct lw_err *err)
{
	if (text == NULL)
		return err_no_memory(err);
	list[job->remark_count++] = text;
	return LW_OK;
}

/* What is odd about the job and does not stop it. */
static enum lw_status
find_remarks(struct lw_job *job, struct lw_arena *arena,
    const struct situation *at, struct lw_err *err)
{
	const char **list = arena_array(arena, REMARKS, sizeof *list);
	enum lw_status status = LW_OK;

	if (list == NULL)
		return err_no_memory(err);
	job->remarks = list;
	if (at->power.clock_back && !lw_job_is_over(at->state))
		status = add_remark(job, list,
		    "The clock is behind the last finding: it was set back. "
		    "The power state counts as unknown, and times may be "
		    "wrong.",
		    err);
	if (status == LW_OK && at->power.rig_changed &&
	    !lw_job_is_over(at->state))
		status = add_remark(job, list,
		    "What is known of the vehicle has changed, and asks for "
		    "more than was checked: the power state has to be proved "
		    "again.",
		    err);
	if (status == LW_OK && job->rig_name != NULL && job->rig == NULL)
		status = add_remark(job, list,
		    arena_printf(arena,
			"The rig \"%s\" is not in this book, so nothing is "
			"known of the vehicle and the most dangerous kind "
			"counts.",
			job->rig_name),
		    err);
	else if (status == LW_OK && job->rig != NULL && job->rig->removed)
		status = add_remark(job, list,
		    arena_printf(arena,
			"The rig \"%s\" was taken out of the lists; the job "
			"keeps to what is known of it.",
			job->rig_name),
		    err);
	if (status == LW_OK && at->led != NULL && at->tree == NULL)
		status = add_remark(job, list,
		    "The tree of this job has left the book; the findings "
		    "keep what was shown.",
		    err);
	return status;
}

static void
put_suspects(struct lw_job *job, const struct suspects *suspects)
{
	job->suspects = suspects->items;
	job->suspect_count = suspects->count;
	job->excluded = suspects->excluded;
	job->excluded_count = suspects->excluded_count;
}

/* What is suspected, and what is best done about it. */
static enum lw_status
reason(struct lw_job *job, struct shelf *shelf, struct situation *at,
    struct lw_err *err)
{
	struct suspects suspects;
	enum lw_status status = situation_reason(at, shelf, err);

	if (status == LW_OK)
		status = suspects_find(
		    &suspects, shelf->arena, at->reasoning, at, err);
	if (status != LW_OK)
		return status;
	put_suspects(job, &suspects);
	return advise(job, shelf, at->reasoning, at, err);
}

static enum lw_status
get(struct lw_book *book, struct lw_arena *arena, int64_t number,
    const char *screen, int64_t now_s, const struct lw_job **out,
    struct lw_err *err)
{
	struct lw_job *job = arena_alloc(arena, sizeof *job);
	const struct book_job *loaded;
	struct situation at;
	struct shelf shelf;
	enum lw_status status;

	if (job == NULL)
		return err_no_memory(err);
	shelf_init(&shelf, book, arena);
	status = book_job_load(book, arena, number, &loaded, err);
	if (status == LW_OK)
		status =
		    situation_find(&at, &shelf, loaded, screen, now_s, err);
	if (status != LW_OK)
		return status;
	copy_situation(job, &at);
	hold_show(&job->hold, &at.hold, screen, now_s);
	job->make_safe = needs_making_safe(job, &at);
	job->worked_s = time_worked(&at.findings);
	/* Nothing is wrong with the vehicle that anybody said: a walk-through
	 * is led by its steps alone. */
	status = at.through ? through_show(&job->walk, &shelf, &at, err)
			    : reason(job, &shelf, &at, err);
	if (status == LW_OK)
		status = list_put_aside(job, &shelf, &at.walk, err);
	if (!lw_job_is_over(at.state) && at.findings.answer != NULL)
		job->say = at.findings.answer->say;
	if (status == LW_OK && at.way.ask != NULL)
		status = build_step(job, &shelf, &at, err);
	if (status == LW_OK)
		status = find_remarks(job, arena, &at, err);
	if (status == LW_OK)
		*out = job;
	return status;
}

enum lw_status
lw_job_get(struct lw_book *book, struct lw_arena *arena, int64_t number,
    const char *screen, int64_t now_s, const struct lw_job **out,
    struct lw_err *err)
{
	enum lw_status status = look_begin(book, err);

	if (status != LW_OK)
		return status;
	status = get(book, arena, number, screen, now_s, out, err);
	look_end(book);
	return status;
}
