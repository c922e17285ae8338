/* How likely runs are where nothing repeats. Cycles are left to
 * lamp/align.c. */
#include "lamp/align.h"

#include <math.h>

/* Of this many runs it can be said how long they usually are. */
#define MANY 30
/* Their logarithms vary at least so much: less would be a rate. */
#define VARY_LEAST 0.3

/* Runs of one side, lit or dark, about a length that they share, in any order:
 * a normal of their logarithms, as for light that comes and goes by chance. */
static double
log_side(const struct sightings *seen, bool on)
{
	double sum = 0, squares = 0, many = 0, mean, vary;
	size_t i;

	for (i = 0; i < seen->count; i++) {
		double length = log(seen->items[i].length_s + 0.003);

		if (sightings_open(seen, i) || seen->items[i].on != on)
			continue;
		sum += length;
		squares += length * length;
		many++;
	}
	if (many < 2)
		return 0;
	mean = sum / many;
	vary = sqrt(fmax(squares / many - mean * mean, 0));
	vary = fmax(vary, VARY_LEAST);
	/* The density over a length is that over its logarithm, over it; each
	 * of the two that were fitted costs half a logarithm of how many. */
	return -sum - many * log(vary * 2.5066) -
	       0.5 * (squares - many * mean * mean) / (vary * vary) - log(many);
}

double
align_nothing(const struct sightings *seen)
{
	double any = 0, chance;
	size_t i;

	for (i = 0; i < seen->count; i++)
		if (!sightings_open(seen, i))
			any -=
			    log(ANY_LENGTH * (seen->items[i].length_s + 0.003));
	if (seen->count < MANY)
		return any;
	chance = log_side(seen, false) + log_side(seen, true);
	return chance > any ? chance : any;
}
