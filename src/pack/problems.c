/* The list of problems: kept up to a cap, put in order at the end. What is
 * a problem is left to everyone else. */
#include "base/err.h"
#include "base/utf8.h"
#include "pack/set.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { QUOTE_MAX = 60, SENTENCE_MAX = 1000 };

void
pack_tell(const struct pack_file *file, struct lw_where at, const char *rule,
    const char *format, ...)
{
	struct pack_set *set = file->set;
	struct pack_found *found;
	char text[SENTENCE_MAX];
	va_list args;
	int length;
	size_t i;

	set->told++;
	if (set->found_count >= LW_PACK_MAX_PROBLEMS)
		return;
	va_start(args, format);
	length = vsnprintf(text, sizeof text, format, args);
	va_end(args);
	if (length < 0)
		text[0] = '\0';
	if ((size_t)length >= sizeof text)
		text[utf8_whole(text, sizeof text - 1)] = '\0';
	for (i = 0; text[i] != '\0'; i++)
		if ((unsigned char)text[i] < 0x20)
			text[i] = ' '; /* quoted from the file by others */
	found = arena_grow(set->arena, &set->found, &set->found_count,
	    &set->found_room, sizeof *found);
	if (found == NULL) {
		set->no_memory = true;
		return;
	}
	found->index = file->index;
	found->order = set->told;
	found->problem.file = file->name;
	found->problem.line = at.line;
	found->problem.column = at.column;
	found->problem.rule = rule;
	found->problem.text = arena_dup(set->arena, text);
	if (found->problem.text == NULL) {
		found->problem.text = "";
		set->no_memory = true;
	}
}

static int
in_order(const void *one, const void *other)
{
	const struct pack_found *a = one, *b = other;

	if (a->index != b->index)
		return a->index < b->index ? -1 : 1;
	if (a->problem.line != b->problem.line)
		return a->problem.line < b->problem.line ? -1 : 1;
	if (a->problem.column != b->problem.column)
		return a->problem.column < b->problem.column ? -1 : 1;
	return a->order < b->order ? -1 : a->order > b->order;
}

enum lw_status
pack_problems(
    struct pack_set *set, struct lw_problems *problems, struct lw_err *err)
{
	struct lw_problem *items;
	size_t i;

	memset(problems, 0, sizeof *problems);
	if (set->found_count == 0)
		return LW_OK;
	qsort(set->found, set->found_count, sizeof *set->found, in_order);
	items = arena_array(set->arena, set->found_count, sizeof *items);
	if (items == NULL)
		return err_no_memory(err);
	for (i = 0; i < set->found_count; i++)
		items[i] = set->found[i].problem;
	problems->items = items;
	problems->count = set->found_count;
	return LW_OK;
}

const char *
pack_quote(struct pack_set *set, const char *text)
{
	size_t length = strlen(text), i;
	bool cut = length > QUOTE_MAX;
	char *quote;

	if (cut)
		length = utf8_whole(text, QUOTE_MAX);
	quote = arena_printf(
	    set->arena, "%.*s%s", (int)length, text, cut ? "..." : "");
	if (quote == NULL) {
		set->no_memory = true;
		return "";
	}
	for (i = 0; quote[i] != '\0'; i++)
		if ((unsigned char)quote[i] < 0x20 || quote[i] == '"')
			quote[i] = ' ';
	return quote;
}
