/*
 * Which findings stand.
 *
 * Undo takes back the last answer that stands, or the closing of a job that
 * is closed now. Answers are check, cannot, skip, differs, not seen, take-up,
 * pick, suppose, leave, all that is about a fix and its proof, and wait. What
 * started the job (pattern, symptom, tree) cannot be taken back; a resume, an
 * undo, a reopening, a taking and a wish to make safe are passed over, and so
 * is a closing that was followed by a reopening, and a wait that has ended
 * with a resume or a reopening: nobody sees it any more.
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
	const struct lw_finding *answer; /* the last answer that stands, or
					  * NULL */
	const struct lw_finding **on;	 /* what stands for each check, by its
					  * id: see findings_on */
	size_t on_count;
};

enum lw_status findings_settle(struct findings *findings,
    struct lw_arena *arena, const struct lw_finding *items, size_t count,
    struct lw_err *err);

/* Whether it says how a check came out: a check, proved, not proved. */
bool findings_is_outcome(enum lw_finding_kind kind);
/* Whether it puts a check aside: cannot, skip, differs, not seen. */
bool findings_is_aside(enum lw_finding_kind kind);

/* Whether it says that the vehicle moved, or worse, when it was switched on:
 * a way in was answered with an outcome that stops. `outcome` names that way
 * in; it is CANNOT about LW_JOB_SAFE, or STILL of a fix that was tried. */
bool findings_is_bar(const struct lw_finding *finding);

/* What stands for a check: the last outcome on it, or what put it aside, the
 * latter only where it was not taken up again since; NULL for none. */
const struct lw_finding *findings_on(
    const struct findings *findings, const char *check);

/* The fault and the symptom that it began with; NULL: none. */
void findings_began(
    const char **fault, const char **symptom, const struct findings *findings);

/* The first finding of a kind that stands, or NULL. */
const struct lw_finding *findings_first(
    const struct findings *findings, enum lw_finding_kind kind);

/* The serial of the last finding; 0 where there is none. */
int64_t findings_serial(const struct findings *findings);

#endif
