/* Judging a reading: whether it can be, and which outcome it is. */
#ifndef JOB_JUDGE_H
#define JOB_JUDGE_H

#include "job/answer.h"

/* Whether the check gives its answer as a number. */
bool judge_takes_reading(const struct lw_check *check);

/* A reading as it was typed. Statuses as of answer_read. */
enum lw_status judge_reading(struct answer *answer, struct lw_arena *arena,
    const struct answer_to *to, const char *text, struct lw_err *err);

#endif
