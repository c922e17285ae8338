/*
 * Who holds a job's vehicle. The book keeps one row a vehicle; here it is
 * read as a screen sees it, and the change is worked out that an act of a
 * screen makes to it.
 */
#ifndef JOB_HOLD_H
#define JOB_HOLD_H

#include "book/jobs.h"

struct hold {
	const char *vehicle; /* "rig NAME" or "job N" */
	struct book_hold row;
	bool lapsed; /* the holder has done nothing for too long */
};

enum lw_status hold_find(struct hold *hold, struct lw_book *book,
    struct lw_arena *arena, const struct book_job *job, int64_t now_s,
    struct lw_err *err);

/* Whether a holder that last did something then has run out. */
bool hold_has_lapsed(int64_t last_s, int64_t now_s);

/* Whether the vehicle is held for this job, so that what is proved in it is
 * still so. With a screen: by that screen. */
bool hold_is_for(const struct hold *hold, int64_t job, const char *screen);

/* Whether another screen holds it, and has not run out. */
bool hold_is_others(const struct hold *hold, const char *screen);

/* As a screen (NULL: one that only looks) sees it. */
void hold_show(struct lw_hold *shown, const struct hold *hold,
    const char *screen, int64_t now_s);

/* LW_BAD_INPUT: no screen, or not a fit id or name. */
enum lw_status hold_check_actor(
    const struct lw_actor *actor, struct lw_err *err);

/* The row after the actor did something for a job. LW_CONFLICT where another
 * screen holds the vehicle; the sentence says who, and what can be done. */
enum lw_status hold_act(struct book_hold_change *change,
    const struct hold *hold, int64_t job, const struct lw_actor *actor,
    struct lw_err *err);

#endif
