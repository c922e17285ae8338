/* What is said of a lamp once its runs were judged. */
#ifndef LAMP_SIGHT_H
#define LAMP_SIGHT_H

#include "lamp/judge.h"
#include "lamp/runs.h"

#include <lampwright/arena.h>
#include <lampwright/light.h>

/* From here on no more watching is asked for. */
#define SIGHT_SURE 0.95

/*
 * Fill in the sight; `stretches` has its runs with their times, and gets
 * their kinds. runs: NULL for taps. The sight's texts live in the arena.
 * LW_UNDECIDED: filled in too.
 */
enum lw_status sight_make(struct lw_sight *sight, struct lw_arena *arena,
    const struct judgement *judgement, const struct sightings *seen,
    const struct lamp_runs *runs, struct lw_stretch *stretches,
    size_t stretch_count, const struct lw_known_lamp *known,
    struct lw_err *err);

/* A sight of a lamp that never changes, or changes once. */
enum lw_status sight_make_steady(struct lw_sight *sight, struct lw_arena *arena,
    const struct lamp_runs *runs, struct lw_stretch *stretches,
    size_t stretch_count, struct lw_err *err);

#endif
