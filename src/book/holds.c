/* Who holds a vehicle: one row for each, read, and changed only where it is
 * still as it was seen. What a hold allows, and when it runs out, is left to
 * src/job. */
#include "book/holds.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/nearest.h"
#include "book/query.h"

#include <string.h>

enum lw_status
book_hold_get(struct lw_book *book, struct lw_arena *arena, const char *vehicle,
    struct book_hold *hold, struct lw_err *err)
{
	struct query query;

	memset(hold, 0, sizeof *hold);
	query_start(&query, book, SQL_HOLD, err);
	query_text(&query, 1, vehicle);
	if (query_row(&query)) {
		hold->held = true;
		hold->job = query_get_int(&query, 0);
		hold->screen = query_get_word(&query, arena, 1);
		hold->name = query_get_word(&query, arena, 2);
		hold->since_s = query_get_int(&query, 3);
		hold->last_s = query_get_int(&query, 4);
		hold->asker = query_get_text(&query, arena, 5);
		hold->asker_name = query_get_text(&query, arena, 6);
		hold->asked_s = query_get_int(&query, 7);
	}
	return query_end(&query);
}

enum lw_status
book_hold_list(struct lw_book *book, struct lw_arena *arena, const char *screen,
    const struct book_held **held, size_t *count, struct lw_err *err)
{
	struct book_held *items = NULL, *one;
	struct query query;
	size_t room = 0;

	*count = 0;
	query_start(&query, book, SQL_HOLDS_OF_SCREEN, err);
	query_text(&query, 1, screen);
	while (query_row(&query)) {
		one = query_grow(
		    &query, arena, &items, count, &room, sizeof *one);
		if (one == NULL)
			break;
		one->job = query_get_int(&query, 0);
		one->title = query_get_word(&query, arena, 1);
		one->rig = query_get_text(&query, arena, 2);
		one->rig_title = query_get_text(&query, arena, 3);
		one->last_s = query_get_int(&query, 4);
	}
	*held = items;
	return query_end(&query);
}

/* NULL is equal to NULL alone. */
static bool
same(const char *one, const char *other)
{
	if (one == NULL || other == NULL)
		return one == other;
	return strcmp(one, other) == 0;
}

/*
 * Times are not compared where the holder stays. Where another is to have the
 * vehicle, its holder must not have done anything since: that may have been
 * in another job, or have left no finding.
 */
static bool
as_seen(const struct book_hold *now, const struct book_hold_change *change)
{
	const struct book_hold *seen = &change->seen;

	if (now->held != seen->held)
		return false;
	if (!now->held)
		return true;
	return now->job == seen->job && same(now->screen, seen->screen) &&
	       same(now->asker, seen->asker) &&
	       (now->last_s == seen->last_s || !change->next.held ||
		   same(now->screen, change->next.screen));
}

static enum lw_status
changed(const struct book_hold *now, struct lw_err *err)
{
	char name[NEAREST_NAME_MAX];

	if (!now->held)
		return err_set(err, LW_CONFLICT,
		    "the vehicle has been let go meanwhile; look at the job "
		    "again");
	return err_set(err, LW_CONFLICT,
	    "\"%s\" holds the vehicle, and something has changed about that "
	    "meanwhile; look at the job again",
	    nearest_name(name, now->name));
}

static enum lw_status
put(struct lw_book *book, const char *vehicle, const struct book_hold *hold,
    struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_PUT_HOLD, err);
	query_text(&query, 1, vehicle);
	query_int(&query, 2, hold->job);
	query_text(&query, 3, hold->screen);
	query_text(&query, 4, hold->name);
	query_int(&query, 5, hold->since_s);
	query_int(&query, 6, hold->last_s);
	if (hold->asker != NULL) {
		query_text(&query, 7, hold->asker);
		query_text(&query, 8, hold->asker_name);
		query_int(&query, 9, hold->asked_s);
	}
	return query_run(&query);
}

static enum lw_status
take_away(struct lw_book *book, const char *vehicle, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_DELETE_HOLD, err);
	query_text(&query, 1, vehicle);
	return query_run(&query);
}

enum lw_status
holds_change(struct lw_book *book, const struct book_hold_change *change,
    struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	struct book_hold now;
	enum lw_status status;

	if (arena == NULL)
		return err_no_memory(err);
	status = book_hold_get(book, arena, change->vehicle, &now, err);
	if (status == LW_OK && !as_seen(&now, change))
		status = changed(&now, err);
	if (status == LW_OK)
		status = change->next.held
			     ? put(book, change->vehicle, &change->next, err)
			     : take_away(book, change->vehicle, err);
	lw_arena_free(arena);
	return status;
}
