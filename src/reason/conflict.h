/*
 * Whether findings go together. Method: the conflict measure of Jensen,
 * Chamberlain, Nordahl and Jensen 1990, log2 of the product of P(e_k) over
 * P(e): above 0 the findings are less probable together than they would be if
 * they had nothing to do with each other.
 */
#ifndef REASON_CONFLICT_H
#define REASON_CONFLICT_H

#include <stdbool.h>
#include <stddef.h>

/*
 * `prior` are the shares before any finding; likelihood[k * causes + i] is
 * P(finding k | cause i). Bits; 0 for fewer than two findings. At most 996.6,
 * which is also what findings have that cannot be together, or one of which
 * cannot be at all: as if they were 1e300 times less probable together.
 * without[k], where not NULL, is the same without finding k. The order of
 * findings does not matter.
 */
double conflict_bits(double *without, const double *prior, size_t causes,
    const double *likelihood, size_t findings);

/* A cause that makes a finding less likely than this much of what it is likely
 * by altogether, does not explain it: judgement. */
#define CONFLICT_EXPLAINS 0.25

/*
 * Whether the conflict of so many bits is but a rare case: there is a cause
 * that makes the findings as probable together as they would be if they had
 * nothing to do with each other, log2(share[i] / prior[i]) >= bits (the same
 * paper), and that explains each of them. So it is where common causes were put
 * out one by one. `prior` adds up to 1, `share` are the shares after the
 * findings.
 */
bool conflict_is_rare_case(double bits, const double *prior,
    const double *share, size_t causes, const double *likelihood,
    size_t findings);

/* The finding whose repetition could ease the conflict most: the one without
 * which it is least; among equals (to 1e-9) the cheapest, then the last.
 * `cost` for each finding. findings 1 or more. */
size_t conflict_repeat(
    const double *without, const double *cost, size_t findings);

#endif
