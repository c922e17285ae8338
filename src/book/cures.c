/* What jobs came to, for priors to learn from; whether a job is cured is worked
 * out in job. */
#include "book/cures.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/catalogue.h"
#include "book/query.h"

enum lw_status
cures_put(struct lw_book *book, int64_t job, const struct book_cured *cured,
    int64_t now_s, struct lw_err *err)
{
	struct query query;

	if (cured->cause == NULL) {
		query_start(&query, book, SQL_DELETE_CURE, err);
		query_int(&query, 1, job);
		return query_run(&query);
	}
	query_start(&query, book, SQL_PUT_CURE, err);
	query_int(&query, 1, job);
	query_text(&query, 2, cured->cause);
	query_text(&query, 3, cured->fault);
	query_text(&query, 4, cured->symptom);
	query_int(&query, 5, now_s);
	return query_run(&query);
}

enum lw_status
book_cures(const struct book_cure **cures, size_t *count, struct lw_book *book,
    struct lw_arena *arena, const char *device, const char *fault,
    const char *symptom, int64_t but, struct lw_err *err)
{
	struct book_cure *items = NULL, *item;
	struct query query;
	size_t room = 0;

	*cures = NULL;
	*count = 0;
	query_start(&query, book, SQL_CURES, err);
	query_text(&query, 1, device);
	query_text(&query, 2, fault);
	query_text(&query, 3, symptom);
	query_int(&query, 4, but);
	while (query_row(&query)) {
		item = query_grow(
		    &query, arena, &items, count, &room, sizeof *item);
		if (item == NULL)
			break;
		item->cause = query_get_word(&query, arena, 0);
		item->here = (unsigned)query_get_int(&query, 1);
		item->elsewhere = (unsigned)query_get_int(&query, 2);
	}
	*cures = items;
	return query_end(&query);
}

enum lw_status
lw_book_learnt(struct lw_book *book, struct lw_arena *arena, const char *device,
    struct lw_learnts *learnt, struct lw_err *err)
{
	struct lw_learnt *items = NULL, *item;
	struct query query;
	size_t room = 0;

	learnt->items = NULL;
	learnt->count = 0;
	query_start(&query, book, SQL_LEARNT, err);
	query_text(&query, 1, device);
	while (query_row(&query)) {
		item = query_grow(
		    &query, arena, &items, &learnt->count, &room, sizeof *item);
		if (item == NULL)
			break;
		item->device = query_get_text(&query, arena, 0);
		item->began_kind = query_get_word(&query, arena, 1);
		item->began = query_get_word(&query, arena, 2);
		item->cause = query_get_word(&query, arena, 3);
		item->count = (unsigned)query_get_int(&query, 4);
		item->cases = (unsigned)query_get_int(&query, 5);
		item->last_s = query_get_int(&query, 6);
		item->began_title = query_get_text(&query, arena, 7);
		item->title = query_get_text(&query, arena, 8);
		item->device_title = query_get_text(&query, arena, 9);
		if (item->began_title == NULL)
			item->began_title = item->began;
		if (item->title == NULL)
			item->title = item->cause;
		if (item->device_title == NULL)
			item->device_title = item->device;
	}
	learnt->items = items;
	return query_end(&query);
}

/* A device of the book, or one that has left it and that jobs were on. */
static enum lw_status
check_device(struct lw_book *book, const char *device, struct lw_err *err)
{
	struct query query;
	bool found;

	query_start(&query, book, SQL_DEVICE_OF_CURES, err);
	query_text(&query, 1, device);
	found = query_row(&query);
	if (query_end(&query) != LW_OK || found)
		return query.status;
	return catalogue_number(book, NULL, "device", device, err);
}

enum lw_status
lw_book_forget(
    struct lw_book *book, const char *device, int64_t now_s, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	if (device != NULL)
		status = check_device(book, device, err);
	if (status == LW_OK) {
		query_start(&query, book, SQL_PUT_FORGET, err);
		query_text(&query, 1, device != NULL ? device : "");
		query_int(&query, 2, now_s);
		status = query_run(&query);
	}
	return store_end_write(book, status, err);
}
