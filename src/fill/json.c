/* Writes a document as JSON (RFC 8259), keys in the order in which they were
 * set. jansson's own writer shows 0.3 as 0.29999999999999999; this one writes
 * the shortest form that reads back to the same value. */
#include "fill/doc.h"

#include "base/err.h"
#include "base/num.h"
#include "fill/escape.h"

#include <string.h>

/* A tree of 200 checks below one another is some 600 deep; past 64 it is not
 * indented further, so that a text does not consist of spaces. */
enum { JSON_MAX = 64 * 1024 * 1024, DEEPEST = 1000, INDENT_MOST = 64 };

static enum lw_status write_value(
    struct buf *out, json_t *value, int depth, struct lw_err *err);

static void
new_line(struct buf *out, int depth)
{
	buf_printf(
	    out, "\n%*s", 2 * (depth < INDENT_MOST ? depth : INDENT_MOST), "");
}

static void
write_text(struct buf *out, const char *text, size_t length)
{
	buf_add_char(out, '"');
	escape_json(out, text, length);
	buf_add_char(out, '"');
}

/* A real keeps a mark of being one, so that it is read back as one. */
static void
write_real(struct buf *out, double value)
{
	char number[32];

	num_format(number, sizeof number, value);
	buf_add(out, number);
	if (strpbrk(number, ".e") == NULL)
		buf_add(out, ".0");
}

static enum lw_status
write_object(struct buf *out, json_t *object, int depth, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	void *at = json_object_iter(object);
	const char *between = "";

	if (at == NULL) {
		buf_add(out, "{}");
		return LW_OK;
	}
	buf_add_char(out, '{');
	for (; at != NULL && status == LW_OK;
	     at = json_object_iter_next(object, at)) {
		buf_add(out, between);
		between = ",";
		new_line(out, depth + 1);
		write_text(out, json_object_iter_key(at),
		    json_object_iter_key_len(at));
		buf_add(out, ": ");
		status = write_value(
		    out, json_object_iter_value(at), depth + 1, err);
	}
	new_line(out, depth);
	buf_add_char(out, '}');
	return status;
}

static enum lw_status
write_array(struct buf *out, json_t *array, int depth, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i, count = json_array_size(array);

	if (count == 0) {
		buf_add(out, "[]");
		return LW_OK;
	}
	buf_add_char(out, '[');
	for (i = 0; i < count && status == LW_OK; i++) {
		if (i > 0)
			buf_add_char(out, ',');
		new_line(out, depth + 1);
		status =
		    write_value(out, json_array_get(array, i), depth + 1, err);
	}
	new_line(out, depth);
	buf_add_char(out, ']');
	return status;
}

static enum lw_status
write_value(struct buf *out, json_t *value, int depth, struct lw_err *err)
{
	if (depth > DEEPEST)
		return err_set(err, LW_TOO_BIG,
		    "the document is nested more than %d deep", DEEPEST);
	if (out->status != LW_OK)
		return buf_check(out, err);
	switch (json_typeof(value)) {
	case JSON_OBJECT:
		return write_object(out, value, depth, err);
	case JSON_ARRAY:
		return write_array(out, value, depth, err);
	case JSON_STRING:
		write_text(
		    out, json_string_value(value), json_string_length(value));
		break;
	case JSON_INTEGER:
		buf_printf(
		    out, "%" JSON_INTEGER_FORMAT, json_integer_value(value));
		break;
	case JSON_REAL:
		write_real(out, json_real_value(value));
		break;
	case JSON_TRUE:
		buf_add(out, "true");
		break;
	case JSON_FALSE:
		buf_add(out, "false");
		break;
	case JSON_NULL:
		buf_add(out, "null");
		break;
	}
	return LW_OK;
}

enum lw_status
lw_doc_json(
    char **text, size_t *length, const struct lw_doc *doc, struct lw_err *err)
{
	struct buf out;
	enum lw_status status;

	*text = NULL;
	*length = 0;
	buf_init(&out, JSON_MAX);
	status = write_value(&out, doc->root, 0, err);
	buf_add_char(&out, '\n');
	if (status == LW_OK)
		status = buf_check(&out, err);
	if (status == LW_OK) {
		*length = out.length;
		*text = buf_take(&out);
		if (*text == NULL)
			status = err_no_memory(err);
	}
	buf_clear(&out);
	return status;
}
