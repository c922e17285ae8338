/* Answering the step of a job, as it is typed. */
#ifndef CLI_ANSWER_H
#define CLI_ANSWER_H

#include <lampwright/job.h>

#include <stdbool.h>
#include <stdint.h>

struct typed {
	const char *text;  /* see answer_step */
	const char *words; /* the person's, besides those in `text`; or NULL */
	int64_t serial;	   /* of the step that was shown; -1: not said */
	const char *check; /* the check that was shown; NULL: not said */
	bool sure;	   /* the person has looked again */
};

/*
 * Answer with an outcome (its id, its title or, for a choice, its number), a
 * reading, or "cannot", "differs", "not-reproduced" or "skip", which words
 * may follow. Statuses as lw_job_answer. *doubted: refused with a question
 * that being sure would settle.
 */
enum lw_status answer_step(bool *doubted, struct lw_book *book, int64_t job,
    const struct typed *typed, struct lw_err *err);

/* Whether the step has an outcome of just that id or title, so that a line
 * is an answer and no command. */
bool answer_is_outcome(const struct lw_check *check, const char *text);

#endif
