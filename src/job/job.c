/* The job as a person sees it, and what may be done to it. How it stands is
 * worked out in situation; opening one is left to start. */
#include "job/answer.h"
#include "job/situation.h"
#include "job/step.h"
#include "job/suspects.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "base/utf8.h"

#include <stdio.h>
#include <string.h>

enum { WORDS_MAX = 4000, HINTS = 3 };

/* A job loaded for a change; `arena` is freed by close_desk. */
struct desk {
	struct lw_arena *arena;
	struct shelf shelf;
	struct situation at;
};

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

static enum lw_status
open_desk(struct desk *desk, struct lw_book *book, int64_t job, int64_t now_s,
    struct lw_err *err)
{
	const struct book_job *loaded;
	enum lw_status status;

	memset(desk, 0, sizeof *desk);
	desk->arena = lw_arena_new();
	if (desk->arena == NULL)
		return err_no_memory(err);
	shelf_init(&desk->shelf, book, desk->arena);
	status = book_job_load(book, desk->arena, job, &loaded, err);
	if (status == LW_OK)
		status =
		    situation_find(&desk->at, &desk->shelf, loaded, now_s, err);
	return status;
}

static void
close_desk(struct desk *desk)
{
	lw_arena_free(desk->arena);
}

static enum lw_status
append(struct desk *desk, const struct lw_finding *finding, int64_t now_s,
    struct lw_err *err)
{
	return book_job_append(desk->shelf.book, desk->at.job->job,
	    findings_serial(&desk->at.findings), finding, now_s, err);
}

static enum lw_status
check_words(const char *words, struct lw_err *err)
{
	size_t length = words == NULL ? 0 : strlen(words);

	if (length > WORDS_MAX)
		return err_set(err, LW_TOO_BIG,
		    "the words are longer than %d bytes; shorten them, or "
		    "keep them as notes",
		    WORDS_MAX);
	if (length > 0 && utf8_valid(words, length) != length)
		return err_set(err, LW_BAD_INPUT,
		    "the words are not UTF-8 text; type them again");
	return LW_OK;
}

/* --- how it stands ----------------------------------------------------- */

/* The checks that would tell between the leading suspects, by title. */
static enum lw_status
say_no_tree(struct lw_job *job, struct shelf *shelf, struct lw_err *err)
{
	const char *titles[HINTS];
	struct lw_entries checks;
	enum lw_status status;
	struct buf list;
	size_t count = 0, i, k, t;

	for (i = 0; i < job->suspect_count && count < HINTS; i++) {
		if (strcmp(job->suspects[i].cause, SUSPECT_UNLISTED) == 0)
			continue;
		checks.count = 0;
		status = lw_book_checks_for(shelf->book, shelf->arena,
		    job->suspects[i].cause, &checks, err);
		if (status != LW_OK && status != LW_NOT_FOUND)
			return status;
		for (k = 0; status == LW_OK && k < checks.count; k++) {
			for (t = 0; t < count; t++)
				if (strcmp(titles[t], checks.items[k].title) ==
				    0)
					break;
			if (t == count && count < HINTS)
				titles[count++] = checks.items[k].title;
		}
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
		    "The book has no tree for this yet; what would tell most "
		    "of it: %s.",
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

/* --- answering --------------------------------------------------------- */

static enum lw_status
refuse_stale(const struct situation *at, struct lw_err *err)
{
	if (at->state == LW_JOB_CLOSED)
		return err_set(err, LW_CONFLICT,
		    "job %lld is closed; open it again to go on",
		    (long long)at->job->job);
	if (at->state != LW_JOB_OPEN)
		return err_set(err, LW_CONFLICT,
		    "job %lld has no step to answer: it is %s; take the last "
		    "answer back, or take up what was put aside",
		    (long long)at->job->job, lw_job_state_name(at->state));
	return err_set(err, LW_CONFLICT,
	    "job %lld has gone on since that step was shown; look at the "
	    "step that comes now",
	    (long long)at->job->job);
}

/*
 * While the power state lapsed, the step turned into a gate under the same
 * serial. An answer that could be meant for either is refused, and the break
 * is noted, so that the step shown next is beyond doubt.
 */
static enum lw_status
check_lapse(
    struct desk *desk, const char *text, int64_t now_s, struct lw_err *err)
{
	struct lw_finding resume = {.kind = LW_FINDING_RESUME};
	struct situation *at = &desk->at;
	const struct lw_check *before;
	struct answer meant, now;
	enum lw_status status;

	if (at->power.held == at->power.proved)
		return LW_OK;
	status =
	    power_way(&before, &desk->shelf, at->then, at->power.held, err);
	if (status != LW_OK || before == NULL || before == at->ask)
		return status;
	if (answer_read(&meant, before, text, NULL) != LW_OK)
		return LW_OK;
	/* Giving up means the same thing at either. */
	if (meant.kind != LW_FINDING_CHECK)
		return LW_OK;
	if (answer_read(&now, at->ask, text, NULL) != LW_OK)
		return LW_OK;
	status = append(desk, &resume, now_s, err);
	if (status != LW_OK)
		return status;
	return err_set(err, LW_CONFLICT,
	    "there was a break of %d minutes or more, so the power state has "
	    "to be proved again; answer the step that comes now",
	    LW_JOB_POWER_HOLDS_S / 60);
}

/* The finding as it will be shown for ever. */
static enum lw_status
record(struct lw_finding *finding, char *expected, size_t size,
    struct desk *desk, const struct answer *answer, struct lw_err *err)
{
	const struct situation *at = &desk->at;

	finding->kind = answer->kind;
	if (answer->kind == LW_FINDING_CHECK) {
		finding->subject = at->ask->id;
		finding->title = at->ask->title;
		finding->outcome = answer->outcome->id;
		finding->outcome_title = answer->outcome->title;
		finding->has_value = answer->has_value;
		finding->value = answer->value;
		finding->unit = answer->has_value ? at->ask->unit : NULL;
		step_expect_text(expected, size, at->ask);
		finding->expected = expected[0] != '\0' ? expected : NULL;
		return LW_OK;
	}
	finding->subject = at->then->id;
	finding->title = at->then->title;
	if (at->ask == at->then)
		return LW_OK;
	/* It stopped at the way in, which the outcome names. */
	finding->outcome = at->ask->id;
	finding->outcome_title =
	    arena_printf(desk->arena, "stopped at \"%s\"", at->ask->title);
	return finding->outcome_title == NULL ? err_no_memory(err) : LW_OK;
}

enum lw_status
lw_job_answer(struct lw_book *book, int64_t job, int64_t serial,
    const char *text, const char *words, int64_t now_s, struct lw_err *err)
{
	char expected[sizeof((struct lw_job_step *)NULL)->expect_text];
	struct lw_finding finding = {.words = words};
	struct answer answer;
	struct desk desk;
	enum lw_status status;

	status = open_desk(&desk, book, job, now_s, err);
	if (status != LW_OK)
		goto out;
	if (desk.at.state != LW_JOB_OPEN ||
	    (serial != -1 && serial != findings_serial(&desk.at.findings))) {
		status = refuse_stale(&desk.at, err);
		goto out;
	}
	status = check_words(words, err);
	if (status == LW_OK)
		status = check_lapse(&desk, text, now_s, err);
	if (status == LW_OK)
		status = answer_read(&answer, desk.at.ask, text, err);
	if (status == LW_OK)
		status = record(
		    &finding, expected, sizeof expected, &desk, &answer, err);
	if (status == LW_OK)
		status = append(&desk, &finding, now_s, err);
out:
	close_desk(&desk);
	return status;
}

/* --- going back and going on ------------------------------------------- */

enum lw_status
lw_job_undo(
    struct lw_book *book, int64_t job, int64_t now_s, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_UNDO};
	struct desk desk;
	enum lw_status status;

	status = open_desk(&desk, book, job, now_s, err);
	if (status != LW_OK)
		goto out;
	if (desk.at.findings.last == NULL) {
		status = err_set(err, LW_NOT_FOUND,
		    "job %lld has no answer to take back", (long long)job);
		goto out;
	}
	finding.subject = desk.at.findings.last->subject;
	finding.title = desk.at.findings.last->title;
	status = append(&desk, &finding, now_s, err);
out:
	close_desk(&desk);
	return status;
}

enum lw_status
lw_job_resume(
    struct lw_book *book, int64_t job, int64_t now_s, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_RESUME};
	struct desk desk;
	enum lw_status status;

	status = open_desk(&desk, book, job, now_s, err);
	/* A state that has only lapsed is noted too: see check_lapse. */
	if (status == LW_OK && desk.at.power.held != LW_POWER_UNKNOWN)
		status = append(&desk, &finding, now_s, err);
	close_desk(&desk);
	return status;
}

enum lw_status
lw_job_close(struct lw_book *book, int64_t job, const char *words,
    int64_t now_s, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_CLOSE, .words = words};
	struct desk desk;
	enum lw_status status;

	status = open_desk(&desk, book, job, now_s, err);
	if (status == LW_OK)
		status = check_words(words, err);
	if (status == LW_OK && desk.at.state == LW_JOB_CLOSED)
		status = err_set(err, LW_CONFLICT, "job %lld is closed already",
		    (long long)job);
	if (status == LW_OK)
		status = append(&desk, &finding, now_s, err);
	close_desk(&desk);
	return status;
}

enum lw_status
lw_job_reopen(
    struct lw_book *book, int64_t job, int64_t now_s, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_REOPEN};
	struct desk desk;
	enum lw_status status;

	status = open_desk(&desk, book, job, now_s, err);
	if (status != LW_OK)
		goto out;
	if (desk.at.state != LW_JOB_CLOSED) {
		finding.kind = LW_FINDING_TAKE_UP;
		if (desk.at.state == LW_JOB_STOPPED)
			status = err_set(err, LW_CONFLICT,
			    "an answer said to stop; take it back once that "
			    "is dealt with");
		else if (desk.at.walk.aside_count == 0)
			status = err_set(err, LW_CONFLICT,
			    "nothing was put aside in job %lld, so there is "
			    "nothing to take up",
			    (long long)job);
		if (status != LW_OK)
			goto out;
	}
	status = append(&desk, &finding, now_s, err);
out:
	close_desk(&desk);
	return status;
}
