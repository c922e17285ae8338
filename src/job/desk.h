/*
 * A job opened for a change: how it stands, who wants to change it, and the
 * findings that the change appends.
 */
#ifndef JOB_DESK_H
#define JOB_DESK_H

#include "job/situation.h"

struct desk {
	struct lw_arena *arena; /* freed by desk_close */
	struct shelf shelf;
	struct situation at;
	const struct lw_actor *actor;
	struct book_hold_change hold; /* what the act makes of the hold */
	bool takes; /* the vehicle was not this screen's for this job */
};

/* Load a job for an actor. LW_BAD_INPUT: not a fit actor; LW_NOT_FOUND. The
 * caller calls desk_close whatever comes back. */
enum lw_status desk_open(struct desk *desk, struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);
void desk_close(struct desk *desk);

/* Take the vehicle in hand for what follows. LW_CONFLICT: another screen
 * holds it. */
enum lw_status desk_act(struct desk *desk, struct lw_err *err);

/* Append one finding, after desk_act, with the taking where it is one.
 * `let_go`: the hold ends with it. LW_CONFLICT: the job has gone on. */
enum lw_status desk_append(struct desk *desk, const struct lw_finding *finding,
    bool let_go, struct lw_err *err);

/* Words of a person: LW_TOO_BIG, LW_BAD_INPUT. NULL is fine. */
enum lw_status desk_check_words(const char *words, struct lw_err *err);

#endif
