/*
 * Belief over causes under the single-fault assumption: Bayes' rule over
 * plain arrays. Pure mathematics; no I/O.
 */
#ifndef REASON_BELIEF_H
#define REASON_BELIEF_H

#include <stddef.h>

/*
 * Shares from weights: share[i] = weight[i] / sum. All weights zero, or not
 * finite and positive ones: equal shares. Arrays of n; n may be 0.
 */
void belief_shares(double *share, const double *weight, size_t n);

/*
 * One finding: weight[i] *= likelihood[i], rescaled so that the largest is
 * 1. Likelihoods are 0-1. Where every product is zero the weights are left
 * as they were.
 */
void belief_update(double *weight, const double *likelihood, size_t n);

/*
 * P(outcome | cause) for one outcome of a check. `given[o]` is the value that
 * the author wrote for outcome o and this cause, or 0 where none was
 * written. What is left of 1 is shared among the outcomes without a value;
 * where none was written, all are equally likely. Where all have a value,
 * they are scaled to add up to 1. Where less than 0.01 is left, the outcomes
 * without a value share 0.01 and all are scaled, so that nothing is ruled out
 * by what an author left unsaid. 0 where outcome >= outcomes.
 */
double belief_likelihood(const double *given, size_t outcomes, size_t outcome);

/*
 * P(outcome | a cause that the check does not name, or one that the book does
 * not have): what a sound vehicle gives, `expected`, in 0.95; the others share
 * the rest. All the same where none is expected (REASON_NONE). Adds up to 1;
 * 0 where outcome >= outcomes.
 */
double belief_unnamed(size_t outcomes, size_t expected, size_t outcome);

/*
 * Shares after findings: share[i] is weight[i] times likelihood[k * causes +
 * i] over all findings k, scaled to add up to 1. Weights as in belief_shares.
 * Where every cause is impossible: the shares before. The order of findings
 * changes nothing beyond 1e-12, and nothing underflows. share may be weight.
 */
void belief_posterior(double *share, const double *weight, size_t causes,
    const double *likelihood, size_t findings);

/*
 * By how much each finding changed the odds of each cause, given all other
 * findings: factor[k * causes + i] is likelihood[k * causes + i] over the mean
 * of that row over the other causes, weighed with the belief without finding
 * k. Finite, 1e-6 to 1e6; 1 where neither this cause nor any other can give
 * the finding, and where no other cause is possible without it (1e-6 then, if
 * this one cannot give it).
 */
void belief_factors(double *factor, const double *weight, size_t causes,
    const double *likelihood, size_t findings);

#endif
