/* Escapes values for HTML, plain text and JSON. */
#include "fill/escape.h"

#include "base/utf8.h"

#include <stdbool.h>
#include <string.h>

static const char replacement[] = "\xEF\xBF\xBD"; /* U+FFFD */

static bool
is_control(uint32_t c)
{
	return c < 0x20 || (c >= 0x7F && c < 0xA0);
}

static bool
turns_writing(uint32_t c)
{
	return (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
}

/* What to write for a character: NULL for itself, "" for nothing. */
static const char *
for_html(uint32_t c)
{
	switch (c) {
	case '&':
		return "&amp;";
	case '<':
		return "&lt;";
	case '>':
		return "&gt;";
	case '"':
		return "&quot;";
	case '\'':
		return "&#39;";
	case '\t':
	case '\n':
	case '\r':
		return NULL;
	default:
		return c < 0x20 || c == 0xFFFE || c == 0xFFFF ? "" : NULL;
	}
}

static const char *
for_text(uint32_t c)
{
	if (c == '\n' || c == '\t')
		return NULL;
	return is_control(c) || turns_writing(c) ? "" : NULL;
}

static const char *
for_json(uint32_t c)
{
	switch (c) {
	case '"':
		return "\\\"";
	case '\\':
		return "\\\\";
	case '\b':
		return "\\b";
	case '\f':
		return "\\f";
	case '\n':
		return "\\n";
	case '\r':
		return "\\r";
	case '\t':
		return "\\t";
	default:
		return NULL;
	}
}

/* Whether a byte is itself in whatever is written: most are. */
static bool
is_plain(char c)
{
	return (c >= '(' && c <= '~' && c != '<' && c != '>' && c != '\\') ||
	       c == ' ';
}

/* Go through the text, and write runs that need no change at once. */
static void
escape(struct buf *out, const char *text, size_t length,
    const char *(*instead)(uint32_t), bool numbers)
{
	const char *other;
	size_t at, n, done = 0;
	uint32_t c = 0;

	for (at = 0; at < length; at += n) {
		n = 1;
		if (is_plain(text[at]))
			continue;
		n = utf8_decode(text + at, length - at, &c);
		if (n == 0) {
			n = 1;
			c = 0xFFFD;
			other = replacement;
		} else {
			other = instead(c);
		}
		if (other == NULL &&
		    !(numbers && (is_control(c) || turns_writing(c))))
			continue;
		buf_add_n(out, text + done, at - done);
		if (other != NULL)
			buf_add(out, other);
		else
			buf_printf(out, "\\u%04x", (unsigned)c);
		done = at + n;
	}
	buf_add_n(out, text + done, length - done);
}

void
escape_html(struct buf *out, const char *text, size_t length)
{
	escape(out, text, length, for_html, false);
}

void
escape_text(struct buf *out, const char *text, size_t length)
{
	escape(out, text, length, for_text, false);
}

void
escape_json(struct buf *out, const char *text, size_t length)
{
	escape(out, text, length, for_json, true);
}
