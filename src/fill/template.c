/* Takes a template apart into pieces, after the mustache specification's
 * rules for tags and standalone lines; what they show is left to render.c. */
#include "fill/template.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"
#include "fill/fill.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

struct parser {
	struct template *template;
	struct lw_arena *arena;
	struct lw_err *err;
	size_t room;
	size_t text_from; /* where text not yet in a piece begins */
	size_t open[FILL_SECTIONS_MAX]; /* sections not yet closed */
	size_t depth;
};

/* One tag, from its first { to after its last }. */
struct tag {
	size_t from;
	size_t to;
	char sigil; /* # ^ / > ! or 0 for a plain name */
	const char *name;
	size_t length;
};

static const char name_chars[] = "abcdefghijklmnopqrstuvwxyz"
				 "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
				 "0123456789_-";

void
template_place(unsigned *line, unsigned *column,
    const struct template *template, size_t offset)
{
	size_t i, start = 0;

	*line = 1;
	for (i = 0; i < offset && i < template->length; i++) {
		if (template->text[i] == '\n') {
			start = i + 1;
			++*line;
		}
	}
	if (template->indent_length < i - start)
		start += template->indent_length;
	*column = (unsigned)utf8_count(template->text + start, i - start) + 1;
}

/* How much of a name an error shows: one line, at most 60 bytes. */
static int
shown(const char *name, size_t length)
{
	size_t i, most = length > 60 ? utf8_whole(name, 60) : length;

	for (i = 0; i < most && (unsigned char)name[i] >= ' '; i++)
		;
	return (int)i;
}

__attribute__((format(printf, 4, 5))) static enum lw_status
fail(struct parser *parser, size_t offset, enum lw_status code,
    const char *format, ...)
{
	char text[sizeof parser->err->text];
	unsigned line, column;
	va_list args;

	va_start(args, format);
	vsnprintf(text, sizeof text, format, args);
	va_end(args);
	template_place(&line, &column, parser->template, offset);
	err_set_at(parser->err, code, line, column, "%s", text);
	err_in_file(parser->err, parser->template->file);
	return code;
}

/* The first place from `at` on where `c` stands twice; length where none. */
static size_t
find_pair(const struct template *template, size_t at, char c)
{
	const char *text = template->text, *found;

	while (at + 1 < template->length) {
		found = memchr(text + at, c, template->length - at - 1);
		if (found == NULL)
			break;
		at = (size_t)(found - text);
		if (text[at + 1] == c)
			return at;
		at++;
	}
	return template->length;
}

static bool
is_blank(char c)
{
	return c == ' ' || c == '\t';
}

static bool
is_space(char c)
{
	return is_blank(c) || c == '\n' || c == '\r';
}

/* A dotted name, or a point alone. */
static bool
is_name(const char *name, size_t length)
{
	bool part = false;
	size_t i;

	if (length == 1 && name[0] == '.')
		return true;
	for (i = 0; i < length; i++) {
		if (name[i] == '.') {
			if (!part)
				return false;
			part = false;
		} else if (name[i] != '\0' &&
			   strchr(name_chars, name[i]) != NULL) {
			part = true;
		} else {
			return false;
		}
	}
	return part;
}

static bool
is_partial_name(const char *name, size_t length)
{
	size_t i;

	if (length == 0 || name[0] == '/')
		return false;
	for (i = 0; i < length; i++) {
		if (name[i] == '.' && i + 1 < length && name[i + 1] == '.')
			return false;
		if (name[i] == '\0' || (name[i] != '/' && name[i] != '.' &&
					   strchr(name_chars, name[i]) == NULL))
			return false;
	}
	return true;
}

/* Whether nothing but blanks shares the tag's lines with it. If so, widen
 * it: *from to the line's beginning, *to past the line's end. */
static bool
is_standalone(size_t *from, size_t *to, const struct template *template)
{
	const char *text = template->text;
	size_t start = *from, end = *to;

	while (start > 0 && is_blank(text[start - 1]))
		start--;
	if (start > 0 && text[start - 1] != '\n')
		return false;
	while (end < template->length && is_blank(text[end]))
		end++;
	if (end < template->length && text[end] == '\r')
		end++;
	if (end < template->length) {
		if (text[end] != '\n')
			return false;
		end++;
	}
	*from = start;
	*to = end;
	return true;
}

static struct piece *
add_piece(struct parser *parser, enum piece_kind kind, const char *text,
    size_t length)
{
	struct template *template = parser->template;
	struct piece *piece = arena_grow(parser->arena, &template->pieces,
	    &template->count, &parser->room, sizeof *piece);

	if (piece == NULL) {
		err_no_memory(parser->err);
		return NULL;
	}
	piece->kind = kind;
	piece->text = text;
	piece->length = length;
	return piece;
}

/* The text before `end` that is in no piece yet. */
static enum lw_status
add_text(struct parser *parser, size_t end)
{
	if (end > parser->text_from &&
	    add_piece(parser, PIECE_TEXT,
		parser->template->text + parser->text_from,
		end - parser->text_from) == NULL)
		return LW_NO_MEMORY;
	return LW_OK;
}

/* Read the tag that begins at `at`. */
static enum lw_status
read_tag(struct tag *tag, struct parser *parser, size_t at)
{
	const struct template *template = parser->template;
	const char *text = template->text;
	size_t begin = at + 2, end = find_pair(template, begin, '}');

	memset(tag, 0, sizeof *tag);
	if (end == template->length)
		return fail(parser, at, LW_BAD_INPUT,
		    "this tag is never closed; it needs }}");
	tag->from = at;
	tag->to = end + 2;
	while (begin < end && is_space(text[begin]))
		begin++;
	if (begin < end && strchr("#^/>!{&=", text[begin]) != NULL)
		tag->sigil = text[begin++];
	switch (tag->sigil) {
	case '{':
	case '&':
		return fail(parser, at, LW_BAD_INPUT,
		    "values are always escaped here; write {{name}}");
	case '=':
		return fail(parser, at, LW_BAD_INPUT,
		    "tags are always written {{ and }} here; they cannot be "
		    "changed");
	case '!':
		return LW_OK;
	default:
		break;
	}
	while (begin < end && is_space(text[begin]))
		begin++;
	while (end > begin && is_space(text[end - 1]))
		end--;
	tag->name = text + begin;
	tag->length = end - begin;
	if (tag->sigil == '>') {
		if (!is_partial_name(tag->name, tag->length))
			return fail(parser, at, LW_BAD_INPUT,
			    "'%.*s' cannot be a partial's name; it needs "
			    "letters, digits, _ - / and points, no .. and no "
			    "/ first",
			    shown(tag->name, tag->length), tag->name);
	} else if (!is_name(tag->name, tag->length)) {
		return fail(parser, at, LW_BAD_INPUT,
		    "'%.*s' cannot be a name; it needs letters, digits, _ and "
		    "-, with single points between parts",
		    shown(tag->name, tag->length), tag->name);
	}
	return LW_OK;
}

static enum lw_status
close_section(struct parser *parser, const struct tag *tag)
{
	struct template *template = parser->template;
	struct piece *open;

	if (parser->depth == 0)
		return fail(parser, tag->from, LW_BAD_INPUT,
		    "no section is open here; {{#%.*s}} is missing before it",
		    shown(tag->name, tag->length), tag->name);
	open = &template->pieces[parser->open[parser->depth - 1]];
	if (open->length != tag->length ||
	    memcmp(open->text, tag->name, tag->length) != 0)
		return fail(parser, tag->from, LW_BAD_INPUT,
		    "another section is open here; {{/%.*s}} must come first",
		    shown(open->text, open->length), open->text);
	open->end = template->count;
	parser->depth--;
	return LW_OK;
}

static enum lw_status
open_section(struct parser *parser, const struct tag *tag)
{
	struct piece *piece;

	if (parser->depth == FILL_SECTIONS_MAX)
		return fail(parser, tag->from, LW_TOO_BIG,
		    "{{#%.*s}} is too deep; at most 32 sections may stand "
		    "inside one another",
		    shown(tag->name, tag->length), tag->name);
	piece = add_piece(parser,
	    tag->sigil == '#' ? PIECE_SECTION : PIECE_INVERTED, tag->name,
	    tag->length);
	if (piece == NULL)
		return LW_NO_MEMORY;
	piece->offset = tag->from;
	parser->open[parser->depth++] = parser->template->count - 1;
	return LW_OK;
}

/* Turn a tag, and the text before it, into pieces. */
static enum lw_status
take_tag(struct parser *parser, const struct tag *tag)
{
	size_t from = tag->from, to = tag->to;
	struct piece *piece;
	enum lw_status status;
	bool alone =
	    tag->sigil != '\0' && is_standalone(&from, &to, parser->template);

	status = add_text(parser, from);
	parser->text_from = to;
	if (status != LW_OK || tag->sigil == '!')
		return status;
	if (tag->sigil == '/')
		return close_section(parser, tag);
	if (tag->sigil == '#' || tag->sigil == '^')
		return open_section(parser, tag);
	piece =
	    add_piece(parser, tag->sigil == '>' ? PIECE_PARTIAL : PIECE_VALUE,
		tag->name, tag->length);
	if (piece == NULL)
		return LW_NO_MEMORY;
	piece->offset = tag->from;
	if (alone) {
		piece->indent = parser->template->text + from;
		piece->indent_length = tag->from - from;
	}
	return LW_OK;
}

/* Templates are text: UTF-8 without control characters, so that what they
 * make is text, and well-formed XML where they are. */
static enum lw_status
check_text(struct parser *parser)
{
	const struct template *template = parser->template;
	size_t at, n;
	uint32_t c;

	for (at = 0; at < template->length; at += n) {
		n = utf8_decode(template->text + at, template->length - at, &c);
		if (n == 0)
			return fail(parser, at, LW_BAD_INPUT,
			    "these bytes are not UTF-8; save the template as "
			    "UTF-8");
		if ((c < 0x20 && !is_space((char)c)) || c == 0x7F ||
		    (c >= 0x80 && c < 0xA0) || c == 0xFFFE || c == 0xFFFF)
			return fail(parser, at, LW_BAD_INPUT,
			    "a control character stands here; only newline "
			    "and tab may");
	}
	return LW_OK;
}

/* A copy of the text with `indent` before each line that is not empty. */
static enum lw_status
copy_text(struct parser *parser, const char *text, size_t length,
    const char *indent, size_t indent_length)
{
	struct template *template = parser->template;
	size_t i, whole = length;
	char *copy;

	for (i = 0; i < length; i++) {
		if ((i == 0 || text[i - 1] == '\n') && text[i] != '\n')
			whole += indent_length;
		if (whole > FILL_TEMPLATE_MAX)
			break;
	}
	if (whole > FILL_TEMPLATE_MAX) {
		err_set(parser->err, LW_TOO_BIG,
		    "the template is larger than the %d bytes allowed",
		    FILL_TEMPLATE_MAX);
		err_in_file(parser->err, template->file);
		return LW_TOO_BIG;
	}
	copy = arena_alloc(parser->arena, whole + 1);
	if (copy == NULL)
		return err_no_memory(parser->err);
	template->text = copy;
	template->length = whole;
	template->indent_length = indent_length;
	for (i = 0; i < length; i++) {
		if (indent_length > 0 && (i == 0 || text[i - 1] == '\n') &&
		    text[i] != '\n') {
			memcpy(copy, indent, indent_length);
			copy += indent_length;
		}
		*copy++ = text[i];
	}
	*copy = '\0';
	return LW_OK;
}

enum lw_status
template_parse(struct template *template, struct lw_arena *arena,
    const char *file, const char *text, size_t length, const char *indent,
    size_t indent_length, struct lw_err *err)
{
	struct parser parser = {
	    .template = template, .arena = arena, .err = err};
	struct piece *open;
	struct tag tag;
	size_t at = 0;
	enum lw_status status;

	memset(template, 0, sizeof *template);
	template->file = file;
	status = copy_text(&parser, text, length, indent, indent_length);
	if (status == LW_OK)
		status = check_text(&parser);
	while (status == LW_OK) {
		at = find_pair(template, at, '{');
		if (at == template->length)
			break;
		status = read_tag(&tag, &parser, at);
		if (status == LW_OK)
			status = take_tag(&parser, &tag);
		at = tag.to;
	}
	if (status != LW_OK)
		return status;
	if (parser.depth > 0) {
		open = &template->pieces[parser.open[parser.depth - 1]];
		return fail(&parser, open->offset, LW_BAD_INPUT,
		    "this section is never closed; {{/%.*s}} is missing",
		    shown(open->text, open->length), open->text);
	}
	return add_text(&parser, template->length);
}
