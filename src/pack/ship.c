/* The packs that come with the program, into the book. Which files those
 * are is left to the generated table of assets. */
#include <lampwright/pack.h>

#include "base/arena.h"
#include "base/asset.h"
#include "base/err.h"
#include "pack/set.h"
#include "pack/ship.h"

#include <string.h>

struct shipment {
	struct lw_arena *arena;
	struct lw_book *book;
	const struct asset *table;
	const struct asset **assets;
	const char **names; /* of the packs: the files' without folder */
	bool *wanted;	    /* to be put in, and not yet */
	size_t count;
};

static bool
is_pack(const struct asset *asset)
{
	size_t length = strlen(asset->name);

	return strncmp(asset->name, "kb/", 3) == 0 && length > 8 &&
	       strcmp(asset->name + length - 5, ".yaml") == 0;
}

static enum lw_status
list_assets(struct shipment *ship, struct lw_err *err)
{
	const struct asset *asset;
	size_t count = 0;

	for (asset = ship->table; asset->name != NULL; asset++)
		count += is_pack(asset);
	ship->assets = arena_array(ship->arena, count, sizeof *ship->assets);
	ship->names = arena_array(ship->arena, count, sizeof *ship->names);
	ship->wanted = arena_array(ship->arena, count, sizeof *ship->wanted);
	if (ship->assets == NULL || ship->names == NULL || ship->wanted == NULL)
		return err_no_memory(err);
	for (asset = ship->table; asset->name != NULL; asset++) {
		if (!is_pack(asset))
			continue;
		ship->assets[ship->count] = asset;
		ship->names[ship->count] = arena_dup_n(
		    ship->arena, asset->name + 3, strlen(asset->name) - 8);
		if (ship->names[ship->count] == NULL)
			return err_no_memory(err);
		ship->count++;
	}
	return LW_OK;
}

/* Whether the book lacks the pack, or has an earlier shipped one. */
static enum lw_status
is_wanted(struct shipment *ship, size_t i, struct lw_err *err)
{
	struct lw_pack_state state = {0};
	enum lw_status status;
	const char *digest;

	status = lw_book_pack_state(
	    ship->book, ship->arena, ship->names[i], &state, err);
	if (status == LW_NOT_FOUND) {
		ship->wanted[i] = true;
		return LW_OK;
	}
	if (status != LW_OK)
		return status;
	digest = pack_digest(ship->arena, (const char *)ship->assets[i]->data,
	    ship->assets[i]->size);
	if (digest == NULL)
		return err_no_memory(err);
	ship->wanted[i] =
	    state.shipped && !state.removed &&
	    (state.digest == NULL || strcmp(state.digest, digest) != 0);
	return LW_OK;
}

/* All of them, as they may refer to one another. */
static enum lw_status
read_packs(
    struct shipment *ship, const struct lw_pack ***packs, struct lw_err *err)
{
	struct lw_pack_text *texts;
	struct lw_problems problems;
	enum lw_status status;
	size_t i;

	texts = arena_array(ship->arena, ship->count, sizeof *texts);
	*packs = arena_array(ship->arena, ship->count, sizeof **packs);
	if (texts == NULL || *packs == NULL)
		return err_no_memory(err);
	for (i = 0; i < ship->count; i++) {
		texts[i].name = ship->assets[i]->name;
		texts[i].text = (const char *)ship->assets[i]->data;
		texts[i].length = ship->assets[i]->size;
	}
	status = pack_read_shipped(
	    ship->arena, texts, ship->count, *packs, &problems, err);
	if (status != LW_OK)
		return status;
	if (problems.count > 0) {
		status = err_set_at(err, LW_CORRUPT, problems.items[0].line,
		    problems.items[0].column,
		    "the program's own pack %s:%u has a problem, so install "
		    "the program anew: %s",
		    problems.items[0].file, problems.items[0].line,
		    problems.items[0].text);
		err_in_file(err, problems.items[0].file);
		return status;
	}
	for (i = 0; i < ship->count; i++)
		if (strcmp((*packs)[i]->name, ship->names[i]) != 0)
			return err_set(err, LW_CORRUPT,
			    "the program's own pack %s must be named \"%s\" "
			    "inside",
			    ship->assets[i]->name, ship->names[i]);
	return LW_OK;
}

/*
 * An id may have moved from one pack to another since, so packs in conflict
 * are tried again after the others. One that stays in conflict has an id
 * that the builder has taken: the builder's stands.
 */
static enum lw_status
put_packs(struct shipment *ship, const struct lw_pack **packs, int64_t now_s,
    size_t *count, struct lw_err *err)
{
	struct lw_pack shipped;
	enum lw_status status;
	size_t i, before;

	do {
		before = *count;
		for (i = 0; i < ship->count; i++) {
			if (!ship->wanted[i])
				continue;
			shipped = *packs[i];
			shipped.shipped = true;
			status =
			    lw_book_put_pack(ship->book, &shipped, now_s, err);
			if (status == LW_CONFLICT)
				continue;
			if (status != LW_OK)
				return status;
			ship->wanted[i] = false;
			(*count)++;
		}
	} while (*count > before);
	return LW_OK;
}

enum lw_status
pack_ship_from(struct lw_book *book, const struct asset *table, int64_t now_s,
    size_t *count, struct lw_err *err)
{
	struct shipment ship = {.book = book, .table = table};
	const struct lw_pack **packs;
	enum lw_status status;
	bool any = false;
	size_t i;

	*count = 0;
	ship.arena = lw_arena_new();
	if (ship.arena == NULL)
		return err_no_memory(err);
	status = list_assets(&ship, err);
	for (i = 0; i < ship.count && status == LW_OK; i++) {
		status = is_wanted(&ship, i, err);
		any = any || ship.wanted[i];
	}
	if (status == LW_OK && any)
		status = read_packs(&ship, &packs, err);
	if (status == LW_OK && any)
		status = put_packs(&ship, packs, now_s, count, err);
	lw_arena_free(ship.arena);
	return status;
}

enum lw_status
lw_pack_ship(
    struct lw_book *book, int64_t now_s, size_t *count, struct lw_err *err)
{
	return pack_ship_from(book, library_assets, now_s, count, err);
}
