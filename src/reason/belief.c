/* Bayes' rule over plain arrays; which causes and findings they stand for is
 * left to job. Method: single-fault diagnosis with conditionally independent
 * findings (Lauritzen and Spiegelhalter 1988 for the general case). */
#include "reason/belief.h"

#include <math.h>

/* What is kept, of 1, for the outcomes that an author left unsaid, so that
 * one wrong answer cannot rule a cause out for good. */
static const double UNSAID = 0.01;

static double
sound_weight(double weight)
{
	return isfinite(weight) && weight > 0 ? weight : 0;
}

static double
sound_likelihood(double likelihood)
{
	if (!(likelihood > 0))
		return 0;
	return likelihood < 1 ? likelihood : 1;
}

void
belief_shares(double *share, const double *weight, size_t n)
{
	double largest = 0, sum = 0;
	size_t i;

	for (i = 0; i < n; i++)
		largest = fmax(largest, sound_weight(weight[i]));
	/* Divided by the largest first, so that the sum cannot overflow. */
	for (i = 0; i < n; i++) {
		share[i] = largest > 0 ? sound_weight(weight[i]) / largest : 1;
		sum += share[i];
	}
	for (i = 0; i < n; i++)
		share[i] /= sum;
}

void
belief_update(double *weight, const double *likelihood, size_t n)
{
	double largest = 0;
	size_t i;

	for (i = 0; i < n; i++)
		largest = fmax(largest,
		    sound_weight(weight[i]) * sound_likelihood(likelihood[i]));
	if (!(largest > 0))
		return;
	for (i = 0; i < n; i++)
		weight[i] = sound_weight(weight[i]) *
			    sound_likelihood(likelihood[i]) / largest;
}

double
belief_likelihood(const double *given, size_t outcomes, size_t outcome)
{
	double said = 0, value, left;
	size_t unsaid = 0, o;

	if (outcome >= outcomes)
		return 0;
	for (o = 0; o < outcomes; o++) {
		value = sound_likelihood(given[o]);
		said += value;
		unsaid += value > 0 ? 0 : 1;
	}
	if (unsaid == outcomes)
		return 1.0 / (double)outcomes;
	value = sound_likelihood(given[outcome]);
	if (unsaid == 0)
		return value / said;
	left = 1 - said;
	if (left < UNSAID)
		left = UNSAID;
	if (!(value > 0))
		value = left / (double)unsaid;
	return value / (said + left);
}
