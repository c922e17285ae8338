/* Reading what a person answers to a check. */
#ifndef JOB_ANSWER_H
#define JOB_ANSWER_H

#include <lampwright/arena.h>
#include <lampwright/job.h>

struct answer {
	enum lw_finding_kind kind;	  /* CHECK, or one that puts aside */
	const struct lw_outcome *outcome; /* of a CHECK */
	const struct lw_outcome *also; /* it may have been this one as well */
	bool has_value;
	double value;  /* in the check's unit */
	double step;   /* one more in its last digit; 0 not known */
	double spread; /* expanded uncertainty; 0 not known */
};

/* What an answer is read for. */
struct answer_to {
	const struct lw_check *check;
	const struct lw_rig *vehicle; /* a rig, lw_rig_of, or NULL */
	bool sure;		      /* the person has looked again */
	bool strict; /* a way into a power state, a proof, or a step of a
		      * walk-through: what is too close to call is never
		      * what is expected */
};

/*
 * An outcome's id, a reading in the check's unit, an outcome's title (case
 * does not matter), "cannot", "differs", "not-reproduced" or "skip". A check
 * with an outcome of that id takes it as the outcome. LW_BAD_INPUT says what
 * would be an answer, or asks whether the meter really shows it: `sure`.
 * LW_UNDECIDED: too close to call, and what would settle it. With `sure` it
 * is the outcome that is nearest; where that hangs on a value that is not
 * known, or on a negative reading that no outcome covers, it is
 * LW_FINDING_DIFFERS with its value. Texts live in the arena.
 */
enum lw_status answer_read(struct answer *answer, struct lw_arena *arena,
    const struct answer_to *to, const char *text, struct lw_err *err);

#endif
