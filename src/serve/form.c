/* Takes an urlencoded form apart, strictly; what its fields mean is left to
 * the pages. */
#include "serve/form.h"

#include "base/err.h"
#include "base/utf8.h"
#include "serve/url.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/*
 * Decode `length` bytes of a name or a value to `to`, where at most as many
 * are written and a NUL after them. Returns how many; -1 for a broken escape.
 */
static ptrdiff_t
decode(char *to, const char *text, size_t length)
{
	size_t i, used = 0;

	for (i = 0; i < length; i++) {
		char c = text[i];

		if (c == '+') {
			c = ' ';
		} else if (c == '%') {
			int high, low;

			if (length - i < 3)
				return -1;
			high = url_hex(text[i + 1]);
			low = url_hex(text[i + 2]);
			if (high < 0 || low < 0)
				return -1;
			c = (char)(high * 16 + low);
			i += 2;
		}
		to[used++] = c;
	}
	to[used] = '\0';
	return (ptrdiff_t)used;
}

/* Line ends become a newline, form feeds (from pasted pages) too. */
static size_t
settle_lines(char *text, size_t length)
{
	size_t i, used = 0;

	for (i = 0; i < length; i++) {
		if (text[i] == '\r' && i + 1 < length && text[i + 1] == '\n')
			continue;
		text[used++] =
		    text[i] == '\r' || text[i] == '\f' ? '\n' : text[i];
	}
	text[used] = '\0';
	return used;
}

/* Whether every character may stand in a page: XML 1.0 (fifth edition),
 * section 2.2, production 2, without U+007F. */
static bool
is_text(const char *text, size_t length)
{
	while (length > 0) {
		uint32_t point;
		size_t n = utf8_decode(text, length, &point);

		if (n == 0 || point == 0x7f || point == 0xfffe ||
		    point == 0xffff ||
		    (point < 0x20 && point != '\n' && point != '\t'))
			return false;
		text += n;
		length -= n;
	}
	return true;
}

static enum lw_status
read_piece(struct form *form, char **store, const char *piece, size_t length,
    struct lw_err *err)
{
	const char *mark = memchr(piece, '=', length);
	size_t name_length = mark == NULL ? length : (size_t)(mark - piece);
	struct form_field *field = &form->fields[form->count];
	char *name = *store, *value;
	ptrdiff_t n;
	size_t i, name_used, value_used;

	if ((n = decode(name, piece, name_length)) < 0)
		goto broken;
	name_used = (size_t)n;
	value = name + name_used + 1;
	n = 0;
	if (mark == NULL)
		value[0] = '\0';
	else if ((n = decode(value, mark + 1, length - name_length - 1)) < 0)
		goto broken;
	value_used = settle_lines(value, (size_t)n);
	if (!is_text(name, name_used) || !is_text(value, value_used))
		return err_set(err, LW_BAD_INPUT,
		    "the form has characters that are not text; send plain "
		    "UTF-8 text");
	for (i = 0; i < form->count; i++)
		if (strcmp(form->fields[i].name, name) == 0)
			return err_set(err, LW_BAD_INPUT,
			    "the form gives one field twice; give each field "
			    "once");
	field->name = name;
	field->value = value;
	form->count++;
	*store = value + value_used + 1;
	return LW_OK;
broken:
	return err_set(err, LW_BAD_INPUT,
	    "the form has a percent sign without two hexadecimal digits after "
	    "it; send it the way a browser does");
}

enum lw_status
form_read(
    struct form *form, const char *text, size_t length, struct lw_err *err)
{
	return form_read_most(form, text, length, FORM_BYTES_MAX, err);
}

enum lw_status
form_read_most(struct form *form, const char *text, size_t length, size_t most,
    struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i, fields = 1, start = 0;
	char *store;

	memset(form, 0, sizeof *form);
	if (length == 0)
		return LW_OK;
	if (length > most)
		return err_set(err, LW_TOO_BIG,
		    "the form is longer than the %zu bytes allowed here", most);
	for (i = 0; i < length; i++)
		fields += text[i] == '&';
	if (fields > FORM_FIELDS_MAX)
		return err_set(err, LW_TOO_BIG,
		    "the form has more than the %d fields allowed here",
		    FORM_FIELDS_MAX);
	/* A piece of n bytes needs n + 2 at most: a NUL for the "&" or the
	 * end, and one more where it has no "=". */
	form->fields = calloc(fields, sizeof *form->fields);
	form->store = store = malloc(length + 2 * fields);
	if (form->fields == NULL || form->store == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	for (i = 0; i <= length && status == LW_OK; i++) {
		if (i < length && text[i] != '&')
			continue;
		if (i > start)
			status = read_piece(
			    form, &store, text + start, i - start, err);
		start = i + 1;
	}
out:
	if (status != LW_OK)
		form_clear(form);
	return status;
}

void
form_clear(struct form *form)
{
	free(form->fields);
	free(form->store);
	memset(form, 0, sizeof *form);
}

const char *
form_get_or_null(const struct form *form, const char *name)
{
	size_t i;

	for (i = 0; i < form->count; i++)
		if (strcmp(form->fields[i].name, name) == 0)
			return form->fields[i].value[0] == '\0'
				   ? NULL
				   : form->fields[i].value;
	return NULL;
}

const char *
form_get(const struct form *form, const char *name)
{
	const char *value = form_get_or_null(form, name);

	return value == NULL ? "" : value;
}

const char *
form_get_at(const struct form *form, const char *name, unsigned number)
{
	char full[64];

	snprintf(full, sizeof full, "%s.%u", name, number);
	return form_get(form, full);
}
