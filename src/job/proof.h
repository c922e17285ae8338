/*
 * What findings say of one cause: which check proves it, and whether it shows
 * itself anew after it was repaired.
 */
#ifndef JOB_PROOF_H
#define JOB_PROOF_H

#include "job/situation.h"

/* Into at->led_by the check that proves at->cause: the one that led to it,
 * where what it gave was not what is expected; else one that was answered and
 * speaks for it; NULL: none. */
enum lw_status proof_find(
    struct situation *at, struct shelf *shelf, struct lw_err *err);

/* What was repaired is back in play where the check that proved it speaks for
 * it once more. */
enum lw_status proof_take_back(
    struct situation *at, struct shelf *shelf, struct lw_err *err);

#endif
