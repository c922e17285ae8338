/* Lists of single values: lines, patterns, references, power states. */
#ifndef PACK_LISTS_H
#define PACK_LISTS_H

#include "pack/fields.h"

/* Read a list of any type into the struct. */
void pack_list_read(struct pack_spot *spot, void *item);

/* Whether a node is a list with something in it; told where it is not. */
bool pack_list_is(const struct pack_file *file, const struct pack_node *node,
    const char *key);

#endif
