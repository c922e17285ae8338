/* The builder's words for the points of a rig. The points themselves are the
 * packs'; showing both in a step is left to job and view. */
#include "book/rigs.h"

#include "base/err.h"
#include "book/catalogue.h"
#include "book/query.h"
#include "book/texts.h"

#include <string.h>

enum { WORDS_MAX = 300 };

/* A point of the book, or one that only the rig still knows. */
static enum lw_status
find_point(struct lw_book *book, const char *rig, const char *point,
    struct lw_err *err)
{
	struct query query;
	bool found;

	query_start(&query, book, SQL_RIG_POINT, err);
	query_text(&query, 1, rig);
	query_text(&query, 2, point);
	found = query_row(&query);
	if (query_end(&query) != LW_OK)
		return query.status;
	return found ? LW_OK
		     : catalogue_number(book, NULL, "point", point, err);
}

static enum lw_status
put_point(struct lw_book *book, const char *rig, const char *point,
    const char *words, int64_t now_s, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	status = rigs_find(book, rig, NULL, err);
	if (status == LW_OK)
		status = find_point(book, rig, point, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book,
	    words == NULL ? SQL_DELETE_RIG_POINT : SQL_PUT_RIG_POINT, err);
	query_text(&query, 1, rig);
	query_text(&query, 2, point);
	if (words != NULL) {
		query_text(&query, 3, words);
		query_int(&query, 4, now_s);
	}
	return query_run(&query);
}

enum lw_status
lw_rig_set_point(struct lw_book *book, const char *rig, const char *point,
    const char *words, int64_t now_s, struct lw_err *err)
{
	enum lw_status status;

	if (words != NULL && words[strspn(words, " ")] == '\0')
		words = NULL;
	if (words != NULL) {
		status = texts_check(
		    "the words for the point", words, WORDS_MAX, false, err);
		if (status != LW_OK)
			return status;
	}
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = put_point(book, rig, point, words, now_s, err);
	return store_end_write(book, status, err);
}

enum lw_status
rigs_points(struct lw_book *book, struct lw_arena *arena, enum statement which,
    const char *rig, const struct lw_rig_point **points, size_t *count,
    struct lw_err *err)
{
	struct query query;
	struct lw_rig_point *items = NULL, *point;
	size_t room = 0;

	*count = 0;
	query_start(&query, book, which, err);
	query_text(&query, 1, rig);
	while (query_row(&query)) {
		point = query_grow(
		    &query, arena, &items, count, &room, sizeof *point);
		if (point == NULL)
			break;
		point->point = query_get_word(&query, arena, 0);
		point->title = query_get_word(&query, arena, 1);
		point->where = query_get_text(&query, arena, 2);
		point->words = query_get_text(&query, arena, 3);
	}
	*points = items;
	return query_end(&query);
}

enum lw_status
lw_rig_points(struct lw_book *book, struct lw_arena *arena, const char *rig,
    const struct lw_rig_point **points, size_t *count, struct lw_err *err)
{
	bool removed;
	enum lw_status status;

	*points = NULL;
	*count = 0;
	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	status = rigs_find(book, rig, &removed, err);
	if (status == LW_OK)
		status = rigs_points(
		    book, arena, SQL_ALL_RIG_POINTS, rig, points, count, err);
	return store_end_read(book, status);
}
