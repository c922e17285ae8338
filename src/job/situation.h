/*
 * How a job stands: its state, its power state, and what is asked next.
 */
#ifndef JOB_SITUATION_H
#define JOB_SITUATION_H

#include "book/jobs.h"
#include "job/findings.h"
#include "job/hold.h"
#include "job/power.h"
#include "job/repair.h"
#include "job/shelf.h"
#include "job/walk.h"

struct reasoning;

struct situation {
	const struct book_job *job;
	const struct lw_rig *rig;     /* NULL: none, or not in the book */
	const struct lw_rig *vehicle; /* what readings are judged by: the rig,
				       * else what was said in the job; NULL
				       * where nothing hangs on it */
	struct hold hold;
	struct findings findings;
	struct power power; /* proved as the screen sees it */
	struct repair repair;
	const struct lw_finding *led; /* the finding that names the tree */
	const struct lw_tree *tree;   /* NULL: none, or gone from the book */
	bool left;		      /* a person left it: it leads no longer */
	bool through;		      /* a walk-through leads */
	const struct reasoning *reasoning; /* where it was needed; or NULL */
	struct walk walk;		   /* end 0 where there is no tree */
	enum lw_job_state state;
	enum lw_purpose purpose;     /* of `then`; 0 where nothing is asked */
	const struct lw_check *then; /* what is to be done; NULL: only the
				      * way back to isolated */
	struct way way;		     /* its `ask` is what to do now */
	const char *cause;	     /* certain, supposed, or being fixed */
	const char *led_by;	     /* check that led to the cause, or NULL */
	const char *likely;    /* where the way ended with some put aside */
	const char *ending;    /* words, or NULL */
	const char *waits_for; /* words, or NULL */
	bool paused;	       /* it waits because a person said so */
};

/* `screen` NULL: as one that only looks. */
enum lw_status situation_find(struct situation *situation, struct shelf *shelf,
    const struct book_job *job, const char *screen, int64_t now_s,
    struct lw_err *err);

/* What the findings say, worked out where it was not yet: `reasoning`. */
enum lw_status situation_reason(
    struct situation *situation, struct shelf *shelf, struct lw_err *err);

#endif
