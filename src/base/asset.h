/*
 * Files that are built into the program: generated tables, made by
 * base/embed.c when building. Found by name in a table, never by a path.
 */
#ifndef BASE_ASSET_H
#define BASE_ASSET_H

#include <stddef.h>

struct asset {
	const char *name; /* "book/schema.sql", "kb/traction.yaml" */
	const unsigned char *data; /* NUL after the last byte */
	size_t size; /* without the NUL */
};

/* Ends with a NULL name. What the library needs: book/..., kb/... */
extern const struct asset library_assets[];
/* What the program needs besides: cli/..., web/... */
extern const struct asset program_assets[];

/* NULL when there is none of that name. */
const struct asset *asset_find(const struct asset *table, const char *name);

#endif
