/* Says that there is no such id, and which ones are nearest by edit
 * distance. */
#include "book/nearest.h"

#include "base/buf.h"
#include "base/err.h"
#include "base/near.h"
#include "base/utf8.h"
#include "book/query.h"

#include <stdio.h>
#include <string.h>

enum { LONGEST = 64, SHOWN = 3 };

struct candidate {
	char id[LONGEST + 1];
	unsigned distance;
};

const char *
nearest_name(char *name, const char *text)
{
	size_t length = strlen(text), at = 0, used = 0, n;

	while (at < length) {
		n = utf8_decode(text + at, length - at, NULL);
		if (used + (n == 0 ? 1 : n) > LONGEST) {
			memcpy(name + used, "...", 3);
			used += 3;
			break;
		}
		if (n == 0 || (n == 1 && (text[at] < ' ' || text[at] == 127))) {
			name[used++] = '?';
			at++;
			continue;
		}
		memcpy(name + used, text + at, n);
		used += n;
		at += n;
	}
	name[used] = '\0';
	return name;
}

static unsigned
least(unsigned a, unsigned b)
{
	return a < b ? a : b;
}

/* A part of an id counts as near, and one that is all different does not. */
static unsigned
score(const char *id, const char *wanted)
{
	size_t length = strlen(wanted);
	unsigned distance = near_distance(id, wanted);

	if (length >= 3 && strstr(id, wanted) != NULL)
		return least(distance, 1);
	if (strlen(id) >= 3 && strstr(wanted, id) != NULL)
		return least(distance, 2);
	if (distance > 2 && distance * 2 > length)
		return LONGEST + 1;
	return distance;
}

static void
keep(
    struct candidate *nearest, size_t *count, const char *id, unsigned distance)
{
	size_t at = *count, i;

	while (at > 0 && nearest[at - 1].distance > distance)
		at--;
	if (at == SHOWN)
		return;
	if (*count < SHOWN)
		(*count)++;
	for (i = *count - 1; i > at; i--)
		nearest[i] = nearest[i - 1];
	snprintf(nearest[at].id, sizeof nearest[at].id, "%s", id);
	nearest[at].distance = distance;
}

/* The ids are the rows of a query that is bound. */
static enum lw_status
not_found(
    struct query *query, const char *kind, const char *id, struct lw_err *err)
{
	struct candidate nearest[SHOWN];
	struct buf list;
	char name[NEAREST_NAME_MAX];
	size_t count = 0, all = 0, i;
	unsigned distance;
	enum lw_status status;

	memset(nearest, 0, sizeof nearest);
	while (query_row(query)) {
		const char *other = query_peek(query, 0);

		all++;
		distance = score(other, id);
		if (distance <= LONGEST)
			keep(nearest, &count, other, distance);
	}
	status = query_end(query);
	if (status != LW_OK)
		return status;
	nearest_name(name, id);
	if (all == 0)
		return err_set(err, LW_NOT_FOUND,
		    "there is no %s \"%s\", and the book has none yet", kind,
		    name);
	if (count == 0)
		return err_set(err, LW_NOT_FOUND,
		    "there is no %s \"%s\", and none has a name like it", kind,
		    name);
	buf_init(&list, 400);
	for (i = 0; i < count; i++)
		buf_printf(&list, "%s\"%s\"",
		    i == 0	     ? ""
		    : i == count - 1 ? " and "
				     : ", ",
		    nearest[i].id);
	status =
	    err_set(err, LW_NOT_FOUND, "there is no %s \"%s\"; nearest %s %s",
		kind, name, count == 1 ? "is" : "are", buf_text(&list));
	buf_clear(&list);
	return status;
}

enum lw_status
nearest_not_found(
    struct lw_book *book, const char *kind, const char *id, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_ITEM_IDS, err);
	query_text(&query, 1, kind);
	return not_found(&query, kind, id, err);
}

enum lw_status
nearest_rig_not_found(struct lw_book *book, const char *rig, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_RIG_IDS, err);
	return not_found(&query, "rig", rig, err);
}
