/*
 * The power state that is proved, and what has to be asked before a check.
 * What an answer proved or lost is kept with its finding. A pack that is read
 * in again proves nothing after the fact, and gives back nothing that was
 * lost; what it says no longer is not proved any more.
 *
 * A state is proved by an outcome that enters it and lasts until another is
 * entered. It is lost by an undo, a resume, a closing or a reopening, by a
 * wait, or by another screen taking the vehicle; by an answer to a way in
 * that does not enter, or one that unproves or stops; by giving up on a way in;
 * and by LW_JOB_POWER_HOLDS_S without a finding, or a clock that went
 * backwards.
 *
 * A state above isolated is lost, too, by an answer to a check that is made
 * isolated: it is on the way out.
 *
 * A way in may have compulsory checks: each has to have given what is
 * expected since the state was last changed or lost, and since a fix; in a
 * walk-through, which has none, since a step that did not pass at first. Where
 * more is compulsory by now, since what is known of the rig has changed, the
 * state is not proved.
 */
#ifndef JOB_POWER_H
#define JOB_POWER_H

#include <stdbool.h>

#include "job/findings.h"
#include "job/shelf.h"

struct power {
	enum lw_power proved; /* at now_s */
	enum lw_power held;   /* had now_s been the time of the last finding */
	enum lw_power last;   /* the last one entered or tried, lost or not */
	size_t since;	      /* findings from here on count as fresh */
	bool fresh;	      /* no break between the last finding and now_s,
			       * nor is more compulsory than was passed */
	bool clock_back;      /* now_s is before the last finding */
	bool rig_changed;     /* more is compulsory by now than was passed */
};

/* `rig` may be NULL. */
enum lw_status power_find(struct power *power, struct shelf *shelf,
    const struct findings *findings, const struct lw_rig *rig, int64_t now_s,
    struct lw_err *err);

/* What an answer proves, with this state proved before it: `power`, `leads`
 * and `passed` of its finding. `also`: what it may have been as well, or NULL;
 * what is in doubt has passed nothing. */
void power_conclude(struct lw_finding *finding, const struct lw_check *check,
    const struct lw_outcome *outcome, const struct lw_outcome *also,
    enum lw_power before);

/* What to ask so that a check can be done. */
struct way {
	const struct lw_check *ask; /* the check, its way in, or what comes
				     * before that; NULL: there is none */
	bool gate;		    /* it is on the way into `into` */
	bool compulsory;	    /* it comes before the way in itself */
	enum lw_power into;
	size_t part, parts; /* place on the way in, from 1 */
};

/*
 * `way->ask` is the check itself where its state is proved or one of its own
 * outcomes proves it and nothing compulsory is missing. It is NULL where the
 * book has no way in, or the check drives current into a circuit that it
 * does not call isolated. `rig` may be NULL.
 */
enum lw_status power_way(struct way *way, struct shelf *shelf,
    const struct lw_check *check, const struct power *power,
    const struct findings *findings, const struct lw_rig *rig,
    struct lw_err *err);

/* Whether an outcome of the check proves the state. */
bool power_enters(const struct lw_check *check, enum lw_power power);

#endif
