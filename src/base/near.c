/* The distance between two words, and the nearest of some candidates. Which
 * ones are tried, and the sentence, are left to the caller. */
#include "base/near.h"

#include <string.h>

static unsigned
least(unsigned a, unsigned b)
{
	return a < b ? a : b;
}

/* Three rows of the table are kept. */
unsigned
near_distance(const char *one, const char *other)
{
	unsigned rows[3][NEAR_LONGEST + 1], *two_up, *up, *row, *spare, best;
	size_t n = strnlen(one, NEAR_LONGEST), m, i, j;

	m = strnlen(other, NEAR_LONGEST);
	two_up = rows[0];
	up = rows[1];
	row = rows[2];
	memset(rows, 0, sizeof rows);
	for (j = 0; j <= m; j++)
		up[j] = (unsigned)j;
	for (i = 1; i <= n; i++) {
		row[0] = (unsigned)i;
		for (j = 1; j <= m; j++) {
			best = up[j - 1] + (one[i - 1] != other[j - 1]);
			best = least(best, up[j] + 1);
			best = least(best, row[j - 1] + 1);
			if (i > 1 && j > 1 && one[i - 1] == other[j - 2] &&
			    one[i - 2] == other[j - 1])
				best = least(best, two_up[j - 2] + 1);
			row[j] = best;
		}
		spare = two_up;
		two_up = up;
		up = row;
		row = spare;
	}
	return up[m];
}

void
near_start(struct near *near, const char *text)
{
	near->text = text;
	near->best = NULL;
	near->distance = 1 + strlen(text) / 3;
}

void
near_try(struct near *near, const char *candidate)
{
	size_t one = strlen(near->text), other = strlen(candidate), distance;
	size_t apart = one > other ? one - other : other - one;

	if (one > NEAR_LONGEST || other > NEAR_LONGEST ||
	    apart > near->distance)
		return;
	distance = near_distance(near->text, candidate);
	if (distance < near->distance ||
	    (distance == near->distance && near->best == NULL)) {
		near->distance = distance;
		near->best = candidate;
	}
}
