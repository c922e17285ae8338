/*
 * What a job advises: checks in their order, fixes in theirs, and what does
 * not go together.
 */
#ifndef JOB_ADVISE_H
#define JOB_ADVISE_H

#include "job/reasoning.h"

/* Fill in next, deferred, fixes and the rest of what reasoning says, into
 * `job`, whose state is known. */
enum lw_status advise(struct lw_job *job, struct shelf *shelf,
    const struct reasoning *reasoning, const struct situation *at,
    struct lw_err *err);

#endif
