/* Finding items by id, by kind and by what they refer to. Reading one by its
 * number is left to catalogue.c, searching by words to search.c. */
#include "book/catalogue.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "book/kept.h"
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
#define GET(kind_, type, read, out)                                         \
	struct kept kept_;                                                  \
	int64_t number_ = 0;                                                \
	enum lw_status status_;                                             \
	type *item_;                                                        \
                                                                            \
	*(out) = NULL;                                                      \
	status_ = kept_begin(&kept_, book, arena, kind_, id, NULL, err);    \
	if (status_ != LW_OK)                                               \
		return status_;                                             \
	if (kept_.what == NULL) {                                           \
		status_ = catalogue_number(book, &number_, kind_, id, err); \
		item_ = status_ != LW_OK                                    \
			    ? NULL                                          \
			    : arena_alloc(kept_.arena, sizeof *item_);      \
		if (status_ == LW_OK)                                       \
			status_ = item_ == NULL ? err_no_memory(err)        \
						: read(book, kept_.arena,   \
						      number_, item_, err); \
		kept_.what = item_;                                         \
	}                                                                   \
	status_ = kept_end(&kept_, status_, err);                           \
	if (status_ == LW_OK)                                               \
		*(out) = kept_.what;                                        \
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

enum lw_status
lw_book_known_setting(struct lw_book *book, struct lw_arena *arena,
    const char *id, const struct lw_known_setting **setting, struct lw_err *err)
{
	GET("setting", struct lw_known_setting, catalogue_known_setting,
	    setting);
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

/* What a statement with one parameter or two lists. */
static enum lw_status
list(struct lw_entries *entries, struct lw_book *book, struct lw_arena *arena,
    enum statement which, const char *kind, const char *one, const char *other,
    struct lw_err *err)
{
	struct lw_entries *read;
	struct query query;
	struct kept kept;
	enum lw_status status;

	memset(entries, 0, sizeof *entries);
	status = kept_begin(
	    &kept, book, arena, statement_text(which), one, other, err);
	if (status != LW_OK)
		return status;
	if (kept.what == NULL) {
		kept.what = read = arena_alloc(kept.arena, sizeof *read);
		if (read == NULL) {
			status = err_no_memory(err);
		} else {
			query_start(&query, book, which, err);
			if (which != SQL_WALKS)
				query_text(&query, 1, one);
			if (which == SQL_TREES_FOR || which == SQL_KNOWN_LIKE)
				query_text(&query, 2, other);
			status = read_entries(&query, kept.arena, kind, read);
		}
	}
	status = kept_end(&kept, status, err);
	if (status == LW_OK)
		memcpy(entries, kept.what, sizeof *entries);
	return status;
}

enum lw_status
lw_book_list(struct lw_book *book, struct lw_arena *arena, const char *kind,
    struct lw_entries *entries, struct lw_err *err)
{
	char name[NEAREST_NAME_MAX];

	memset(entries, 0, sizeof *entries);
	if (!catalogue_is_kind(kind))
		return err_set(err, LW_BAD_INPUT,
		    "\"%s\" is not a kind; the kinds are device, fault, "
		    "symptom, cause, check, point, tree, caution, value and "
		    "setting",
		    nearest_name(name, kind));
	return list(entries, book, arena, SQL_LIST, kind, kind, NULL, err);
}

enum lw_status
lw_book_trees_for(struct lw_book *book, struct lw_arena *arena,
    const char *fault, const char *symptom, struct lw_entries *trees,
    struct lw_err *err)
{
	return list(
	    trees, book, arena, SQL_TREES_FOR, "tree", fault, symptom, err);
}

enum lw_status
lw_book_settings_like(struct lw_book *book, struct lw_arena *arena,
    const char *fault, const char *symptom, struct lw_entries *settings,
    struct lw_err *err)
{
	return list(settings, book, arena, SQL_KNOWN_LIKE, "setting", fault,
	    symptom, err);
}

enum lw_status
lw_book_walks(struct lw_book *book, struct lw_arena *arena,
    struct lw_entries *walks, struct lw_err *err)
{
	return list(walks, book, arena, SQL_WALKS, "tree", NULL, NULL, err);
}

enum lw_status
lw_book_checks_for(struct lw_book *book, struct lw_arena *arena,
    const char *cause, struct lw_entries *checks, struct lw_err *err)
{
	return list(
	    checks, book, arena, SQL_CHECKS_FOR, "check", cause, NULL, err);
}

/* The cautions that go with a power state. */
struct cautions {
	const struct lw_caution **items;
	size_t count;
};

static enum lw_status
read_cautions_in(struct lw_book *book, struct lw_arena *arena,
    enum lw_power power, struct cautions *cautions, struct lw_err *err)
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
		cautions->items = items;
		cautions->count = found;
	}
	return status;
}

enum lw_status
lw_book_cautions_in(struct lw_book *book, struct lw_arena *arena,
    enum lw_power power, const struct lw_caution ***cautions, size_t *count,
    struct lw_err *err)
{
	const struct cautions *found;
	struct cautions *read;
	struct kept kept;
	enum lw_status status;

	*cautions = NULL;
	*count = 0;
	status = kept_begin(
	    &kept, book, arena, "cautions in", lw_power_name(power), NULL, err);
	if (status != LW_OK)
		return status;
	if (kept.what == NULL) {
		kept.what = read = arena_alloc(kept.arena, sizeof *read);
		status = read == NULL ? err_no_memory(err)
				      : read_cautions_in(
					    book, kept.arena, power, read, err);
	}
	status = kept_end(&kept, status, err);
	if (status != LW_OK)
		return status;
	found = kept.what;
	if (found->count == 0)
		return LW_OK;
	/* The list is the caller's to change; what is kept is not. */
	*cautions = arena_array(arena, found->count, sizeof **cautions);
	if (*cautions == NULL)
		return err_no_memory(err);
	memcpy(*cautions, found->items, found->count * sizeof **cautions);
	*count = found->count;
	return LW_OK;
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
	struct lw_check *read = NULL;
	struct kept kept;
	int64_t number = 0;
	enum lw_status status;

	*check = NULL;
	status = kept_begin(
	    &kept, book, arena, "gate", lw_power_name(power), NULL, err);
	if (status != LW_OK)
		return status;
	if (kept.what == NULL) {
		status = find_gate(book, power, &number, err);
		if (status == LW_OK) {
			read = arena_alloc(kept.arena, sizeof *read);
			status = read == NULL
				     ? err_no_memory(err)
				     : catalogue_check(
					   book, kept.arena, number, read, err);
		}
		kept.what = read;
	}
	status = kept_end(&kept, status, err);
	if (status == LW_OK)
		*check = kept.what;
	return status;
}
