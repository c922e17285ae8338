/*
 * The cheapest trees by recursions of their own, to hold those of the library
 * against. Method: dynamic programming over all sets of causes (Garey 1972),
 * and over what can be seen.
 */
#ifndef TESTS_REASON_OPTIMUM_H
#define TESTS_REASON_OPTIMUM_H

#include "reason/plan.h"
#include "reason/policy.h"

/* Causes at most where all sets are gone through: 2^24 of them. */
enum { OPTIMUM_ALL_MAX = 24, OPTIMUM_CAUSES_MAX = 64 };

/* The cost of the cheapest tree. All sets where that is asked for (at most
 * OPTIMUM_ALL_MAX causes), else those that are reached: NaN where that are
 * more than `sets_max`, or where memory has run out. */
double optimum_all(const struct plan_grid *grid);
double optimum_reached(const struct plan_grid *grid, size_t sets_max);

/* The cost of a good tree of a larger table, without set-up: rollout, `levels`
 * deep, over I^2/c that is exact at `exact` causes or fewer. NaN where memory
 * has run out. */
double optimum_near(
    const struct plan_grid *grid, unsigned levels, unsigned exact);

/*
 * Checks of two outcomes that may mislead, ending in fixes without clusters: at
 * most 10 checks. `cautious`: a check is left out where one in a less hazardous
 * state tells 95 % as much; that costs something.
 */
double optimum_noisy(const struct reason_table *table, const double *share,
    const struct reason_fixes *fixes, bool cautious);

/* What fixing in the best order costs on average. Weights need not add up to
 * 1; it is then for all of them together. */
double optimum_fixes(const double *weight, const double *cost, size_t causes);

/*
 * What a tree costs, walked with each cause in turn. NaN where the walk is
 * lost: no branch, an end without the cause, or an end with two causes that a
 * check tells apart.
 */
double optimum_price(
    const struct plan_node *root, const struct plan_grid *grid);

/* What a policy costs, worked out from its tree alone. NaN where a check is
 * done twice, an outcome that can come leads nowhere, or an end does not fix
 * every cause once. At most 64 causes and 64 checks. */
double optimum_policy_price(const struct policy_node *root,
    const struct reason_table *table, const double *share,
    const struct reason_fixes *fixes);

#endif
