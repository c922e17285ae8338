/* The builder's notes, with their index. Which notes a page shows is left to
 * view. */
#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"
#include "book/catalogue.h"
#include "book/nearest.h"
#include "book/query.h"
#include "book/rigs.h"
#include "book/texts.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { WORDS_MAX = 4000, SUBJECT_MAX = 256 };

static enum lw_status
job_subject(
    struct lw_book *book, const char *given, char *subject, struct lw_err *err)
{
	struct query query;
	char name[NEAREST_NAME_MAX];
	int64_t job = 0;
	bool found = false;

	if (num_parse_int(&job, given)) {
		query_start(&query, book, SQL_JOB, err);
		query_int(&query, 1, job);
		found = query_row(&query);
		if (query_end(&query) != LW_OK)
			return query.status;
	}
	if (!found)
		return err_set(err, LW_NOT_FOUND,
		    "there is no job \"%s\"; `lampwright job list` shows "
		    "those there are",
		    nearest_name(name, given));
	snprintf(subject, SUBJECT_MAX, "%" PRId64, job);
	return LW_OK;
}

/* "5", or "field-cart-drive 5". */
static enum lw_status
pattern_subject(
    struct lw_book *book, const char *given, char *subject, struct lw_err *err)
{
	struct lw_pattern pattern;
	char device[65];
	const char *rest = given;
	size_t length = strcspn(given, " ");
	enum lw_status status;

	device[0] = '\0';
	if (lw_pattern_parse(&pattern, given, NULL) != LW_OK &&
	    given[length] == ' ' && length < sizeof device) {
		snprintf(device, sizeof device, "%.*s", (int)length, given);
		rest = given + length;
		rest += strspn(rest, " ");
		status = catalogue_number(book, NULL, "device", device, err);
		if (status != LW_OK)
			return status;
	}
	status = lw_pattern_parse(&pattern, rest, err);
	if (status == LW_OK)
		snprintf(subject, SUBJECT_MAX, "%s%s%s", device,
		    device[0] == '\0' ? "" : " ", pattern.text);
	return status;
}

/* The subject as it is kept, or that there is none. */
static enum lw_status
find_subject(struct lw_book *book, const char *kind, const char *given,
    char *subject, struct lw_err *err)
{
	static const char *const kinds[] = {
	    "device", "fault", "symptom", "cause", "check"};
	char name[NEAREST_NAME_MAX];
	bool removed;
	enum lw_status status;
	size_t i;

	if (strcmp(kind, "job") == 0)
		return job_subject(book, given, subject, err);
	if (strcmp(kind, "pattern") == 0)
		return pattern_subject(book, given, subject, err);
	if (strcmp(kind, "rig") == 0) {
		status = rigs_find(book, given, &removed, err);
		if (status == LW_OK)
			snprintf(subject, SUBJECT_MAX, "%s", given);
		return status;
	}
	for (i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
		if (strcmp(kind, kinds[i]) != 0)
			continue;
		status = catalogue_number(book, NULL, kind, given, err);
		if (status == LW_OK)
			snprintf(subject, SUBJECT_MAX, "%s", given);
		return status;
	}
	return err_set(err, LW_BAD_INPUT,
	    "a note cannot be on a \"%s\"; it is on a device, pattern, fault, "
	    "symptom, cause, check, rig or job",
	    nearest_name(name, kind));
}

static enum lw_status
put_note(struct lw_book *book, const char *kind, const char *subject,
    const char *words, int64_t now_s, int64_t *note, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	query_start(&query, book, SQL_PUT_NOTE, err);
	query_text(&query, 1, kind);
	query_text(&query, 2, subject);
	query_text(&query, 3, words);
	query_int(&query, 4, now_s);
	if (query_row(&query))
		*note = query_get_int(&query, 0);
	status = query_run(&query);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_INDEX_NOTE, err);
	query_int(&query, 1, *note);
	query_text(&query, 2, words);
	return query_run(&query);
}

enum lw_status
lw_book_add_note(struct lw_book *book, const char *subject_kind,
    const char *subject, const char *words, int64_t now_s, int64_t *note,
    struct lw_err *err)
{
	char kept[SUBJECT_MAX];
	int64_t number = 0;
	enum lw_status status;

	if (note != NULL)
		*note = 0;
	status = texts_check("the note", words, WORDS_MAX, true, err);
	if (status != LW_OK)
		return status;
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = find_subject(book, subject_kind, subject, kept, err);
	if (status == LW_OK)
		status = put_note(
		    book, subject_kind, kept, words, now_s, &number, err);
	status = store_end_write(book, status, err);
	if (status == LW_OK && note != NULL)
		*note = number;
	return status;
}

static enum lw_status
delete_note(struct lw_book *book, int64_t note, struct lw_err *err)
{
	struct query query;
	bool found;
	enum lw_status status;

	query_start(&query, book, SQL_DELETE_NOTE, err);
	query_int(&query, 1, note);
	found = query_row(&query);
	status = query_run(&query);
	if (status == LW_OK && !found)
		status = err_set(err, LW_NOT_FOUND,
		    "there is no note %" PRId64
		    "; `lampwright note list` shows those there are",
		    note);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_UNINDEX_NOTE, err);
	query_int(&query, 1, note);
	return query_run(&query);
}

enum lw_status
lw_book_remove_note(struct lw_book *book, int64_t note, struct lw_err *err)
{
	enum lw_status status;

	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = delete_note(book, note, err);
	return store_end_write(book, status, err);
}

enum lw_status
lw_book_notes(struct lw_book *book, struct lw_arena *arena,
    const char *subject_kind, const char *subject, struct lw_entries *notes,
    struct lw_err *err)
{
	struct query query;
	struct lw_entry *items = NULL, *entry;
	size_t room = 0;

	memset(notes, 0, sizeof *notes);
	query_start(&query, book, SQL_NOTES, err);
	query_text(&query, 1, subject_kind);
	query_text(&query, 2, subject);
	while (query_row(&query)) {
		entry = query_grow(
		    &query, arena, &items, &notes->count, &room, sizeof *entry);
		if (entry == NULL)
			break;
		entry->kind = "note";
		entry->id = query_get_word(&query, arena, 0);
		entry->subject_kind = query_get_word(&query, arena, 1);
		entry->subject = query_get_word(&query, arena, 2);
		entry->title = query_get_word(&query, arena, 3);
		entry->detail = query_get_word(&query, arena, 4);
		entry->time_s = query_get_int(&query, 5);
		entry->own = true;
	}
	notes->items = items;
	return query_end(&query);
}
