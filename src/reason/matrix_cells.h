/*
 * Cells of comma-separated values (RFC 4180), one after the other.
 */
#ifndef REASON_MATRIX_CELLS_H
#define REASON_MATRIX_CELLS_H

#include <lampwright/arena.h>
#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>

struct matrix_reader {
	struct lw_arena *arena;
	struct lw_err *err;
	const char *at;
	const char *end;
	unsigned line;
	const char *counted; /* up to here in `column` */
	unsigned column;
};

struct matrix_cell {
	const char *text; /* without spaces around it */
	unsigned line;
	unsigned column; /* in characters, from 1 */
	bool last;	 /* of its row */
};

#define matrix_complain(reader, cell, ...)                                    \
	err_set_at((reader)->err, LW_BAD_INPUT, (cell)->line, (cell)->column, \
	    __VA_ARGS__)

/* How many bytes of a text to quote in a sentence, ending with a whole
 * character. */
int matrix_quoted(const char *text);

void matrix_begin(struct matrix_reader *reader, struct lw_arena *arena,
    const char *text, size_t length, struct lw_err *err);

/* That all of it is UTF-8 without control characters. */
enum lw_status matrix_look(const struct matrix_reader *reader);

/* Whether only blank lines are left. */
bool matrix_is_done(const struct matrix_reader *reader);

/* The next cell: in quotes, within which two stand for one, or bare; the
 * lines that it ends are left behind. */
enum lw_status matrix_read_cell(
    struct matrix_reader *reader, struct matrix_cell *cell);

#endif
