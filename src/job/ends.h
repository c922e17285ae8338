/*
 * Where a job has nothing to ask: the state that follows, and the sentence
 * that says why and what can be done. Each leaves no goal in `at`.
 */
#ifndef JOB_ENDS_H
#define JOB_ENDS_H

#include "job/situation.h"

/* What the tree comes to, where it asks nothing and leads to no cause that
 * is certain and in play. */
enum lw_status ends_of_tree(
    struct situation *at, struct shelf *shelf, struct lw_err *err);
/* The end of a walk-through. */
enum lw_status ends_of_through(
    struct situation *at, struct lw_arena *arena, struct lw_err *err);
/* An answer said to stop, by the words that it was kept with. */
enum lw_status ends_stop(struct situation *at, const struct lw_finding *stop);
/* The words for an outcome that says so, whatever the tree says; NULL: memory
 * ran out. */
const char *ends_say_stop(
    struct lw_arena *arena, const struct lw_outcome *outcome);
/* Where no tree leads and no check is worth it: what waits, or which fixes.
 * `barred`: it moved by itself, so that nothing is switched on. */
enum lw_status ends_of_reasoning(
    struct situation *at, struct shelf *shelf, bool barred, struct lw_err *err);
/* The tree has left the book. */
enum lw_status ends_no_tree(
    struct situation *at, struct lw_arena *arena, struct lw_err *err);

enum lw_status ends_check_gone(struct situation *at, struct lw_arena *arena,
    const char *check, struct lw_err *err);
enum lw_status ends_cause_gone(struct situation *at, struct lw_arena *arena,
    const char *cause, struct lw_err *err);

/* A fix or its proof waits for what kept it. `unseen`: what the job began
 * with did not show itself again. */
enum lw_status ends_wait_for(struct situation *at, struct lw_arena *arena,
    const struct lw_finding *aside, bool unseen, struct lw_err *err);

/* Whether proving it dead was itself put aside, and not done since. */
enum lw_status ends_proof_put_aside(
    bool *aside, struct situation *at, struct shelf *shelf, struct lw_err *err);
/* It could not be proved dead, so nothing is switched on. */
enum lw_status ends_not_dead(struct situation *at);
/* It did something by itself, so it is not switched on again. */
enum lw_status ends_barred(struct situation *at);
/* The way back to isolated was asked for, and could not be done. */
enum lw_status ends_not_safe(struct situation *at, struct lw_arena *arena,
    const struct lw_finding *aside, struct lw_err *err);
/* It was asked for, and the book has none: nothing else is asked either. */
enum lw_status ends_no_way_back(struct situation *at);
/* The book has no way into the power state of the goal. */
enum lw_status ends_no_way(
    struct situation *at, struct lw_arena *arena, struct lw_err *err);

#endif
