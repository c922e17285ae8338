/* The builder's notes: kept, removed, and found from a search. */
#include "serve/pages.h"

#include "base/err.h"
#include "base/num.h"

#include <string.h>

/* Add the address of what a note is on. */
static void
add_place(struct buf *url, const char *kind, const char *subject)
{
	const char *space;

	if (strcmp(kind, "pattern") == 0) {
		buf_add(url, "/read");
		/* "5" anywhere, or "field-cart-drive 5" on a device; a
		 * pattern of several lamps has colons before its spaces. */
		space = strchr(subject, ' ');
		if (space != NULL &&
		    memchr(subject, ':', (size_t)(space - subject)) == NULL) {
			char device[80];
			size_t n = (size_t)(space - subject);

			if (n < sizeof device) {
				memcpy(device, subject, n);
				device[n] = '\0';
				url_add_query(url, "device", device);
			}
			subject = space + 1;
		}
		url_add_query(url, "pattern", subject);
		return;
	}
	buf_add_char(url, '/');
	buf_add(url, kind);
	buf_add_char(url, 's');
	url_add_segment(url, subject);
}

/* What the note is on comes from the book or from a form that the book has
 * accepted, so the kind is one of the known words. */
static void
go_to_subject(const struct request *request, struct reply *reply,
    const char *kind, const char *subject, const char *said)
{
	struct buf place;

	buf_init(&place, 2048);
	add_place(&place, kind, subject);
	pages_go_back(request, reply, buf_text(&place), said);
	buf_clear(&place);
}

/* The note of a number; NULL when there is none or `reply` has the error. */
static const struct lw_entry *
find_note(
    const struct request *request, struct reply *reply, struct lw_arena *arena)
{
	struct lw_entries notes;
	struct lw_err err = {.code = LW_OK};
	size_t i;

	if (arena == NULL) {
		err_no_memory(&err);
		reply_failure(reply, &err);
		return NULL;
	}
	if (lw_book_notes(request->book, arena, NULL, NULL, &notes, &err) !=
	    LW_OK) {
		if (err.code != LW_NOT_FOUND) {
			reply_failure(reply, &err);
			return NULL;
		}
		notes.count = 0;
	}
	for (i = 0; i < notes.count; i++)
		if (strcmp(notes.items[i].id, request->path.segments[1]) == 0)
			return notes.items + i;
	reply_error(reply, 404,
	    "there is no note of that number; it may have been removed");
	reply_text(reply, "way", "/notes");
	reply_text(reply, "way_title", "All notes");
	return NULL;
}

void
page_note(const struct request *request, struct reply *reply)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_entry *note = find_note(request, reply, arena);

	if (note != NULL)
		go_to_subject(
		    request, reply, note->subject_kind, note->subject, NULL);
	lw_arena_free(arena);
}

void
page_note_add(const struct request *request, struct reply *reply)
{
	const char *kind = form_get(&request->body, "kind");
	const char *id = form_get(&request->body, "id");
	const char *words = form_get(&request->body, "words");
	const char *back = form_get(&request->body, "back");
	struct lw_err err = {.code = LW_OK};
	int64_t note;

	if (lw_book_add_note(request->book, kind, id, words, request->now_s,
		&note, &err) == LW_OK) {
		go_to_subject(request, reply, kind, id, "note");
		return;
	}
	/* Nothing that was typed is lost: the form is shown again. */
	reply_page(reply, reply_status_of(err.code), "note", NULL);
	reply_sentence(reply, "error", err.text);
	reply_text(reply, "kind", kind);
	reply_text(reply, "id", id);
	reply_text(reply, "typed", words);
	if (url_is_local(back))
		reply_text(reply, "back", back);
}

void
page_note_remove(const struct request *request, struct reply *reply)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_entry *note = find_note(request, reply, arena);
	struct lw_err err = {.code = LW_OK};
	int64_t number;

	if (note == NULL)
		goto out;
	if (!num_parse_int(&number, note->id))
		number = 0;
	if (lw_book_remove_note(request->book, number, &err) == LW_OK)
		go_to_subject(request, reply, note->subject_kind, note->subject,
		    "note-removed");
	else
		reply_failure(reply, &err);
out:
	lw_arena_free(arena);
}
