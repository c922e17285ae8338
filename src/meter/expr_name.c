/* Names in expressions: quantities, and choices that are compared with one of
 * their words. Where a name is known from is left to the caller of expr_parse.
 */
#include "meter/expr_grammar.h"

#include "base/arena.h"
#include "base/err.h"

#include <stdio.h>
#include <string.h>

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
unknown_name(struct expr_parser *parse, const char *name, size_t at)
{
	const struct expr_names *lookup = parse->build->lookup;
	const char *nearest = NULL;

	if (lookup != NULL && lookup->nearest != NULL)
		nearest = lookup->nearest(lookup->context, name);
	if (nearest != NULL)
		return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
		    expr_column_at(parse, at),
		    "there is no value called %s; did you mean %s?", name,
		    nearest);
	return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
	    expr_column_at(parse, at), "there is no value called %s", name);
}

/* The index of a name, looked up the first time that it comes. */
static enum lw_status
find_name(struct expr_parser *parse, const char *name, size_t at, short *index)
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
		    expr_column_at(parse, at),
		    "an expression has at most %d different names",
		    EXPR_NAMES_MAX);
	found.name = name;
	build->names[build->name_count] = found;
	build->name_nodes[build->name_count] = -1;
	*index = (short)build->name_count++;
	return LW_OK;
}

static enum lw_status
note_slot(struct expr_parser *parse, size_t at, size_t length, short name)
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
find_word(struct expr_parser *parse, short name, unsigned *words)
{
	const struct expr_token *token = &parse->scan.token;
	const char *const *choices = parse->build->names[name].choices;
	const char *word = parse->scan.text + token->at;
	char text[300];
	size_t i;

	for (i = 0; i < EXPR_WORDS_MAX && choices[i] != NULL; i++) {
		if (strlen(choices[i]) != token->length ||
		    memcmp(choices[i], word, token->length) != 0)
			continue;
		*words = 1u << i;
		return LW_OK;
	}
	say_words(text, sizeof text, choices);
	return err_set_at(parse->build->err, LW_BAD_INPUT, 0,
	    expr_column_at(parse, token->at), "%s is not '%.*s' but %s",
	    parse->build->names[name].name, (int)token->length, word, text);
}

/* name = word, name != word. */
static enum lw_status
parse_choice(struct expr_parser *parse, short name, size_t at, short *node)
{
	struct expr_build *build = parse->build;
	struct expr_place place = expr_place_at(parse, at);
	bool differs = expr_at_sign(parse, EXPR_NE);
	short operands[3] = {-1, -1, -1};
	unsigned words = 0;
	enum lw_status status;

	if (!differs && !expr_at_sign(parse, '='))
		return err_set_at(build->err, LW_BAD_INPUT, 0, place.column,
		    "%s is a choice and no quantity; compare it with one of "
		    "its words, such as %s = %s",
		    build->names[name].name, build->names[name].name,
		    build->names[name].choices[0]);
	status = expr_scan_choice(&parse->scan, build->err);
	if (status == LW_OK)
		status = find_word(parse, name, &words);
	if (status == LW_OK)
		status = expr_next(parse);
	if (status == LW_OK)
		status = expr_make_choice(node, build, name, words, place);
	if (status != LW_OK || !differs)
		return status;
	operands[0] = *node;
	return expr_make(node, build, EXPR_NOT, operands, place);
}

enum lw_status
expr_parse_name(struct expr_parser *parse, short *node)
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
			return expr_next(parse);
		}
	}
	copy = arena_dup_n(build->arena, text, token.length);
	if (copy == NULL)
		return err_no_memory(build->err);
	status = find_name(parse, copy, token.at, &name);
	if (status == LW_OK && parse->function == NULL)
		status = note_slot(parse, token.at, token.length, name);
	if (status == LW_OK)
		status = expr_next(parse);
	if (status != LW_OK)
		return status;
	if (build->names[name].choices != NULL)
		return parse_choice(parse, name, token.at, node);
	return expr_make_name(
	    node, build, name, expr_place_at(parse, token.at));
}
