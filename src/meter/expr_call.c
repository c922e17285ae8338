/* Functions in expressions: those that are steps by themselves, and those of
 * meter/functions.c, whose body is parsed with the arguments for its
 * parameters. */
#include "meter/expr_grammar.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/near.h"

#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static const struct builtin {
	const char *name;
	enum expr_op op;
	size_t least;
	size_t most;
	const char *given;
} builtins[] = {
    {"min", EXPR_MIN, 2, EXPR_ARGUMENTS_MAX, "two quantities or more"},
    {"max", EXPR_MAX, 2, EXPR_ARGUMENTS_MAX, "two quantities or more"},
    {"exp", EXPR_EXP, 1, 1, "one bare number"},
    {"ln", EXPR_LN, 1, 1, "one bare number"},
    {"sqrt", EXPR_SQRT, 1, 1, "one quantity"},
    {"abs", EXPR_ABS, 1, 1, "one quantity"},
    {"if", EXPR_IF, 3, 3, "a condition and two quantities"},
    {"low", EXPR_LOW, 1, 1, "one quantity"},
    {"high", EXPR_HIGH, 1, 1, "one quantity"},
    {"middle", EXPR_MIDDLE, 1, 1, "one quantity"},
};

struct expr_arguments {
	short node[EXPR_ARGUMENTS_MAX];
	struct expr_span span[EXPR_ARGUMENTS_MAX];
	size_t count;
};

static enum lw_status
parse_arguments(struct expr_parser *parse, struct expr_arguments *arguments)
{
	enum lw_status status = expr_next(parse);
	struct expr_span *span;

	arguments->count = 0;
	while (status == LW_OK) {
		if (arguments->count == EXPR_ARGUMENTS_MAX)
			return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
			    expr_column_at(parse, parse->scan.token.at),
			    "a function is given at most %d things",
			    EXPR_ARGUMENTS_MAX);
		span = &arguments->span[arguments->count];
		span->at = parse->scan.token.at;
		status = expr_parse_operation(
		    parse, EXPR_OR_POWER, &arguments->node[arguments->count]);
		if (status != LW_OK)
			return status;
		span->end = parse->scan.ended;
		span->compound = parse->compound;
		arguments->count++;
		if (!expr_at_sign(parse, ','))
			break;
		status = expr_next(parse);
	}
	if (status != LW_OK)
		return status;
	return expr_expect_sign(parse, ')', "a closing bracket or a comma");
}

/* An if keeps its place in the text, so that it can be said as the branch
 * that it comes to. */
static enum lw_status
note_fork(struct expr_parser *parse, size_t fork, size_t at,
    const struct expr_arguments *arguments)
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
call_builtin(struct expr_parser *parse, const struct builtin *builtin,
    size_t at, const struct expr_arguments *arguments, short *node)
{
	struct expr_place place = expr_place_at(parse, at);
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
check_arguments(struct expr_parser *parse, const struct expr_function *function,
    size_t at, const struct expr_arguments *arguments)
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
		if (lw_unit_dimension(&dimension, unit, NULL) != LW_OK)
			return err_set_at(build->err, LW_FAILED, 0, 0,
			    "the unit %s of %s is not known", unit,
			    function->name);
		lw_dimension_say(wanted, dimension);
		if (node->condition)
			snprintf(is, sizeof is, "a condition");
		else if (lw_dimension_equal(node->dimension, dimension))
			continue;
		else
			lw_dimension_say(is, node->dimension);
		return err_set_at(build->err, LW_BAD_INPUT, 0,
		    expr_column_at(parse, arguments->span[i].at),
		    "the %s of %s has to be %s, and this is %s", name,
		    function->name, wanted, is);
	}
	if (i != arguments->count)
		return wrong_count(function, arguments->count,
		    expr_column_at(parse, at), build->err);
	return LW_OK;
}

static enum lw_status
call_function(struct expr_parser *parse, const struct expr_function *function,
    size_t at, const struct expr_arguments *arguments, short *node)
{
	struct expr_parser body;
	enum lw_status status;

	status = check_arguments(parse, function, at, arguments);
	if (status != LW_OK)
		return status;
	memset(&body, 0, sizeof body);
	body.build = parse->build;
	body.function = function;
	body.arguments = arguments->node;
	body.column = expr_column_at(parse, at);
	body.scan.text = function->body;
	status = expr_next(&body);
	if (status == LW_OK)
		status = expr_parse_operation(&body, EXPR_OR_POWER, node);
	if (status == LW_OK && body.scan.token.kind != EXPR_END)
		status = expr_unexpected(&body, "the end");
	return status;
}

static enum lw_status
unknown_function(struct expr_parser *parse, size_t at, size_t length)
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
		    expr_column_at(parse, at),
		    "there is no function called %s; did you mean %s?", name,
		    near.best);
	return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
	    expr_column_at(parse, at),
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
begin_fork(
    struct expr_parser *parse, const struct builtin *builtin, size_t *fork)
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

enum lw_status
expr_parse_call(
    struct expr_parser *parse, size_t at, size_t length, short *node)
{
	const char *text = parse->scan.text + at;
	const struct expr_function *functions, *function = NULL;
	const struct builtin *builtin = NULL;
	struct expr_arguments arguments;
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
