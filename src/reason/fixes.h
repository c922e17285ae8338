/*
 * In which order to try fixes, and what that costs on average. Method:
 * Heckerman, Breese and Rommelse 1995 (expected cost of repair; the order by
 * share over cost is Smith's rule); clusters of fixes that share an opening:
 * Langseth and Jensen 2003.
 */
#ifndef REASON_FIXES_H
#define REASON_FIXES_H

#include "reason/table.h"

/*
 * Into `order` (may be NULL) the causes in the order in which to try them, into
 * *cost what that costs on average: the sum over causes in order of the chance
 * that none before it cured, times its cost (and its cluster's opening, where
 * nothing before opened it). Causes with no share come last, by cost. Among
 * equals the first comes first. share adds up to 1.
 */
enum lw_status fixes_order(size_t *order, double *cost, const double *share,
    size_t causes, const struct reason_fixes *fixes, struct lw_err *err);

#endif
