/*
 * The best trees known, as `tests/bench/reason --known` wrote them: by all sets
 * that are reached, else the best of several searches.
 */
#include "reason/known.h"

static const struct known_grid known[] = {
    {GRID_SPARSE, 24, 36, 1, 9.281742, true},
};

const struct known_grid *
known_find(const struct grid_how *how)
{
	size_t i;

	if (how->outcomes != 2 || how->states != 1 || how->even)
		return NULL;
	for (i = 0; i < sizeof known / sizeof *known; i++)
		if (known[i].kind == how->kind &&
		    known[i].causes == how->causes &&
		    known[i].checks == how->checks &&
		    known[i].seed == how->seed)
			return &known[i];
	return NULL;
}
