/*
 * The power state that is proved, and what has to be asked before a check.
 *
 * A state is proved by an outcome that enters it and lasts until another is
 * entered. It is lost by an undo, a resume, a closing or a reopening; by an
 * answer to a way in that does not enter; by giving up on a way in; and by
 * LW_JOB_POWER_HOLDS_S without a finding, or a clock that went backwards.
 */
#ifndef JOB_POWER_H
#define JOB_POWER_H

#include <stdbool.h>

#include "job/findings.h"
#include "job/shelf.h"

struct power {
	enum lw_power proved; /* at now_s */
	enum lw_power held;   /* had now_s been the time of the last finding */
};

enum lw_status power_find(struct power *power, struct shelf *shelf,
    const struct findings *findings, int64_t now_s, struct lw_err *err);

/*
 * What to ask so that `check` can be done: the check itself where its state
 * is proved or one of its own outcomes proves it, else the way in. NULL
 * where the book has no way in, or the check drives current into a circuit
 * that it does not call isolated.
 */
enum lw_status power_way(const struct lw_check **ask, struct shelf *shelf,
    const struct lw_check *check, enum lw_power proved, struct lw_err *err);

/* Whether an outcome of the check proves the state. */
bool power_enters(const struct lw_check *check, enum lw_power power);

#endif
