/*
 * What a person decided and mended: checks picked, causes supposed, fixes and
 * their proofs, causes that are out of play. From the findings alone.
 */
#ifndef JOB_REPAIR_H
#define JOB_REPAIR_H

#include "job/findings.h"

struct repair_out {
	const char *cause;
	const char *title;
	const char *reason;
	bool repaired;	   /* its proof passed, and something remained */
	int64_t fixed;	   /* serial of the finding that said it was fixed; 0 */
	const char *check; /* the one that was to prove it, or NULL */
};

enum repair_phase {
	REPAIR_NONE = 0,
	REPAIR_BEGUN, /* being fixed */
	REPAIR_FIXED  /* to be proved */
};

struct repair {
	enum repair_phase phase;
	const char *cause;	 /* that is being fixed or proved */
	const char *cause_title; /* as it was shown */
	int64_t fixed;		 /* serial of the finding that it is */
	const char *check;	 /* the one that proves it, or NULL */
	bool checked;		 /* that check is done with */
	bool proved;		 /* and gave what is expected */
	bool not_taken;		 /* the last try of the fix was not proved */
	bool cured;		 /* proved, and gone */
	const char *supposed;	 /* cause, or NULL */
	const char *picked;	 /* check, or NULL */
	const struct lw_finding *aside; /* what keeps the fix or its proof */
	bool unseen; /* what it began with did not show itself again */
	struct repair_out *out;
	size_t out_count;
};

enum lw_status repair_find(struct repair *repair, struct lw_arena *arena,
    const struct findings *findings, struct lw_err *err);

/* Back into play: a person takes it as the cause, or it shows itself anew. */
void repair_take_back(struct repair *repair, const char *cause);

/* Whether a cause is out of play. */
bool repair_is_out(const struct repair *repair, const char *cause);

#endif
