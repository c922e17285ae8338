/* Items and references to them, over all files and the book. What items say
 * is left to lint.c. */
#include "base/err.h"
#include "base/near.h"
#include "pack/set.h"

#include <stdio.h>
#include <string.h>

enum { GUESSES = 50000 };

static const char *
key_of(struct pack_set *set, enum pack_kind kind, const char *id)
{
	const char *key =
	    arena_printf(set->arena, "%s %s", pack_kind_name(kind), id);

	if (key == NULL)
		set->no_memory = true;
	return key;
}

void
pack_items_add(const struct pack_file *file, enum pack_kind kind,
    const char *id, const struct pack_node *node, const void *item)
{
	struct pack_set *set = file->set;
	const char *key = key_of(set, kind, id);
	struct pack_item *kept = arena_alloc(set->arena, sizeof *kept);
	const struct pack_item **place, *first;

	if (key == NULL || kept == NULL) {
		set->no_memory = true;
		return;
	}
	kept->kind = kind;
	kept->id = id;
	kept->file = file;
	kept->node = node;
	kept->item = item;
	first = pack_map_put(&set->ids, key, kept);
	place = arena_grow(set->arena, &set->items, &set->item_count,
	    &set->item_room, sizeof *place);
	if (first == NULL || place == NULL) {
		set->no_memory = true;
		return;
	}
	*place = kept;
	if (first != kept)
		pack_tell(file, pack_node_where(node, "id"), "duplicate-id",
		    "the %s \"%s\" is already in %s, line %u; give one of them "
		    "another id",
		    pack_kind_name(kind), pack_quote(set, id),
		    pack_quote(set, first->file->name), first->node->at.line);
}

const struct pack_item *
pack_items_find(struct pack_set *set, enum pack_kind kind, const char *id)
{
	const char *key = key_of(set, kind, id);

	return key == NULL ? NULL : pack_map_find(&set->ids, key);
}

void
pack_links_add(const struct pack_file *file, enum pack_kind kind,
    const char *id, struct lw_where at)
{
	struct pack_set *set = file->set;
	struct pack_link *link = arena_grow(set->arena, &set->links,
	    &set->link_count, &set->link_room, sizeof *link);

	if (link == NULL) {
		set->no_memory = true;
		return;
	}
	link->kind = kind;
	link->id = id;
	link->file = file;
	link->at = at;
}

enum lw_status
pack_in_book(struct pack_set *set, bool *there, const char **pack,
    enum pack_kind kind, const char *id, struct lw_err *err)
{
	enum lw_status status;

	*there = false;
	if (set->book == NULL)
		return LW_OK;
	status = lw_book_pack_of(
	    set->book, set->arena, pack_kind_name(kind), id, pack, err);
	if (status == LW_OK)
		*there = pack_map_find(&set->names, *pack) == NULL;
	return status == LW_NOT_FOUND ? LW_OK : status;
}

enum lw_status
pack_check_of(struct pack_set *set, const struct lw_check **check,
    const char *id, struct lw_err *err)
{
	const struct pack_item *item = pack_items_find(set, PACK_CHECK, id);
	enum lw_status status;
	const char *pack;
	bool there;

	*check = NULL;
	if (item != NULL) {
		*check = item->item;
		return LW_OK;
	}
	*check = pack_map_find(&set->of_book, id);
	if (*check != NULL)
		return LW_OK;
	status = pack_in_book(set, &there, &pack, PACK_CHECK, id, err);
	if (status != LW_OK || !there)
		return status;
	status = lw_book_check_of(set->book, set->arena, id, check, err);
	if (status == LW_OK && pack_map_put(&set->of_book, id, *check) == NULL)
		set->no_memory = true;
	return status == LW_NOT_FOUND ? LW_OK : status;
}

/* The id of a kind, in the files or the book, that is nearest; NULL. */
static enum lw_status
suggest(struct pack_set *set, const char **best, enum pack_kind kind,
    const char *id, struct lw_err *err)
{
	struct near nearest;
	enum lw_status status;
	size_t i;

	near_start(&nearest, id);
	for (i = 0; i < set->item_count && set->guesses < GUESSES; i++)
		if (set->items[i]->kind == kind) {
			near_try(&nearest, set->items[i]->id);
			set->guesses++;
		}
	if (set->book != NULL && !set->asked[kind]) {
		set->asked[kind] = true;
		status = lw_book_list(set->book, set->arena,
		    pack_kind_name(kind), &set->known[kind], err);
		if (status != LW_OK && status != LW_NOT_FOUND)
			return status;
	}
	for (i = 0; i < set->known[kind].count && set->guesses < GUESSES; i++) {
		near_try(&nearest, set->known[kind].items[i].id);
		set->guesses++;
	}
	*best = nearest.best;
	return LW_OK;
}

static enum lw_status
check_link(
    struct pack_set *set, const struct pack_link *link, struct lw_err *err)
{
	const char *best = NULL, *pack;
	enum lw_status status;
	bool there;

	if (pack_items_find(set, link->kind, link->id) != NULL)
		return LW_OK;
	status = pack_in_book(set, &there, &pack, link->kind, link->id, err);
	if (status != LW_OK || there)
		return status;
	status = suggest(set, &best, link->kind, link->id, err);
	if (status != LW_OK)
		return status;
	pack_tell(link->file, link->at, "unknown-id",
	    "no %s has the id \"%s\"%s%s%s", pack_kind_name(link->kind),
	    pack_quote(set, link->id),
	    best != NULL ? "; the nearest is \"" : "", best != NULL ? best : "",
	    best != NULL ? "\"" : "");
	return LW_OK;
}

static enum lw_status
check_item(
    struct pack_set *set, const struct pack_item *item, struct lw_err *err)
{
	enum lw_status status;
	const char *pack;
	bool there;

	status = pack_in_book(set, &there, &pack, item->kind, item->id, err);
	if (status != LW_OK || !there)
		return status;
	if (strcmp(pack, "own") == 0)
		pack_tell(item->file, pack_node_where(item->node, "id"),
		    "duplicate-id",
		    "the %s \"%s\" is one that the builder made in this book; "
		    "choose another id",
		    pack_kind_name(item->kind), pack_quote(set, item->id));
	else
		pack_tell(item->file, pack_node_where(item->node, "id"),
		    "duplicate-id",
		    "the %s \"%s\" is already in the pack \"%s\" of this book; "
		    "choose another id",
		    pack_kind_name(item->kind), pack_quote(set, item->id),
		    pack_quote(set, pack));
	return LW_OK;
}

enum lw_status
pack_links_check(struct pack_set *set, struct lw_err *err)
{
	enum lw_status status;
	size_t i;

	/* A file that could not be read may hold what is missing. */
	for (i = 0; i < set->link_count && !set->unread; i++) {
		status = check_link(set, &set->links[i], err);
		if (status != LW_OK)
			return status;
	}
	for (i = 0; i < set->item_count; i++) {
		status = check_item(set, set->items[i], err);
		if (status != LW_OK)
			return status;
	}
	return LW_OK;
}
