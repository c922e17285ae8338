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

#endif
