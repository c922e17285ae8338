/* Reading the values of rigs that packs bring: one by its number, and all of
 * them. What a rig's own are is left to rig_facts.c. */
#include "book/catalogue.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/kept.h"
#include "book/rows.h"

#include <lampwright/quantity.h>

#include <string.h>

/* A word that the book cannot have written makes it a quantity without a
 * unit, of which nothing can be known. */
static enum lw_value_kind
get_value_kind(struct query *query, int column)
{
	enum lw_value_kind kind = LW_VALUE_QUANTITY;

	if (lw_value_kind_parse(&kind, query_peek(query, column), NULL) !=
	    LW_OK)
		return LW_VALUE_QUANTITY;
	return kind;
}

/* A unit that there is not, of a book that is damaged or newer, is none. */
static const char *
get_unit(struct query *query, struct lw_arena *arena, int column)
{
	const char *unit = query_get_text(query, arena, column);
	struct lw_dimension dimension;

	return unit != NULL && unit[0] != '\0' &&
		       lw_unit_dimension(&dimension, unit, NULL) == LW_OK
		   ? unit
		   : NULL;
}

/* The words of a choice with their titles; each list ends with NULL. */
static enum lw_status
read_choices(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_value *value, struct lw_err *err)
{
	struct query query;
	const char **words = NULL, **titles = NULL, **word, **title;
	size_t count = 0, title_count = 0, room = 0, title_room = 0;
	bool more = true;

	query_start(&query, book, SQL_VALUE_CHOICES, err);
	query_int(&query, 1, number);
	while (more) {
		more = query_row(&query);
		word = query_grow(
		    &query, arena, &words, &count, &room, sizeof *word);
		title = query_grow(&query, arena, &titles, &title_count,
		    &title_room, sizeof *title);
		if (word == NULL || title == NULL)
			break;
		*word = more ? query_get_word(&query, arena, 0) : NULL;
		*title = more ? query_get_word(&query, arena, 1) : NULL;
	}
	value->choices = words;
	value->choice_titles = titles;
	return query_end(&query);
}

enum lw_status
catalogue_value(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_value *value, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(value, 0, sizeof *value);
	status = rows_item(book, arena, number, &value->id, &value->title,
	    &value->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (rows_start(&query, book, SQL_VALUE, number, err)) {
		value->part = query_get_text(&query, arena, 0);
		value->help = query_get_text(&query, arena, 1);
		value->where = query_get_text(&query, arena, 2);
		value->kind = get_value_kind(&query, 3);
		value->unit = get_unit(&query, arena, 4);
		value->low = query_get_real(&query, 5);
		value->high = query_get_real(&query, 6);
		value->tolerance = query_get_text(&query, arena, 7);
		value->usual = query_get_text(&query, arena, 8);
		value->worked = query_get_text(&query, arena, 9);
	}
	status = query_end(&query);
	if (status == LW_OK && value->kind == LW_VALUE_CHOICE)
		status = read_choices(book, arena, number, value, err);
	return status;
}

/* The values that packs bring. */
struct values {
	const struct lw_value *const *items;
	size_t count;
};

static enum lw_status
read_values(struct lw_book *book, struct lw_arena *arena, struct values *values,
    struct lw_err *err)
{
	struct query query;
	const struct lw_value **items;
	struct lw_value *value;
	int64_t *numbers = NULL, *number;
	size_t found = 0, room = 0, i;
	enum lw_status status;

	query_start(&query, book, SQL_VALUES, err);
	while (query_row(&query)) {
		number = query_grow(
		    &query, arena, &numbers, &found, &room, sizeof *number);
		if (number != NULL)
			*number = query_get_int(&query, 0);
	}
	status = query_end(&query);
	if (status != LW_OK || found == 0)
		return status;
	items = arena_array(arena, found, sizeof *items);
	if (items == NULL)
		return err_no_memory(err);
	for (i = 0; i < found && status == LW_OK; i++) {
		items[i] = value = arena_alloc(arena, sizeof *value);
		status = value == NULL ? err_no_memory(err)
				       : catalogue_value(book, arena,
					     numbers[i], value, err);
	}
	values->items = items;
	values->count = found;
	return status;
}

enum lw_status
catalogue_values(struct lw_book *book, struct lw_arena *arena,
    const struct lw_value *const **values, size_t *count, struct lw_err *err)
{
	const struct values *found;
	struct values *read;
	struct kept kept;
	enum lw_status status;

	*values = NULL;
	*count = 0;
	status = kept_begin(&kept, book, arena, "values", NULL, NULL, err);
	if (status != LW_OK)
		return status;
	if (kept.what == NULL) {
		kept.what = read = arena_alloc(kept.arena, sizeof *read);
		status = read == NULL
			     ? err_no_memory(err)
			     : read_values(book, kept.arena, read, err);
	}
	status = kept_end(&kept, status, err);
	if (status == LW_OK) {
		found = kept.what;
		*values = found->items;
		*count = found->count;
	}
	return status;
}
