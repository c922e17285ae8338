/* What a vehicle and its devices say about themselves: hours, firmware, logged
 * faults, live values. What was changed on them is left to settings.c. */
#include "book/rigs.h"

#include "base/err.h"
#include "book/nearest.h"
#include "book/query.h"
#include "book/texts.h"

#include <lampwright/reading.h>
#include <string.h>

enum { TEXT_MAX = 200, WORDS_MAX = 1000, COUNT_MAX = 1000000000 };

static const char *const kind_names[] = {
    [LW_RECORD_HOURS] = "hours",
    [LW_RECORD_FIRMWARE] = "firmware",
    [LW_RECORD_FAULT] = "fault",
    [LW_RECORD_LIVE] = "live",
};

static bool
is_kind(enum lw_record_kind kind)
{
	return kind >= LW_RECORD_HOURS && kind <= LW_RECORD_LIVE;
}

const char *
lw_record_kind_name(enum lw_record_kind kind)
{
	return is_kind(kind) ? kind_names[kind] : "";
}

enum lw_status
lw_record_kind_parse(
    enum lw_record_kind *kind, const char *name, struct lw_err *err)
{
	char shown[NEAREST_NAME_MAX];
	int i;

	for (i = LW_RECORD_HOURS; i <= LW_RECORD_LIVE; i++)
		if (strcmp(kind_names[i], name) == 0) {
			*kind = (enum lw_record_kind)i;
			return LW_OK;
		}
	return err_set(err, LW_BAD_INPUT,
	    "\"%s\" is nothing that a device is known to say; it is hours, "
	    "firmware, fault or live",
	    nearest_name(shown, name));
}

/* --- adding ------------------------------------------------------------- */

static bool
is_absent(const char *text)
{
	return text == NULL || text[0] == '\0';
}

/* A text of one line; one that may be absent is looked at where it is not. */
static enum lw_status
check_text(const char *what, const char *text, bool needed, struct lw_err *err)
{
	if (!needed && is_absent(text))
		return LW_OK;
	return texts_check(
	    what, text == NULL ? "" : text, TEXT_MAX, false, err);
}

/* Hours are a number that is not below zero. */
static enum lw_status
check_hours(const char *value, struct lw_err *err)
{
	struct lw_err why;
	char name[NEAREST_NAME_MAX];
	double hours;

	if (lw_reading_parse(&hours, value, "h", &why) != LW_OK)
		return err_set_at(err, why.code, 0, why.column,
		    "for running hours, %.400s", why.text);
	if (hours < 0)
		return err_set(err, LW_BAD_INPUT,
		    "running hours are never below zero, and \"%s\" is; look "
		    "at the counter again",
		    nearest_name(name, value));
	return LW_OK;
}

static enum lw_status
check_count(const struct lw_record *record, struct lw_err *err)
{
	if (!record->has_count)
		return LW_OK;
	if (record->kind != LW_RECORD_FAULT)
		return err_set(err, LW_BAD_INPUT,
		    "only a logged fault is counted; leave the count out");
	if (record->count < 0 || record->count > COUNT_MAX)
		return err_set(err, LW_BAD_INPUT,
		    "a fault is logged from 0 to %d times; look at the count "
		    "again",
		    COUNT_MAX);
	return LW_OK;
}

static enum lw_status
check_record(const struct lw_record *record, struct lw_err *err)
{
	bool fault = record->kind == LW_RECORD_FAULT;
	enum lw_status status;

	if (!is_kind(record->kind))
		return lw_record_kind_parse(&(enum lw_record_kind){0}, "", err);
	status =
	    check_text("the name of the device", record->device, true, err);
	if (status == LW_OK)
		status =
		    check_text(fault ? "the fault" : "the name of the value",
			record->subject,
			fault || record->kind == LW_RECORD_LIVE, err);
	if (status == LW_OK)
		status = check_text("the value", record->value, !fault, err);
	if (status == LW_OK && record->kind == LW_RECORD_HOURS)
		status = check_hours(record->value, err);
	if (status == LW_OK)
		status = check_count(record, err);
	if (status == LW_OK && !is_absent(record->words))
		status = texts_check(
		    "the remark", record->words, WORDS_MAX, true, err);
	return status;
}

static enum lw_status
put_record(struct lw_book *book, const char *rig,
    const struct lw_record *record, int64_t now_s, int64_t *number,
    struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_PUT_RECORD, err);
	query_text(&query, 1, rig);
	query_text(&query, 2, record->device);
	query_text(&query, 3, lw_record_kind_name(record->kind));
	if (!is_absent(record->subject))
		query_text(&query, 4, record->subject);
	if (!is_absent(record->value))
		query_text(&query, 5, record->value);
	if (record->has_count)
		query_int(&query, 6, record->count);
	if (!is_absent(record->words))
		query_text(&query, 7, record->words);
	if (record->job != 0)
		query_int(&query, 8, record->job);
	query_int(&query, 9, now_s);
	if (query_row(&query))
		*number = query_get_int(&query, 0);
	return query_run(&query);
}

enum lw_status
lw_record_add(struct lw_book *book, const char *rig,
    const struct lw_record *record, int64_t now_s, int64_t *number,
    struct lw_err *err)
{
	int64_t kept = 0;
	enum lw_status status;

	if (number != NULL)
		*number = 0;
	status = check_record(record, err);
	if (status != LW_OK)
		return status;
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = rigs_check_entry(book, rig, record->device, record->job, err);
	if (status == LW_OK)
		status = put_record(book, rig, record, now_s, &kept, err);
	status = store_end_write(book, status, err);
	if (status == LW_OK && number != NULL)
		*number = kept;
	return status;
}

/* --- looking ------------------------------------------------------------ */

static enum lw_status
read_records(
    struct query *query, struct lw_arena *arena, struct lw_records *records)
{
	struct lw_record *items = NULL, *record;
	size_t room = 0;

	while (query_row(query)) {
		record = query_grow(query, arena, &items, &records->count,
		    &room, sizeof *record);
		if (record == NULL)
			break;
		record->record = query_get_int(query, 0);
		record->time_s = query_get_int(query, 1);
		record->device = query_get_word(query, arena, 2);
		/* The table takes no other word. */
		record->kind = LW_RECORD_LIVE;
		(void)lw_record_kind_parse(
		    &record->kind, query_peek(query, 3), NULL);
		record->subject = query_get_text(query, arena, 4);
		record->value = query_get_text(query, arena, 5);
		record->has_count = !query_get_null(query, 6);
		record->count = query_get_int(query, 6);
		record->words = query_get_text(query, arena, 7);
		record->job = query_get_int(query, 8);
	}
	records->items = items;
	return query_end(query);
}

enum lw_status
lw_record_list(struct lw_book *book, struct lw_arena *arena, const char *rig,
    int64_t job, struct lw_records *records, struct lw_err *err)
{
	struct query query;
	bool removed;
	enum lw_status status;

	memset(records, 0, sizeof *records);
	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	if (job == 0)
		status = rigs_find(book, rig, &removed, err);
	if (status == LW_OK) {
		query_start(&query, book,
		    job == 0 ? SQL_RECORDS : SQL_RECORDS_OF_JOB, err);
		if (job == 0)
			query_text(&query, 1, rig);
		else
			query_int(&query, 1, job);
		status = read_records(&query, arena, records);
	}
	return store_end_read(book, status);
}
