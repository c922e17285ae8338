/* The builder's own devices and codes, which no pack ever touches. Notes are
 * left to notes.c. */
#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "book/catalogue.h"
#include "book/index.h"
#include "book/nearest.h"
#include "book/query.h"
#include "book/texts.h"

#include <string.h>

enum { TITLE_MAX = 200, MEANING_MAX = 1000 };

static enum lw_status
add_lamp(struct lw_book *book, int64_t number, enum lw_coding coding,
    struct lw_err *err)
{
	const char *word = lw_coding_name(coding);
	struct query query;

	query_start(&query, book, SQL_PUT_LAMP, err);
	query_int(&query, 1, number);
	query_int(&query, 2, 0);
	query_text(&query, 3, "lamp");
	query_text(&query, 4, "Lamp");
	query_text(&query, 6, word[0] == '\0' ? NULL : word);
	return query_run(&query);
}

static enum lw_status
add_device(struct lw_book *book, const char *id, const char *title,
    const char *kind, enum lw_coding coding, int64_t now_s, struct lw_err *err)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	query_start(&query, book, SQL_PUT_ITEM, err);
	query_text(&query, 1, "device");
	query_text(&query, 2, id);
	query_text(&query, 3, "own");
	query_int(&query, 4, 0);
	query_text(&query, 5, title);
	query_int(&query, 7, now_s);
	if (query_row(&query))
		number = query_get_int(&query, 0);
	status = query_run(&query);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_PUT_DEVICE, err);
	query_int(&query, 1, number);
	query_text(&query, 2, kind);
	query_int(&query, 4, 0);
	status = query_run(&query);
	if (status == LW_OK)
		status = add_lamp(book, number, coding, err);
	if (status == LW_OK)
		status = index_device(book, number, err);
	return status;
}

enum lw_status
lw_book_new_device(struct lw_book *book, const char *id, const char *title,
    const char *kind, enum lw_coding coding, int64_t now_s, struct lw_err *err)
{
	struct lw_arena *scratch;
	const char *owner;
	char name[NEAREST_NAME_MAX];
	enum lw_status status = LW_OK;

	if (!texts_is_id(id))
		return err_set(err, LW_BAD_INPUT,
		    "\"%s\" cannot name a device; a name has a-z, 0-9 and "
		    "hyphens, begins with a letter, and has at most 64",
		    nearest_name(name, id));
	if (title == NULL)
		title = id;
	status = texts_check("the title", title, TITLE_MAX, false, err);
	if (status == LW_OK && kind != NULL)
		status = texts_check("the kind", kind, TITLE_MAX, false, err);
	if (status != LW_OK)
		return status;
	scratch = lw_arena_new();
	if (scratch == NULL)
		return err_no_memory(err);
	status = store_begin_write(book, err);
	if (status != LW_OK)
		goto out;
	status =
	    catalogue_owner(book, scratch, "device", id, NULL, &owner, err);
	if (status == LW_OK && owner != NULL)
		status = err_set(err, LW_CONFLICT,
		    "there is a device \"%s\" already; choose another name",
		    id);
	if (status == LW_OK)
		status = add_device(book, id, title, kind, coding, now_s, err);
	status = store_end_write(book, status, err);
out:
	lw_arena_free(scratch);
	return status;
}

static enum lw_status
delete_device(
    struct lw_book *book, const char *id, int64_t number, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	status = index_remove(book, number, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_DELETE_OWN_CODES, err);
	query_text(&query, 1, id);
	status = query_run(&query);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_DELETE_ITEM, err);
	query_int(&query, 1, number);
	return query_run(&query);
}

enum lw_status
lw_book_remove_device(struct lw_book *book, const char *id, struct lw_err *err)
{
	struct lw_arena *scratch = lw_arena_new();
	const char *owner;
	int64_t number = 0;
	enum lw_status status;

	if (scratch == NULL)
		return err_no_memory(err);
	status = store_begin_write(book, err);
	if (status != LW_OK)
		goto out;
	status =
	    catalogue_owner(book, scratch, "device", id, &number, &owner, err);
	if (status == LW_OK && owner == NULL)
		status = nearest_not_found(book, "device", id, err);
	if (status == LW_OK && strcmp(owner, "own") != 0)
		status = err_set(err, LW_CONFLICT,
		    "the device \"%s\" belongs to the pack \"%.64s\"; remove "
		    "that pack instead",
		    id, owner);
	if (status == LW_OK)
		status = delete_device(book, id, number, err);
	status = store_end_write(book, status, err);
out:
	lw_arena_free(scratch);
	return status;
}

/* The lamp that is meant; NULL means the only one. */
static enum lw_status
find_lamp(const struct lw_device *device, const char *wanted, const char **lamp,
    struct lw_err *err)
{
	char name[NEAREST_NAME_MAX];
	struct buf list;
	enum lw_status status;
	size_t i;

	if (wanted == NULL && device->lamp_count == 1) {
		*lamp = device->lamps[0].id;
		return LW_OK;
	}
	for (i = 0; wanted != NULL && i < device->lamp_count; i++) {
		if (strcmp(device->lamps[i].id, wanted) == 0) {
			*lamp = device->lamps[i].id;
			return LW_OK;
		}
	}
	buf_init(&list, 300);
	for (i = 0; i < device->lamp_count; i++)
		buf_printf(
		    &list, "%s%s", i == 0 ? "" : ", ", device->lamps[i].id);
	if (wanted == NULL)
		status = err_set(err, LW_BAD_INPUT,
		    "the device \"%s\" has %zu lamps (%s); say which one",
		    device->id, device->lamp_count, buf_text(&list));
	else
		status = err_set(err, LW_BAD_INPUT,
		    "the device \"%s\" has no lamp \"%s\"; it has %s",
		    device->id, nearest_name(name, wanted), buf_text(&list));
	buf_clear(&list);
	return status;
}

static enum lw_status
teach_one(struct lw_book *book, const struct lw_device *device,
    const struct lw_code *code, int64_t now_s, struct lw_err *err)
{
	struct lw_pattern pattern;
	struct query query;
	const char *lamp = NULL;
	enum lw_status status;

	status = find_lamp(device, code->lamp, &lamp, err);
	if (status == LW_OK)
		status = lw_pattern_parse(&pattern, code->pattern, err);
	if (status == LW_OK && code->fault == NULL && code->meaning == NULL)
		status = err_set(err, LW_BAD_INPUT,
		    "the code %s needs a fault or a meaning", pattern.text);
	if (status == LW_OK && code->fault != NULL)
		status =
		    catalogue_number(book, NULL, "fault", code->fault, err);
	if (status == LW_OK && code->meaning != NULL)
		status = texts_check(
		    "the meaning", code->meaning, MEANING_MAX, false, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_PUT_OWN_CODE, err);
	query_text(&query, 1, device->id);
	query_text(&query, 2, lamp);
	query_text(&query, 3, pattern.text);
	query_text(&query, 4, code->fault);
	query_text(&query, 5, code->meaning);
	query_int(&query, 6, now_s);
	return query_run(&query);
}

/* The device's texts have changed: index it anew. */
static enum lw_status
index_again(struct lw_book *book, int64_t number, struct lw_err *err)
{
	enum lw_status status = index_remove(book, number, err);

	return status == LW_OK ? index_device(book, number, err) : status;
}

enum lw_status
lw_book_teach(struct lw_book *book, const char *device,
    const struct lw_code *codes, size_t count, int64_t now_s,
    struct lw_err *err)
{
	struct lw_arena *scratch = lw_arena_new();
	struct lw_device found;
	int64_t number = 0;
	enum lw_status status;
	size_t i;

	if (scratch == NULL)
		return err_no_memory(err);
	status = store_begin_write(book, err);
	if (status != LW_OK)
		goto out;
	status = catalogue_number(book, &number, "device", device, err);
	if (status == LW_OK)
		status = catalogue_device(book, scratch, number, &found, err);
	for (i = 0; i < count && status == LW_OK; i++)
		status = teach_one(book, &found, &codes[i], now_s, err);
	if (status == LW_OK)
		status = index_again(book, number, err);
	status = store_end_write(book, status, err);
out:
	lw_arena_free(scratch);
	return status;
}

static enum lw_status
delete_code(struct lw_book *book, const char *device, const char *lamp,
    const char *pattern, bool *found, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_DELETE_OWN_CODE, err);
	query_text(&query, 1, device);
	query_text(&query, 2, lamp);
	query_text(&query, 3, pattern);
	*found = query_row(&query);
	return query_run(&query);
}

/* Why there is no own code to take off. */
static enum lw_status
no_own_code(const struct lw_device *device, const char *lamp,
    const char *pattern, struct lw_err *err)
{
	char name[NEAREST_NAME_MAX];
	size_t i;

	nearest_name(name, pattern);
	for (i = 0; i < device->code_count; i++)
		if (strcmp(device->codes[i].lamp, lamp) == 0 &&
		    strcmp(device->codes[i].pattern, pattern) == 0)
			return err_set(err, LW_CONFLICT,
			    "the code %s of \"%s\" comes with its pack; teach "
			    "another meaning over it instead",
			    name, device->id);
	return err_set(err, LW_NOT_FOUND,
	    "the device \"%s\" has no code %s of your own", device->id, name);
}

static enum lw_status
unteach(struct lw_book *book, struct lw_arena *scratch, const char *device,
    const char *lamp, const char *pattern, struct lw_err *err)
{
	struct lw_device found;
	const char *owner;
	int64_t number = 0;
	bool deleted = false;
	enum lw_status status;

	status = catalogue_owner(
	    book, scratch, "device", device, &number, &owner, err);
	if (status != LW_OK)
		return status;
	if (owner == NULL) {
		/* Its pack is gone, and the code can still be taken off. */
		if (lamp != NULL)
			status = delete_code(
			    book, device, lamp, pattern, &deleted, err);
		if (status == LW_OK && !deleted)
			status = nearest_not_found(book, "device", device, err);
		return status;
	}
	status = catalogue_device(book, scratch, number, &found, err);
	if (status == LW_OK)
		status = find_lamp(&found, lamp, &lamp, err);
	if (status == LW_OK)
		status =
		    delete_code(book, device, lamp, pattern, &deleted, err);
	if (status == LW_OK && !deleted)
		status = no_own_code(&found, lamp, pattern, err);
	if (status == LW_OK)
		status = index_again(book, number, err);
	return status;
}

enum lw_status
lw_book_unteach(struct lw_book *book, const char *device, const char *lamp,
    const char *pattern, struct lw_err *err)
{
	struct lw_arena *scratch = lw_arena_new();
	enum lw_status status;

	if (scratch == NULL)
		return err_no_memory(err);
	status = store_begin_write(book, err);
	if (status == LW_OK) {
		status = unteach(book, scratch, device, lamp, pattern, err);
		status = store_end_write(book, status, err);
	}
	lw_arena_free(scratch);
	return status;
}
