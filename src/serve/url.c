/* Reads request paths strictly and writes addresses with the escaping of
 * their place; which addresses exist is left to route.c. */
#include "serve/url.h"

#include "base/err.h"
#include "base/utf8.h"

#include <string.h>

int
url_hex(char c)
{
	if (c >= '0' && c <= '9')
		return c - '0';
	if (c >= 'a' && c <= 'f')
		return c - 'a' + 10;
	if (c >= 'A' && c <= 'F')
		return c - 'A' + 10;
	return -1;
}

static enum lw_status
unreadable(struct lw_err *err)
{
	return err_set(err, LW_BAD_INPUT,
	    "the address has characters that no address here has");
}

enum lw_status
url_path_read(struct url_path *path, const char *target, struct lw_err *err)
{
	size_t length = strcspn(target, "?");
	size_t from, used = 0;
	char c;

	path->count = 0;
	if (length == 0 || target[0] != '/')
		return unreadable(err);
	/* Decoding only shortens, and a NUL stands in place of each slash. */
	if (length >= URL_PATH_MAX)
		return err_set(err, LW_TOO_BIG,
		    "the address is longer than any address here");
	if (length == 1)
		return LW_OK;
	for (from = 0; from < length; from++) {
		c = target[from];
		if (c == '/') {
			if (path->count == URL_SEGMENTS_MAX)
				return err_set(err, LW_TOO_BIG,
				    "the address is deeper than any "
				    "address here");
			if (from > 0)
				path->store[used++] = '\0';
			path->segments[path->count++] = path->store + used;
			continue;
		}
		if (c == '%') {
			int high = url_hex(target[from + 1]);
			int low = high < 0 ? -1 : url_hex(target[from + 2]);

			if (low < 0 || from + 2 >= length)
				return unreadable(err);
			c = (char)(high * 16 + low);
			from += 2;
		}
		if (c == '/' || c == '\\' || (unsigned char)c < 0x20 ||
		    c == 0x7f)
			return unreadable(err);
		path->store[used++] = c;
	}
	path->store[used] = '\0';
	if (utf8_valid(path->store, used) != used)
		return unreadable(err);
	return LW_OK;
}

const char *
url_query_of(const char *target)
{
	const char *mark = strchr(target, '?');

	return mark == NULL ? "" : mark + 1;
}

static bool
is_unreserved(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
	       (c >= '0' && c <= '9') || c == '-' || c == '.' || c == '_' ||
	       c == '~';
}

static void
add_escaped(struct buf *url, const char *text)
{
	static const char digits[] = "0123456789ABCDEF";

	for (; *text != '\0'; text++) {
		unsigned char byte = (unsigned char)*text;

		if (is_unreserved(*text)) {
			buf_add_char(url, *text);
		} else {
			buf_add_char(url, '%');
			buf_add_char(url, digits[byte >> 4]);
			buf_add_char(url, digits[byte & 15]);
		}
	}
}

void
url_add_segment(struct buf *url, const char *text)
{
	buf_add_char(url, '/');
	add_escaped(url, text);
}

void
url_add_query(struct buf *url, const char *name, const char *value)
{
	if (value == NULL || *value == '\0')
		return;
	buf_add_char(url, strchr(buf_text(url), '?') == NULL ? '?' : '&');
	buf_add(url, name);
	buf_add_char(url, '=');
	add_escaped(url, value);
}

void
url_add_without(struct buf *url, const char *target, const char *name)
{
	const char *piece = url_query_of(target);
	size_t length = strlen(name);
	char before = '?';

	buf_add_n(url, target, strcspn(target, "?"));
	while (*piece != '\0') {
		size_t n = strcspn(piece, "&");

		if (n > 0 && (strncmp(piece, name, length) != 0 ||
				 piece[length] != '=')) {
			buf_add_char(url, before);
			buf_add_n(url, piece, n);
			before = '&';
		}
		piece += n;
		if (*piece == '&')
			piece++;
	}
}

bool
url_is_local(const char *text)
{
	const char *c;
	bool query = false;

	if (text[0] != '/')
		return false;
	for (c = text; *c != '\0'; c++) {
		if (c[0] == '/' && c[1] == '/' && !query)
			return false;
		if (*c == '?')
			query = true;
		if (!is_unreserved(*c) && strchr("/?=&%+", *c) == NULL)
			return false;
	}
	return true;
}
