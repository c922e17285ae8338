/* Two causes at once; when they are thought of, and which, is left to job.
 * Method: noisy-OR (Pearl 1988). */
#include "reason/pairs.h"

double
pairs_weight(double one_share, double other_share)
{
	/* With odds of PAIRS_ODDS times the share, being there at once has the
	 * product of both odds; beside shares, it is divided by PAIRS_ODDS. */
	return PAIRS_ODDS * one_share * other_share;
}

void
pairs_given(double *given, const double *one, const double *other,
    size_t outcomes, size_t expected)
{
	double one_sound, other_sound, one_rest = 0, other_rest = 0;
	size_t o;

	if (expected >= outcomes) {
		for (o = 0; o < outcomes; o++)
			given[o] = (one[o] + other[o]) / 2;
		return;
	}
	one_sound = one[expected];
	other_sound = other[expected];
	for (o = 0; o < outcomes; o++)
		if (o != expected) {
			one_rest += one[o];
			other_rest += other[o];
		}
	/* Where both speak, and not alike, each is heard in half of it. */
	for (o = 0; o < outcomes; o++)
		given[o] = o == expected
			       ? one_sound * other_sound
			       : one[o] * (other_sound + other_rest / 2) +
				     other[o] * (one_sound + one_rest / 2);
}
