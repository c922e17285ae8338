/* Values of rigs: what is read of one, by its kind. */
#ifndef PACK_VALUES_H
#define PACK_VALUES_H

#include "pack/fields.h"

/* Read an id, a unit, or an end of what is plausible. */
void pack_value_read(struct pack_spot *spot, void *item);

/* Tell what a value of its kind lacks, and what it has no use for. Every key
 * of it was read without a problem. */
void pack_finish_value(const struct pack_file *file,
    const struct lw_value *value, const struct pack_node *node);

#endif
