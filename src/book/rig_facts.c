/* A rig as it is known, read whole, and a vehicle that is none. Setting facts
 * is left to rig_set.c, what they come to to rig_resolve.c. */
#include "book/rigs.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/facts.h"
#include "book/kept.h"
#include "book/query.h"
#include "book/rig_values.h"

#include <string.h>

static const char device_key[] = "device.";

/* Put the facts in the order of the values that there are; those of no value
 * stay behind them. */
static void
sort_facts(struct lw_rig *rig, const struct rig_values *values,
    struct lw_rig_fact *from, struct lw_rig_fact *to)
{
	size_t count = rig->fact_count, placed = 0, i, k;

	for (i = 0; i < values->count; i++)
		for (k = 0; k < count; k++)
			if (from[k].key != NULL &&
			    strcmp(from[k].key, values->items[i]->id) == 0) {
				to[placed++] = from[k];
				from[k].key = NULL;
			}
	for (k = 0; k < count; k++)
		if (from[k].key != NULL)
			to[placed++] = from[k];
	rig->facts = to;
}

static enum lw_status
read_facts(struct lw_book *book, struct lw_arena *arena, struct lw_rig *rig,
    const struct rig_values *values, struct lw_err *err)
{
	struct query query;
	struct lw_rig_fact *items = NULL, *sorted, *fact;
	size_t room = 0;
	enum lw_status status;

	query_start(&query, book, SQL_RIG_FACTS, err);
	query_text(&query, 1, rig->rig);
	while (query_row(&query)) {
		if (strncmp(query_peek(&query, 0), device_key,
			sizeof device_key - 1) == 0)
			continue;
		fact = query_grow(&query, arena, &items, &rig->fact_count,
		    &room, sizeof *fact);
		if (fact == NULL)
			break;
		fact->key = query_get_word(&query, arena, 0);
		fact->value = query_get_word(&query, arena, 1);
		fact->set_s = query_get_int(&query, 2);
	}
	status = query_end(&query);
	if (status != LW_OK)
		return status;
	sorted = arena_array(arena, rig->fact_count, sizeof *sorted);
	if (sorted == NULL)
		return err_no_memory(err);
	sort_facts(rig, values, items, sorted);
	return LW_OK;
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
	struct rig_values values;
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
		status = rig_values_all(&values, book, arena, err);
	if (status == LW_OK)
		status = read_facts(book, arena, rig, &values, err);
	if (status == LW_OK)
		status = rig_values_resolve(rig, &values, arena, err);
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

/* --- a vehicle that is no rig --------------------------------------------- */

/* The fact as it is shown; the last one of a key counts. What cannot be read
 * is left out. */
static enum lw_status
add_fact(struct lw_rig_fact *facts, size_t *count, struct lw_arena *arena,
    const struct lw_value *value, const char *text, struct lw_err *err)
{
	struct lw_rig_fact *fact;
	struct buf kept;
	size_t i;

	buf_init(&kept, FACTS_KEPT_MAX);
	if (facts_read(&kept, value, text, NULL) != LW_OK || kept.length == 0) {
		buf_clear(&kept);
		return LW_OK;
	}
	for (i = 0; i < *count && strcmp(facts[i].key, value->id) != 0;)
		i++;
	*count += i == *count;
	fact = &facts[i];
	fact->key = value->id;
	fact->value = arena_dup(arena, buf_text(&kept));
	buf_clear(&kept);
	return fact->value == NULL ? err_no_memory(err) : LW_OK;
}

static enum lw_status
say_facts(struct lw_rig *rig, struct lw_arena *arena,
    const struct rig_values *values, const struct lw_rig_pair *pairs,
    size_t count, struct lw_err *err)
{
	struct lw_rig_fact *facts = arena_array(arena, count, sizeof *facts);
	struct lw_rig_fact *sorted = arena_array(arena, count, sizeof *sorted);
	enum lw_status status = LW_OK;
	size_t i;

	if (facts == NULL || sorted == NULL)
		return err_no_memory(err);
	for (i = 0; i < count && status == LW_OK; i++) {
		const struct lw_value *value =
		    rig_values_find(values, pairs[i].key);

		if (value != NULL && pairs[i].value != NULL)
			status = add_fact(facts, &rig->fact_count, arena, value,
			    pairs[i].value, err);
	}
	if (status == LW_OK)
		sort_facts(rig, values, facts, sorted);
	return status;
}

enum lw_status
lw_rig_of(struct lw_book *book, struct lw_arena *arena,
    const struct lw_rig_pair *pairs, size_t count, const struct lw_rig **out,
    struct lw_err *err)
{
	struct lw_rig *rig = arena_alloc(arena, sizeof *rig);
	struct rig_values values;
	enum lw_status status;

	*out = NULL;
	if (rig == NULL)
		return err_no_memory(err);
	rig->rig = rig->title = "";
	status = rig_values_all(&values, book, arena, err);
	if (status == LW_OK)
		status = say_facts(rig, arena, &values, pairs, count, err);
	if (status == LW_OK)
		status = rig_values_resolve(rig, &values, arena, err);
	if (status == LW_OK)
		status = read_tools(arena, rig, err);
	if (status == LW_OK)
		*out = rig;
	return status;
}
