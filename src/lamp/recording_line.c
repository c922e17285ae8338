/* A line of a recording into cells, and cells into numbers: separators,
 * quotes, decimal commas. What a column holds is left to recording_head.c. */
#include "lamp/recording_inside.h"

#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"

#include <string.h>

enum { SHOWN_CHARACTERS = 24, NUMBER_MAX = 64 };

static bool
is_blank(char c)
{
	return c == ' ' || c == '\t';
}

static bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/* --- cells --------------------------------------------------------------- */

/* Commas beside spaces: "0.04, 12.5" is parted by commas, "0,04 12,5" by
 * spaces. */
static char
comma_or_space(const char *text, size_t length)
{
	bool in_numbers = true, apart = false;
	size_t i;

	for (i = 0; i < length; i++) {
		if (text[i] == ',')
			in_numbers = in_numbers && i > 0 && i + 1 < length &&
				     is_digit(text[i - 1]) &&
				     is_digit(text[i + 1]);
		if (is_blank(text[i]))
			apart = true;
	}
	return apart && in_numbers ? ' ' : ',';
}

char
recording_separator(const char *text, size_t length)
{
	bool quoted = false, comma = false, tab = false, space = false;
	size_t i;

	for (i = 0; i < length; i++) {
		if (text[i] == '"')
			quoted = !quoted;
		if (quoted)
			continue;
		if (text[i] == ';')
			return ';';
		comma = comma || text[i] == ',';
		tab = tab || text[i] == '\t';
		space = space || text[i] == ' ';
	}
	if (tab)
		return '\t';
	if (comma)
		return space ? comma_or_space(text, length) : ',';
	return space ? ' ' : '\0';
}

/* Quotes around a cell are taken off, and a doubled one inside is one. */
static void
unquote(struct cell *cell)
{
	const char *from = cell->text + 1;
	const char *end = cell->text + cell->length - 1;
	char *to = cell->text;

	if (cell->length < 2 || cell->text[0] != '"' || *end != '"')
		return;
	while (from < end) {
		if (from[0] == '"' && from + 1 < end && from[1] == '"')
			from++;
		*to++ = *from++;
	}
	cell->length = (size_t)(to - cell->text);
	cell->quoted = true;
}

static void
trim(struct cell *cell)
{
	while (cell->length > 0 && is_blank(*cell->text)) {
		cell->text++;
		cell->length--;
	}
	while (cell->length > 0 && is_blank(cell->text[cell->length - 1]))
		cell->length--;
}

static enum lw_status
add_cell(struct line *line, char *text, size_t length, struct lw_err *err)
{
	struct cell *cell;

	/* "Time (s)   Level (V)": the unit belongs to the name before it. */
	if (line->separator == ' ' && line->count > 0 &&
	    (*text == '(' || *text == '[')) {
		cell = &line->cells[line->count - 1];
		cell->length = (size_t)(text + length - cell->text);
		return LW_OK;
	}
	if (line->count == RECORDING_CELLS_MAX)
		return err_set_at(err, LW_BAD_INPUT, line->number, 0,
		    "a line has at most %d columns, and this one has more; "
		    "keep the seconds and the levels alone",
		    RECORDING_CELLS_MAX);
	cell = &line->cells[line->count++];
	cell->text = text;
	cell->length = length;
	cell->quoted = false;
	if (line->separator != ' ')
		trim(cell);
	if (cell->length > 0 && cell->text[0] == '"')
		unquote(cell);
	return LW_OK;
}

enum lw_status
recording_split(
    struct line *line, char *text, size_t length, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	bool quoted = false;
	size_t i, from = 0;

	line->count = 0;
	for (i = 0; i < length && status == LW_OK; i++) {
		if (text[i] == '"')
			quoted = !quoted;
		if (quoted || (text[i] != line->separator &&
				  (line->separator != ' ' || text[i] != '\t')))
			continue;
		if (line->separator != ' ' || i > from)
			status = add_cell(line, text + from, i - from, err);
		from = i + 1;
	}
	if (status == LW_OK && (line->separator != ' ' || length > from))
		status = add_cell(line, text + from, length - from, err);
	return status;
}

unsigned
recording_column(const struct line *line, size_t cell)
{
	size_t bytes = (size_t)(line->cells[cell].text - line->text);

	return (unsigned)utf8_count(line->text, bytes) + 1;
}

const char *
recording_show(char shown[static RECORDING_SHOWN_SIZE], const struct cell *cell)
{
	size_t at = 0, used = 0, n;
	int characters = 0;

	for (; at < cell->length && characters < SHOWN_CHARACTERS;
	     characters++) {
		n = utf8_decode(cell->text + at, cell->length - at, NULL);
		if (n == 0 || is_blank(cell->text[at])) {
			shown[used++] = n == 0 ? '?' : ' ';
			at++;
			continue;
		}
		memcpy(shown + used, cell->text + at, n);
		used += n;
		at += n;
	}
	if (at < cell->length) {
		memcpy(shown + used, "...", 3);
		used += 3;
	}
	shown[used] = '\0';
	return shown;
}

/* --- numbers ------------------------------------------------------------- */

/* A comma between digits, where commas do not part cells. */
static bool
parse_comma(double *value, const struct line *line, const struct cell *cell)
{
	const char *comma = memchr(cell->text, ',', cell->length);
	char copy[NUMBER_MAX];

	if (comma == NULL || cell->length > NUMBER_MAX ||
	    (line->separator == ',' && !cell->quoted) ||
	    memchr(cell->text, '.', cell->length) != NULL)
		return false;
	memcpy(copy, cell->text, cell->length);
	copy[comma - cell->text] = '.';
	return num_parse(value, copy, cell->length);
}

bool
recording_is_number(const struct line *line, size_t cell)
{
	const struct cell *at = &line->cells[cell];
	double value;

	return num_parse(&value, at->text, at->length) ||
	       parse_comma(&value, line, at);
}

static enum lw_status
mixed(const struct line *line, size_t cell, struct lw_err *err)
{
	char shown[RECORDING_SHOWN_SIZE];

	return err_set_at(err, LW_BAD_INPUT, line->number,
	    recording_column(line, cell),
	    "\"%s\" has another decimal mark than the lines before; write "
	    "points everywhere, or commas everywhere",
	    recording_show(shown, &line->cells[cell]));
}

enum lw_status
recording_number(double *value, struct marks *marks, const struct line *line,
    size_t cell, const char *what, struct lw_err *err)
{
	const struct cell *at = &line->cells[cell];
	char shown[RECORDING_SHOWN_SIZE];

	if (num_parse(value, at->text, at->length)) {
		if (memchr(at->text, '.', at->length) != NULL)
			marks->point = true;
	} else if (parse_comma(value, line, at)) {
		marks->comma = true;
	} else if (at->length == 0) {
		return err_set_at(err, LW_BAD_INPUT, line->number,
		    recording_column(line, cell),
		    "the %s is missing here; give a number, or leave the "
		    "whole line out",
		    what);
	} else {
		return err_set_at(err, LW_BAD_INPUT, line->number,
		    recording_column(line, cell),
		    "\"%s\" is no number, and the %s has to be one, such as "
		    "%s",
		    recording_show(shown, at), what,
		    strcmp(what, "level") == 0
			? "12.5; leave out a column of words"
		    : memchr(at->text, ':', at->length) != NULL
			? "0.04; count it from the start, not by the clock"
			: "0.04");
	}
	if (marks->point && marks->comma)
		return mixed(line, cell, err);
	return LW_OK;
}
