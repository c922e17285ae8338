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

#endif
