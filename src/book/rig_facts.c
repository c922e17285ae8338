/* A rig as it is known, read whole. Setting facts is left to rig_set.c, which
 * facts there are to rig_keys.c. */
#include "book/rigs.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/kept.h"
#include "book/query.h"

#include <string.h>

/* The facts of the table of keys, in its order. */
static enum lw_status
read_facts(struct lw_book *book, struct lw_arena *arena, struct lw_rig *rig,
    struct lw_err *err)
{
	struct query query;
	struct lw_rig_fact *found, *facts;
	const struct lw_value *keys;
	size_t count, i;

	keys = lw_rig_built_in(&count);
	found = arena_array(arena, count, sizeof *found);
	facts = arena_array(arena, count, sizeof *facts);
	if (found == NULL || facts == NULL)
		return err_no_memory(err);
	query_start(&query, book, SQL_RIG_FACTS, err);
	query_text(&query, 1, rig->rig);
	while (query_row(&query)) {
		const struct lw_value *key =
		    lw_rig_built_in_value(query_peek(&query, 0));

		if (key == NULL)
			continue;
		i = (size_t)(key - keys);
		found[i].key = key->id;
		found[i].value = query_get_word(&query, arena, 1);
		found[i].set_s = query_get_int(&query, 2);
	}
	for (i = 0; i < count; i++)
		if (found[i].key != NULL)
			facts[rig->fact_count++] = found[i];
	rig->facts = facts;
	return query_end(&query);
}

static enum lw_status
read_devices(struct lw_book *book, struct lw_arena *arena, struct lw_rig *rig,
    struct lw_err *err)
{
	struct query query;
	struct lw_rig_device *items = NULL, *device;
	size_t room = 0;

	query_start(&query, book, SQL_RIG_DEVICES, err);
	query_text(&query, 1, rig->rig);
	while (query_row(&query)) {
		device = query_grow(&query, arena, &items, &rig->device_count,
		    &room, sizeof *device);
		if (device == NULL)
			break;
		device->name = query_get_word(&query, arena, 0);
		device->device = query_get_word(&query, arena, 1);
		device->title = query_get_word(&query, arena, 2);
	}
	rig->devices = items;
	return query_end(&query);
}

/* The list as it was kept: "meter, torch", or "none". */
static enum lw_status
read_tools(struct lw_arena *arena, struct lw_rig *rig, struct lw_err *err)
{
	const char *rest = lw_rig_fact(rig, "tools"), **items = NULL, **tool;
	size_t room = 0, length;

	rig->known_tools = rest != NULL;
	if (rest == NULL || strcmp(rest, "none") == 0)
		return LW_OK;
	for (; *(rest += strspn(rest, ", ")) != '\0'; rest += length) {
		length = strcspn(rest, ",");
		tool = arena_grow(
		    arena, &items, &rig->tool_count, &room, sizeof *tool);
		if (tool == NULL)
			return err_no_memory(err);
		*tool = arena_dup_n(arena, rest, length);
		if (*tool == NULL)
			return err_no_memory(err);
	}
	rig->tools = items;
	return LW_OK;
}

static enum lw_status
read_rig(struct lw_book *book, struct lw_arena *arena, struct lw_rig *rig,
    struct lw_err *err)
{
	struct query query;
	const char *in_hand = NULL;
	enum lw_status status;

	query_start(&query, book, SQL_RIG, err);
	query_text(&query, 1, rig->rig);
	if (query_row(&query)) {
		rig->title = query_get_word(&query, arena, 0);
		rig->made_s = query_get_int(&query, 2);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = lw_rig_in_hand(book, arena, &in_hand, err);
	rig->in_hand = in_hand != NULL && strcmp(in_hand, rig->rig) == 0;
	if (status == LW_OK)
		status = read_facts(book, arena, rig, err);
	if (status == LW_OK)
		status = read_devices(book, arena, rig, err);
	if (status == LW_OK)
		status = read_tools(arena, rig, err);
	if (status == LW_OK)
		status = rigs_points(book, arena, SQL_RIG_POINTS, rig->rig,
		    &rig->points, &rig->point_count, err);
	return status;
}

static enum lw_status
find_rig(struct lw_rig **out, struct lw_book *book, struct lw_arena *arena,
    const char *rig, struct lw_err *err)
{
	struct lw_rig *found = arena_alloc(arena, sizeof *found);
	enum lw_status status;

	if (found == NULL)
		return err_no_memory(err);
	found->rig = arena_dup(arena, rig);
	if (found->rig == NULL)
		return err_no_memory(err);
	status = rigs_find(book, rig, &found->removed, err);
	if (status == LW_OK)
		status = read_rig(book, arena, found, err);
	*out = found;
	return status;
}

enum lw_status
lw_rig_get(struct lw_book *book, struct lw_arena *arena, const char *rig,
    const struct lw_rig **out, struct lw_err *err)
{
	struct lw_rig *found = NULL;
	struct kept kept;
	enum lw_status status;

	*out = NULL;
	status = kept_begin(&kept, book, arena, "rig", rig, NULL, err);
	if (status != LW_OK)
		return status;
	if (kept.what == NULL) {
		status = find_rig(&found, book, kept.arena, rig, err);
		kept.what = found;
	}
	status = kept_end(&kept, status, err);
	if (status == LW_OK)
		*out = kept.what;
	return status;
}
