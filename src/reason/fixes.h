/*
 * In which order to try fixes, and what that costs on average. Method:
 * Heckerman, Breese and Rommelse 1995 (expected cost of repair; the order by
 * share over cost is Smith's rule); clusters of fixes that share an opening:
 * Langseth and Jensen 2003. Both orders are the best there are: an opening is
 * a job that comes before its cluster's (Horn 1972).
 */
#ifndef REASON_FIXES_H
#define REASON_FIXES_H

#include "reason/table.h"

/*
 * Into `order` (may be NULL) the causes in the order in which to try them, into
 * *cost what that costs on average: the sum over causes in order of the chance
 * that none before it cured, times its cost (and its cluster's opening, where
 * nothing before opened it). `fixes->last` comes after all that have a share;
 * causes with no share come after that, by cost, and cost nothing. Among equals
 * the first comes first. share adds up to 1.
 */
enum lw_status fixes_order(size_t *order, double *cost, const double *share,
    size_t causes, const struct reason_fixes *fixes, struct lw_err *err);

/* For asking many times: a desk with room to work on. NULL: out of memory.
 * `fixes` is checked already and outlives the desk. */
struct fixes_desk;
struct fixes_desk *fixes_desk_new(
    const struct reason_fixes *fixes, size_t causes);
void fixes_desk_free(struct fixes_desk *desk);

/* Bytes that a desk takes. */
size_t fixes_desk_size(const struct reason_fixes *fixes, size_t causes);

/* As fixes_order; weights are 0 or more and need not add up to 1: the cost is
 * that on average, times their sum. `order` may be NULL. */
double fixes_desk_cost(
    struct fixes_desk *desk, size_t *order, const double *weight);

/* Less no order of fixes costs, whatever is known: what each cause takes with
 * the opening of its cluster, to the first try. Into `least`, a value a
 * cause. */
void fixes_least(
    double *least, const struct reason_fixes *fixes, size_t causes);

#endif
