/* What items of every kind have in their rows, read. What is particular to a
 * kind is left to catalogue.c and catalogue_checks.c. */
#include "book/rows.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

/* Words that the book cannot have written leave the enumeration at "none". */
enum lw_power
rows_power(struct query *query, int column)
{
	enum lw_power power = LW_POWER_UNKNOWN;

	if (lw_power_parse(&power, query_peek(query, column), NULL) != LW_OK)
		return LW_POWER_UNKNOWN;
	return power;
}

enum lw_meter
rows_meter(struct query *query, int column)
{
	enum lw_meter meter = LW_METER_NONE;

	if (lw_meter_parse(&meter, query_peek(query, column), NULL) != LW_OK)
		return LW_METER_NONE;
	return meter;
}

/* Start the statement that reads an item's own row, and step to it. */
bool
rows_start(struct query *query, struct lw_book *book, enum statement which,
    int64_t number, struct lw_err *err)
{
	query_start(query, book, which, err);
	query_int(query, 1, number);
	if (query_row(query))
		return true;
	if (query->status == LW_OK)
		query->status = err_set(err, LW_CORRUPT,
		    "the book %.200s is damaged (an item has lost its "
		    "content); put a saved copy in its place",
		    book->path);
	return false;
}

/* What every item has. `source` and `pack` may be NULL. */
enum lw_status
rows_item(struct lw_book *book, struct lw_arena *arena, int64_t number,
    const char **id, const char **title, const char **source, bool *own,
    struct lw_err *err)
{
	struct query query;

	if (rows_start(&query, book, SQL_ITEM_BY_NUMBER, number, err)) {
		*id = query_get_word(&query, arena, 0);
		*title = query_get_word(&query, arena, 1);
		if (source != NULL)
			*source = query_get_text(&query, arena, 2);
		if (own != NULL)
			*own = strcmp(query_peek(&query, 3), "own") == 0;
	}
	return query_end(&query);
}

enum lw_status
rows_texts(struct lw_book *book, struct lw_arena *arena, enum statement which,
    int64_t number, struct lw_texts *texts, struct lw_err *err)
{
	struct query query;
	struct lw_text *items = NULL, *text;
	size_t room = 0;

	texts->count = 0;
	query_start(&query, book, which, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		text = query_grow(
		    &query, arena, &items, &texts->count, &room, sizeof *text);
		if (text != NULL)
			text->text = query_get_word(&query, arena, 0);
	}
	texts->items = items;
	return query_end(&query);
}

void
rows_rules(struct query *query, struct lw_arena *arena, int column,
    struct lw_texts *only)
{
	const char *rules = query_peek(query, column);
	struct lw_text *items = NULL, *rule;
	size_t room = 0, length;

	only->count = 0;
	for (; *(rules += strspn(rules, " ")) != '\0'; rules += length) {
		length = strcspn(rules, " ");
		rule = query_grow(
		    query, arena, &items, &only->count, &room, sizeof *rule);
		if (rule == NULL)
			break;
		rule->text = arena_dup_n(arena, rules, length);
		if (rule->text == NULL) {
			query_no_memory(query);
			break;
		}
	}
	only->items = items;
}

enum lw_status
rows_refs(struct lw_book *book, struct lw_arena *arena, enum statement which,
    int64_t number, bool words, struct lw_refs *refs, struct lw_err *err)
{
	struct query query;
	struct lw_ref *items = NULL, *ref;
	size_t room = 0;

	refs->count = 0;
	query_start(&query, book, which, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		ref = query_grow(
		    &query, arena, &items, &refs->count, &room, sizeof *ref);
		if (ref == NULL)
			break;
		ref->id = query_get_word(&query, arena, 0);
		if (words)
			ref->word = query_get_text(&query, arena, 1);
	}
	refs->items = items;
	return query_end(&query);
}
