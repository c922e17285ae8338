/*
 * Which findings stand.
 *
 * Undo takes back the last of these that stands: a check, cannot, skip or
 * take-up, or the closing of a job that is closed now. What started the job
 * (pattern, symptom, tree) cannot be taken back; a resume, an undo and a
 * reopening are passed over, and so is a closing that was followed by a
 * reopening.
 */
#ifndef JOB_FINDINGS_H
#define JOB_FINDINGS_H

#include <lampwright/arena.h>
#include <lampwright/job.h>

#include <stdbool.h>
#include <stddef.h>

struct findings {
	struct lw_finding *items; /* a copy, with `undone` set */
	size_t count;
	const struct lw_finding *closed; /* the closing that stands, or NULL */
	const struct lw_finding *last;	 /* what an undo would take back */
	const struct lw_finding *answer; /* the last check, cannot, skip or
					  * take-up that stands, or NULL */
};

enum lw_status findings_settle(struct findings *findings,
    struct lw_arena *arena, const struct lw_finding *items, size_t count,
    struct lw_err *err);

/* What stands for a check: the last CHECK, CANNOT or SKIP on it, a CANNOT or
 * SKIP only where it was not taken up again since; NULL for none. */
const struct lw_finding *findings_on(
    const struct findings *findings, const char *check);

/* The first finding of a kind that stands, or NULL. */
const struct lw_finding *findings_first(
    const struct findings *findings, enum lw_finding_kind kind);

/* The serial of the last finding; 0 where there is none. */
int64_t findings_serial(const struct findings *findings);

#endif
