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
 * a sentence: not UTF-8, control characters, no header, a header that is
 * another, a weight or cost that is no number from 0 to 1e300, too few or too
 * many cells, an empty cell, a quote that does not end, a cause or check named
 * twice, no rows, all weights zero. LW_TOO_BIG: more than PLAN_CAUSES_MAX,
 * PLAN_CHECKS_MAX, MATRIX_BYTES_MAX or 65535 outcomes of a check.
 *
 * Cells as in RFC 4180: one that begins with a quote ends with one, and may
 * hold commas and, written twice, quotes; but none holds a line break. Spaces
 * and tabs around a cell do not count, in quotes or out of them. The header's
 * first two words may be in capitals. Of a check, what stands after the last
 * colon is its cost, quoted or not: a name that holds colons is followed by
 * one more and a cost ("12:30 test:1"). Outcomes are compared letter by
 * letter. A byte order mark, CR LF, CR alone and blank lines at the end are
 * fine. The texts are in the arena.
 */
enum lw_status matrix_read(struct matrix *matrix, struct lw_arena *arena,
    const char *text, size_t length, const char *name, struct lw_err *err);

#endif
