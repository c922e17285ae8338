/* Reading what a person answers to a check. */
#ifndef JOB_ANSWER_H
#define JOB_ANSWER_H

#include <lampwright/job.h>

struct answer {
	enum lw_finding_kind kind;	  /* CHECK, or one that puts aside */
	const struct lw_outcome *outcome; /* of a CHECK */
	bool has_value;
	double value; /* in the check's unit */
};

/*
 * An outcome's id, a reading in the check's unit, an outcome's title (case
 * does not matter), "cannot", "differs", "not-reproduced" or "skip". A check
 * with an outcome of that id takes it as the outcome. LW_BAD_INPUT says what
 * would be an answer, or asks whether the meter really shows it: `sure`. A
 * negative reading that no outcome covers is LW_FINDING_DIFFERS then, with
 * its value. Bands are half-open: `from` is in, `below` is not. `rig` may be
 * NULL.
 */
enum lw_status answer_read(struct answer *answer, const struct lw_check *check,
    const struct lw_rig *rig, const char *text, bool sure, struct lw_err *err);

/* The outcome whose band holds the value, or NULL. */
const struct lw_outcome *answer_judge(
    const struct lw_check *check, double value);

#endif
