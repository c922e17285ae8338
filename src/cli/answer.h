/* Answering the step of a job, as it is typed. */
#ifndef CLI_ANSWER_H
#define CLI_ANSWER_H

#include <lampwright/book.h>

#include <stdint.h>

/*
 * Answer with an outcome (its id, its title or, for a choice, its number), a
 * reading, "cannot" or "skip". serial -1: whatever step is current.
 * Statuses as lw_job_answer.
 */
enum lw_status answer_step(struct lw_book *book, int64_t job, int64_t serial,
    const char *text, struct lw_err *err);

#endif
