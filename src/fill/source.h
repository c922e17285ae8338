/* Finding templates and files, in a table or live in a folder. */
#ifndef FILL_SOURCE_H
#define FILL_SOURCE_H

#include "fill/fill.h"

#include <lampwright/arena.h>

/* The text of a template, and what to call it in errors; both live in the
 * arena or as long as the table. LW_NOT_FOUND (err says which), LW_TOO_BIG,
 * LW_FAILED, LW_NO_MEMORY. `from` may be NULL: nothing is found then. */
enum lw_status source_find(const char **text, size_t *length, const char **file,
    struct lw_arena *arena, const struct fill_source *from, const char *name,
    size_t name_length, struct lw_err *err);

#endif
