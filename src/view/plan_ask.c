/* The document of the form that asks for a tree, with what may be meant where
 * that is not clear; working one out is left to plan_book.c. */
#include "view/parts.h"

#include <string.h>

enum { CHOICES = 8 }; /* of each kind */

/* What the words of somebody find, unless they are the name of something. */
static void
put_choices(struct view *view, const char *what)
{
	static const char *const kinds[] = {"symptom", "fault"};
	json_t *list = view_list(view, view->root, "choices"), *object;
	struct lw_book *book = view->book;
	const struct lw_symptom *symptom;
	const struct lw_fault *fault;
	struct lw_entries hits;
	size_t i, k, count = 0;

	if (what == NULL || view->status != LW_OK ||
	    view_got(view, lw_book_symptom(book, view->arena, what, &symptom,
			       &view->last)) ||
	    view_got(view,
		lw_book_fault(book, view->arena, what, &fault, &view->last)))
		goto out;
	for (k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
		if (view->status != LW_OK ||
		    !view_got(
			view, lw_book_find_kind(book, view->arena, kinds[k],
				  what, CHOICES, &hits, &view->last)))
			continue;
		for (i = 0; i < hits.count; i++) {
			object = view_add(view, list);
			view_words(view, object, "what", hits.items[i].id);
			view_words(view, object, "title", hits.items[i].title);
			view_words(view, object, "kind_title",
			    view_kind_title(kinds[k]));
			count++;
		}
	}
out:
	view_bool(view, view->root, "has_choices", count > 0);
}

static void
put_devices(struct view *view, const char *chosen)
{
	json_t *list = view_list(view, view->root, "devices"), *object;
	struct lw_entries devices;
	size_t i;

	if (view->status != LW_OK ||
	    !view_got(view, lw_book_list(view->book, view->arena, "device",
				&devices, &view->last)))
		return;
	for (i = 0; i < devices.count; i++) {
		object = view_add(view, list);
		view_words(view, object, "device", devices.items[i].id);
		view_words(view, object, "title", devices.items[i].title);
		view_bool(view, object, "chosen",
		    chosen != NULL && strcmp(chosen, devices.items[i].id) == 0);
	}
}

/* `chosen` NULL: the one in hand. */
static void
put_rigs(struct view *view, const char *chosen)
{
	json_t *list = view_list(view, view->root, "rigs"), *object;
	struct lw_entries rigs = {0};
	size_t i;

	if (view->status != LW_OK ||
	    !view_got(
		view, lw_rig_list(view->book, view->arena, &rigs, &view->last)))
		rigs.count = 0;
	for (i = 0; i < rigs.count; i++) {
		object = view_add(view, list);
		view_words(view, object, "rig", rigs.items[i].id);
		view_words(view, object, "title", rigs.items[i].title);
		view_bool(view, object, "chosen",
		    chosen == NULL ? rigs.items[i].own
				   : strcmp(chosen, rigs.items[i].id) == 0);
	}
	view_bool(view, view->root, "has_rigs", rigs.count > 0);
}

enum lw_status
lw_view_plan_ask(struct lw_doc **doc, struct lw_book *book, const char *what,
    const char *device, const char *rig, struct lw_err *err)
{
	struct view view;

	view_begin(&view, book);
	view_text(&view, view.root, "query", what);
	view_text(&view, view.root, "device", device);
	view_text(&view, view.root, "rig", rig);
	put_choices(&view, what);
	put_devices(&view, device);
	put_rigs(&view, rig);
	return view_end(&view, doc, LW_OK, err);
}
