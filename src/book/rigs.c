/* The vehicles: made, removed, listed, and the one in hand. What is known of
 * one is left to rig_facts.c, its points to rig_points.c. */
#include "book/rigs.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "book/nearest.h"
#include "book/query.h"
#include "book/texts.h"

#include <inttypes.h>
#include <string.h>

enum { TITLE_MAX = 120, NAMES_MAX = 360 };

enum lw_status
rigs_find(
    struct lw_book *book, const char *rig, bool *removed, struct lw_err *err)
{
	struct query query;
	char name[NEAREST_NAME_MAX];
	bool found = false, gone = false;
	enum lw_status status;

	query_start(&query, book, SQL_RIG, err);
	query_text(&query, 1, rig);
	if (query_row(&query)) {
		found = true;
		gone = query_get_int(&query, 1) != 0;
	}
	status = query_end(&query);
	if (status == LW_OK && !found)
		status = nearest_rig_not_found(book, rig, err);
	if (status == LW_OK && gone && removed == NULL)
		status = err_set(err, LW_NOT_FOUND,
		    "the rig \"%s\" was removed; `lampwright rig new %s` "
		    "brings it back, with all that is on it",
		    nearest_name(name, rig), name);
	if (removed != NULL)
		*removed = gone;
	return status;
}

/* A device of that name, or none at all. */
static enum lw_status
check_device(struct lw_book *book, const char *rig, const char *device,
    struct lw_err *err)
{
	struct query query;
	struct buf names;
	char name[NEAREST_NAME_MAX];
	bool found = false, more = false;
	size_t count = 0;
	enum lw_status status;

	buf_init(&names, NAMES_MAX);
	query_start(&query, book, SQL_RIG_DEVICES, err);
	query_text(&query, 1, rig);
	while (query_row(&query)) {
		const char *other = query_peek(&query, 0);

		found = found || strcmp(other, device) == 0;
		more = more || names.length + strlen(other) + 2 > NAMES_MAX;
		if (!more)
			buf_printf(
			    &names, "%s%s", count == 0 ? "" : ", ", other);
		count++;
	}
	status = query_end(&query);
	if (status == LW_OK && count > 0 && !found)
		status = err_set(err, LW_NOT_FOUND,
		    "the rig has no device \"%s\"; it has %s%s",
		    nearest_name(name, device), buf_text(&names),
		    more ? ", and more" : "");
	buf_clear(&names);
	return status;
}

static enum lw_status
check_job(
    struct lw_book *book, const char *rig, int64_t job, struct lw_err *err)
{
	struct query query;
	char name[NEAREST_NAME_MAX];
	bool found = false, others = false;
	enum lw_status status;

	query_start(&query, book, SQL_JOB, err);
	query_int(&query, 1, job);
	if (query_row(&query)) {
		found = true;
		others = !query_get_null(&query, 4) &&
			 strcmp(query_peek(&query, 4), rig) != 0;
		nearest_name(name, query_peek(&query, 4));
	}
	status = query_end(&query);
	if (status == LW_OK && !found)
		status = err_set(err, LW_NOT_FOUND,
		    "there is no job %" PRId64
		    "; `lampwright job list` shows those there are",
		    job);
	if (status == LW_OK && others)
		status = err_set(err, LW_BAD_INPUT,
		    "job %" PRId64 " is on the rig \"%s\"; name that rig, or "
		    "another job",
		    job, name);
	return status;
}

enum lw_status
rigs_check_entry(struct lw_book *book, const char *rig, const char *device,
    int64_t job, struct lw_err *err)
{
	enum lw_status status;

	status = rigs_find(book, rig, NULL, err);
	if (status == LW_OK)
		status = check_device(book, rig, device, err);
	if (status == LW_OK && job != 0)
		status = check_job(book, rig, job, err);
	return status;
}

static enum lw_status
put_rig(struct lw_book *book, const char *rig, const char *title, int64_t now_s,
    struct lw_err *err)
{
	struct query query;
	bool taken = false;

	query_start(&query, book, SQL_RIG, err);
	query_text(&query, 1, rig);
	if (query_row(&query))
		taken = query_get_int(&query, 1) == 0;
	if (query_end(&query) != LW_OK)
		return query.status;
	if (taken)
		return err_set(err, LW_CONFLICT,
		    "there is a rig \"%s\" already; choose another name, or "
		    "change that one with `lampwright rig set`",
		    rig);
	query_start(&query, book, SQL_PUT_RIG, err);
	query_text(&query, 1, rig);
	query_text(&query, 2, title);
	query_int(&query, 3, now_s);
	return query_run(&query);
}

enum lw_status
lw_rig_new(struct lw_book *book, const char *rig, const char *title,
    int64_t now_s, struct lw_err *err)
{
	char name[NEAREST_NAME_MAX];
	enum lw_status status;

	if (!texts_is_id(rig))
		return err_set(err, LW_BAD_INPUT,
		    "\"%s\" is not a name for a rig; use a-z, 0-9 and "
		    "hyphens, beginning with a letter, 64 at most",
		    nearest_name(name, rig));
	if (title != NULL && title[0] == '\0')
		title = NULL;
	if (title != NULL) {
		status = texts_check("the title", title, TITLE_MAX, false, err);
		if (status != LW_OK)
			return status;
	}
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = put_rig(book, rig, title, now_s, err);
	return store_end_write(book, status, err);
}

/* A statement whose one parameter is the rig's name, or NULL. */
static enum lw_status
run(struct lw_book *book, enum statement which, const char *rig,
    struct lw_err *err)
{
	struct query query;

	query_start(&query, book, which, err);
	query_text(&query, 1, rig);
	return query_run(&query);
}

enum lw_status
lw_rig_remove(struct lw_book *book, const char *rig, struct lw_err *err)
{
	enum lw_status status;

	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = rigs_find(book, rig, NULL, err);
	if (status == LW_OK)
		status = run(book, SQL_REMOVE_RIG, rig, err);
	if (status == LW_OK)
		status = run(book, SQL_PUT_OUT_OF_HAND, rig, err);
	return store_end_write(book, status, err);
}

enum lw_status
lw_rig_use(struct lw_book *book, const char *rig, struct lw_err *err)
{
	enum lw_status status;

	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	if (rig != NULL)
		status = rigs_find(book, rig, NULL, err);
	if (status == LW_OK)
		status = run(book, SQL_TAKE_IN_HAND, rig, err);
	return store_end_write(book, status, err);
}

enum lw_status
lw_rig_in_hand(struct lw_book *book, struct lw_arena *arena, const char **rig,
    struct lw_err *err)
{
	struct query query;

	*rig = NULL;
	query_start(&query, book, SQL_IN_HAND, err);
	if (query_row(&query))
		*rig = query_get_text(&query, arena, 0);
	return query_end(&query);
}

enum lw_status
lw_rig_list(struct lw_book *book, struct lw_arena *arena,
    struct lw_entries *rigs, struct lw_err *err)
{
	struct query query;
	struct lw_entry *items = NULL, *entry;
	size_t room = 0;

	memset(rigs, 0, sizeof *rigs);
	query_start(&query, book, SQL_RIGS, err);
	while (query_row(&query)) {
		entry = query_grow(
		    &query, arena, &items, &rigs->count, &room, sizeof *entry);
		if (entry == NULL)
			break;
		entry->kind = "rig";
		entry->id = query_get_word(&query, arena, 0);
		entry->title = query_get_word(&query, arena, 1);
		entry->detail = "";
		entry->subject_kind = "";
		entry->subject = "";
		entry->time_s = query_get_int(&query, 2);
		entry->own = query_get_int(&query, 3) != 0;
	}
	rigs->items = items;
	return query_end(&query);
}
