/* Settings that are to be read, or set, once a tool for it is there. What
 * they were and are is left to settings.c. */
#include "book/rigs.h"

#include "base/err.h"
#include "book/query.h"
#include "book/texts.h"

#include <inttypes.h>
#include <string.h>

enum { TEXT_MAX = 200, WHY_MAX = 1000 };

/* NULL for a text that is absent or empty. */
static const char *
or_null(const char *text)
{
	return text == NULL || text[0] == '\0' ? NULL : text;
}

static const char *
or_empty(const char *text)
{
	return text == NULL ? "" : text;
}

static enum lw_status
check_wish(const struct lw_setting_wish *wish, struct lw_err *err)
{
	enum lw_status status;

	status = texts_check("the name of the device", or_empty(wish->device),
	    TEXT_MAX, false, err);
	if (status == LW_OK)
		status = texts_check("the name of the setting",
		    or_empty(wish->setting), TEXT_MAX, false, err);
	if (status == LW_OK && or_null(wish->value) != NULL)
		status =
		    texts_check("the value", wish->value, TEXT_MAX, false, err);
	if (status == LW_OK && or_null(wish->why) != NULL)
		status =
		    texts_check("the reason", wish->why, WHY_MAX, true, err);
	return status;
}

/* In place of an open one on the same setting: it can have one value alone. */
static enum lw_status
put_wish(struct lw_book *book, const char *rig,
    const struct lw_setting_wish *wish, int64_t now_s, int64_t *number,
    struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_REPLACE_WISH, err);
	query_text(&query, 1, rig);
	query_text(&query, 2, wish->device);
	query_text(&query, 3, wish->setting);
	if (query_run(&query) != LW_OK)
		return query.status;
	query_start(&query, book, SQL_PUT_WISH, err);
	query_text(&query, 1, rig);
	query_text(&query, 2, wish->device);
	query_text(&query, 3, wish->setting);
	query_text(&query, 4, or_null(wish->value));
	query_text(&query, 5, or_null(wish->why));
	if (wish->job != 0)
		query_int(&query, 6, wish->job);
	query_int(&query, 7, now_s);
	if (query_row(&query))
		*number = query_get_int(&query, 0);
	return query_run(&query);
}

enum lw_status
lw_setting_want(struct lw_book *book, const char *rig,
    const struct lw_setting_wish *wish, int64_t now_s, int64_t *number,
    struct lw_err *err)
{
	int64_t made = 0;
	enum lw_status status;

	if (number != NULL)
		*number = 0;
	status = check_wish(wish, err);
	if (status != LW_OK)
		return status;
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = rigs_check_entry(book, rig, wish->device, wish->job, err);
	if (status == LW_OK)
		status = put_wish(book, rig, wish, now_s, &made, err);
	status = store_end_write(book, status, err);
	if (status == LW_OK && number != NULL)
		*number = made;
	return status;
}

enum lw_status
lw_setting_unwant(struct lw_book *book, int64_t wish, struct lw_err *err)
{
	struct query query;
	bool found;
	enum lw_status status;

	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_DROP_WISH, err);
	query_int(&query, 1, wish);
	found = query_row(&query);
	status = query_run(&query);
	if (status == LW_OK && !found)
		status = err_set(err, LW_NOT_FOUND,
		    "there is no setting wanted under the number %" PRId64
		    "; `lampwright setting list` shows those there are",
		    wish);
	return store_end_write(book, status, err);
}

static enum lw_status
read_wishes(struct lw_book *book, struct lw_arena *arena, const char *rig,
    struct lw_setting_wishes *wishes, struct lw_err *err)
{
	struct lw_setting_wish *items = NULL, *wish;
	struct query query;
	size_t room = 0;

	query_start(&query, book, SQL_WISHES, err);
	query_text(&query, 1, rig);
	while (query_row(&query)) {
		wish = query_grow(
		    &query, arena, &items, &wishes->count, &room, sizeof *wish);
		if (wish == NULL)
			break;
		wish->wish = query_get_int(&query, 0);
		wish->time_s = query_get_int(&query, 1);
		wish->device = query_get_word(&query, arena, 2);
		wish->setting = query_get_word(&query, arena, 3);
		wish->value = query_get_text(&query, arena, 4);
		wish->why = query_get_text(&query, arena, 5);
		wish->job = query_get_int(&query, 6);
		wish->last = query_get_text(&query, arena, 7);
	}
	wishes->items = items;
	return query_end(&query);
}

enum lw_status
lw_setting_wishes(struct lw_book *book, struct lw_arena *arena, const char *rig,
    struct lw_setting_wishes *wishes, struct lw_err *err)
{
	bool removed;
	enum lw_status status;

	memset(wishes, 0, sizeof *wishes);
	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	status = rigs_find(book, rig, &removed, err);
	if (status == LW_OK)
		status = read_wishes(book, arena, rig, wishes, err);
	return store_end_read(book, status);
}
