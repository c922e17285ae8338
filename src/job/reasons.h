/*
 * What is reckoned, in words: why a finding counts, why a check comes next,
 * whether to fix first, what does not go together.
 */
#ifndef JOB_REASONS_H
#define JOB_REASONS_H

#include "job/reasoning.h"

/* "x0.1", two digits; "x0.01 or less" and "x100 or more" beyond. */
const char *reasons_factor(struct lw_arena *arena, double factor);

/* "Pack voltage at rest: in band, speaks against it, x0.1"; NULL when memory
 * has run out. */
const char *reasons_why(struct lw_arena *arena, const struct lw_why *why);

/* "Pack voltage at rest: in band". */
const char *reasons_against(
    struct lw_arena *arena, const struct lw_finding *finding);

/* "3 of 4 times here", "2 of 5 times elsewhere"; NULL where nothing was
 * counted. False when memory has run out. */
bool reasons_counted(const char **text, struct lw_arena *arena,
    const struct lw_suspect *suspect);

/* Minutes from the power state that is proved now to the check's. */
double reasons_setup(const struct reasoning *r, size_t check);

/* "splits the two leading causes; 3 min; no change of power state". */
const char *reasons_next(struct lw_arena *arena, const struct reasoning *r,
    const struct next_choice *choice);

/* What trying fixes takes, beside the best check; NULL: see *ok. */
const char *reasons_advice(
    bool *ok, struct lw_arena *arena, const struct reasoning *r);

/* Which findings do not go together, and what to repeat. */
const char *reasons_conflict(struct lw_arena *arena, const struct reasoning *r);

#endif
