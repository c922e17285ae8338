/*
 * What a check tells, in bits: the mutual information of its outcome and the
 * cause (Shannon 1948), I = H(outcome) - sum of p_i H(outcome | cause i).
 */
#ifndef REASON_BITS_H
#define REASON_BITS_H

#include "reason/table.h"

/* H(outcome | cause) for each cause, in bits. */
void bits_rows(double *row, const struct reason_check *check, size_t causes);

/*
 * What the check tells under these weights, which need not add up to 1, given
 * its rows. `mass` of each outcome: the weight that would be left after it.
 * `sum` is that of the weights, above 0.
 */
double bits_told(double *mass, const struct reason_check *check,
    const double *row, const double *weight, size_t causes, double sum);

#endif
