/*
 * Which findings tell about the trouble, and how likely each is under every
 * cause in play.
 */
#ifndef JOB_EVIDENCE_H
#define JOB_EVIDENCE_H

#include "job/findings.h"
#include "job/repair.h"
#include "job/weigh.h"

struct evidence {
	const struct lw_finding **items; /* in order; a check that was done
					  * again counts once, by the last */
	size_t *check;	    /* of each: its place in the weighing */
	double *likelihood; /* [item * causes + cause] */
	size_t count;
};

/*
 * Outcomes of checks; a proof tells about its fix, but where its cause is out
 * of play and the trouble went on. Those of checks that speak of no cause in
 * play are left out. What was found before a repair that was proved is
 * explained by both: the repaired cause and the one that is left.
 */
enum lw_status evidence_find(struct evidence *evidence, struct lw_arena *arena,
    const struct findings *findings, const struct repair *repair,
    const struct weighing *weighing, struct lw_err *err);

/*
 * P(what was found | what `rows` says): rows[0..outcomes) is P(each outcome)
 * under one or two causes, and is changed; after it is room for twice as many.
 * Causes that were there as well, and repaired since, are folded in; what was
 * too close to call was either.
 */
double evidence_given(double *rows, const struct weighing *weighing,
    const struct repair *repair, size_t check,
    const struct lw_finding *finding);

/* The place of an outcome; REASON_NONE: the check has none of that id. */
size_t evidence_outcome(const struct book_speaker *speaker, const char *id);

/* The place of a check among those of the weighing; their number: none. */
size_t evidence_check(const struct weighing *weighing, const char *id);

#endif
