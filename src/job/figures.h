/*
 * What a rig's own figures mean for safety: which cautions go with it, and
 * what to say of its voltage, its stored energy and its bleeding down.
 */
#ifndef JOB_FIGURES_H
#define JOB_FIGURES_H

#include "job/shelf.h"

#include <lampwright/rig.h>

/* Whether a caution is for this rig (NULL: nothing is known of it). What is
 * not known counts as dangerous. */
bool figures_apply(const struct lw_caution *caution, const struct lw_rig *rig);

/*
 * Sentences to show on the way into a power state; for a rig that is NULL
 * those of one of which nothing is known. Sources: 50 V from 29 CFR 1910.333(a)(1), adapted; 60 V DC from
 * ISO 6469-3 (voltage class A, from memory); below 5 V is common practice.
 */
enum lw_status figures_say(const char *const **figures, size_t *count,
    struct lw_arena *arena, const struct lw_rig *rig, enum lw_power into,
    struct lw_err *err);

#endif
