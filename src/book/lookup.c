/* Finding items by id, by kind and by what they refer to. Reading one by its
 * number is left to catalogue.c, searching by words to search.c. */
#include "book/catalogue.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "book/nearest.h"
#include "book/query.h"

#include <string.h>

bool
catalogue_is_kind(const char *kind)
{
	size_t i;

	for (i = 0; catalogue_kinds[i] != NULL; i++)
		if (strcmp(catalogue_kinds[i], kind) == 0)
			return true;
	return false;
}

enum lw_status
catalogue_owner(struct lw_book *book, struct lw_arena *arena, const char *kind,
    const char *id, int64_t *number, const char **pack, struct lw_err *err)
{
	struct query query;

	*pack = NULL;
	query_start(&query, book, SQL_ITEM, err);
	query_text(&query, 1, kind);
	query_text(&query, 2, id);
	if (query_row(&query)) {
		if (number != NULL)
			*number = query_get_int(&query, 0);
		*pack = query_get_word(&query, arena, 1);
	}
	return query_end(&query);
}

enum lw_status
catalogue_number(struct lw_book *book, int64_t *number, const char *kind,
    const char *id, struct lw_err *err)
{
	struct query query;
	bool found = false;
	enum lw_status status;

	query_start(&query, book, SQL_ITEM, err);
	query_text(&query, 1, kind);
	query_text(&query, 2, id);
	if (query_row(&query)) {
		found = true;
		if (number != NULL)
			*number = query_get_int(&query, 0);
	}
	status = query_end(&query);
	if (status == LW_OK && !found)
		status = nearest_not_found(book, kind, id, err);
	return status;
}

enum lw_status
catalogue_numbers(struct lw_book *book, struct lw_arena *arena,
    const char *pack, const char *kind, const int64_t **numbers, size_t *count,
    struct lw_err *err)
{
	struct query query;
	int64_t *items = NULL, *item;
	size_t room = 0;

	*count = 0;
	query_start(&query, book, SQL_ITEMS_OF_PACK, err);
	query_text(&query, 1, pack);
	query_text(&query, 2, kind);
	while (query_row(&query)) {
		item = query_grow(
		    &query, arena, &items, count, &room, sizeof *item);
		if (item != NULL)
			*item = query_get_int(&query, 0);
	}
	*numbers = items;
	return query_end(&query);
}

enum lw_status
lw_book_pack_of(struct lw_book *book, struct lw_arena *arena, const char *kind,
    const char *id, const char **pack, struct lw_err *err)
{
	enum lw_status status;

	status = catalogue_owner(book, arena, kind, id, NULL, pack, err);
	if (status == LW_OK && *pack == NULL)
		status = nearest_not_found(book, kind, id, err);
	return status;
}

/* The body of a public getter. It reads in one transaction, so that it sees
 * the item whole. */
#define GET(kind, type, read, out)                                 \
	type *item_ = arena_alloc(arena, sizeof *item_);           \
	int64_t number_ = 0;                                       \
	enum lw_status status_;                                    \
                                                                   \
	*(out) = NULL;                                             \
	if (item_ == NULL)                                         \
		return err_no_memory(err);                         \
	status_ = store_begin_read(book, err);                     \
	if (status_ != LW_OK)                                      \
		return status_;                                    \
	status_ = catalogue_number(book, &number_, kind, id, err); \
	if (status_ == LW_OK)                                      \
		status_ = read(book, arena, number_, item_, err);  \
	status_ = store_end_read(book, status_);                   \
	if (status_ == LW_OK)                                      \
		*(out) = item_;                                    \
	return status_

enum lw_status
lw_book_device(struct lw_book *book, struct lw_arena *arena, const char *id,
    const struct lw_device **device, struct lw_err *err)
{
	GET("device", struct lw_device, catalogue_whole_device, device);
}

enum lw_status
lw_book_fault(struct lw_book *book, struct lw_arena *arena, const char *id,
    const struct lw_fault **fault, struct lw_err *err)
{
	GET("fault", struct lw_fault, catalogue_fault, fault);
}

enum lw_status
lw_book_symptom(struct lw_book *book, struct lw_arena *arena, const char *id,
    const struct lw_symptom **symptom, struct lw_err *err)
{
	GET("symptom", struct lw_symptom, catalogue_symptom, symptom);
}

enum lw_status
lw_book_cause(struct lw_book *book, struct lw_arena *arena, const char *id,
    const struct lw_cause **cause, struct lw_err *err)
{
	GET("cause", struct lw_cause, catalogue_cause, cause);
}

enum lw_status
lw_book_check_of(struct lw_book *book, struct lw_arena *arena, const char *id,
    const struct lw_check **check, struct lw_err *err)
{
	GET("check", struct lw_check, catalogue_check, check);
}

enum lw_status
lw_book_point(struct lw_book *book, struct lw_arena *arena, const char *id,
    const struct lw_point **point, struct lw_err *err)
{
	GET("point", struct lw_point, catalogue_point, point);
}

enum lw_status
lw_book_caution(struct lw_book *book, struct lw_arena *arena, const char *id,
    const struct lw_caution **caution, struct lw_err *err)
{
	GET("caution", struct lw_caution, catalogue_caution, caution);
}

enum lw_status
lw_book_tree(struct lw_book *book, struct lw_arena *arena, const char *id,
    const struct lw_tree **tree, struct lw_err *err)
{
	GET("tree", struct lw_tree, catalogue_tree, tree);
}

/* Entries of a query with the columns id, title, detail, own, made. */
static enum lw_status
read_entries(struct query *query, struct lw_arena *arena, const char *kind,
    struct lw_entries *entries)
{
	struct lw_entry *items = NULL, *entry;
	size_t room = 0;
	const char *word;

	word = arena_dup(arena, kind);
	if (word == NULL)
		query_no_memory(query);
	while (query_row(query)) {
		entry = query_grow(query, arena, &items, &entries->count, &room,
		    sizeof *entry);
		if (entry == NULL)
			break;
		entry->kind = word;
		entry->id = query_get_word(query, arena, 0);
		entry->title = query_get_word(query, arena, 1);
		entry->detail = query_get_word(query, arena, 2);
		entry->subject_kind = "";
		entry->subject = "";
		entry->own = query_get_int(query, 3) != 0;
		entry->time_s = query_get_int(query, 4);
	}
	entries->items = items;
	return query_end(query);
}

enum lw_status
lw_book_list(struct lw_book *book, struct lw_arena *arena, const char *kind,
    struct lw_entries *entries, struct lw_err *err)
{
	struct query query;
	char name[NEAREST_NAME_MAX];

	memset(entries, 0, sizeof *entries);
	if (!catalogue_is_kind(kind))
		return err_set(err, LW_BAD_INPUT,
		    "\"%s\" is not a kind; the kinds are device, fault, "
		    "symptom, cause, check, point, tree and caution",
		    nearest_name(name, kind));
	query_start(&query, book, SQL_LIST, err);
	query_text(&query, 1, kind);
	return read_entries(&query, arena, kind, entries);
}

enum lw_status
lw_book_trees_for(struct lw_book *book, struct lw_arena *arena,
    const char *fault, const char *symptom, struct lw_entries *trees,
    struct lw_err *err)
{
	struct query query;

	memset(trees, 0, sizeof *trees);
	query_start(&query, book, SQL_TREES_FOR, err);
	query_text(&query, 1, fault);
	query_text(&query, 2, symptom);
	return read_entries(&query, arena, "tree", trees);
}

enum lw_status
lw_book_checks_for(struct lw_book *book, struct lw_arena *arena,
    const char *cause, struct lw_entries *checks, struct lw_err *err)
{
	struct query query;

	memset(checks, 0, sizeof *checks);
	query_start(&query, book, SQL_CHECKS_FOR, err);
	query_text(&query, 1, cause);
	return read_entries(&query, arena, "check", checks);
}

static enum lw_status
read_cautions_in(struct lw_book *book, struct lw_arena *arena,
    enum lw_power power, const struct lw_caution ***cautions, size_t *count,
    struct lw_err *err)
{
	struct query query;
	const struct lw_caution **items = NULL;
	struct lw_caution *caution;
	int64_t *numbers = NULL, *number;
	size_t found = 0, room = 0, i;
	enum lw_status status;

	query_start(&query, book, SQL_CAUTIONS_IN, err);
	query_text(&query, 1, lw_power_name(power));
	while (query_row(&query)) {
		number = query_grow(
		    &query, arena, &numbers, &found, &room, sizeof *number);
		if (number != NULL)
			*number = query_get_int(&query, 0);
	}
	status = query_end(&query);
	if (status != LW_OK || found == 0)
		return status;
	items = arena_array(arena, found, sizeof *items);
	if (items == NULL)
		return err_no_memory(err);
	for (i = 0; i < found && status == LW_OK; i++) {
		caution = arena_alloc(arena, sizeof *caution);
		if (caution == NULL)
			return err_no_memory(err);
		items[i] = caution;
		status =
		    catalogue_caution(book, arena, numbers[i], caution, err);
	}
	if (status == LW_OK) {
		*cautions = items;
		*count = found;
	}
	return status;
}

enum lw_status
lw_book_cautions_in(struct lw_book *book, struct lw_arena *arena,
    enum lw_power power, const struct lw_caution ***cautions, size_t *count,
    struct lw_err *err)
{
	enum lw_status status;

	*cautions = NULL;
	*count = 0;
	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	status = read_cautions_in(book, arena, power, cautions, count, err);
	return store_end_read(book, status);
}

static enum lw_status
find_gate(struct lw_book *book, enum lw_power power, int64_t *number,
    struct lw_err *err)
{
	struct query query;
	bool found = false;
	enum lw_status status;

	query_start(&query, book, SQL_GATE, err);
	query_text(&query, 1, lw_power_name(power));
	if (query_row(&query)) {
		found = true;
		*number = query_get_int(&query, 0);
	}
	status = query_end(&query);
	if (status == LW_OK && !found)
		status = err_set(err, LW_NOT_FOUND,
		    "no check leads into the power state \"%s\"; one of its "
		    "outcomes must say that it enters it",
		    lw_power_name(power));
	return status;
}

enum lw_status
lw_book_gate(struct lw_book *book, struct lw_arena *arena, enum lw_power power,
    const struct lw_check **check, struct lw_err *err)
{
	struct lw_check *item = arena_alloc(arena, sizeof *item);
	int64_t number = 0;
	enum lw_status status;

	*check = NULL;
	if (item == NULL)
		return err_no_memory(err);
	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	status = find_gate(book, power, &number, err);
	if (status == LW_OK)
		status = catalogue_check(book, arena, number, item, err);
	if (status == LW_OK)
		*check = item;
	return store_end_read(book, status);
}
