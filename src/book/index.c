/* What of each item can be found by words. Searching is left to search.c,
 * the notes' index to notes.c. */
#include "book/index.h"

#include "base/buf.h"
#include "base/err.h"
#include "book/catalogue.h"
#include "book/query.h"

enum { TEXT_MAX = 1 << 22 }; /* bytes: no item is larger than its pack */

/* The texts of one item, gathered. */
struct entry {
	const char *id;
	const char *title;
	struct buf phrases;
	struct buf body;
};

static void
entry_start(struct entry *entry, const char *id, const char *title)
{
	entry->id = id;
	entry->title = title;
	buf_init(&entry->phrases, TEXT_MAX);
	buf_init(&entry->body, TEXT_MAX);
}

/* A further text, apart from the last one. */
static void
add(struct buf *buf, const char *text)
{
	if (text == NULL || text[0] == '\0')
		return;
	if (buf->length > 0)
		buf_add(buf, "\n");
	buf_add(buf, text);
}

static enum lw_status
entry_put(struct entry *entry, struct lw_book *book, int64_t number,
    struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	status = buf_check(&entry->phrases, err);
	if (status == LW_OK)
		status = buf_check(&entry->body, err);
	if (status == LW_OK) {
		query_start(&query, book, SQL_INDEX_ITEM, err);
		query_int(&query, 1, number);
		query_text(&query, 2, entry->title);
		query_text(&query, 3, buf_text(&entry->phrases));
		query_text(&query, 4, buf_text(&entry->body));
		query_text(&query, 5, entry->id);
		status = query_run(&query);
	}
	buf_clear(&entry->phrases);
	buf_clear(&entry->body);
	return status;
}

enum lw_status
index_remove(struct lw_book *book, int64_t number, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_UNINDEX_ITEM, err);
	query_int(&query, 1, number);
	return query_run(&query);
}

enum lw_status
index_device(struct lw_book *book, int64_t number, struct lw_err *err)
{
	struct lw_arena *scratch = lw_arena_new();
	struct lw_device device;
	struct entry entry;
	enum lw_status status;
	size_t i;

	if (scratch == NULL)
		return err_no_memory(err);
	status = catalogue_whole_device(book, scratch, number, &device, err);
	if (status != LW_OK)
		goto out;
	entry_start(&entry, device.id, device.title);
	add(&entry.body, device.description);
	add(&entry.body, device.kind);
	for (i = 0; i < device.lamp_count; i++)
		add(&entry.body, device.lamps[i].title);
	for (i = 0; i < device.code_count; i++)
		add(&entry.body, device.codes[i].meaning);
	status = entry_put(&entry, book, number, err);
out:
	lw_arena_free(scratch);
	return status;
}

enum lw_status
index_fault(struct lw_book *book, int64_t number, const struct lw_fault *fault,
    struct lw_err *err)
{
	struct entry entry;

	entry_start(&entry, fault->id, fault->title);
	add(&entry.body, fault->meaning);
	add(&entry.body, fault->clears);
	add(&entry.body, fault->meanwhile);
	return entry_put(&entry, book, number, err);
}

enum lw_status
index_symptom(struct lw_book *book, int64_t number,
    const struct lw_symptom *symptom, struct lw_err *err)
{
	struct entry entry;
	size_t i;

	entry_start(&entry, symptom->id, symptom->title);
	for (i = 0; i < symptom->phrases.count; i++)
		add(&entry.phrases, symptom->phrases.items[i].text);
	add(&entry.body, symptom->description);
	return entry_put(&entry, book, number, err);
}

enum lw_status
index_cause(struct lw_book *book, int64_t number, const struct lw_cause *cause,
    struct lw_err *err)
{
	struct entry entry;

	entry_start(&entry, cause->id, cause->title);
	add(&entry.body, cause->why);
	add(&entry.body, cause->fix);
	add(&entry.body, cause->parts);
	add(&entry.body, cause->tools);
	add(&entry.body, cause->damages);
	add(&entry.body, cause->proof);
	return entry_put(&entry, book, number, err);
}

enum lw_status
index_check(struct lw_book *book, int64_t number, const struct lw_check *check,
    struct lw_err *err)
{
	struct entry entry;
	size_t i;

	entry_start(&entry, check->id, check->title);
	add(&entry.body, check->ask);
	for (i = 0; i < check->steps.count; i++)
		add(&entry.body, check->steps.items[i].text);
	add(&entry.body, check->reason);
	add(&entry.body, check->mistake);
	return entry_put(&entry, book, number, err);
}

enum lw_status
index_setting(struct lw_book *book, int64_t number,
    const struct lw_known_setting *setting, struct lw_err *err)
{
	struct entry entry;

	entry_start(&entry, setting->id, setting->title);
	add(&entry.body, setting->does);
	add(&entry.body, setting->low);
	add(&entry.body, setting->high);
	add(&entry.body, setting->record);
	return entry_put(&entry, book, number, err);
}
