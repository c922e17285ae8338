/* One value of a map, by its type in the schema. */
#ifndef PACK_FIELDS_H
#define PACK_FIELDS_H

#include "pack/set.h"

/* Where a value is read, and what it needs from what was read before. */
struct pack_spot {
	struct pack_file *file;
	const struct pack_field *field;
	const struct pack_node *node;
	const char *unit; /* of the bands or the value; NULL: none was given */
	bool unit_bad;	  /* it has one that is told already */
};

/* Read a value of any type but items, group and next into the struct. */
void pack_field_read(struct pack_spot *spot, void *item);

/* Tell that something else was expected where a node stands. */
void pack_field_type(const struct pack_file *file, const struct pack_node *node,
    const char *key, const char *expected);

/* A text of at most `limit` characters, of one line or of several; NULL
 * where it is none, which is told. */
const char *pack_field_text(const struct pack_file *file,
    const struct pack_node *node, const char *key, size_t limit, bool one_line);

/* An id that an item gets, the text even where it is told to be bad. */
const char *pack_field_id(const struct pack_file *file,
    const struct pack_node *node, const char *key);

/* A number that was written without its unit. */
bool pack_is_bare(const char *text);

void pack_put_text(void *item, size_t offset, const char *text);
void pack_put_double(void *item, size_t offset, double value);
void pack_put_bool(void *item, size_t offset, bool value);
void pack_put_list(void *item, size_t offset, const void *list);
void pack_put_size(void *item, size_t offset, size_t count);

#endif
