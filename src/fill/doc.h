/* What a document is inside: a JSON object. For view, which builds it, and
 * fill, which shows it. */
#ifndef FILL_DOC_H
#define FILL_DOC_H

#include <jansson.h>
#include <lampwright/doc.h>

struct lw_doc {
	json_t *root; /* an object; owned */
};

/* A document around `root`, whose reference it takes over; `shape` 1 is put
 * in. NULL, with root released, when memory has run out. */
struct lw_doc *doc_new(json_t *root);

#endif
