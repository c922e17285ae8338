/* Setting facts of a rig, all or none. What a value may be is left to facts.c;
 * reading a rig to rig_facts.c. */
#include "book/rigs.h"

#include "base/err.h"
#include "book/catalogue.h"
#include "book/facts.h"
#include "book/nearest.h"
#include "book/query.h"
#include "book/texts.h"

#include <stdio.h>
#include <string.h>

enum { TITLE_MAX = 120, DEVICES_MAX = 32 };

static const char device_key[] = "device.";

struct change {
	struct lw_book *book;
	const char *rig;
	const struct rig_values *values;
	int64_t now_s;
	struct lw_err *err;
};

/* `value` NULL: take the fact back. */
static enum lw_status
put_fact(const struct change *change, const char *key, const char *value)
{
	struct query query;

	query_start(&query, change->book,
	    value == NULL ? SQL_DELETE_RIG_FACT : SQL_PUT_RIG_FACT,
	    change->err);
	query_text(&query, 1, change->rig);
	query_text(&query, 2, key);
	if (value != NULL) {
		query_text(&query, 3, value);
		query_int(&query, 4, change->now_s);
	}
	return query_run(&query);
}

/* Taken back, the title is the name. */
static enum lw_status
set_title(const struct change *change, const char *value)
{
	struct query query;
	bool back = facts_takes_back(value);
	enum lw_status status;

	if (!back) {
		status = texts_check(
		    "the title", value, TITLE_MAX, false, change->err);
		if (status != LW_OK)
			return status;
	}
	query_start(&query, change->book, SQL_NAME_RIG, change->err);
	query_text(&query, 1, change->rig);
	query_text(&query, 2, back ? change->rig : value);
	return query_run(&query);
}

static enum lw_status
check_room(const struct change *change)
{
	struct query query;
	size_t count = 0;

	query_start(&query, change->book, SQL_RIG_DEVICES, change->err);
	query_text(&query, 1, change->rig);
	while (query_row(&query))
		count++;
	if (query_end(&query) == LW_OK && count > DEVICES_MAX)
		return err_set(change->err, LW_TOO_BIG,
		    "a rig can have %d devices at most; take one back first",
		    DEVICES_MAX);
	return query.status;
}

/* The key begins with "device."; the value is an id of the book. */
static enum lw_status
set_device(const struct change *change, const char *key, const char *value)
{
	char name[NEAREST_NAME_MAX];
	enum lw_status status;

	if (!texts_is_id(key + sizeof device_key - 1))
		return err_set(change->err, LW_BAD_INPUT,
		    "\"%s\" does not name a device of the rig; write it as "
		    "device.NAME, with a name of a-z, 0-9 and hyphens that "
		    "begins with a letter, 64 at most",
		    nearest_name(name, key));
	if (facts_takes_back(value))
		return put_fact(change, key, NULL);
	status =
	    catalogue_number(change->book, NULL, "device", value, change->err);
	if (status == LW_OK)
		status = put_fact(change, key, value);
	return status == LW_OK ? check_room(change) : status;
}

static enum lw_status
set_known(
    const struct change *change, const struct lw_value *key, const char *value)
{
	struct buf kept;
	enum lw_status status;

	if (facts_takes_back(value))
		return put_fact(change, key->id, NULL);
	buf_init(&kept, FACTS_KEPT_MAX);
	status = facts_read(&kept, key, value, change->err);
	/* A list of nothing but commas says nothing. */
	if (status == LW_OK)
		status = put_fact(
		    change, key->id, kept.length == 0 ? NULL : buf_text(&kept));
	buf_clear(&kept);
	return status;
}

/* A value that no pack brings any more may still be taken back. */
static enum lw_status
set_left(const struct change *change, const char *key, const char *value)
{
	struct query query;
	bool left = false;

	if (facts_takes_back(value)) {
		query_start(&query, change->book, SQL_RIG_FACTS, change->err);
		query_text(&query, 1, change->rig);
		while (query_row(&query))
			left = left || strcmp(query_peek(&query, 0), key) == 0;
		if (query_end(&query) != LW_OK)
			return query.status;
	}
	if (left)
		return put_fact(change, key, NULL);
	return facts_no_value(change->values, key, change->err);
}

static enum lw_status
set_pair(const struct change *change, const struct lw_rig_pair *pair)
{
	const struct lw_value *key = rig_values_find(change->values, pair->key);
	const char *value = pair->value == NULL ? "" : pair->value;

	if (strcmp(pair->key, "title") == 0)
		return set_title(change, value);
	if (strncmp(pair->key, device_key, sizeof device_key - 1) == 0)
		return set_device(change, pair->key, value);
	if (key == NULL)
		return set_left(change, pair->key, value);
	return set_known(change, key, value);
}

/* Within a transaction. */
static enum lw_status
set_pairs(
    const struct change *change, const struct lw_rig_pair *pairs, size_t count)
{
	enum lw_status status;
	size_t i;

	status = rigs_find(change->book, change->rig, NULL, change->err);
	for (i = 0; i < count && status == LW_OK; i++)
		status = set_pair(change, &pairs[i]);
	return status;
}

enum lw_status
lw_rig_set(struct lw_book *book, const char *rig,
    const struct lw_rig_pair *pairs, size_t count, int64_t now_s,
    struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	struct rig_values values;
	const struct change change = {book, rig, &values, now_s, err};
	enum lw_status status;

	if (arena == NULL)
		return err_no_memory(err);
	/* Outside of the change that follows, where they may be at hand. */
	status = rig_values_all(&values, book, arena, err);
	if (status == LW_OK)
		status = store_begin_write(book, err);
	if (status == LW_OK)
		status = store_end_write(
		    book, set_pairs(&change, pairs, count), err);
	lw_arena_free(arena);
	return status;
}
