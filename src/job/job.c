/* The job as a person sees it. How it stands is worked out in situation;
 * what may be done to it is left to change. */
#include "job/situation.h"
#include "job/step.h"
#include "job/suspects.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"

#include <string.h>

enum { HINTS = 3 };

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
	}
	return "";
}

/* Checks that bear on the leading suspects, by title. */
static enum lw_status
say_no_tree(struct lw_job *job, struct shelf *shelf, struct lw_err *err)
{
	const char *titles[HINTS];
	struct lw_entries checks[HINTS];
	enum lw_status status;
	struct buf list;
	size_t count = 0, leading = 0, i, k, t;

	for (i = 0; i < job->suspect_count && leading < HINTS; i++) {
		if (strcmp(job->suspects[i].cause, SUSPECT_UNLISTED) == 0)
			continue;
		status = lw_book_checks_for(shelf->book, shelf->arena,
		    job->suspects[i].cause, &checks[leading], err);
		if (status == LW_OK)
			leading++;
		else if (status != LW_NOT_FOUND)
			return status;
	}
	/* In rounds, so that the first suspect does not take all. */
	for (k = 0; k < HINTS; k++)
		for (i = 0; i < leading && count < HINTS; i++) {
			if (k >= checks[i].count)
				continue;
			for (t = 0; t < count; t++)
				if (strcmp(titles[t],
					checks[i].items[k].title) == 0)
					break;
			if (t == count)
				titles[count++] = checks[i].items[k].title;
		}
	buf_init(&list, 4096);
	for (t = 0; t < count; t++)
		buf_printf(&list, "%s\"%s\"",
		    t == 0	    ? ""
		    : t + 1 < count ? ", "
				    : " and ",
		    titles[t]);
	if (count == 0)
		job->ending = arena_printf(shelf->arena,
		    "The book has no tree for this yet; what is listed as "
		    "likely is all that it knows.");
	else
		job->ending = arena_printf(shelf->arena,
		    "The book has no tree for this yet; checks that bear on "
		    "the likeliest causes are %s.",
		    buf_text(&list));
	buf_clear(&list);
	return job->ending == NULL ? err_no_memory(err) : LW_OK;
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

/* What the last answer that stands says to the person. */
static enum lw_status
find_say(struct lw_job *job, struct shelf *shelf,
    const struct lw_finding *answer, struct lw_err *err)
{
	const struct lw_check *check;
	enum lw_status status;
	size_t i;

	if (answer == NULL || answer->kind != LW_FINDING_CHECK ||
	    answer->outcome == NULL)
		return LW_OK;
	status = shelf_check(&check, shelf, answer->subject, err);
	for (i = 0; check != NULL && i < check->outcome_count; i++)
		if (strcmp(check->outcomes[i].id, answer->outcome) == 0)
			job->say = check->outcomes[i].say;
	return status;
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
	job->cause = at->cause;
	job->likely = at->likely;
	job->ending = at->ending;
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

	/* Its cautions come before anything is done. */
	if (at->findings.answer == NULL) {
		status = shelf_symptom(&symptom, shelf, job->symptom, err);
		if (status != LW_OK)
			return status;
	}
	return step_build(&job->step, shelf, at->ask, at->then, symptom, err);
}

enum lw_status
lw_job_get(struct lw_book *book, struct lw_arena *arena, int64_t number,
    int64_t now_s, const struct lw_job **out, struct lw_err *err)
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
		status = situation_find(&at, &shelf, loaded, now_s, err);
	if (status != LW_OK)
		return status;
	copy_situation(job, &at);
	status = suspects_find(&job->suspects, &job->suspect_count, &shelf,
	    &at.findings, at.tree, at.cause, err);
	if (status == LW_OK)
		status = list_put_aside(job, &shelf, &at.walk, err);
	if (status == LW_OK && at.state != LW_JOB_CLOSED)
		status = find_say(job, &shelf, at.findings.answer, err);
	if (status == LW_OK && at.state == LW_JOB_OPEN)
		status = build_step(job, &shelf, &at, err);
	if (status == LW_OK && at.state == LW_JOB_UNDECIDED && at.led == NULL)
		status = say_no_tree(job, &shelf, err);
	if (status == LW_OK)
		*out = job;
	return status;
}
