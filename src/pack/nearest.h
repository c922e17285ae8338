/* The likeliest word that was meant by a mistyped one. */
#ifndef PACK_NEAREST_H
#define PACK_NEAREST_H

#include <stddef.h>

struct pack_nearest {
	const char *text; /* as typed */
	const char *best; /* NULL while nothing is near enough */
	size_t distance;
};

void pack_nearest_start(struct pack_nearest *nearest, const char *text);
/* Keep the candidate where it is nearer than those before. */
void pack_nearest_try(struct pack_nearest *nearest, const char *candidate);

#endif
