/* What has to hold of a job at every step of every walk, by the account that
 * the test keeps. Every failure stops the test. */
#ifndef UNIT_WATCH_H
#define UNIT_WATCH_H

#include "unit/account.h"

/* As a screen (-1: one that looks on) sees it at now_s. */
void watch_job(const struct lw_job *job, const struct account *account,
    const struct account_book *book, int screen, int64_t now_s);

/* What was shown, for a test that wants to have seen it. */
struct watch_counts {
	unsigned live;	     /* prompts past isolated */
	unsigned compulsory; /* compulsory checks */
	unsigned ranges;     /* meters that drive current */
	unsigned series;     /* warnings about a series-wound motor, where
			      * nobody said what kind it is */
	unsigned barred;     /* jobs in which nothing is switched on */
	unsigned deferred;   /* checks that wait for a tool */
	unsigned states[LW_JOB_PASSED + 1];
	unsigned purposes[LW_PURPOSE_NEXT + 1];
};
extern struct watch_counts watch_counts;

/* All of a job but its power state, to be compared after an undo. `whole`:
 * nothing was proved, so that an undo loses no power state and what comes next
 * has to be the same as well. */
enum { WATCH_MEMORY = 32768 };
void watch_remember(
    char memory[WATCH_MEMORY], const struct lw_job *job, bool whole);

#endif
