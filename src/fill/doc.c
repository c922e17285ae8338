/* Documents: made, added to, freed. Building their contents is the view's
 * part; writing them as JSON is json.c's. */
#include "fill/doc.h"

#include "base/err.h"
#include "base/utf8.h"
#include "fill/fill.h"

#include <stdlib.h>
#include <string.h>

enum { SHAPE = 1, LONGEST_TEXT = 16 * 1024 * 1024 };

struct lw_doc *
doc_new(json_t *root)
{
	struct lw_doc *doc = NULL;
	json_t *whole = json_object();

	/* A new object, so that "shape" comes first whatever was set. */
	if (root == NULL || whole == NULL ||
	    json_object_set_new(whole, "shape", json_integer(SHAPE)) != 0 ||
	    json_object_update(whole, root) != 0 ||
	    json_object_set_new(whole, "shape", json_integer(SHAPE)) != 0)
		goto out;
	doc = malloc(sizeof *doc);
	if (doc == NULL)
		goto out;
	doc->root = whole;
	whole = NULL;
out:
	json_decref(whole);
	json_decref(root);
	return doc;
}

void
lw_doc_free(struct lw_doc *doc)
{
	if (doc == NULL)
		return;
	json_decref(doc->root);
	free(doc);
}

enum lw_status
fill_doc_empty(struct lw_doc **doc, struct lw_err *err)
{
	*doc = doc_new(json_object());
	return *doc == NULL ? err_no_memory(err) : LW_OK;
}

/* Takes over `value`; NULL means that memory has run out. */
static enum lw_status
set(struct lw_doc *doc, const char *key, json_t *value, struct lw_err *err)
{
	if (value == NULL || json_object_set_new(doc->root, key, value) != 0)
		return err_no_memory(err);
	return LW_OK;
}

/* A JSON text, with U+FFFD for every byte that is not UTF-8. */
static json_t *
mended_text(const char *text)
{
	size_t length = strlen(text), at = 0, n;
	json_t *value = NULL;
	struct buf buf;

	buf_init(&buf, LONGEST_TEXT);
	for (;;) {
		n = utf8_valid(text + at, length - at);
		buf_add_n(&buf, text + at, n);
		at += n;
		if (at == length)
			break;
		buf_add(&buf, "\xEF\xBF\xBD");
		at++;
	}
	if (buf.status == LW_OK)
		value = json_stringn(buf_text(&buf), buf.length);
	buf_clear(&buf);
	return value;
}

enum lw_status
fill_set_text(
    struct lw_doc *doc, const char *key, const char *text, struct lw_err *err)
{
	return set(
	    doc, key, text == NULL ? json_null() : mended_text(text), err);
}

enum lw_status
fill_set_int(
    struct lw_doc *doc, const char *key, int64_t value, struct lw_err *err)
{
	return set(doc, key, json_integer(value), err);
}

enum lw_status
fill_set_bool(
    struct lw_doc *doc, const char *key, bool value, struct lw_err *err)
{
	return set(doc, key, json_boolean(value), err);
}

enum lw_status
fill_set_text_in(struct lw_doc *doc, const char *list, const char *key,
    const char *is, const char *name, const char *text, struct lw_err *err)
{
	json_t *items = json_object_get(doc->root, list), *item, *value;
	const char *found;
	size_t i;

	for (i = 0; i < json_array_size(items); i++) {
		item = json_array_get(items, i);
		found = json_string_value(json_object_get(item, key));
		if (found == NULL || strcmp(found, is) != 0)
			continue;
		value = text == NULL ? json_null() : mended_text(text);
		if (value == NULL ||
		    json_object_set_new(item, name, value) != 0)
			return err_no_memory(err);
		return LW_OK;
	}
	return LW_OK;
}
