/*
 * The checks that a job makes for itself: the fix of a cause, and what the
 * job began with once more. They are asked and answered like any other.
 */
#ifndef JOB_GOAL_H
#define JOB_GOAL_H

#include "job/findings.h"
#include "job/shelf.h"

/* "Fix: ..." for a cause, done isolated. `begun`: it has begun. */
enum lw_status goal_fix(const struct lw_check **check, struct shelf *shelf,
    const struct lw_cause *cause, bool begun, struct lw_err *err);

/* "Once more: ...": whether what the job began with is gone, in the power
 * state that its symptom or fault names, else with the wheels free. */
enum lw_status goal_again(const struct lw_check **check, struct shelf *shelf,
    const struct findings *findings, struct lw_err *err);

#endif
