/*
 * The causes in play and how likely each is, from the findings that stand.
 */
#ifndef JOB_SUSPECTS_H
#define JOB_SUSPECTS_H

#include "job/findings.h"
#include "job/shelf.h"
#include "job/situation.h"

/* Stands for every cause that the book does not list. */
#define SUSPECT_UNLISTED "unlisted"

struct suspects {
	const struct lw_suspect *items;
	size_t count;
	const struct lw_excluded *excluded;
	size_t excluded_count;
};

/*
 * In play are the causes of every fault and symptom that was found, of the
 * tree's leaves (tree may be NULL), and those that a person supposed; but
 * for those that a fix has put out of play. `sure`, where not NULL, is put
 * first; the rest by share, then in the authors' order. Excluded are those
 * out of play, and those that the answers leave hardly any share.
 */
enum lw_status suspects_find(struct suspects *suspects, struct shelf *shelf,
    const struct situation *at, struct lw_err *err);

/* The weight of a cause where a fault or symptom names it by `word` (may be
 * NULL: the cause's own word). */
double suspects_weight(const struct lw_cause *cause, const char *word);

#endif
