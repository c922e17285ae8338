/*
 * A document: what one view shows, before it is text, JSON or a page.
 */
#ifndef LAMPWRIGHT_DOC_H
#define LAMPWRIGHT_DOC_H

#include <stddef.h>

#include <lampwright/status.h>

#ifdef __cplusplus
extern "C" {
#endif

struct lw_doc;

/* Free a document. NULL is fine. */
void lw_doc_free(struct lw_doc *doc);

/* The document as JSON, indented, with a final newline. The caller frees
 * *text. Keys stand in the order in which they were set, "shape" first; what
 * could drive a terminal is written \uXXXX. LW_NO_MEMORY, or LW_TOO_BIG past
 * 64 MiB or 1000 levels. */
enum lw_status lw_doc_json(
    char **text, size_t *length, const struct lw_doc *doc,
    struct lw_err *err);

#ifdef __cplusplus
}
#endif
#endif
