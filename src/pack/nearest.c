/* Optimal string alignment distance: letters put in, left out, changed or
 * swapped with a neighbour. Which words are tried is left to the caller. */
#include "pack/nearest.h"

#include <string.h>

enum { LONGEST = 64 };

static size_t
least(size_t a, size_t b, size_t c)
{
	size_t low = a < b ? a : b;

	return low < c ? low : c;
}

static size_t
distance(const char *a, size_t la, const char *b, size_t lb)
{
	size_t rows[3][LONGEST + 1], i, j, cost;
	size_t *before = rows[0], *last = rows[1], *now = rows[2], *spare;

	for (j = 0; j <= lb; j++)
		last[j] = before[j] = j;
	for (i = 1; i <= la; i++) {
		now[0] = i;
		for (j = 1; j <= lb; j++) {
			cost = a[i - 1] == b[j - 1] ? 0 : 1;
			now[j] = least(
			    last[j] + 1, now[j - 1] + 1, last[j - 1] + cost);
			if (i > 1 && j > 1 && a[i - 1] == b[j - 2] &&
			    a[i - 2] == b[j - 1] && before[j - 2] + 1 < now[j])
				now[j] = before[j - 2] + 1;
		}
		spare = before;
		before = last;
		last = now;
		now = spare;
	}
	return last[lb];
}

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
	size_t la = strlen(nearest->text), lb = strlen(candidate), d;
	size_t apart = la > lb ? la - lb : lb - la;

	if (la > LONGEST || lb > LONGEST || apart > nearest->distance)
		return;
	d = distance(nearest->text, la, candidate, lb);
	if (d < nearest->distance ||
	    (d == nearest->distance && nearest->best == NULL)) {
		nearest->distance = d;
		nearest->best = candidate;
	}
}
