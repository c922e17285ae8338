/* Turns what was typed into an answer to the step. Whether it is one, is
 * left to the job. */
#include "cli/answer.h"

#include "base/err.h"
#include "base/num.h"
#include "cli/screen.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* The outcome of that id or title, or NULL. */
static const char *
named(const struct lw_check *check, const char *text)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++) {
		const struct lw_outcome *outcome = &check->outcomes[i];

		if (strcasecmp(outcome->id, text) == 0 ||
		    (outcome->title != NULL &&
			strcasecmp(outcome->title, text) == 0))
			return outcome->id;
	}
	return NULL;
}

bool
answer_is_outcome(const struct lw_check *check, const char *text)
{
	return named(check, text) != NULL;
}

/* The word that puts a check aside, where the line begins with one; *words:
 * what follows it, or NULL. */
static const char *
put_aside(const char **words, const char *text)
{
	static const struct {
		const char *typed;
		const char *answer;
	} asides[] = {
	    {"cannot", "cannot"},
	    {"differs", "differs"},
	    {"not-reproduced", "not-reproduced"},
	    {"not reproduced", "not-reproduced"},
	    {"skip", "skip"},
	};
	size_t i, length;

	for (i = 0; i < sizeof asides / sizeof asides[0]; i++) {
		length = strlen(asides[i].typed);
		if (strncasecmp(text, asides[i].typed, length) != 0 ||
		    strchr(" :,", text[length]) == NULL)
			continue;
		text += length + strspn(text + length, " :,");
		*words = text[0] != '\0' ? text : NULL;
		return asides[i].answer;
	}
	return NULL;
}

/* Whether the text is the number of one of the step's outcomes. */
static bool
is_number_of(const struct lw_check *check, const char *text)
{
	int64_t number;

	return check->unit == NULL && num_parse_int(&number, text) &&
	       number >= 1 && (uint64_t)number <= check->outcome_count;
}

/* What the text stands for at this step. */
static void
read_typed(struct lw_answer *answer, const struct lw_check *check,
    const struct typed *typed)
{
	const char *outcome, *aside, *words = NULL;
	int64_t number = 1;

	if (is_number_of(check, typed->text)) {
		num_parse_int(&number, typed->text);
		answer->text = check->outcomes[number - 1].id;
		return;
	}
	outcome = named(check, typed->text);
	if (outcome != NULL) {
		answer->text = outcome;
		return;
	}
	aside = put_aside(&words, typed->text);
	if (aside == NULL)
		return;
	answer->text = aside;
	if (words != NULL && answer->words == NULL)
		answer->words = words;
}

/*
 * A whole number may be a reading or stand for an outcome, and says nothing
 * about the step that it was meant for. Where the power state was lost
 * meanwhile, that may be one that was shown before the break: the break is
 * noted, and the number refused.
 */
static enum lw_status
check_break(struct lw_book *book, const struct lw_job *now,
    const struct lw_actor *actor, struct lw_arena *arena, struct lw_err *err)
{
	const struct lw_job *later = now;
	enum lw_status status;

	if (!now->step->gate || now->power != LW_POWER_UNKNOWN)
		return LW_OK;
	status = lw_job_resume(book, now->job, actor, err);
	if (status == LW_OK)
		status = lw_job_get(book, arena, now->job, actor->screen,
		    actor->now_s, &later, err);
	if (status != LW_OK || later->serial == now->serial)
		return status;
	return err_set(err, LW_CONFLICT,
	    "there was a break, so the power state has to be proved again; "
	    "answer the step that comes now");
}

enum lw_status
answer_step(bool *doubted, struct lw_book *book, int64_t job,
    const struct typed *typed, struct lw_err *err)
{
	const struct lw_actor actor = screen_actor();
	struct lw_answer answer = {.serial = typed->serial,
	    .check = typed->check,
	    .text = typed->text,
	    .words = typed->words,
	    .sure = typed->sure};
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *now;
	enum lw_status status;
	struct lw_err why;
	int64_t number;

	*doubted = false;
	if (arena == NULL)
		return err_no_memory(err);
	status =
	    lw_job_get(book, arena, job, actor.screen, actor.now_s, &now, err);
	if (status != LW_OK)
		goto out;
	if (now->step != NULL && typed->check == NULL &&
	    (typed->serial < 0 || typed->serial == now->serial) &&
	    num_parse_int(&number, typed->text) && number >= 1)
		status = check_break(book, now, &actor, arena, err);
	if (status != LW_OK)
		goto out;
	if (now->step != NULL)
		read_typed(&answer, now->step->check, typed);
	/* A number or title was looked up in this very step. */
	if (answer.serial < 0)
		answer.serial = now->serial;
	status = lw_job_answer(book, job, &actor, &answer, &why);
	/* The job's own words for a refusal that a second look can settle. */
	*doubted = (status == LW_BAD_INPUT || status == LW_UNDECIDED) &&
		   !typed->sure && strstr(why.text, "if it stays") != NULL;
	if (status != LW_OK && err != NULL)
		*err = why;
out:
	lw_arena_free(arena);
	return status;
}
