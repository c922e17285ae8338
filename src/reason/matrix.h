/*
 * A table of causes and checks as text: comma-separated values (RFC 4180)
 * with the header cause,weight,NAME:COST,... and a row a cause.
 */
#ifndef REASON_MATRIX_H
#define REASON_MATRIX_H

#include "reason/plan.h"

struct matrix {
	struct plan_grid grid;
	const char *const *cause; /* names */
	const char *const *check;
	const char *const *const *outcome; /* outcome[check][number]: names, in
					    * the order in which they came */
	const size_t *outcomes; /* of each check */
};

#define MATRIX_BYTES_MAX ((size_t)16 << 20)

/*
 * `name` is what errors call the file. LW_BAD_INPUT with line and column, in
 * a sentence: not UTF-8, no header, a header that is another, a weight or cost
 * that is no number or negative or not finite, too few or too many cells, an
 * empty cell, a cause or check named twice, no rows, all weights zero, more
 * than PLAN_CAUSES_MAX or PLAN_CHECKS_MAX, more than 65535 outcomes. LW_TOO_BIG.
 * A byte order mark, CR LF, spaces around cells and blank lines at the end are
 * fine.
 */
enum lw_status matrix_read(struct matrix *matrix, struct lw_arena *arena,
    const char *text, size_t length, const char *name, struct lw_err *err);

#endif
