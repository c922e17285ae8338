/* Cuts comma-separated text into cells; what they mean is left to matrix. */
#include "reason/matrix_cells.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"

#include <string.h>

enum { QUOTED = 60 };

int
matrix_quoted(const char *text)
{
	size_t length = strlen(text);

	return (int)(length <= QUOTED ? length : utf8_whole(text, QUOTED));
}

static void
begin_line(struct matrix_reader *reader)
{
	reader->counted = reader->at;
	reader->column = 1;
}

void
matrix_begin(struct matrix_reader *reader, struct lw_arena *arena,
    const char *text, size_t length, struct lw_err *err)
{
	memset(reader, 0, sizeof *reader);
	reader->arena = arena;
	reader->err = err;
	reader->at = text;
	reader->end = text + length;
	reader->line = 1;
	if (length >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0)
		reader->at += 3;
	begin_line(reader);
}

enum lw_status
matrix_look(const struct matrix_reader *reader)
{
	size_t length = (size_t)(reader->end - reader->at);
	size_t valid = utf8_valid(reader->at, length), i, begun = 0;
	unsigned line = 1;

	for (i = 0; i < valid; i++) {
		unsigned char c = (unsigned char)reader->at[i];

		if (c == '\n' ||
		    (c == '\r' &&
			(i + 1 == length || reader->at[i + 1] != '\n'))) {
			begun = i + 1;
			line++;
		} else if ((c < 0x20 && c != '\t' && c != '\r') || c == 0x7F) {
			break;
		}
	}
	if (i == length)
		return LW_OK;
	return err_set_at(reader->err, LW_BAD_INPUT, line,
	    (unsigned)utf8_count(reader->at + begun, i - begun) + 1,
	    i == valid ? "this is not UTF-8 text; save the table as UTF-8"
		       : "a control character stands here; save the table as "
			 "plain text");
}

static void
end_line(struct matrix_reader *reader)
{
	if (reader->at < reader->end && *reader->at == '\r')
		reader->at++;
	if (reader->at < reader->end && *reader->at == '\n')
		reader->at++;
	begin_line(reader);
	reader->line++;
}

/* Counted on from the last cell, so that long lines take no longer. */
static unsigned
column_of(struct matrix_reader *reader)
{
	reader->column += (unsigned)utf8_count(
	    reader->counted, (size_t)(reader->at - reader->counted));
	reader->counted = reader->at;
	return reader->column;
}

static bool
is_blank(char c)
{
	return c == ' ' || c == '\t';
}

/* A cell in quotes; two of them stand for one. */
static enum lw_status
read_quoted(struct matrix_reader *reader, struct matrix_cell *cell)
{
	const char *from = ++reader->at, *to;
	size_t length = 0;
	char *text;

	for (to = from; to < reader->end; to++) {
		if (*to == '\n' || *to == '\r' || *to == '\0')
			break;
		if (*to != '"')
			continue;
		if (to + 1 == reader->end || to[1] != '"')
			break;
		to++;
	}
	if (to == reader->end || *to != '"')
		return matrix_complain(reader, cell,
		    "the cell begins with a quote and does not end with one in "
		    "its line; close it");
	text = arena_dup_n(reader->arena, from, (size_t)(to - from));
	if (text == NULL)
		return err_no_memory(reader->err);
	for (from = text; *from != '\0'; from++) {
		text[length++] = *from;
		from += *from == '"';
	}
	while (length > 0 && is_blank(text[length - 1]))
		length--;
	text[length] = '\0';
	cell->text = text + strspn(text, " \t");
	reader->at = to + 1;
	while (reader->at < reader->end && is_blank(*reader->at))
		reader->at++;
	if (reader->at < reader->end && *reader->at != ',' &&
	    *reader->at != '\r' && *reader->at != '\n')
		return matrix_complain(reader, cell,
		    "something stands after the quote that ends the cell; "
		    "write a quote within a cell twice");
	return LW_OK;
}

enum lw_status
matrix_read_cell(struct matrix_reader *reader, struct matrix_cell *cell)
{
	const char *from, *to;
	enum lw_status status;

	while (reader->at < reader->end && is_blank(*reader->at))
		reader->at++;
	cell->line = reader->line;
	cell->column = column_of(reader);
	cell->last = false;
	if (reader->at < reader->end && *reader->at == '"') {
		status = read_quoted(reader, cell);
		if (status != LW_OK)
			return status;
	} else {
		from = reader->at;
		while (reader->at < reader->end && *reader->at != ',' &&
		       *reader->at != '\r' && *reader->at != '\n')
			reader->at++;
		for (to = reader->at; to > from && is_blank(to[-1]); to--)
			;
		if (memchr(from, '"', (size_t)(to - from)) != NULL)
			return matrix_complain(reader, cell,
			    "there is a quote within the cell; put the whole "
			    "cell in quotes and write it twice");
		cell->text =
		    arena_dup_n(reader->arena, from, (size_t)(to - from));
		if (cell->text == NULL)
			return err_no_memory(reader->err);
	}
	if (reader->at < reader->end && *reader->at == ',') {
		reader->at++;
		return LW_OK;
	}
	cell->last = true;
	end_line(reader);
	return LW_OK;
}

bool
matrix_is_done(const struct matrix_reader *reader)
{
	const char *at;

	for (at = reader->at; at < reader->end; at++)
		if (!is_blank(*at) && *at != '\r' && *at != '\n')
			return false;
	return true;
}
