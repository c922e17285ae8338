/*
 * How a job stands: its state, its power state, and what is asked next.
 */
#ifndef JOB_SITUATION_H
#define JOB_SITUATION_H

#include "book/jobs.h"
#include "job/findings.h"
#include "job/power.h"
#include "job/shelf.h"
#include "job/walk.h"

struct situation {
	const struct book_job *job;
	struct findings findings;
	struct power power;
	const struct lw_finding *led; /* the finding that names the tree */
	const struct lw_tree *tree;   /* NULL: none, or gone from the book */
	struct walk walk;	      /* end 0 where there is no tree */
	enum lw_job_state state;
	enum lw_job_state beneath;   /* the state but for closing */
	const struct lw_check *ask;  /* open: what to do */
	const struct lw_check *then; /* open: what the tree asks; maybe same */
	const char *cause;  /* where the way ended in one, with certainty */
	const char *likely; /* ... with something put aside */
	const char *ending; /* words, or NULL */
};

enum lw_status situation_find(struct situation *situation, struct shelf *shelf,
    const struct book_job *job, int64_t now_s, struct lw_err *err);

#endif
