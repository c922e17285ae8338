/* What the parts of the recording reader share: a line and its cells, what
 * the columns hold, the rows that are kept, and the remarks. */
#ifndef LAMP_RECORDING_INSIDE_H
#define LAMP_RECORDING_INSIDE_H

#include "lamp/canonical.h"

#include <lampwright/light.h>

#include <stdbool.h>
#include <stddef.h>

enum {
	RECORDING_LINE_MAX = 4096, /* bytes of a line without its comment */
	RECORDING_CELLS_MAX = 64,
	RECORDING_REMARKS_MAX = 12,
	RECORDING_REMARK_SIZE = 256,
	RECORDING_SHOWN_SIZE = 104
};

struct remarks {
	char texts[RECORDING_REMARKS_MAX][RECORDING_REMARK_SIZE];
	const char *list[RECORDING_REMARKS_MAX];
	size_t count;
};

/* Add a sentence; one past the last that there is room for is let go. */
void recording_remark(struct remarks *remarks, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* --- a line and its cells (recording_line.c) ------------------------------ */

struct cell {
	char *text; /* without space and quotes around it; not terminated */
	size_t length;
	bool quoted;
};

struct line {
	const char *text; /* where columns are counted from */
	unsigned number;  /* from 1 */
	char separator;	  /* comma, semicolon, tab or space; 0: one cell */
	struct cell cells[RECORDING_CELLS_MAX];
	size_t count;
};

/* How numbers are written: a file has points or commas, never both. */
struct marks {
	bool point;
	bool comma;
};

/* The separator that a line seems to have; 0 where it is one cell. */
char recording_separator(const char *text, size_t length);

/* Split by line->separator; the text is changed where quotes are taken off.
 * LW_BAD_INPUT: too many cells. */
enum lw_status recording_split(
    struct line *line, char *text, size_t length, struct lw_err *err);

/* A cell as a number. LW_BAD_INPUT, with `what` it should be ("level"). */
enum lw_status recording_number(double *value, struct marks *marks,
    const struct line *line, size_t cell, const char *what, struct lw_err *err);

bool recording_is_number(const struct line *line, size_t cell);

/* The column of a cell, in characters from 1. */
unsigned recording_column(const struct line *line, size_t cell);

/* The beginning of a cell as it can be shown. */
const char *recording_show(
    char shown[static RECORDING_SHOWN_SIZE], const struct cell *cell);

/* --- what the columns hold (recording_head.c) ----------------------------- */

enum column_role { COLUMN_LEVEL, COLUMN_TIME, COLUMN_ASIDE };

struct columns {
	enum column_role roles[RECORDING_CELLS_MAX];
	size_t count; /* 0: not known yet */
	size_t time;
	double per_second; /* of the unit that times are in */
	bool unit_said;
	size_t lamp_count;
	bool named;
	char names[LW_SERIES_LAMPS_MAX][LAMP_NAME_MAX + 1];
};

/* The columns by a header. LW_BAD_INPUT: it cannot be one. Remarks tell what
 * is left out. */
enum lw_status recording_header(struct columns *columns,
    struct remarks *remarks, const struct line *line, bool taps,
    struct lw_err *err);

/* The line under a header that gives units. False: it is none. */
bool recording_units(struct columns *columns, const struct line *line);

/* The columns of a first row without a header. LW_BAD_INPUT: not plain. */
enum lw_status recording_headless(
    struct columns *columns, const struct line *line, struct lw_err *err);

/* --- rows that are kept (recording_rows.c) -------------------------------- */

struct rows {
	size_t lamp_count;
	size_t count;
	size_t room;
	double *seconds;
	double *levels; /* lamp l, row r: levels[l * room + r] */
	size_t taken;	/* rows that came */
	double first_s; /* of all that came */
	double last_s;
	/* Neighbours that are averaged into one row. */
	size_t each; /* 1: none are */
	size_t held;
	double held_from_s;
	double held_s;
	double held_levels[LW_SERIES_LAMPS_MAX];
	bool full; /* no further row is kept */
	/* The first time that went back. */
	unsigned back_line;
	double back_from_s;
	double back_to_s;
};

/* One row. LW_NO_MEMORY. */
enum lw_status recording_row(struct rows *rows, double seconds,
    const double *levels, unsigned line, struct lw_err *err);

/* No more rows: in order of time, none twice, levels[l * count + r].
 * LW_BAD_INPUT: the order is not plain. LW_NO_MEMORY. */
enum lw_status recording_settle(
    struct rows *rows, struct remarks *remarks, struct lw_err *err);

void recording_rows_free(struct rows *rows);

#endif
