/*
 * The causes in play and how likely each is, from the findings that stand.
 */
#ifndef JOB_SUSPECTS_H
#define JOB_SUSPECTS_H

#include "job/findings.h"
#include "job/shelf.h"

/* Stands for every cause that the book does not list. */
#define SUSPECT_UNLISTED "unlisted"

/*
 * In play are the causes of every fault and symptom that was found, and of
 * the tree's leaves (tree may be NULL). `sure`, where not NULL, is put
 * first; the rest by share, then in the authors' order.
 */
enum lw_status suspects_find(const struct lw_suspect **suspects, size_t *count,
    struct shelf *shelf, const struct findings *findings,
    const struct lw_tree *tree, const char *sure, struct lw_err *err);

/* The weight of a cause where a fault or symptom names it by `word` (may be
 * NULL: the cause's own word). */
double suspects_weight(const struct lw_cause *cause, const char *word);

#endif
