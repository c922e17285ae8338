/* The nearest of some candidates. Which ones are tried is left to the
 * caller, the distance to base. */
#include "pack/nearest.h"

#include "base/near.h"

#include <string.h>

enum { LONGEST = 64 };

void
pack_nearest_start(struct pack_nearest *nearest, const char *text)
{
	nearest->text = text;
	nearest->best = NULL;
	nearest->distance = 1 + strlen(text) / 3;
}

void
pack_nearest_try(struct pack_nearest *nearest, const char *candidate)
{
	size_t one = strlen(nearest->text), other = strlen(candidate), distance;
	size_t apart = one > other ? one - other : other - one;

	if (one > LONGEST || other > LONGEST || apart > nearest->distance)
		return;
	distance = near_distance(nearest->text, candidate);
	if (distance < nearest->distance ||
	    (distance == nearest->distance && nearest->best == NULL)) {
		nearest->distance = distance;
		nearest->best = candidate;
	}
}
