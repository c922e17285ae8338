/* Canonical YAML in block style. A text is plain where that is safe, a
 * literal block where it has several lines, else in double quotes. What is
 * written is left to write.c. */
#include "pack/emit.h"

#include "base/utf8.h"

#include <string.h>

static void
indent_by(struct pack_emit *emit, unsigned levels)
{
	while (levels-- > 0)
		buf_add(&emit->buf, "  ");
}

static void
begin_line(struct pack_emit *emit)
{
	if (!emit->dash)
		indent_by(emit, emit->indent);
	emit->dash = false;
}

/* Characters that YAML takes for a line's end, or does not take at all
 * outside an escape. */
static bool
needs_escape(uint32_t point)
{
	return (point < 0x20 && point != '\n' && point != '\t') ||
	       (point >= 0x7F && point < 0xA0) || point == 0x2028 ||
	       point == 0x2029 || point == 0xFEFF || point == 0xFFFE ||
	       point == 0xFFFF;
}

static bool
has_escapes(const char *text)
{
	size_t length = strlen(text), at, n;
	uint32_t point = 0;

	for (at = 0; at < length; at += n) {
		n = utf8_decode(text + at, length - at, &point);
		if (n == 0 || needs_escape(point))
			return true;
	}
	return false;
}

/* Whether the text says the same without quotes: it begins with a letter, a
 * digit or a character past ASCII, and has nothing that ends it early. */
static bool
is_plain(const char *text)
{
	size_t length = strlen(text);
	unsigned char first = (unsigned char)text[0], last;

	if (length == 0)
		return false;
	last = (unsigned char)text[length - 1];
	if (!((first >= 'a' && first <= 'z') ||
		(first >= 'A' && first <= 'Z') ||
		(first >= '0' && first <= '9') || first >= 0x80))
		return false;
	return last != ' ' && last != ':' && strpbrk(text, "\n\t") == NULL &&
	       strstr(text, ": ") == NULL && strstr(text, " #") == NULL &&
	       !has_escapes(text);
}

/* Whether the text can be a literal block, its last line without an end. */
static bool
is_literal(const char *text)
{
	size_t length = strlen(text);

	return length > 0 && strchr(text, '\n') != NULL &&
	       strchr(" \n", text[0]) == NULL && text[length - 1] != '\n' &&
	       strchr(text, '\t') == NULL && !has_escapes(text);
}

static void
add_literal(struct pack_emit *emit, const char *text)
{
	size_t length;

	buf_add(&emit->buf, "|-");
	for (;; text += length + 1) {
		length = strcspn(text, "\n");
		buf_add(&emit->buf, "\n");
		if (length > 0)
			indent_by(emit, emit->indent + 1);
		buf_add_n(&emit->buf, text, length);
		if (text[length] == '\0')
			break;
	}
}

static void
add_quoted(struct pack_emit *emit, const char *text)
{
	size_t length = strlen(text), at, n;
	uint32_t point = 0;

	buf_add_char(&emit->buf, '"');
	for (at = 0; at < length; at += n) {
		n = utf8_decode(text + at, length - at, &point);
		if (n == 0) {
			emit->bad = true;
			break;
		}
		if (point == '"' || point == '\\')
			buf_printf(&emit->buf, "\\%c", (char)point);
		else if (point == '\n')
			buf_add(&emit->buf, "\\n");
		else if (point == '\t')
			buf_add(&emit->buf, "\\t");
		else if (needs_escape(point))
			buf_printf(&emit->buf, "\\u%04X", (unsigned)point);
		else
			buf_add_n(&emit->buf, text + at, n);
	}
	buf_add_char(&emit->buf, '"');
}

void
pack_emit_text(struct pack_emit *emit, const char *text)
{
	if (!emit->dash)
		buf_add_char(&emit->buf, ' ');
	emit->dash = false;
	if (is_plain(text))
		buf_add(&emit->buf, text);
	else if (is_literal(text))
		add_literal(emit, text);
	else
		add_quoted(emit, text);
	buf_add_char(&emit->buf, '\n');
}

void
pack_emit_key(struct pack_emit *emit, const char *key)
{
	begin_line(emit);
	if (is_plain(key))
		buf_add(&emit->buf, key);
	else
		add_quoted(emit, key);
	buf_add_char(&emit->buf, ':');
}

void
pack_emit_item(struct pack_emit *emit)
{
	begin_line(emit);
	buf_add(&emit->buf, "- ");
	emit->dash = true;
}

void
pack_emit_deeper(struct pack_emit *emit)
{
	buf_add_char(&emit->buf, '\n');
	emit->indent++;
}

void
pack_emit_shallower(struct pack_emit *emit)
{
	emit->indent--;
}
