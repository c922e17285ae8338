/* Lays out text for a terminal: columns, line breaks, bold. What is said is
 * left to the templates. */
#include "cli/wrap.h"

#include "base/utf8.h"

#include <string.h>

#define CELLS_MAX 6
#define CELL_WIDEST 36 /* a wider cell does not push the others */

static const char bold[] = "\033[1m";
static const char plain[] = "\033[0m";

struct line {
	const char *cells[CELLS_MAX];
	size_t lengths[CELLS_MAX]; /* in bytes */
	size_t count;
};

/* Split a line at its tabs; the last cell takes what is left. */
static void
split(struct line *line, const char *text, size_t length)
{
	const char *tab;

	line->count = 0;
	for (;;) {
		tab = memchr(text, '\t', length);
		line->cells[line->count] = text;
		if (tab == NULL || line->count == CELLS_MAX - 1)
			break;
		line->lengths[line->count++] = (size_t)(tab - text);
		length -= (size_t)(tab - text) + 1;
		text = tab + 1;
	}
	line->lengths[line->count++] = length;
}

/* Widen the columns so that this line's cells fit, all but its last. */
static void
measure(size_t widths[CELLS_MAX], const struct line *line)
{
	size_t i, width;

	for (i = 0; i + 1 < line->count; i++) {
		width = utf8_count(line->cells[i], line->lengths[i]) + 2;
		if (width <= CELL_WIDEST && width > widths[i])
			widths[i] = width;
	}
}

static void
add_spaces(struct buf *out, size_t count)
{
	while (count-- > 0)
		buf_add_char(out, ' ');
}

static size_t
signal_word(const char *text, size_t length)
{
	static const char *const words[] = {
	    "DANGER", "WARNING", "CAUTION", "NOTICE"};
	size_t i, n;

	for (i = 0; i < sizeof words / sizeof words[0]; i++) {
		n = strlen(words[i]);
		if (length > n && memcmp(text, words[i], n) == 0 &&
		    text[n] == ':')
			return n;
	}
	return 0;
}

/* Where the second row of a paragraph begins, counted from its start: under
 * the text after "1. " or "- ". */
static size_t
hanging(const char *text, size_t length)
{
	size_t i = 0;

	while (i < length && text[i] >= '0' && text[i] <= '9')
		i++;
	if (i > 0 && i < length && text[i] == '.')
		i++;
	else if (i == 0 && length > 0 && text[0] == '-')
		i = 1;
	else
		return 0;
	return i < length && text[i] == ' ' ? i + 1 : 0;
}

/* Write words from `column` on, and further rows from `indent` on. */
static void
add_words(struct buf *out, const char *text, size_t length, size_t column,
    size_t indent, bool style)
{
	bool whole = length > 11 && memcmp(text, "lampwright ", 11) == 0;
	size_t n, width, spaces, mark = signal_word(text, length);
	bool first = true;

	while (length > 0) {
		for (spaces = 0; spaces < length && text[spaces] == ' ';)
			spaces++;
		text += spaces;
		length -= spaces;
		for (n = 0; n < length && text[n] != ' ';)
			n++;
		if (n == 0)
			break;
		width = utf8_count(text, n);
		if (!first && !whole &&
		    column + spaces + width > WRAP_COLUMNS) {
			buf_add_char(out, '\n');
			add_spaces(out, indent);
			column = indent;
		} else {
			add_spaces(out, spaces);
			column += spaces;
		}
		if (first && mark > 0 && style) {
			buf_add(out, bold);
			buf_add_n(out, text, mark);
			buf_add(out, plain);
			buf_add_n(out, text + mark, n - mark);
		} else {
			buf_add_n(out, text, n);
		}
		column += width;
		text += n;
		length -= n;
		first = false;
	}
}

static void
add_line(struct buf *out, const struct line *line,
    const size_t widths[CELLS_MAX], bool style)
{
	const char *text = line->cells[line->count - 1];
	size_t length = line->lengths[line->count - 1];
	size_t column = 0, i, width, indent;
	bool heading;

	if (line->count == 1 && length > 2 && memcmp(text, "= ", 2) == 0) {
		buf_add_n(out, text + 2, length - 2);
		buf_add_char(out, '\n');
		return;
	}
	for (i = 0; i + 1 < line->count; i++) {
		buf_add_n(out, line->cells[i], line->lengths[i]);
		width = utf8_count(line->cells[i], line->lengths[i]);
		column += width;
		/* A cell wider than its column pushes the rest along. */
		if (width + 2 <= widths[i]) {
			add_spaces(out, widths[i] - width);
			column += widths[i] - width;
		} else {
			add_spaces(out, 2);
			column += 2;
		}
	}
	if (line->count == 1) {
		while (length > 0 && *text == ' ') {
			buf_add_char(out, ' ');
			column++;
			text++;
			length--;
		}
	}
	/* A list in a template leaves its last separator behind. */
	if (length > 2 && memcmp(text + length - 2, "; ", 2) == 0)
		length -= 2;
	heading = column == 0 && length > 2 && memcmp(text, "# ", 2) == 0;
	if (heading) {
		text += 2;
		length -= 2;
	}
	indent = column + hanging(text, length);
	if (indent > WRAP_COLUMNS / 2)
		indent = WRAP_COLUMNS / 2;
	if (heading && style)
		buf_add(out, bold);
	add_words(out, text, length, column, indent, style && !heading);
	if (heading && style)
		buf_add(out, plain);
	buf_add_char(out, '\n');
}

/* The length of the line at `text`, without its end. */
static size_t
line_length(const char *text)
{
	return strcspn(text, "\n");
}

void
wrap_text(struct buf *out, const char *text, bool style)
{
	size_t widths[CELLS_MAX], length;
	const char *block, *at;
	struct line line;
	bool gap = false, any = false;

	while (*text != '\0') {
		length = line_length(text);
		if (strspn(text, " \t") >= length) {
			gap = any;
			text += length + (text[length] == '\n');
			continue;
		}
		if (gap)
			buf_add_char(out, '\n');
		gap = false;
		any = true;
		/* A block is the neighbouring lines that have tabs. */
		memset(widths, 0, sizeof widths);
		block = text;
		for (at = text; *at != '\0';) {
			length = line_length(at);
			split(&line, at, length);
			if (line.count == 1)
				break;
			measure(widths, &line);
			at += length + (at[length] == '\n');
		}
		if (at == block) {
			length = line_length(at);
			at += length + (at[length] == '\n');
		}
		while (block < at) {
			length = line_length(block);
			split(&line, block, length);
			add_line(out, &line, widths, style);
			block += length + (block[length] == '\n');
		}
		text = at;
	}
}
