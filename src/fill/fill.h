/*
 * Templates: the subset of the open mustache specification that is
 * {{name}} {{a.b}} {{.}} {{#section}} {{^inverted}} {{>partial}} {{!comment}},
 * with standalone lines as the specification has them. Values are always
 * escaped for the kind of output; there is no raw tag, and {{{x}}}, {{&x}}
 * and changed delimiters are errors.
 */
#ifndef FILL_FILL_H
#define FILL_FILL_H

#include "base/asset.h"
#include "base/buf.h"

#include <lampwright/doc.h>

#include <stdbool.h>
#include <stdint.h>

enum fill_kind {
	FILL_HTML, /* & < > " ' escaped; also right for XML */
	FILL_TEXT  /* control characters but newline and tab are dropped, so
		    * that a note cannot drive the terminal */
};

/* Where templates come from: a table of assets, or a folder read live. */
struct fill_source {
	const struct asset *table;
	const char *prefix; /* "web/" or "cli/": put before every name */
	const char *suffix; /* ".html" or ".txt": put after every name */
	const char *dir;    /* --web-dir: looked in first; or NULL */
};

/* Fill the template `name` with the document. LW_BAD_INPUT: the template is
 * malformed (err has file, line, column) or missing; LW_TOO_BIG: output past
 * out->cap, or partials nested past 16. */
enum lw_status fill_template(struct buf *out, const struct fill_source *from,
    enum fill_kind kind, const char *name, const struct lw_doc *doc,
    struct lw_err *err);

/* Fill a template given as text, partials from `from` (may be NULL). */
enum lw_status fill_string(struct buf *out, const struct fill_source *from,
    enum fill_kind kind, const char *text, size_t length,
    const struct lw_doc *doc, struct lw_err *err);

/* Put a text, a whole number or a truth into a document's top level, for
 * what only the page knows (token, path). An earlier one is replaced. */
enum lw_status fill_set_text(
    struct lw_doc *doc, const char *key, const char *text, struct lw_err *err);
enum lw_status fill_set_int(
    struct lw_doc *doc, const char *key, int64_t value, struct lw_err *err);
enum lw_status fill_set_bool(
    struct lw_doc *doc, const char *key, bool value, struct lw_err *err);
/* A document with nothing but its shape, for pages without a view. */
enum lw_status fill_doc_empty(struct lw_doc **doc, struct lw_err *err);

#endif
