/*
 * A walk-through: a tree whose steps are taken in order, each until it gives
 * what is expected or is put aside.
 */
#ifndef JOB_THROUGH_H
#define JOB_THROUGH_H

#include "job/situation.h"

/* How far it has come: WALK_ASK with the step that comes, or WALK_THROUGH.
 * A step whose rules do not hold on the rig (NULL: none) is left out. */
enum lw_status through_find(struct walk *walk, struct shelf *shelf,
    const struct lw_tree *tree, const struct findings *findings,
    const struct lw_rig *rig, struct lw_err *err);

/* What is shown of it. */
enum lw_status through_show(const struct lw_job_walk **out, struct shelf *shelf,
    const struct situation *at, struct lw_err *err);

#endif
