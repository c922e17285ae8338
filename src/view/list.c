/* All of a kind: catalogue, packs, rigs or notes. */
#include "view/list.h"

#include "view/parts.h"

#include "base/err.h"

#include <stdlib.h>
#include <string.h>

/* A note in a list has the keys of an item and those of a note. */
static void
put_note(struct view *view, json_t *list, const struct lw_entry *note)
{
	json_t *object;

	view_note(view, list, note);
	if (view->status != LW_OK)
		return;
	object = json_array_get(list, json_array_size(list) - 1);
	view_words(view, object, "kind", "note");
	view_words(view, object, "kind_title", view_kind_title("note"));
	view_words(view, object, "id", note->id);
	view_text(view, object, "title", note->title);
	view_text(view, object, "detail", note->detail);
	view_bool(view, object, "own", true);
}

/* A rig is always the builder's; the book's mark is the one in hand. */
static void
put_rig(struct view *view, json_t *list, const struct lw_entry *rig)
{
	struct lw_entry entry = *rig;

	entry.own = true;
	view_entry(view, list, &entry);
	if (view->status == LW_OK)
		view_bool(view, json_array_get(list, json_array_size(list) - 1),
		    "in_hand", rig->own);
}

static enum lw_status
list_view(struct lw_doc **doc, struct lw_book *book, const char *kind,
    const char *subject_kind, const char *subject, struct lw_err *err)
{
	bool notes = strcmp(kind, "note") == 0, rigs = strcmp(kind, "rig") == 0;
	enum lw_status status = LW_OK;
	struct lw_entries entries = {0};
	struct view view;
	json_t *list;
	size_t i;

	view_begin(&view, book);
	view_words(&view, view.root, "kind", kind);
	view_words(&view, view.root, "kind_title", view_kind_titles(kind));
	list = view_list(&view, view.root, "items");
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	if (notes)
		status = lw_book_notes(book, view.arena, subject_kind, subject,
		    &entries, &view.last);
	else if (rigs)
		status = lw_rig_list(book, view.arena, &entries, &view.last);
	else if (strcmp(kind, "pack") == 0)
		status =
		    lw_book_list_packs(book, view.arena, &entries, &view.last);
	else
		status =
		    lw_book_list(book, view.arena, kind, &entries, &view.last);
	if (!view_got(&view, status))
		entries.count = 0;
	for (i = 0; i < entries.count; i++) {
		if (notes)
			put_note(&view, list, &entries.items[i]);
		else if (rigs)
			put_rig(&view, list, &entries.items[i]);
		else
			view_entry(&view, list, &entries.items[i]);
	}
	return view_end(&view, doc, LW_OK, err);
}

enum lw_status
lw_view_list(struct lw_doc **doc, struct lw_book *book, const char *kind,
    struct lw_err *err)
{
	return list_view(doc, book, kind, NULL, NULL, err);
}

enum lw_status
view_notes_on(struct lw_doc **doc, struct lw_book *book,
    const char *subject_kind, const char *subject, struct lw_err *err)
{
	return list_view(doc, book, "note", subject_kind, subject, err);
}
