/* What may be done to a job: answer, take back, go on after a break, close,
 * reopen. Each adds one finding; what follows from it is left to situation. */
#include "job/answer.h"
#include "job/situation.h"
#include "job/step.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"

#include <string.h>

enum { WORDS_MAX = 4000 };

/* A job loaded for a change; `arena` is freed by close_desk. */
struct desk {
	struct lw_arena *arena;
	struct shelf shelf;
	struct situation at;
};

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
