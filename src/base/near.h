/* How near a mistyped word is to one that there is. */
#ifndef BASE_NEAR_H
#define BASE_NEAR_H

#include <stddef.h>

enum { NEAR_LONGEST = 64 };

/* Insertions, removals, changes and swaps of neighbours that turn one text
 * into the other (optimal string alignment); texts past NEAR_LONGEST bytes are
 * cut. */
unsigned near_distance(const char *one, const char *other);

/* The nearest of some candidates: start, try each, and look at `best`. */
struct near {
	const char *text; /* as typed */
	const char *best; /* NULL while nothing is near enough */
	size_t distance;
};

void near_start(struct near *near, const char *text);
/* Keep the candidate where it is nearer than those before. */
void near_try(struct near *near, const char *candidate);

#endif
