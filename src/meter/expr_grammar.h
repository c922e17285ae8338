/* What the files of the grammar share. */
#ifndef METER_EXPR_GRAMMAR_H
#define METER_EXPR_GRAMMAR_H

#include "meter/expr_inside.h"

enum {
	EXPR_ARGUMENTS_MAX = 8,
	EXPR_OR_POWER = 1, /* how tight operators bind */
	EXPR_AND_POWER,
	EXPR_NOT_POWER,
	EXPR_COMPARE_POWER,
	EXPR_SUM_POWER,
	EXPR_PRODUCT_POWER
};

/* One text that is parsed: the expression, or a function's body. */
struct expr_parser {
	struct expr_build *build;
	struct expr_scan scan;
	const struct expr_function *function; /* NULL: the expression */
	const short *arguments;		      /* of the function */
	unsigned column;		      /* of its call */
	bool compound; /* the last operation was more than one primary */
};

/* Where a place of the text is, for a node and for a sentence. */
struct expr_place expr_place_at(const struct expr_parser *parse, size_t at);
unsigned expr_column_at(const struct expr_parser *parse, size_t at);

enum lw_status expr_next(struct expr_parser *parse);
bool expr_at_sign(const struct expr_parser *parse, char sign);
/* The token is not what has to stand here. */
enum lw_status expr_unexpected(
    const struct expr_parser *parse, const char *wanted);
enum lw_status expr_expect_sign(
    struct expr_parser *parse, char sign, const char *wanted);

/* Operators that bind at least so tight, and what they join. */
enum lw_status expr_parse_operation(
    struct expr_parser *parse, int least, short *node);
/* A value's name, with the comparison where it is a choice. */
enum lw_status expr_parse_name(struct expr_parser *parse, short *node);
/* A function whose name stands at `at`; the bracket is the token. */
enum lw_status expr_parse_call(
    struct expr_parser *parse, size_t at, size_t length, short *node);
/* What was built, into its arena. */
enum lw_status expr_keep(const struct expr **out, struct expr_build *build,
    const char *text, short root);

#endif
