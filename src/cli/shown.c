/* Shows a job as this terminal sees it. What is in the document is left to
 * view, what it looks like to the templates. */
#include "cli/shown.h"

#include "base/err.h"
#include "cli/screen.h"
#include "fill/fill.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

static void
keep(struct shown *shown, const struct lw_job *job)
{
	memset(shown, 0, sizeof *shown);
	shown->state = job->state;
	shown->serial = job->serial;
	shown->looks_on = job->hold.held && !job->hold.mine;
	shown->cured = job->cured || (job->walk != NULL && job->walk->complete);
	shown->done = job->step == NULL && (lw_job_is_over(job->state) ||
					       job->state == LW_JOB_STOPPED);
	if (job->step != NULL)
		snprintf(shown->check, sizeof shown->check, "%s",
		    job->step->check->id);
}

/* What a template cannot ask for: which lists have something in them, and
 * whether a way in has several steps. */
static enum lw_status
add_flags(struct lw_doc *doc, const struct lw_job *job, struct lw_err *err)
{
	const struct lw_job_step *step = job->step;
	const struct {
		const char *key;
		bool value;
	} flags[] = {
	    {"has_way", step != NULL && step->parts > 1},
	    {"has_lacks", step != NULL && step->lack_count > 0},
	    {"has_missing", step != NULL && step->missing_count > 0},
	    {"has_excluded", job->excluded_count > 0},
	};
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < sizeof flags / sizeof flags[0]; i++)
		if (status == LW_OK)
			status = fill_set_bool(
			    doc, flags[i].key, flags[i].value, err);
	return status;
}

/* How commands are typed here: around `pick` in "lampwright job pick 3". */
static enum lw_status
add_typing(struct lw_doc *doc, int64_t job, bool prompt, struct lw_err *err)
{
	enum lw_status status;
	char number[24];

	snprintf(number, sizeof number, " %" PRId64, job);
	status =
	    fill_set_text(doc, "verb", prompt ? "" : "lampwright job ", err);
	if (status == LW_OK)
		status =
		    fill_set_text(doc, "number", prompt ? "" : number, err);
	return status;
}

int
shown_job(const struct cli *cli, const char *name, int64_t job, bool prompt,
    struct shown *shown)
{
	const struct lw_actor actor = screen_actor();
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *now;
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct shown kept = {0};
	struct lw_err err;

	if (arena == NULL)
		status = err_no_memory(&err);
	else
		status = lw_job_get(cli->book, arena, job, actor.screen,
		    actor.now_s, &now, &err);
	if (status == LW_OK)
		keep(&kept, now);
	if (shown != NULL)
		*shown = kept;
	if (status == LW_OK)
		status = lw_view_job(
		    &doc, cli->book, job, actor.screen, actor.now_s, &err);
	if (status == LW_OK && !cli->json)
		status = add_typing(doc, job, prompt && !kept.done, &err);
	if (status == LW_OK && !cli->json)
		status = add_flags(doc, now, &err);
	lw_arena_free(arena);
	if (status != LW_OK) {
		lw_doc_free(doc);
		return cli_fail(cli, &err);
	}
	return cli_finish(cli, name, doc, LW_OK, &err);
}

int
shown_code(enum lw_job_state state)
{
	switch (state) {
	case LW_JOB_UNDECIDED:
	case LW_JOB_STOPPED:
	case LW_JOB_WAITING:
	case LW_JOB_GIVEN_UP:
		return EXIT_NO;
	case LW_JOB_OPEN:
	case LW_JOB_FOUND:
	case LW_JOB_FIXING:
	case LW_JOB_PROVING:
	case LW_JOB_CLOSED:
	case LW_JOB_PASSED:
		break;
	}
	return EXIT_YES;
}
