/*
 * Templates: the subset of the open mustache specification (v1.4) that is
 * {{name}} {{a.b}} {{.}} {{#section}} {{^inverted}} {{>partial}} {{!comment}},
 * with standalone lines as the specification has them. Values are always
 * escaped for the kind of output; there is no raw tag, and {{{x}}}, {{&x}}
 * and changed delimiters are errors.
 *
 * Where the specification leaves a choice, or we differ from it:
 * - False are: missing, null, false, the empty list, and, as in mustache.js,
 *   the empty text and 0. An item of a list is shown whatever it is.
 * - A section on an object, a text or a number makes it the context, so that
 *   {{#note}}{{.}}{{/note}} shows a note where there is one; a section on
 *   true keeps the context that there was.
 * - A key whose value is null is found, and empty: the search does not go on
 *   to the object around it.
 * - Of a dotted name the first part is searched for outward; the rest must
 *   be inside what was found (mustache.js searches outward for the whole).
 *   Items of a list have no names.
 * - Shown as text: whole numbers plain, others in their shortest form, truth
 *   as "true" and "false"; null, objects and lists as nothing.
 * - A name is of letters, digits, _ and -; a partial's also of / and points.
 * - A missing partial is an error, not an empty text.
 * - The indentation of a standalone partial goes before each of its lines
 *   that is not empty.
 */
#ifndef FILL_FILL_H
#define FILL_FILL_H

#include "base/asset.h"
#include "base/buf.h"

#include <lampwright/doc.h>

#include <stdbool.h>
#include <stdint.h>

/* Past any of these a fill ends with LW_TOO_BIG. */
enum {
	FILL_TEMPLATE_MAX = 256 * 1024, /* bytes of a template, indented */
	FILL_SECTIONS_MAX = 32,		/* sections inside one another */
	FILL_PARTIALS_MAX = 16,		/* partials inside one another */
	FILL_WORK_MAX = 4 * 1024 * 1024 /* bytes read and pieces shown */
};

enum fill_kind {
	FILL_HTML, /* & < > " ' escaped, and what XML 1.0 forbids dropped:
		    * the same is right for XML */
	FILL_TEXT  /* control characters but newline and tab are dropped, and
		    * those that turn the direction of writing, so that a note
		    * cannot drive the terminal */
};

/* Templates that were taken apart, for the next fill. */
struct fill_kept;

/* Where templates come from: a table of assets, or a folder read live. */
struct fill_source {
	const struct asset *table;
	const char *prefix; /* "web/" or "cli/": put before every name */
	const char *suffix; /* ".html" or ".txt": put after every name */
	const char *dir;    /* --web-dir: looked in first, without the prefix;
			     * or NULL */
	struct fill_kept *kept; /* for fills from this table and prefix, by
				 * one thread; not used with `dir`; or NULL */
};

/* Begin keeping templates. NULL when memory has run out; a source does
 * without, too. Free it after the last fill. */
struct fill_kept *fill_kept_new(void);
void fill_kept_free(struct fill_kept *kept);

/* Fill the template `name` with the document. LW_BAD_INPUT: the template is
 * malformed (err has file, line, column) or missing; LW_TOO_BIG: output past
 * out->cap, or a limit above; LW_FAILED: a file in `dir` cannot be read. What
 * is in `out` after an error is part of a page at most: clear it. */
enum lw_status fill_template(struct buf *out, const struct fill_source *from,
    enum fill_kind kind, const char *name, const struct lw_doc *doc,
    struct lw_err *err);

/* Fill a template given as text, partials from `from` (may be NULL). */
enum lw_status fill_string(struct buf *out, const struct fill_source *from,
    enum fill_kind kind, const char *text, size_t length,
    const struct lw_doc *doc, struct lw_err *err);

/* Add the bytes of a file to `out`, as they are: the asset of exactly that
 * name ("web/style.css"), which must begin with from->prefix; from->dir is
 * looked in first, without the prefix. No suffix is put on. LW_NOT_FOUND,
 * also for an absolute name or one with "..", LW_TOO_BIG, LW_FAILED. */
enum lw_status fill_file(struct buf *out, const struct fill_source *from,
    const char *name, struct lw_err *err);

/* Put a text, a whole number or a truth into a document's top level, for
 * what only the page knows (token, path). An earlier one is replaced. A NULL
 * text is null; bytes that are not UTF-8 become U+FFFD. */
enum lw_status fill_set_text(
    struct lw_doc *doc, const char *key, const char *text, struct lw_err *err);
enum lw_status fill_set_int(
    struct lw_doc *doc, const char *key, int64_t value, struct lw_err *err);
enum lw_status fill_set_bool(
    struct lw_doc *doc, const char *key, bool value, struct lw_err *err);
/* The same for one item of the list `list`: the first whose text `key` is
 * `is`. Nothing where there is none. */
enum lw_status fill_set_text_in(struct lw_doc *doc, const char *list,
    const char *key, const char *is, const char *name, const char *text,
    struct lw_err *err);
/* A document with nothing but its shape, for pages without a view. */
enum lw_status fill_doc_empty(struct lw_doc **doc, struct lw_err *err);

/* A document from its JSON. LW_BAD_INPUT with line and column: no JSON, a key
 * twice, or no object. */
enum lw_status fill_doc_read(struct lw_doc **doc, const char *text,
    size_t length, struct lw_err *err);

#endif
