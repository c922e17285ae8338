/*
 * Priors from counts. Method: Dirichlet-multinomial (Spiegelhalter and
 * Lauritzen 1990), in two levels: cases of elsewhere move the authors' shares,
 * and those of here move what comes of it. With counts (2,7,1) and 5, 3 and 2
 * to begin with: .35, .50, .15.
 */
#ifndef REASON_LEARN_H
#define REASON_LEARN_H

#include <stddef.h>

/* How many cases the authors' word weighs: judgement. */
#define LEARN_STRENGTH 10.0

/* (strength * prior + count) / (strength + sum of counts). `prior` adds up to
 * 1. share may be prior. Counts are 0 or more. */
void learn_shares(double *share, const double *prior, const double *count,
    double strength, size_t n);

#endif
