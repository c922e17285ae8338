/* YAML text in block style: keys, list items and scalars, indented. */
#ifndef PACK_EMIT_H
#define PACK_EMIT_H

#include "base/buf.h"

#include <stdbool.h>

struct pack_emit {
	struct buf buf;
	unsigned indent; /* levels of two spaces */
	bool dash;	 /* the line is begun by "- " */
	bool bad;	 /* a text was not UTF-8 */
};

/* Begin a line with `key:`; a text or pack_emit_deeper follows. */
void pack_emit_key(struct pack_emit *emit, const char *key);
/* Begin a list's item; a text follows, or its first key. */
void pack_emit_item(struct pack_emit *emit);
/* The text after a key or dash, and the end of the line. Reading it back
 * gives the same text. */
void pack_emit_text(struct pack_emit *emit, const char *text);
/* End a key's line; what it holds stands a level deeper. */
void pack_emit_deeper(struct pack_emit *emit);
void pack_emit_shallower(struct pack_emit *emit);

#endif
