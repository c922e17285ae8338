/*
 * The grammar of expressions, by precedence climbing. Tokens are left to
 * meter/expr_scan.c, what goes together to meter/expr_make.c.
 *
 *   from loose to tight:  or, and, not, comparisons (which do not chain),
 *   + -, * /, minus in front, ^ (to the right)
 *
 * A function of meter/functions.c is written out where it is called: its body
 * is parsed with the arguments for its parameters.
 */
#include "meter/expr_inside.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/near.h"
#include "meter/expr_unit.h"

#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

enum {
	ARGUMENTS_MAX = 8,
	OR_POWER = 1,
	AND_POWER,
	NOT_POWER,
	COMPARE_POWER,
	SUM_POWER,
	PRODUCT_POWER
};

/* One text that is parsed: the expression, or a function's body. */
struct parse {
	struct expr_build *build;
	struct expr_scan scan;
	const struct expr_function *function; /* NULL: the expression */
	const short *arguments;		      /* of the function */
	unsigned column;		      /* of its call */
	bool compound; /* the last operation was more than one primary */
};

static enum lw_status parse_operation(
    struct parse *parse, int least, short *node);
static enum lw_status parse_prefix(struct parse *parse, short *node);

/* --- where, and what went wrong ------------------------------------------- */

static struct expr_place
place_at(const struct parse *parse, size_t at)
{
	struct expr_place place = {parse->column, NULL};

	if (parse->function != NULL)
		place.within = parse->function->name;
	else
		place.column = expr_column(parse->scan.text, at);
	return place;
}

static unsigned
column_at(const struct parse *parse, size_t at)
{
	return place_at(parse, at).column;
}

static enum lw_status
next(struct parse *parse)
{
	return expr_scan_next(&parse->scan, parse->build->err);
}

static bool
at_sign(const struct parse *parse, char sign)
{
	return parse->scan.token.kind == EXPR_SIGN &&
	       parse->scan.token.sign == sign;
}

/* The token is not what has to stand here. */
static enum lw_status
unexpected(const struct parse *parse, const char *wanted)
{
	const struct expr_token *token = &parse->scan.token;
	unsigned column = column_at(parse, token->at);
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

static enum lw_status
expect_sign(struct parse *parse, char sign, const char *wanted)
{
	if (!at_sign(parse, sign))
		return unexpected(parse, wanted);
	return next(parse);
}

static enum lw_status
enter(struct parse *parse)
{
	if (parse->build->depth == EXPR_DEPTH_MAX)
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
		    column_at(parse, parse->scan.token.at),
		    "brackets, functions and signs are nested more than %d "
		    "deep",
		    EXPR_DEPTH_MAX);
	parse->build->depth++;
	return LW_OK;
}

static void
leave(struct parse *parse)
{
	parse->build->depth--;
}

/* --- names ---------------------------------------------------------------- */

/* The parameter that a word of a body names; -1: none. */
static int
find_parameter(const char *parameters, const char *word, size_t length)
{
	const char *s = parameters;
	int i;

	for (i = 0; *s != '\0'; i++) {
		if (strcspn(s, ":") == length && memcmp(s, word, length) == 0)
			return i;
		s += strcspn(s, " ");
		s += strspn(s, " ");
	}
	return -1;
}

static enum lw_status
unknown_name(struct parse *parse, const char *name, size_t at)
{
	const struct expr_names *lookup = parse->build->lookup;
	const char *nearest = NULL;

	if (lookup->nearest != NULL)
		nearest = lookup->nearest(lookup->context, name);
	if (nearest != NULL)
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
		    column_at(parse, at),
		    "there is no value called %s; did you mean %s?", name,
		    nearest);
	return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
	    column_at(parse, at), "there is no value called %s", name);
}

/* The index of a name, looked up the first time that it comes. */
static enum lw_status
find_name(struct parse *parse, const char *name, size_t at, short *index)
{
	struct expr_build *build = parse->build;
	struct expr_name found;
	size_t i;

	for (i = 0; i < build->name_count; i++) {
		if (strcmp(build->names[i].name, name) != 0)
			continue;
		*index = (short)i;
		return LW_OK;
	}
	memset(&found, 0, sizeof found);
	if (build->lookup == NULL ||
	    !build->lookup->find(build->lookup->context, name, &found))
		return unknown_name(parse, name, at);
	if (build->name_count == EXPR_NAMES_MAX)
		return err_set_at(build->err, LW_BAD_INPUT, 0,
		    column_at(parse, at),
		    "an expression has at most %d different names",
		    EXPR_NAMES_MAX);
	found.name = name;
	build->names[build->name_count] = found;
	build->name_nodes[build->name_count] = -1;
	*index = (short)build->name_count++;
	return LW_OK;
}

static enum lw_status
note_slot(struct parse *parse, size_t at, size_t length, short name)
{
	struct expr_build *build = parse->build;
	struct expr_slot *slot = arena_grow(build->arena, &build->slots,
	    &build->slot_count, &build->slot_room, sizeof *slot);

	if (slot == NULL)
		return err_no_memory(build->err);
	slot->at = at;
	slot->length = length;
	slot->name = name;
	return LW_OK;
}

/* The words of a choice, for a sentence. */
static void
say_words(char *text, size_t size, const char *const *words)
{
	size_t used = 0, i;

	text[0] = '\0';
	for (i = 0; words[i] != NULL && used < size; i++)
		used += (size_t)snprintf(text + used, size - used, "%s%s",
		    i == 0		   ? ""
		    : words[i + 1] == NULL ? " or "
					   : ", ",
		    words[i]);
}

static enum lw_status
find_word(struct parse *parse, short name, unsigned *words)
{
	const struct expr_token *token = &parse->scan.token;
	const char *const *choices = parse->build->names[name].choices;
	const char *word = parse->scan.text + token->at;
	char text[300];
	size_t i;

	for (i = 0; choices[i] != NULL && i < 30; i++) {
		if (strlen(choices[i]) != token->length ||
		    memcmp(choices[i], word, token->length) != 0)
			continue;
		*words = 1u << i;
		return LW_OK;
	}
	say_words(text, sizeof text, choices);
	return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
	    column_at(parse, token->at), "%s is not '%.*s' but %s",
	    parse->build->names[name].name, (int)token->length, word, text);
}

/* name = word, name != word. */
static enum lw_status
parse_choice(struct parse *parse, short name, size_t at, short *node)
{
	struct expr_build *build = parse->build;
	struct expr_place place = place_at(parse, at);
	bool differs = at_sign(parse, EXPR_NE);
	short operands[3] = {-1, -1, -1};
	unsigned words = 0;
	enum lw_status status;

	if (!differs && !at_sign(parse, '='))
		return err_set_at(build->err, LW_BAD_INPUT, 0, place.column,
		    "%s is a choice and no quantity; compare it with one of "
		    "its words, such as %s = %s",
		    build->names[name].name, build->names[name].name,
		    build->names[name].choices[0]);
	status = expr_scan_choice(&parse->scan, build->err);
	if (status == LW_OK)
		status = find_word(parse, name, &words);
	if (status == LW_OK)
		status = next(parse);
	if (status == LW_OK)
		status = expr_make_choice(node, build, name, words, place);
	if (status != LW_OK || !differs)
		return status;
	operands[0] = *node;
	return expr_make(node, build, EXPR_NOT, operands, place);
}

static enum lw_status
parse_name(struct parse *parse, short *node)
{
	struct expr_build *build = parse->build;
	const struct expr_token token = parse->scan.token;
	const char *text = parse->scan.text + token.at;
	enum lw_status status;
	short name = 0;
	char *copy;
	int parameter;

	if (parse->function != NULL) {
		parameter = find_parameter(
		    parse->function->parameters, text, token.length);
		if (parameter >= 0) {
			*node = parse->arguments[parameter];
			return next(parse);
		}
	}
	copy = arena_dup_n(build->arena, text, token.length);
	if (copy == NULL)
		return err_no_memory(build->err);
	status = find_name(parse, copy, token.at, &name);
	if (status == LW_OK && parse->function == NULL)
		status = note_slot(parse, token.at, token.length, name);
	if (status == LW_OK)
		status = next(parse);
	if (status != LW_OK)
		return status;
	if (build->names[name].choices != NULL)
		return parse_choice(parse, name, token.at, node);
	return expr_make_name(node, build, name, place_at(parse, token.at));
}

/* --- functions ------------------------------------------------------------ */

static const struct builtin {
	const char *name;
	enum expr_op op;
	size_t least;
	size_t most;
	const char *given;
} builtins[] = {
    {"min", EXPR_MIN, 2, ARGUMENTS_MAX, "two quantities or more"},
    {"max", EXPR_MAX, 2, ARGUMENTS_MAX, "two quantities or more"},
    {"exp", EXPR_EXP, 1, 1, "one bare number"},
    {"ln", EXPR_LN, 1, 1, "one bare number"},
    {"sqrt", EXPR_SQRT, 1, 1, "one quantity"},
    {"abs", EXPR_ABS, 1, 1, "one quantity"},
    {"if", EXPR_IF, 3, 3, "a condition and two quantities"},
    {"low", EXPR_LOW, 1, 1, "one quantity"},
    {"high", EXPR_HIGH, 1, 1, "one quantity"},
    {"middle", EXPR_MIDDLE, 1, 1, "one quantity"},
};

struct arguments {
	short node[ARGUMENTS_MAX];
	struct expr_span span[ARGUMENTS_MAX];
	size_t count;
};

static enum lw_status
parse_arguments(struct parse *parse, struct arguments *arguments)
{
	enum lw_status status = next(parse);
	struct expr_span *span;

	arguments->count = 0;
	while (status == LW_OK) {
		if (arguments->count == ARGUMENTS_MAX)
			return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
			    column_at(parse, parse->scan.token.at),
			    "a function is given at most %d things",
			    ARGUMENTS_MAX);
		span = &arguments->span[arguments->count];
		span->at = parse->scan.token.at;
		status = parse_operation(
		    parse, OR_POWER, &arguments->node[arguments->count]);
		if (status != LW_OK)
			return status;
		span->end = parse->scan.ended;
		span->compound = parse->compound;
		arguments->count++;
		if (!at_sign(parse, ','))
			break;
		status = next(parse);
	}
	if (status != LW_OK)
		return status;
	return expect_sign(parse, ')', "a closing bracket or a comma");
}

/* An if keeps its place in the text, so that it can be said as the branch
 * that it comes to. */
static enum lw_status
note_fork(struct parse *parse, size_t fork, size_t at,
    const struct arguments *arguments)
{
	struct expr_fork *made = &parse->build->forks[fork];

	made->whole.at = at;
	made->whole.end = parse->scan.ended;
	made->condition = arguments->node[0];
	made->then = arguments->span[1];
	made->otherwise = arguments->span[2];
	return LW_OK;
}

static enum lw_status
call_builtin(struct parse *parse, const struct builtin *builtin, size_t at,
    const struct arguments *arguments, short *node)
{
	struct expr_place place = place_at(parse, at);
	short operands[3] = {-1, -1, -1};
	enum lw_status status;
	size_t i;

	if (arguments->count < builtin->least ||
	    arguments->count > builtin->most)
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
		    place.column, "%s is given %s, not %zu", builtin->name,
		    builtin->given, arguments->count);
	if (builtin->least != 2) {
		memcpy(operands, arguments->node,
		    arguments->count * sizeof operands[0]);
		return expr_make(
		    node, parse->build, builtin->op, operands, place);
	}
	*node = arguments->node[0];
	for (i = 1; i < arguments->count; i++) {
		operands[0] = *node;
		operands[1] = arguments->node[i];
		status =
		    expr_make(node, parse->build, builtin->op, operands, place);
		if (status != LW_OK)
			return status;
	}
	return LW_OK;
}

/* Names and units of "ohms:ohm farads:F share:", one after the other. */
static bool
next_parameter(const char **parameters, char *name, char *unit)
{
	const char *s = *parameters;
	size_t length = strcspn(s, ":"), units;

	if (*s == '\0' || length >= 32)
		return false;
	memcpy(name, s, length);
	name[length] = '\0';
	s += length + 1;
	units = strcspn(s, " ");
	if (units >= 32)
		return false;
	memcpy(unit, s, units);
	unit[units] = '\0';
	s += units;
	*parameters = s + strspn(s, " ");
	return true;
}

static enum lw_status
wrong_count(const struct expr_function *function, size_t count, unsigned column,
    struct lw_err *err)
{
	const char *parameters = function->parameters;
	char name[32], unit[32], text[200] = "";
	size_t used = 0, i;

	for (i = 0; next_parameter(&parameters, name, unit); i++)
		used += (size_t)snprintf(text + used, sizeof text - used,
		    "%s%s", i == 0 ? "" : ", ", name);
	return err_set_at(err, LW_BAD_INPUT, 0, column,
	    "%s is given %zu things and not %zu: %s(%s)", function->name, i,
	    count, function->name, text);
}

/* Every argument measures what its parameter does. */
static enum lw_status
check_arguments(struct parse *parse, const struct expr_function *function,
    size_t at, const struct arguments *arguments)
{
	struct expr_build *build = parse->build;
	const char *parameters = function->parameters;
	char name[32], unit[32], is[LW_QUANTITY_MAX], wanted[LW_QUANTITY_MAX];
	const struct expr_node *node;
	struct lw_dimension dimension;
	size_t i;

	for (i = 0; next_parameter(&parameters, name, unit); i++) {
		if (i >= arguments->count)
			continue;
		node = &build->nodes[arguments->node[i]];
		if (expr_unit_dimension(&dimension, unit, NULL) != LW_OK)
			return err_set_at(build->err, LW_FAILED, 0, 0,
			    "the unit %s of %s is not known", unit,
			    function->name);
		expr_dimension_say(wanted, dimension);
		if (node->condition)
			snprintf(is, sizeof is, "a condition");
		else if (expr_dimension_equal(node->dimension, dimension))
			continue;
		else
			expr_dimension_say(is, node->dimension);
		return err_set_at(build->err, LW_BAD_INPUT, 0,
		    column_at(parse, arguments->span[i].at),
		    "the %s of %s has to be %s, and this is %s", name,
		    function->name, wanted, is);
	}
	if (i != arguments->count)
		return wrong_count(function, arguments->count,
		    column_at(parse, at), build->err);
	return LW_OK;
}

static enum lw_status
call_function(struct parse *parse, const struct expr_function *function,
    size_t at, const struct arguments *arguments, short *node)
{
	struct parse body;
	enum lw_status status;

	status = check_arguments(parse, function, at, arguments);
	if (status != LW_OK)
		return status;
	memset(&body, 0, sizeof body);
	body.build = parse->build;
	body.function = function;
	body.arguments = arguments->node;
	body.column = column_at(parse, at);
	body.scan.text = function->body;
	status = next(&body);
	if (status == LW_OK)
		status = parse_operation(&body, OR_POWER, node);
	if (status == LW_OK && body.scan.token.kind != EXPR_END)
		status = unexpected(&body, "the end");
	return status;
}

static enum lw_status
unknown_function(struct parse *parse, size_t at, size_t length)
{
	const struct expr_function *functions;
	char name[NEAR_LONGEST + 1];
	struct near near;
	size_t count, i;

	if (length > NEAR_LONGEST)
		length = NEAR_LONGEST;
	memcpy(name, parse->scan.text + at, length);
	name[length] = '\0';
	near_start(&near, name);
	for (i = 0; i < COUNT(builtins); i++)
		near_try(&near, builtins[i].name);
	functions = expr_functions(&count);
	for (i = 0; i < count; i++)
		near_try(&near, functions[i].name);
	if (near.best != NULL)
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
		    column_at(parse, at),
		    "there is no function called %s; did you mean %s?", name,
		    near.best);
	return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
	    column_at(parse, at),
	    "there is no function called %s; there are min, max, exp, ln, "
	    "sqrt, abs, if, low, high, middle and those of the list",
	    name);
}

static bool
named(const char *name, const char *text, size_t length)
{
	return strlen(name) == length && memcmp(name, text, length) == 0;
}

/* Room for an if, before those within it take theirs. */
static enum lw_status
begin_fork(struct parse *parse, const struct builtin *builtin, size_t *fork)
{
	struct expr_build *build = parse->build;

	*fork = build->fork_count;
	if (builtin == NULL || builtin->op != EXPR_IF ||
	    parse->function != NULL)
		return LW_OK;
	if (arena_grow(build->arena, &build->forks, &build->fork_count,
		&build->fork_room, sizeof *build->forks) == NULL)
		return err_no_memory(build->err);
	return LW_OK;
}

static enum lw_status
parse_call(struct parse *parse, size_t at, size_t length, short *node)
{
	const char *text = parse->scan.text + at;
	const struct expr_function *functions, *function = NULL;
	const struct builtin *builtin = NULL;
	struct arguments arguments;
	enum lw_status status;
	size_t count, i, fork = 0;

	for (i = 0; i < COUNT(builtins); i++)
		if (named(builtins[i].name, text, length))
			builtin = &builtins[i];
	functions = expr_functions(&count);
	for (i = 0; i < count; i++)
		if (named(functions[i].name, text, length))
			function = &functions[i];
	if (builtin == NULL && function == NULL)
		return unknown_function(parse, at, length);
	status = begin_fork(parse, builtin, &fork);
	if (status == LW_OK)
		status = parse_arguments(parse, &arguments);
	if (status != LW_OK)
		return status;
	if (builtin == NULL)
		return call_function(parse, function, at, &arguments, node);
	status = call_builtin(parse, builtin, at, &arguments, node);
	if (status == LW_OK && builtin->op == EXPR_IF &&
	    parse->function == NULL)
		status = note_fork(parse, fork, at, &arguments);
	return status;
}

/* --- operators ------------------------------------------------------------ */

static enum lw_status
parse_literal(struct parse *parse, short *node)
{
	const struct expr_token *token = &parse->scan.token;
	enum lw_status status = expr_make_number(node, parse->build,
	    token->number, token->dimension, place_at(parse, token->at));

	return status == LW_OK ? next(parse) : status;
}

static enum lw_status
parse_primary(struct parse *parse, short *node)
{
	struct parse saved;
	enum lw_status status;

	if (parse->scan.token.kind == EXPR_LITERAL)
		return parse_literal(parse, node);
	if (at_sign(parse, '(')) {
		status = next(parse);
		if (status == LW_OK)
			status = parse_operation(parse, OR_POWER, node);
		if (status == LW_OK)
			status = expect_sign(parse, ')', "a closing bracket");
		return status;
	}
	if (parse->scan.token.kind != EXPR_WORD ||
	    expr_token_is(&parse->scan, "and") ||
	    expr_token_is(&parse->scan, "or"))
		return unexpected(parse, "a number, a name or a bracket");
	/* A name before a bracket is a function. */
	saved = *parse;
	status = next(parse);
	if (status == LW_OK && at_sign(parse, '('))
		return parse_call(
		    parse, saved.scan.token.at, saved.scan.token.length, node);
	*parse = saved;
	return parse_name(parse, node);
}

/* Minus in front, not, and powers. */
static enum lw_status
parse_minus(struct parse *parse, short *node)
{
	short operands[3] = {-1, -1, -1};
	size_t at = parse->scan.token.at;
	enum lw_status status = next(parse);

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
	    node, parse->build, EXPR_NEG, operands, place_at(parse, at));
}

static enum lw_status
parse_not(struct parse *parse, short *node)
{
	short operands[3] = {-1, -1, -1};
	size_t at = parse->scan.token.at;
	enum lw_status status = next(parse);

	if (status == LW_OK)
		status = parse_operation(parse, COMPARE_POWER, &operands[0]);
	if (status != LW_OK)
		return status;
	return expr_make(
	    node, parse->build, EXPR_NOT, operands, place_at(parse, at));
}

static enum lw_status
parse_power(struct parse *parse, short *node)
{
	enum lw_status status = parse_primary(parse, node);
	short base = *node, exponent = -1;
	size_t at = parse->scan.token.at;

	parse->compound = false;
	if (status != LW_OK || !at_sign(parse, '^'))
		return status;
	base = *node;
	status = next(parse);
	if (status == LW_OK)
		status = parse_prefix(parse, &exponent);
	if (status != LW_OK)
		return status;
	parse->compound = true;
	return expr_make_power(
	    node, parse->build, base, exponent, place_at(parse, at));
}

static enum lw_status
parse_prefix(struct parse *parse, short *node)
{
	enum lw_status status = enter(parse);

	if (status != LW_OK)
		return status;
	if (at_sign(parse, '-')) {
		status = parse_minus(parse, node);
		parse->compound = true;
	} else if (at_sign(parse, '+')) {
		status = next(parse);
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
find_operator(const struct parse *parse, struct operator* found)
{
	static const struct {
		char sign;
		struct operator is;
	} signs[] = {
	    {'=', {EXPR_EQUAL, COMPARE_POWER, false, false}},
	    {EXPR_NE, {EXPR_EQUAL, COMPARE_POWER, false, true}},
	    {'<', {EXPR_LESS, COMPARE_POWER, false, false}},
	    {'>', {EXPR_LESS, COMPARE_POWER, true, false}},
	    {EXPR_LE, {EXPR_AT_MOST, COMPARE_POWER, false, false}},
	    {EXPR_GE, {EXPR_AT_MOST, COMPARE_POWER, true, false}},
	    {'+', {EXPR_ADD, SUM_POWER, false, false}},
	    {'-', {EXPR_SUB, SUM_POWER, false, false}},
	    {'*', {EXPR_MUL, PRODUCT_POWER, false, false}},
	    {'/', {EXPR_DIV, PRODUCT_POWER, false, false}},
	};
	static const struct operator either = {EXPR_OR, OR_POWER, false, false};
	static const struct operator both = {EXPR_AND, AND_POWER, false, false};
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
		if (!at_sign(parse, signs[i].sign))
			continue;
		*found = signs[i].is;
		return true;
	}
	return false;
}

static enum lw_status
apply(struct parse *parse, const struct operator* operator, size_t at,
    short *left, short right)
{
	struct expr_place place = place_at(parse, at);
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

static enum lw_status
parse_operation(struct parse *parse, int least, short *node)
{
	enum lw_status status = parse_prefix(parse, node);
	struct operator operator;
	bool compound = parse->compound, compared = false;
	short right = -1;
	size_t at;

	while (status == LW_OK &&
	       find_operator(parse, &operator) && operator.power >= least) {
		at = parse->scan.token.at;
		if (operator.power == COMPARE_POWER && compared)
			return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
			    column_at(parse, at),
			    "comparisons do not follow one another; join two "
			    "with and");
		compared = operator.power == COMPARE_POWER;
		status = next(parse);
		if (status == LW_OK)
			status =
			    parse_operation(parse, operator.power + 1, &right);
		if (status == LW_OK)
			status = apply(parse, &operator, at, node, right);
		compound = true;
	}
	parse->compound = compound;
	return status;
}

/* --- the whole ------------------------------------------------------------ */

/* Keep what the result needs; nodes that were worked out at once are left
 * behind. */
static enum lw_status
keep_nodes(struct expr *expr, struct expr_build *build, short root)
{
	short to[EXPR_NODES_MAX];
	bool used[EXPR_NODES_MAX] = {false};
	struct expr_node *nodes;
	size_t i, j;

	used[root] = true;
	for (i = 0; i < build->fork_count; i++)
		used[build->forks[i].condition] = true;
	for (i = build->count; i-- > 0;)
		for (j = 0; j < 3 && used[i]; j++)
			if (build->nodes[i].operand[j] >= 0)
				used[build->nodes[i].operand[j]] = true;
	nodes = arena_array(build->arena, build->count, sizeof *nodes);
	if (nodes == NULL)
		return err_no_memory(build->err);
	for (i = 0; i < build->count; i++) {
		if (!used[i])
			continue;
		to[i] = (short)expr->count;
		nodes[expr->count] = build->nodes[i];
		for (j = 0; j < 3; j++)
			if (build->nodes[i].operand[j] >= 0)
				nodes[expr->count].operand[j] =
				    to[build->nodes[i].operand[j]];
		expr->count++;
	}
	for (i = 0; i < build->fork_count; i++)
		build->forks[i].condition = to[build->forks[i].condition];
	expr->nodes = nodes;
	expr->root = (size_t)to[root];
	return LW_OK;
}

static const char *const *
keep_words(struct lw_arena *arena, const char *const *words)
{
	const char **kept;
	size_t count = 0, i;

	while (words[count] != NULL)
		count++;
	kept = arena_array(arena, count + 1, sizeof *kept);
	for (i = 0; i < count && kept != NULL; i++) {
		kept[i] = arena_dup(arena, words[i]);
		if (kept[i] == NULL)
			return NULL;
	}
	return (const char *const *)kept;
}

static enum lw_status
keep_names(struct expr *expr, struct expr_build *build)
{
	const char **names;
	const char *const **choices;
	size_t i;

	names = arena_array(build->arena, EXPR_NAMES_MAX, sizeof *names);
	choices = arena_array(build->arena, EXPR_NAMES_MAX, sizeof *choices);
	if (names == NULL || choices == NULL)
		return err_no_memory(build->err);
	for (i = 0; i < build->name_count; i++) {
		names[i] = build->names[i].name;
		if (build->names[i].choices == NULL)
			continue;
		choices[i] = keep_words(build->arena, build->names[i].choices);
		if (choices[i] == NULL)
			return err_no_memory(build->err);
	}
	expr->names = names;
	expr->choices = choices;
	expr->name_count = build->name_count;
	return LW_OK;
}

static enum lw_status
keep(const struct expr **out, struct expr_build *build, const char *text,
    short root)
{
	struct expr *expr = arena_alloc(build->arena, sizeof *expr);
	enum lw_status status;
	size_t i;

	if (expr == NULL)
		return err_no_memory(build->err);
	expr->text = arena_dup(build->arena, text);
	if (expr->text == NULL)
		return err_no_memory(build->err);
	status = keep_nodes(expr, build, root);
	if (status == LW_OK)
		status = keep_names(expr, build);
	if (status != LW_OK)
		return status;
	for (i = 0; i < expr->count; i++)
		expr->ends += expr->nodes[i].op >= EXPR_LOW &&
			      expr->nodes[i].op <= EXPR_MIDDLE;
	expr->slots = build->slots;
	expr->slot_count = build->slot_count;
	expr->forks = build->forks;
	expr->fork_count = build->fork_count;
	*out = expr;
	return LW_OK;
}

static enum lw_status
parse_all(struct parse *parse, short *root)
{
	enum lw_status status = next(parse);

	if (status == LW_OK)
		status = parse_operation(parse, OR_POWER, root);
	if (status == LW_OK && parse->scan.token.kind != EXPR_END)
		status = unexpected(parse, "an operator or the end");
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
	struct parse parse;
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
	return status == LW_OK ? keep(expr, &build, text, root) : status;
}

struct lw_dimension
expr_dimension(const struct expr *expr)
{
	return expr->nodes[expr->root].dimension;
}

size_t
expr_name_count(const struct expr *expr)
{
	return expr->name_count;
}

const char *
expr_name_at(const struct expr *expr, size_t i)
{
	return expr->names[i];
}
