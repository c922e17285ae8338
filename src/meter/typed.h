/* A number as people type it: what readings and quantities begin with. */
#ifndef METER_TYPED_H
#define METER_TYPED_H

#include "meter/unit.h"

#include <lampwright/status.h>

enum {
	TYPED_LONGEST = LW_QUANTITY_TEXT_MAX, /* bytes of a text */
	TYPED_EXPONENT_MAX = 400, /* beyond, nothing is finite or above 0 */
};

struct typed {
	char digits[TYPED_LONGEST + 3]; /* sign, digits, point */
	int exponent;
	int places;		   /* digits after the mark */
	size_t at;		   /* where the number begins, after its sign */
	size_t sign;		   /* where its sign begins */
	size_t end;		   /* after the number */
	size_t rest;		   /* and after the spaces that follow */
	const struct unit *letter; /* of 4k7, R47 and the like */
};

/* The column of a byte of the text, from 1. */
unsigned typed_column(const char *text, size_t at);

bool typed_is_digit(char c);
/* Bytes of a space, of those that people type in numbers; 0 for none. */
size_t typed_space(const char *text);
size_t typed_skip_spaces(const char *text, size_t at);
/* The end of a stretch from `at` to `end` without trailing space. */
size_t typed_trimmed(const char *text, size_t at, size_t end);
/* Bytes of a minus sign, a hyphen, a true one or an en dash; 0 for none. */
size_t typed_minus(const char *text);

/* LW_BAD_INPUT: too long, or not UTF-8. `unit` is for the example. */
enum lw_status typed_check(
    const char *text, const char *unit, struct lw_err *err);

/* Read the number at a place of the text. A unit of the kind is likely: u in
 * 4u7 is microhenries among henries. LW_BAD_INPUT: no number, two marks, a
 * comma that could group thousands. */
enum lw_status typed_number(struct typed *typed, const char *text, size_t at,
    enum unit_kind kind, struct lw_err *err);

/* LW_BAD_INPUT where more digits follow the number: 3 200, 3'200. */
enum lw_status typed_refuse_groups(
    const struct typed *typed, const char *text, struct lw_err *err);

/* The number as a double; false where it is not finite. `shift` adds to its
 * exponent. */
bool typed_value(double *value, const struct typed *typed, int shift);

/* The unit of a stretch of the text that is not empty. LW_BAD_INPUT: not
 * known, with the nearest; of another kind than `want`, with the right one;
 * "m" where it could be two. `want` NULL: any. */
enum lw_status typed_unit(const struct unit **unit, const char *text, size_t at,
    size_t length, const struct unit *want, struct lw_err *err);

/* As typed_unit, for a unit that is said once more after 4k7: it has to be of
 * that kind, and without prefix. */
enum lw_status typed_unit_again(const struct unit *letter, const char *text,
    size_t at, size_t length, struct lw_err *err);

/* LW_BAD_INPUT, at that place, where the units are of two kinds. */
enum lw_status typed_refuse_kind(const char *text, size_t at,
    const struct unit *got, const struct unit *want, struct lw_err *err);

#endif
