/*
 * What the book's checks say about the causes in play, as the plain arrays of
 * reason: likelihoods, minutes, power states and what it takes to change them,
 * and what fixes take.
 */
#ifndef JOB_WEIGH_H
#define JOB_WEIGH_H

#include "book/speaks.h"
#include "job/play.h"
#include "reason/table.h"

#include <lampwright/rig.h>

/* A fix that nobody gave a time for; common practice. */
#define WEIGH_FIX_MINUTES 30.0
/* What no book lists goes to somebody who knows the device: judgement. */
#define WEIGH_LAST_MINUTES 240.0
/* Parts that have to be bought count as much work as this besides: judgement,
 * so that parts are not changed on suspicion where a check would tell. */
#define WEIGH_PARTS_MINUTES 120.0
/* A tool that is not at hand has to be fetched first: judgement. */
#define WEIGH_FETCH_MINUTES 60.0

/* What a power state adds to a check made in it, in minutes, for its hazard:
 * judgement. It is weighed, and not shown as time. */
double weigh_hazard(enum lw_power power);

struct weighing {
	const struct play *play; /* table.causes of them, in order */
	const struct book_speaker *speakers; /* table.checks of them */
	struct reason_table table; /* states are enum lw_power; unknown is 0 */
	struct reason_fixes fixes; /* minutes */
};

/*
 * `rig` may be NULL: nothing is known of it. `now` is the power state that is
 * proved. An outcome has the likelihood that its author gave for the cause;
 * of a check that names the cause nowhere, belief_unnamed, but where no
 * outcome is expected: what those that it names give on average, which
 * neither helps nor hurts.
 */
enum lw_status weigh(struct weighing *weighing, struct shelf *shelf,
    const struct play *play, const struct lw_rig *rig, enum lw_power now,
    struct lw_err *err);

/* The same with further items of `play`, each two of the first ones at once
 * (`also` set); play begins with those of `single`. */
enum lw_status weigh_pairs(struct weighing *weighing, struct lw_arena *arena,
    const struct weighing *single, const struct play *play, struct lw_err *err);

/* P(each outcome | cause at `cause`) of a check, into given[outcomes]. */
void weigh_row(
    double *given, const struct weighing *weighing, size_t check, size_t cause);

/* The outcome that a sound vehicle gives, or REASON_NONE. */
size_t weigh_expected(const struct book_speaker *speaker);

/*
 * Whether a check fits what is believed. One that expects nothing tells causes
 * apart on a vehicle at fault in the way that it asks about ("look at the blown
 * fuse"): it fits where it names nearly all that is believed of those listed.
 */
bool weigh_fits(
    const struct weighing *weighing, size_t check, const double *share);

/* What a fix takes, without parts. */
double weigh_fix_minutes(const struct lw_cause *cause);

/* Whether the rig is known to lack this tool. */
bool weigh_lacks(const struct lw_rig *rig, const char *tool);

#endif
