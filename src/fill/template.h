/* Templates, taken apart: a flat list of pieces in the order of the text. */
#ifndef FILL_TEMPLATE_H
#define FILL_TEMPLATE_H

#include <lampwright/arena.h>
#include <lampwright/status.h>

#include <stddef.h>

enum piece_kind {
	PIECE_TEXT,
	PIECE_VALUE,
	PIECE_SECTION,
	PIECE_INVERTED,
	PIECE_PARTIAL
};

struct template;

struct piece {
	enum piece_kind kind;
	const char *text;   /* the text, or the name in the tag */
	size_t length;	    /* of it, in bytes */
	size_t end;	    /* a section's: the first piece after it */
	const char *indent; /* a standalone partial's; blanks */
	size_t indent_length;
	size_t offset; /* of the tag in the template, for errors */
	const struct template *partial; /* found before; or NULL */
};

struct template
{
	const char *file; /* for errors; "" where it came as text */
	const char *text; /* each line with the indentation before it */
	size_t length;
	size_t indent_length; /* of the indentation put before each line */
	struct piece *pieces;
	size_t count;
};

/*
 * Take a template apart. Everything lives in the arena but `file`, which
 * the caller keeps. `indent` goes before each line that is not empty.
 * LW_BAD_INPUT with file, line and column; LW_TOO_BIG; LW_NO_MEMORY.
 */
enum lw_status template_parse(struct template *template, struct lw_arena *arena,
    const char *file, const char *text, size_t length, const char *indent,
    size_t indent_length, struct lw_err *err);

/* Line and column, from 1, of an offset into template->text, as they are in
 * the text before it was indented. */
void template_place(unsigned *line, unsigned *column,
    const struct template *template, size_t offset);

#endif
