/*
 * The one thing to do next, with all that has to be shown beside it.
 */
#ifndef JOB_STEP_H
#define JOB_STEP_H

#include "job/shelf.h"
#include "job/situation.h"

#include <lampwright/job.h>

/* The step of a job whose situation has one (way.ask is not NULL). `symptom`,
 * where not NULL, is one whose cautions go before everything else. */
enum lw_status step_build(const struct lw_job_step **step, struct shelf *shelf,
    const struct situation *at, const struct lw_symptom *symptom,
    struct lw_err *err);

/* The outcome that a sound vehicle gives, or NULL. */
const struct lw_outcome *step_expected(const struct lw_check *check);

/* "below 0.2 V", "0.5 V to 0.7 V", "at least 40 V", else the outcome's
 * title; "" where none is expected. */
void step_expect_text(char *text, size_t size, const struct lw_check *check);

#endif
