/*
 * Two causes at once, where no single one fits. Method: noisy-OR (Pearl
 * 1988) over "what a sound vehicle gives"; priors of independent causes.
 */
#ifndef REASON_PAIRS_H
#define REASON_PAIRS_H

#include <stddef.h>

/* The sum of all causes' odds of being there at any time, where one fault is
 * what people look for: at 0.2 two or more are there in about 9 % of the cases
 * in which there is one (20 causes of 0.01 each). Judgement. */
#define PAIRS_ODDS 0.2

/* The weight of causes with these prior shares being there together, beside
 * the shares of single ones. */
double pairs_weight(double one_share, double other_share);

/*
 * P(outcome | both) into given[outcomes], from each cause's own. `expected` is
 * the outcome that a sound vehicle gives, which it then has to give despite
 * both: the product. Without one (REASON_NONE) the mean of both. Adds up to 1
 * where both do.
 */
void pairs_given(double *given, const double *one, const double *other,
    size_t outcomes, size_t expected);

#endif
