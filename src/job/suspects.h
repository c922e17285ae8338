/*
 * The causes in play as a person sees them: how likely each is, and why.
 */
#ifndef JOB_SUSPECTS_H
#define JOB_SUSPECTS_H

#include "job/reasoning.h"

/* Stands for every cause that the book does not list. */
#define SUSPECT_UNLISTED "unlisted"

struct suspects {
	const struct lw_suspect *items;
	size_t count;
	const struct lw_excluded *excluded;
	size_t excluded_count;
};

/*
 * The situation's cause, where it has one, is put first; the rest by share,
 * then in the authors' order, pairs last. Excluded are those out of play, and
 * those that the answers leave hardly any share.
 */
enum lw_status suspects_find(struct suspects *suspects, struct lw_arena *arena,
    const struct reasoning *reasoning, const struct situation *at,
    struct lw_err *err);

#endif
