/* What may be done to a job besides answering: take back, go on, pause,
 * choose, close, reopen, ask for the way back. Each adds one finding; what
 * follows from it is left to situation. */
#include "job/desk.h"
#include "job/quote.h"

#include "base/err.h"

/* Open a job for its holder, or whoever takes it now. */
static enum lw_status
begin(struct desk *desk, struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err)
{
	enum lw_status status = desk_open(desk, book, job, actor, err);

	return status == LW_OK ? desk_act(desk, err) : status;
}

static enum lw_status
refuse_over(const struct desk *desk, struct lw_err *err)
{
	return err_set(err, LW_CONFLICT,
	    "job %lld is over already; open it again to change it",
	    (long long)desk->at.job->job);
}

enum lw_status
lw_job_undo(struct lw_book *book, int64_t job, const struct lw_actor *actor,
    struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_UNDO};
	struct desk desk;
	enum lw_status status;

	status = begin(&desk, book, job, actor, err);
	if (status != LW_OK)
		goto out;
	if (desk.at.findings.last == NULL) {
		status = err_set(err, LW_NOT_FOUND,
		    "job %lld has no answer to take back", (long long)job);
		goto out;
	}
	finding.subject = desk.at.findings.last->subject;
	finding.title = desk.at.findings.last->title;
	status = desk_append(&desk, &finding, false, err);
out:
	desk_close(&desk);
	return status;
}

enum lw_status
lw_job_resume(struct lw_book *book, int64_t job, const struct lw_actor *actor,
    struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_RESUME};
	struct desk desk;
	enum lw_status status;

	status = desk_open(&desk, book, job, actor, err);
	/* Who only looks at what another holds, goes on with nothing. A state
	 * that has only lapsed is noted too: see check_lapse. */
	if (status == LW_OK && !hold_is_others(&desk.at.hold, actor->screen) &&
	    (desk.at.power.held != LW_POWER_UNKNOWN || desk.at.paused ||
		(desk.at.state == LW_JOB_WAITING &&
		    desk.at.walk.aside_count == 0 &&
		    desk.at.repair.aside == NULL))) {
		status = desk_act(&desk, err);
		if (status == LW_OK)
			status = desk_append(&desk, &finding, false, err);
	}
	desk_close(&desk);
	return status;
}

enum lw_status
lw_job_close(struct lw_book *book, int64_t job, bool given_up,
    const char *words, const struct lw_actor *actor, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_CLOSE,
	    .outcome = given_up ? "given-up" : NULL,
	    .outcome_title = given_up ? "given up" : NULL,
	    .words = words};
	struct desk desk;
	enum lw_status status;

	status = begin(&desk, book, job, actor, err);
	if (status == LW_OK)
		status = desk_check_words(words, err);
	if (status == LW_OK && lw_job_is_over(desk.at.state))
		status = refuse_over(&desk, err);
	if (status == LW_OK)
		status = desk_append(&desk, &finding, true, err);
	desk_close(&desk);
	return status;
}

/* Whether something was put aside that can be taken up. */
static bool
has_aside(const struct situation *at)
{
	size_t i;

	if (at->walk.aside_count > 0 || at->repair.aside != NULL)
		return true;
	for (i = at->findings.count; i-- > 0;) {
		const struct lw_finding *item = &at->findings.items[i];

		if (item->undone)
			continue;
		if (item->kind == LW_FINDING_TAKE_UP)
			return false;
		if (findings_is_aside(item->kind))
			return true;
	}
	return false;
}

enum lw_status
lw_job_reopen(struct lw_book *book, int64_t job, const struct lw_actor *actor,
    struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_REOPEN};
	struct desk desk;
	enum lw_status status;

	status = begin(&desk, book, job, actor, err);
	if (status != LW_OK)
		goto out;
	if (!lw_job_is_over(desk.at.state)) {
		finding.kind = LW_FINDING_TAKE_UP;
		if (desk.at.state == LW_JOB_STOPPED)
			status = err_set(err, LW_CONFLICT,
			    "an answer said to stop; take it back once that "
			    "is dealt with");
		else if (!has_aside(&desk.at))
			status = err_set(err, LW_CONFLICT,
			    "nothing was put aside in job %lld, so there is "
			    "nothing to take up",
			    (long long)job);
		if (status != LW_OK)
			goto out;
	}
	status = desk_append(&desk, &finding, false, err);
out:
	desk_close(&desk);
	return status;
}

/* --- choosing ------------------------------------------------------------ */

/* Whether a person may choose where to go on. */
static enum lw_status
check_free(const struct desk *desk, struct lw_err *err)
{
	const struct situation *at = &desk->at;

	if (lw_job_is_over(at->state))
		return refuse_over(desk, err);
	if (at->state == LW_JOB_STOPPED)
		return err_set(err, LW_CONFLICT,
		    "an answer said to stop; take it back once that is dealt "
		    "with");
	if (at->repair.phase != REPAIR_NONE)
		return err_set(err, LW_CONFLICT,
		    "a fix is under way; say first how it and its proof came "
		    "out");
	return LW_OK;
}

/* Its steps are answered, and nothing else is looked for. */
static enum lw_status
refuse_through(const struct desk *desk, struct lw_err *err)
{
	return err_set(err, LW_CONFLICT,
	    "job %lld is a walk-through: put right what is wrong, then answer "
	    "its step again; for a fault or symptom open a job of its own",
	    (long long)desk->at.job->job);
}

enum lw_status
lw_job_pick(struct lw_book *book, int64_t job, const char *id,
    const struct lw_actor *actor, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_PICK};
	const struct lw_check *check;
	struct desk desk;
	enum lw_status status;

	status = begin(&desk, book, job, actor, err);
	if (status == LW_OK)
		status = check_free(&desk, err);
	if (status == LW_OK)
		status = lw_book_check_of(book, desk.arena, id, &check, err);
	if (status == LW_OK) {
		finding.subject = check->id;
		finding.title = check->title;
		status = desk_append(&desk, &finding, false, err);
	}
	desk_close(&desk);
	return status;
}

enum lw_status
lw_job_leave(struct lw_book *book, int64_t job, const struct lw_actor *actor,
    struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_LEAVE};
	struct desk desk;
	enum lw_status status;

	status = begin(&desk, book, job, actor, err);
	if (status == LW_OK)
		status = check_free(&desk, err);
	if (status == LW_OK && desk.at.through)
		status = refuse_through(&desk, err);
	else if (status == LW_OK && (desk.at.led == NULL || desk.at.left))
		status = err_set(err, LW_CONFLICT,
		    "no tree leads job %lld, so there is none to leave",
		    (long long)job);
	if (status == LW_OK) {
		/* It may have left the book. */
		finding.subject = desk.at.led->subject;
		finding.title = desk.at.tree != NULL ? desk.at.tree->title
						     : desk.at.led->title;
		status = desk_append(&desk, &finding, false, err);
	}
	desk_close(&desk);
	return status;
}

enum lw_status
lw_job_suppose(struct lw_book *book, int64_t job, const char *id,
    const struct lw_actor *actor, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_SUPPOSE};
	const struct lw_cause *cause;
	struct desk desk;
	enum lw_status status;

	status = begin(&desk, book, job, actor, err);
	if (status == LW_OK)
		status = check_free(&desk, err);
	if (status == LW_OK && desk.at.through)
		status = refuse_through(&desk, err);
	if (status == LW_OK)
		status = lw_book_cause(book, desk.arena, id, &cause, err);
	if (status == LW_OK) {
		finding.subject = cause->id;
		finding.about = cause->id;
		finding.title = cause->title;
		status = desk_append(&desk, &finding, false, err);
	}
	desk_close(&desk);
	return status;
}

/* --- pausing, and the way back ------------------------------------------- */

enum lw_status
lw_job_wait(struct lw_book *book, int64_t job, const char *words,
    const struct lw_actor *actor, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_WAIT, .words = words};
	struct desk desk;
	enum lw_status status;

	status = begin(&desk, book, job, actor, err);
	if (status == LW_OK)
		status = desk_check_words(words, err);
	if (status == LW_OK && (words == NULL || words[0] == '\0'))
		status = err_set(err, LW_BAD_INPUT,
		    "it does not say what the job waits for; name the tool, "
		    "the part or the day");
	if (status == LW_OK && lw_job_is_over(desk.at.state))
		status = refuse_over(&desk, err);
	if (status == LW_OK && desk.at.state == LW_JOB_STOPPED)
		status = err_set(err, LW_CONFLICT,
		    "an answer said to stop; take it back once that is dealt "
		    "with");
	if (status == LW_OK && desk.at.paused)
		status = err_set(err, LW_CONFLICT,
		    "job %lld waits already; go on with it first",
		    (long long)job);
	if (status == LW_OK)
		status = desk_append(&desk, &finding, true, err);
	desk_close(&desk);
	return status;
}

enum lw_status
lw_job_make_safe(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err)
{
	struct lw_finding finding = {.kind = LW_FINDING_MAKE_SAFE};
	struct desk desk;
	enum lw_status status;

	status = begin(&desk, book, job, actor, err);
	if (status == LW_OK && desk.at.power.proved == LW_POWER_ISOLATED)
		status = err_set(err, LW_CONFLICT,
		    "the vehicle is isolated and proved dead already");
	if (status == LW_OK && desk.at.purpose != LW_PURPOSE_SAFE)
		status = desk_append(&desk, &finding, false, err);
	desk_close(&desk);
	return status;
}
