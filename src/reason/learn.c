/* Priors from counts; what counts as a case is left to book. Method:
 * Dirichlet-multinomial. */
#include "reason/learn.h"

#include <math.h>

static double
sound(double value)
{
	return isfinite(value) && value > 0 ? value : 0;
}

void
learn_shares(double *share, const double *prior, const double *count,
    double strength, size_t n)
{
	double sum = sound(strength);
	size_t i;

	for (i = 0; i < n; i++)
		sum += sound(count[i]);
	for (i = 0; i < n; i++)
		share[i] =
		    sum > 0
			? (sound(strength) * prior[i] + sound(count[i])) / sum
			: prior[i];
}
