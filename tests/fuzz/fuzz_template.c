/* Input: a template, NUL, a JSON document. The template is filled as a page
 * and as text, with itself as the partial "p"; the document is written as
 * JSON and read back. What comes out is checked as far as it can be without
 * a second renderer. */
#include "base/utf8.h"
#include "fill/doc.h"
#include "fill/fill.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool good)
{
	if (!good)
		abort();
}

static void
check_error(enum lw_status status, const struct lw_err *err)
{
	require(status == LW_BAD_INPUT || status == LW_TOO_BIG);
	require(err->code == status);
	require(err->text[0] != '\0' && strchr(err->text, '\n') == NULL);
	require(utf8_valid(err->text, strlen(err->text)) == strlen(err->text));
	require(status != LW_BAD_INPUT || (err->line > 0 && err->column > 0));
}

/* No control characters but those of lines; in a page nothing that XML 1.0
 * forbids, in text no C1 controls either. */
static void
check_output(const struct buf *out, enum fill_kind kind)
{
	size_t at, n;
	uint32_t c = 0;

	for (at = 0; at < out->length; at += n) {
		n = utf8_decode(out->data + at, out->length - at, &c);
		require(n > 0);
		require(c >= 0x20 || c == '\t' || c == '\n' || c == '\r');
		require(kind != FILL_HTML || (c != 0xFFFE && c != 0xFFFF));
		require(kind != FILL_TEXT || c < 0x7F || c > 0x9F);
	}
}

static void
fill_both(const char *template, size_t length, const struct lw_doc *doc)
{
	struct asset table[] = {
	    {"p", (const unsigned char *)template, length}, {NULL, NULL, 0}};
	struct fill_source from = {.table = table};
	enum lw_status status;
	struct lw_err err;
	struct buf out;
	int kind;

	for (kind = FILL_HTML; kind <= FILL_TEXT; kind++) {
		memset(&err, 0, sizeof err);
		buf_init(&out, 100000);
		status = fill_string(&out, &from, (enum fill_kind)kind,
		    template, length, doc, &err);
		if (status == LW_OK)
			check_output(&out, (enum fill_kind)kind);
		else
			check_error(status, &err);
		buf_clear(&out);
	}
}

static void
write_back(const struct lw_doc *doc)
{
	struct lw_err err = {0};
	json_t *again;
	char *text;
	size_t length;

	if (lw_doc_json(&text, &length, doc, &err) != LW_OK) {
		require(err.code == LW_TOO_BIG && text == NULL);
		return;
	}
	again = json_loadb(text, length, JSON_ALLOW_NUL, NULL);
	require(again != NULL && json_equal(again, doc->root));
	json_decref(again);
	free(text);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	const char *text = (const char *)data;
	size_t length = size == 0 ? 0 : strnlen(text, size);
	struct lw_doc doc = {NULL};

	if (length < size)
		doc.root = json_loadb(
		    text + length + 1, size - length - 1, JSON_ALLOW_NUL, NULL);
	if (doc.root == NULL)
		doc.root = json_object();
	else
		write_back(&doc);
	if (doc.root != NULL)
		fill_both(text, length, &doc);
	json_decref(doc.root);
	return 0;
}
