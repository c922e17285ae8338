/* Reading the settings that packs know: one by its number, and all of them in
 * the order of their parts. The ledger of a rig's own is left to settings.c. */
#include "book/catalogue.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/kept.h"
#include "book/rows.h"

#include <string.h>

enum lw_status
catalogue_known_setting(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_known_setting *setting, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(setting, 0, sizeof *setting);
	status = rows_item(book, arena, number, &setting->id, &setting->title,
	    &setting->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (rows_start(&query, book, SQL_KNOWN, number, err)) {
		setting->part = query_get_text(&query, arena, 0);
		setting->does = query_get_text(&query, arena, 1);
		setting->low = query_get_text(&query, arena, 2);
		setting->high = query_get_text(&query, arena, 3);
		setting->record = query_get_text(&query, arena, 4);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_KNOWN_FAULTS, number, false,
		    &setting->faults, err);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_KNOWN_SYMPTOMS, number,
		    false, &setting->symptoms, err);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_KNOWN_CAUTIONS, number,
		    false, &setting->cautions, err);
	return status;
}

/* The settings of all packs. */
struct known {
	const struct lw_known_setting *const *items;
	size_t count;
};

static enum lw_status
read_numbers(struct lw_book *book, struct lw_arena *arena,
    const int64_t **numbers, size_t *count, struct lw_err *err)
{
	struct query query;
	int64_t *items = NULL, *item;
	size_t room = 0;

	query_start(&query, book, SQL_ALL_KNOWN, err);
	while (query_row(&query)) {
		item = query_grow(
		    &query, arena, &items, count, &room, sizeof *item);
		if (item != NULL)
			*item = query_get_int(&query, 0);
	}
	*numbers = items;
	return query_end(&query);
}

/* The place of its part; what no pack can have written comes last. */
static size_t
place_of(const struct lw_known_setting *setting)
{
	size_t place;

	if (setting->part == NULL ||
	    lw_known_setting_place(&place, setting->part, NULL) != LW_OK)
		return (size_t)-1;
	return place;
}

/* By part; stable, and few of them. */
static void
sort_by_part(const struct lw_known_setting **items, size_t count)
{
	const struct lw_known_setting *item;
	size_t i, j;

	for (i = 1; i < count; i++) {
		item = items[i];
		for (j = i; j > 0 && place_of(items[j - 1]) > place_of(item);
		     j--)
			items[j] = items[j - 1];
		items[j] = item;
	}
}

static enum lw_status
read_known(struct lw_book *book, struct lw_arena *arena, struct known *known,
    struct lw_err *err)
{
	const struct lw_known_setting **items;
	struct lw_known_setting *setting;
	const int64_t *numbers;
	size_t count = 0, i;
	enum lw_status status;

	status = read_numbers(book, arena, &numbers, &count, err);
	if (status != LW_OK || count == 0)
		return status;
	items = arena_array(arena, count, sizeof *items);
	if (items == NULL)
		return err_no_memory(err);
	for (i = 0; i < count && status == LW_OK; i++) {
		items[i] = setting = arena_alloc(arena, sizeof *setting);
		status = setting == NULL ? err_no_memory(err)
					 : catalogue_known_setting(book, arena,
					       numbers[i], setting, err);
	}
	if (status != LW_OK)
		return status;
	sort_by_part(items, count);
	known->items = items;
	known->count = count;
	return LW_OK;
}

enum lw_status
lw_book_known_settings(struct lw_book *book, struct lw_arena *arena,
    const struct lw_known_setting *const **settings, size_t *count,
    struct lw_err *err)
{
	const struct known *found;
	struct known *read;
	struct kept kept;
	enum lw_status status;

	*settings = NULL;
	*count = 0;
	status = kept_begin(&kept, book, arena, "settings", NULL, NULL, err);
	if (status != LW_OK)
		return status;
	if (kept.what == NULL) {
		kept.what = read = arena_alloc(kept.arena, sizeof *read);
		status = read == NULL ? err_no_memory(err)
				      : read_known(book, kept.arena, read, err);
	}
	status = kept_end(&kept, status, err);
	if (status == LW_OK) {
		found = kept.what;
		*settings = found->items;
		*count = found->count;
	}
	return status;
}
