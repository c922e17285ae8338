/* Turns what was typed into an answer to the step. Whether it is one, is
 * left to the job. */
#include "cli/answer.h"

#include "base/err.h"
#include "base/num.h"
#include "cli/cli.h"

#include <string.h>
#include <strings.h>

/* The outcome that a number or a title stands for, else the text itself. */
static const char *
outcome_of(const struct lw_check *check, const char *text)
{
	int64_t number;
	size_t i;

	if (check->unit == NULL && num_parse_int(&number, text) &&
	    number >= 1 && (uint64_t)number <= check->outcome_count)
		return check->outcomes[number - 1].id;
	for (i = 0; i < check->outcome_count; i++) {
		if (strcasecmp(check->outcomes[i].id, text) == 0 ||
		    (check->outcomes[i].title != NULL &&
			strcasecmp(check->outcomes[i].title, text) == 0))
			return check->outcomes[i].id;
	}
	if (strcasecmp(text, "cannot") == 0)
		return "cannot";
	if (strcasecmp(text, "skip") == 0)
		return "skip";
	return text;
}

enum lw_status
answer_step(struct lw_book *book, int64_t job, int64_t serial, const char *text,
    struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *now;
	enum lw_status status;

	if (arena == NULL)
		return err_no_memory(err);
	status = lw_job_get(book, arena, job, cli_now(), &now, err);
	if (status == LW_OK) {
		if (now->step != NULL)
			text = outcome_of(now->step->check, text);
		/* A number or title was looked up in this very step. */
		if (serial < 0)
			serial = now->serial;
		status = lw_job_answer(
		    book, job, serial, text, NULL, cli_now(), err);
	}
	lw_arena_free(arena);
	return status;
}
