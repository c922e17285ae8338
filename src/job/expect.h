/* What a check should give on the vehicle, and what would say it closer. */
#ifndef JOB_EXPECT_H
#define JOB_EXPECT_H

#include "job/situation.h"

#include <lampwright/job.h>

/* The outcome that a sound vehicle gives, or NULL. */
const struct lw_outcome *expect_outcome(const struct lw_check *check);

/* "below 0.2 V", "0.5 V to 0.7 V", "at least 40 V", else the outcome's title;
 * "" where none is expected. `text` has room for `size` bytes. */
enum lw_status expect_text(char *text, size_t size, struct lw_arena *arena,
    const struct lw_check *check, const struct lw_rig *vehicle,
    struct lw_err *err);

/* All of a step that says what to expect: from `expected` to the end. */
enum lw_status expect_fill(struct lw_job_step *step, struct lw_arena *arena,
    const struct situation *at, struct lw_err *err);

#endif
