/*
 * The grammar of expressions, by precedence climbing. Tokens are left to
 * meter/expr_scan.c, what goes together to meter/expr_make.c, names to
 * meter/expr_name.c, functions to meter/expr_call.c.
 *
 *   from loose to tight:  or, and, not, comparisons (which do not chain),
 *   + -, * /, minus in front, ^ (to the right)
 *
 * A function of meter/functions.c is written out where it is called: its body
 * is parsed with the arguments for its parameters.
 */
#include "meter/expr_grammar.h"

#include "base/err.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static enum lw_status parse_prefix(struct expr_parser *parse, short *node);

/* --- where, and what went wrong ------------------------------------------- */

struct expr_place
expr_place_at(const struct expr_parser *parse, size_t at)
{
	struct expr_place place = {parse->column, NULL};

	if (parse->function != NULL)
		place.within = parse->function->name;
	else
		place.column = expr_column(parse->scan.text, at);
	return place;
}

unsigned
expr_column_at(const struct expr_parser *parse, size_t at)
{
	return expr_place_at(parse, at).column;
}

enum lw_status
expr_next(struct expr_parser *parse)
{
	return expr_scan_next(&parse->scan, parse->build->err);
}

bool
expr_at_sign(const struct expr_parser *parse, char sign)
{
	return parse->scan.token.kind == EXPR_SIGN &&
	       parse->scan.token.sign == sign;
}

/* The token is not what has to stand here. */
enum lw_status
expr_unexpected(const struct expr_parser *parse, const char *wanted)
{
	const struct expr_token *token = &parse->scan.token;
	unsigned column = expr_column_at(parse, token->at);
	size_t length = token->length < 40 ? token->length : 40;

	if (token->kind == EXPR_END)
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0, column,
		    "the expression ends too early; %s is missing", wanted);
	if (token->kind == EXPR_SIGN && token->sign == ',')
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0, column,
		    "a comma stands only between what a function is given; "
		    "the decimal mark is a point");
	if (token->kind == EXPR_LITERAL)
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0, column,
		    "a number stands here, where %s has to be", wanted);
	return err_set_at(parse->build->err, LW_BAD_INPUT, 0, column,
	    "'%.*s' stands here, where %s has to be", (int)length,
	    parse->scan.text + token->at, wanted);
}

enum lw_status
expr_expect_sign(struct expr_parser *parse, char sign, const char *wanted)
{
	if (!expr_at_sign(parse, sign))
		return expr_unexpected(parse, wanted);
	return expr_next(parse);
}

/* --- operators ------------------------------------------------------------ */

static enum lw_status
enter(struct expr_parser *parse)
{
	if (parse->build->depth == EXPR_DEPTH_MAX)
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
		    expr_column_at(parse, parse->scan.token.at),
		    "brackets, functions and signs are nested more than %d "
		    "deep",
		    EXPR_DEPTH_MAX);
	parse->build->depth++;
	return LW_OK;
}

static void
leave(struct expr_parser *parse)
{
	parse->build->depth--;
}

static enum lw_status
parse_literal(struct expr_parser *parse, short *node)
{
	const struct expr_token *token = &parse->scan.token;
	enum lw_status status;

	if (token->offset && token->number < 0)
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
		    expr_column_at(parse, token->at),
		    "nothing is colder than -273.15 degC");
	status = expr_make_number(node, parse->build, token->number,
	    token->dimension, expr_place_at(parse, token->at));
	return status == LW_OK ? expr_next(parse) : status;
}

static enum lw_status
parse_primary(struct expr_parser *parse, short *node)
{
	struct expr_parser saved;
	enum lw_status status;

	if (parse->scan.token.kind == EXPR_LITERAL)
		return parse_literal(parse, node);
	if (expr_at_sign(parse, '(')) {
		status = expr_next(parse);
		if (status == LW_OK)
			status =
			    expr_parse_operation(parse, EXPR_OR_POWER, node);
		if (status == LW_OK)
			status =
			    expr_expect_sign(parse, ')', "a closing bracket");
		return status;
	}
	if (parse->scan.token.kind != EXPR_WORD ||
	    expr_token_is(&parse->scan, "and") ||
	    expr_token_is(&parse->scan, "or"))
		return expr_unexpected(parse, "a number, a name or a bracket");
	/* A name before a bracket is a function. */
	saved = *parse;
	status = expr_next(parse);
	if (status == LW_OK && expr_at_sign(parse, '('))
		return expr_parse_call(
		    parse, saved.scan.token.at, saved.scan.token.length, node);
	*parse = saved;
	return expr_parse_name(parse, node);
}

/* Minus in front, not, and powers. */
static enum lw_status
parse_minus(struct expr_parser *parse, short *node)
{
	short operands[3] = {-1, -1, -1};
	size_t at = parse->scan.token.at;
	enum lw_status status = expr_next(parse);

	if (status != LW_OK)
		return status;
	/* -10 degC is ten below zero, not the opposite of 283.15 K. */
	if (parse->scan.token.kind == EXPR_LITERAL &&
	    parse->scan.token.offset) {
		parse->scan.token.number = parse->scan.token.below;
		return parse_literal(parse, node);
	}
	status = parse_prefix(parse, &operands[0]);
	if (status != LW_OK)
		return status;
	return expr_make(
	    node, parse->build, EXPR_NEG, operands, expr_place_at(parse, at));
}

static enum lw_status
parse_not(struct expr_parser *parse, short *node)
{
	short operands[3] = {-1, -1, -1};
	size_t at = parse->scan.token.at;
	enum lw_status status = expr_next(parse);

	if (status == LW_OK)
		status = expr_parse_operation(
		    parse, EXPR_COMPARE_POWER, &operands[0]);
	if (status != LW_OK)
		return status;
	return expr_make(
	    node, parse->build, EXPR_NOT, operands, expr_place_at(parse, at));
}

static enum lw_status
parse_power(struct expr_parser *parse, short *node)
{
	enum lw_status status = parse_primary(parse, node);
	short base = *node, exponent = -1;
	size_t at = parse->scan.token.at;

	parse->compound = false;
	if (status != LW_OK || !expr_at_sign(parse, '^'))
		return status;
	base = *node;
	status = expr_next(parse);
	if (status == LW_OK)
		status = parse_prefix(parse, &exponent);
	if (status != LW_OK)
		return status;
	parse->compound = true;
	return expr_make_power(
	    node, parse->build, base, exponent, expr_place_at(parse, at));
}

static enum lw_status
parse_prefix(struct expr_parser *parse, short *node)
{
	enum lw_status status = enter(parse);

	if (status != LW_OK)
		return status;
	if (expr_at_sign(parse, '-')) {
		status = parse_minus(parse, node);
		parse->compound = true;
	} else if (expr_at_sign(parse, '+')) {
		status = expr_next(parse);
		if (status == LW_OK)
			status = parse_prefix(parse, node);
	} else if (expr_token_is(&parse->scan, "not")) {
		status = parse_not(parse, node);
		parse->compound = true;
	} else {
		status = parse_power(parse, node);
	}
	leave(parse);
	return status;
}

struct operator
{
	enum expr_op op;
	int power;
	bool swapped; /* a > b is b < a */
	bool opposed; /* a != b is not a = b */
};

static bool
find_operator(const struct expr_parser *parse, struct operator* found)
{
	static const struct {
		char sign;
		struct operator is;
	} signs[] = {
	    {'=', {EXPR_EQUAL, EXPR_COMPARE_POWER, false, false}},
	    {EXPR_NE, {EXPR_EQUAL, EXPR_COMPARE_POWER, false, true}},
	    {'<', {EXPR_LESS, EXPR_COMPARE_POWER, false, false}},
	    {'>', {EXPR_LESS, EXPR_COMPARE_POWER, true, false}},
	    {EXPR_LE, {EXPR_AT_MOST, EXPR_COMPARE_POWER, false, false}},
	    {EXPR_GE, {EXPR_AT_MOST, EXPR_COMPARE_POWER, true, false}},
	    {'+', {EXPR_ADD, EXPR_SUM_POWER, false, false}},
	    {'-', {EXPR_SUB, EXPR_SUM_POWER, false, false}},
	    {'*', {EXPR_MUL, EXPR_PRODUCT_POWER, false, false}},
	    {'/', {EXPR_DIV, EXPR_PRODUCT_POWER, false, false}},
	};
	static const struct operator either = {
	    EXPR_OR, EXPR_OR_POWER, false, false};
	static const struct operator both = {
	    EXPR_AND, EXPR_AND_POWER, false, false};
	size_t i;

	if (expr_token_is(&parse->scan, "or")) {
		*found = either;
		return true;
	}
	if (expr_token_is(&parse->scan, "and")) {
		*found = both;
		return true;
	}
	for (i = 0; i < COUNT(signs); i++) {
		if (!expr_at_sign(parse, signs[i].sign))
			continue;
		*found = signs[i].is;
		return true;
	}
	return false;
}

static enum lw_status
apply(struct expr_parser *parse, const struct operator* operator, size_t at,
    short *left, short right)
{
	struct expr_place place = expr_place_at(parse, at);
	short operands[3] = {*left, right, -1};
	enum lw_status status;

	if (operator->swapped) {
		operands[0] = right;
		operands[1] = *left;
	}
	status = expr_make(left, parse->build, operator->op, operands, place);
	if (status != LW_OK || !operator->opposed)
		return status;
	operands[0] = *left;
	operands[1] = -1;
	return expr_make(left, parse->build, EXPR_NOT, operands, place);
}

enum lw_status
expr_parse_operation(struct expr_parser *parse, int least, short *node)
{
	enum lw_status status = parse_prefix(parse, node);
	struct operator operator;
	bool compound = parse->compound, compared = false;
	short right = -1;
	size_t at;

	while (status == LW_OK &&
	       find_operator(parse, &operator) && operator.power >= least) {
		at = parse->scan.token.at;
		if (operator.power == EXPR_COMPARE_POWER && compared)
			return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
			    expr_column_at(parse, at),
			    "comparisons do not follow one another; join two "
			    "with and");
		compared = operator.power == EXPR_COMPARE_POWER;
		status = expr_next(parse);
		if (status == LW_OK)
			status = expr_parse_operation(
			    parse, operator.power + 1, &right);
		if (status == LW_OK)
			status = apply(parse, &operator, at, node, right);
		compound = true;
	}
	parse->compound = compound;
	return status;
}

/* --- the whole ------------------------------------------------------------ */

static enum lw_status
parse_all(struct expr_parser *parse, short *root)
{
	enum lw_status status = expr_next(parse);

	if (status == LW_OK)
		status = expr_parse_operation(parse, EXPR_OR_POWER, root);
	if (status == LW_OK && parse->scan.token.kind != EXPR_END)
		status = expr_unexpected(parse, "an operator or the end");
	if (status == LW_OK && parse->build->nodes[*root].condition)
		status = err_set_at(parse->build->err, LW_BAD_INPUT, 0, 1,
		    "this is a condition; a quantity is wanted, such as "
		    "if(condition, then, else)");
	return status;
}

enum lw_status
expr_parse(const struct expr **expr, struct lw_arena *arena, const char *text,
    const struct expr_names *names, struct lw_err *err)
{
	struct expr_build build;
	struct expr_parser parse;
	enum lw_status status;
	short root = -1;

	if (strnlen(text, EXPR_TEXT_MAX + 1) > EXPR_TEXT_MAX)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    expr_column(text, EXPR_TEXT_MAX),
		    "an expression has at most %d characters", EXPR_TEXT_MAX);
	memset(&build, 0, sizeof build);
	build.arena = arena;
	build.lookup = names;
	build.err = err;
	memset(&parse, 0, sizeof parse);
	parse.build = &build;
	parse.scan.text = text;
	status = parse_all(&parse, &root);
	return status == LW_OK ? expr_keep(expr, &build, text, root) : status;
}
