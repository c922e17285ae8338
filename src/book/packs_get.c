/* Reading packs back, whole, in the author's order. Putting them in and
 * taking them out is left to packs_put.c. */
#include "base/arena.h"
#include "base/err.h"
#include "book/catalogue.h"
#include "book/nearest.h"
#include "book/query.h"

#include <string.h>

static enum lw_status
no_pack(const char *name, struct lw_err *err)
{
	char shown[NEAREST_NAME_MAX];

	return err_set(err, LW_NOT_FOUND,
	    "there is no pack \"%s\"; `lampwright pack list` shows those "
	    "there are",
	    nearest_name(shown, name));
}

enum lw_status
lw_book_pack_state(struct lw_book *book, struct lw_arena *arena,
    const char *name, struct lw_pack_state *state, struct lw_err *err)
{
	struct query query;
	bool found = false;
	enum lw_status status;

	memset(state, 0, sizeof *state);
	query_start(&query, book, SQL_PACK_STATE, err);
	query_text(&query, 1, name);
	if (query_row(&query)) {
		found = true;
		state->digest = query_get_text(&query, arena, 0);
		state->shipped = query_get_int(&query, 1) != 0;
		state->removed = query_get_int(&query, 2) != 0;
	}
	status = query_end(&query);
	if (status == LW_OK && !found)
		status = no_pack(name, err);
	return status;
}

enum lw_status
lw_book_list_packs(struct lw_book *book, struct lw_arena *arena,
    struct lw_entries *packs, struct lw_err *err)
{
	struct query query;
	struct lw_entry *items = NULL, *entry;
	size_t room = 0;

	memset(packs, 0, sizeof *packs);
	query_start(&query, book, SQL_PACKS, err);
	while (query_row(&query)) {
		entry = query_grow(
		    &query, arena, &items, &packs->count, &room, sizeof *entry);
		if (entry == NULL)
			break;
		entry->kind = "pack";
		entry->id = query_get_word(&query, arena, 0);
		entry->title = query_get_word(&query, arena, 1);
		entry->detail = query_get_word(&query, arena, 2);
		entry->subject_kind = "";
		entry->subject = "";
		entry->time_s = query_get_int(&query, 3);
	}
	packs->items = items;
	return query_end(&query);
}

/* All of a pack's items of one kind, in the author's order. */
#define READER(name, kind, type, read)                                         \
	static enum lw_status name(struct lw_book *book,                       \
	    struct lw_arena *arena, const char *pack, const struct type **out, \
	    size_t *count, struct lw_err *err)                                 \
	{                                                                      \
		const int64_t *numbers;                                        \
		struct type *items;                                            \
		size_t n, i;                                                   \
		enum lw_status status;                                         \
                                                                               \
		status = catalogue_numbers(                                    \
		    book, arena, pack, kind, &numbers, &n, err);               \
		if (status != LW_OK || n == 0)                                 \
			return status;                                         \
		items = arena_array(arena, n, sizeof *items);                  \
		if (items == NULL)                                             \
			return err_no_memory(err);                             \
		for (i = 0; i < n && status == LW_OK; i++)                     \
			status =                                               \
			    read(book, arena, numbers[i], &items[i], err);     \
		if (status == LW_OK) {                                         \
			*out = items;                                          \
			*count = n;                                            \
		}                                                              \
		return status;                                                 \
	}

/* clang-format off */
READER(read_devices, "device", lw_device, catalogue_device)
READER(read_own_devices, "device", lw_device, catalogue_whole_device)
READER(read_faults, "fault", lw_fault, catalogue_fault)
READER(read_symptoms, "symptom", lw_symptom, catalogue_symptom)
READER(read_causes, "cause", lw_cause, catalogue_cause)
READER(read_checks, "check", lw_check, catalogue_check)
READER(read_points, "point", lw_point, catalogue_point)
READER(read_trees, "tree", lw_tree, catalogue_tree)
READER(read_cautions, "caution", lw_caution, catalogue_caution)
READER(read_values, "value", lw_value, catalogue_value)
READER(read_settings, "setting", lw_known_setting, catalogue_known_setting)
/* clang-format on */

static enum lw_status
read_row(struct lw_book *book, struct lw_arena *arena, const char *name,
    struct lw_pack *pack, struct lw_err *err)
{
	struct query query;
	bool found = false;
	enum lw_status status;

	query_start(&query, book, SQL_PACK, err);
	query_text(&query, 1, name);
	if (query_row(&query)) {
		found = true;
		pack->name = query_get_word(&query, arena, 0);
		pack->title = query_get_text(&query, arena, 1);
		pack->version = query_get_text(&query, arena, 2);
		pack->license = query_get_text(&query, arena, 3);
		pack->source = query_get_text(&query, arena, 4);
		pack->digest = query_get_text(&query, arena, 5);
		pack->shipped = query_get_int(&query, 6) != 0;
	}
	status = query_end(&query);
	if (status == LW_OK && !found)
		status = no_pack(name, err);
	return status;
}

/* A lamp for each that the codes name, when the device itself is gone. */
static enum lw_status
lamps_of_codes(
    struct lw_arena *arena, struct lw_device *device, struct lw_err *err)
{
	struct lw_lamp *lamps;
	size_t count = 0, i, j;

	lamps = arena_array(arena, device->code_count, sizeof *lamps);
	if (lamps == NULL)
		return err_no_memory(err);
	for (i = 0; i < device->code_count; i++) {
		for (j = 0; j < count; j++)
			if (strcmp(lamps[j].id, device->codes[i].lamp) == 0)
				break;
		if (j == count)
			lamps[count++].id = device->codes[i].lamp;
	}
	device->lamps = lamps;
	device->lamp_count = count;
	return LW_OK;
}

/* A device that is not the builder's, with the builder's codes alone. */
static enum lw_status
read_taught(struct lw_book *book, struct lw_arena *arena, const char *id,
    struct lw_device *device, struct lw_err *err)
{
	const char *owner;
	int64_t number = 0;
	enum lw_status status;

	memset(device, 0, sizeof *device);
	status =
	    catalogue_owner(book, arena, "device", id, &number, &owner, err);
	if (status == LW_OK && owner != NULL)
		status = catalogue_device(book, arena, number, device, err);
	if (status != LW_OK)
		return status;
	device->id = id;
	status = catalogue_own_codes(
	    book, arena, id, &device->codes, &device->code_count, err);
	if (status == LW_OK && owner == NULL) {
		device->title = id;
		status = lamps_of_codes(arena, device, err);
	}
	return status;
}

/* The builder's trees, and devices with their codes, then what was taught of
 * others. */
static enum lw_status
read_own(struct lw_book *book, struct lw_arena *arena, struct lw_pack *pack,
    struct lw_err *err)
{
	struct query query;
	struct lw_device *all;
	const char **taught = NULL, **id;
	size_t taught_count = 0, room = 0, i;
	enum lw_status status;

	status = read_trees(
	    book, arena, "own", &pack->trees, &pack->tree_count, err);
	if (status == LW_OK)
		status = read_own_devices(book, arena, "own", &pack->devices,
		    &pack->device_count, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_OWN_CODE_DEVICES, err);
	while (query_row(&query)) {
		id = query_grow(
		    &query, arena, &taught, &taught_count, &room, sizeof *id);
		if (id != NULL)
			*id = query_get_word(&query, arena, 0);
	}
	status = query_end(&query);
	if (status != LW_OK || taught_count == 0)
		return status;
	all =
	    arena_array(arena, pack->device_count + taught_count, sizeof *all);
	if (all == NULL)
		return err_no_memory(err);
	if (pack->device_count > 0)
		memcpy(all, pack->devices, pack->device_count * sizeof *all);
	for (i = 0; i < taught_count && status == LW_OK; i++)
		status = read_taught(
		    book, arena, taught[i], &all[pack->device_count + i], err);
	pack->devices = all;
	pack->device_count += taught_count;
	return status;
}

static enum lw_status
read_pack(struct lw_book *book, struct lw_arena *arena, const char *name,
    struct lw_pack *pack, struct lw_err *err)
{
	enum lw_status status;

	status = read_row(book, arena, name, pack, err);
	if (status != LW_OK)
		return status;
	if (strcmp(name, "own") == 0)
		return read_own(book, arena, pack, err);
	status = read_devices(
	    book, arena, name, &pack->devices, &pack->device_count, err);
	if (status == LW_OK)
		status = read_faults(
		    book, arena, name, &pack->faults, &pack->fault_count, err);
	if (status == LW_OK)
		status = read_symptoms(book, arena, name, &pack->symptoms,
		    &pack->symptom_count, err);
	if (status == LW_OK)
		status = read_causes(
		    book, arena, name, &pack->causes, &pack->cause_count, err);
	if (status == LW_OK)
		status = read_checks(
		    book, arena, name, &pack->checks, &pack->check_count, err);
	if (status == LW_OK)
		status = read_points(
		    book, arena, name, &pack->points, &pack->point_count, err);
	if (status == LW_OK)
		status = read_trees(
		    book, arena, name, &pack->trees, &pack->tree_count, err);
	if (status == LW_OK)
		status = read_cautions(book, arena, name, &pack->cautions,
		    &pack->caution_count, err);
	if (status == LW_OK)
		status = read_values(
		    book, arena, name, &pack->values, &pack->value_count, err);
	if (status == LW_OK)
		status = read_settings(book, arena, name, &pack->settings,
		    &pack->setting_count, err);
	return status;
}

enum lw_status
lw_book_get_pack(struct lw_book *book, struct lw_arena *arena, const char *name,
    const struct lw_pack **out, struct lw_err *err)
{
	struct lw_pack *pack = arena_alloc(arena, sizeof *pack);
	enum lw_status status;

	*out = NULL;
	if (pack == NULL)
		return err_no_memory(err);
	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	status = read_pack(book, arena, name, pack, err);
	if (status == LW_OK)
		*out = pack;
	return store_end_read(book, status);
}
