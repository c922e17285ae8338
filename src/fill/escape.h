/* Values on their way into a page, a terminal or JSON. Bytes that are not
 * UTF-8 become U+FFFD. */
#ifndef FILL_ESCAPE_H
#define FILL_ESCAPE_H

#include "base/buf.h"

#include <stddef.h>

/* & < > " ' as entities, right for content and quoted attributes of HTML
 * and XML; what is not a Char of XML 1.0 (production 2) is dropped. */
void escape_html(struct buf *out, const char *text, size_t length);

/* Control characters (C0, DEL, C1) but newline and tab are dropped, and so
 * are the bidirectional embeddings, overrides and isolates of UAX 9. */
void escape_text(struct buf *out, const char *text, size_t length);

/* The text between the quotes of a JSON string (RFC 8259, section 7).
 * Whatever could drive a terminal is written \uXXXX. */
void escape_json(struct buf *out, const char *text, size_t length);

#endif
