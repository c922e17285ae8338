/* What settings do, as packs know it: one of them, all by part, and those that
 * can look like a fault or symptom. A rig's own are left to ledger.c. */
#include "view/item.h"

#include "base/err.h"

#include <string.h>

/* A list of ids of a kind under `key`, with titles; what the book has no more
 * is left out. */
static void
put_refs(struct view *view, json_t *object, const char *key, const char *kind,
    const struct lw_refs *refs)
{
	json_t *list = view_list(view, object, key), *child;
	size_t i;

	for (i = 0; i < refs->count && view->status == LW_OK; i++) {
		const char *pack;

		if (!view_got(
			view, lw_book_pack_of(view->book, view->arena, kind,
				  refs->items[i].id, &pack, &view->last)))
			continue;
		child = view_add(view, list);
		view_words(view, child, kind, refs->items[i].id);
		view_words(view, child, "title",
		    item_title(view, kind, refs->items[i].id));
	}
}

/* The rig in hand: its ledger is where the old value belongs. */
static void
put_rig(struct view *view, json_t *object)
{
	const char *rig = NULL;

	if (view->status == LW_OK &&
	    !view_got(view,
		lw_rig_in_hand(view->book, view->arena, &rig, &view->last)))
		rig = NULL;
	view_text(view, object, "rig", rig);
}

void
item_put_setting(struct view *view, const struct lw_known_setting *setting)
{
	json_t *object = view_object(view, view->root, "setting");

	view_text(view, object, "part", setting->part);
	view_text(view, object, "does", setting->does);
	view_text(view, object, "low", setting->low);
	view_text(view, object, "high", setting->high);
	view_text(view, object, "record", setting->record);
	put_refs(view, object, "faults", "fault", &setting->faults);
	put_refs(view, object, "symptoms", "symptom", &setting->symptoms);
	view_bool(view, object, "looks_like",
	    json_array_size(json_object_get(object, "faults")) > 0 ||
		json_array_size(json_object_get(object, "symptoms")) > 0);
	view_cautions(
	    view, view_list(view, object, "cautions"), &setting->cautions);
	put_rig(view, object);
}

void
item_put_settings_like(
    struct view *view, json_t *object, const char *fault, const char *symptom)
{
	json_t *list = view_list(view, object, "settings"), *child;
	struct lw_entries settings = {0};
	size_t i;

	if (view->status == LW_OK &&
	    !view_got(view, lw_book_settings_like(view->book, view->arena,
				fault, symptom, &settings, &view->last)))
		settings.count = 0;
	for (i = 0; i < settings.count; i++) {
		child = view_add(view, list);
		view_words(view, child, "setting", settings.items[i].id);
		view_words(view, child, "title", settings.items[i].title);
		view_text(view, child, "part", settings.items[i].detail);
	}
	view_bool(view, object, "has_settings", settings.count > 0);
	view_int(view, object, "setting_count", (int64_t)settings.count);
}

/* They come by part: one that has another begins a group. */
static void
put_known(struct view *view, const struct lw_known_setting *const *settings,
    size_t count)
{
	json_t *parts = view_list(view, view->root, "parts");
	json_t *part, *list = NULL, *object;
	const char *last = NULL;
	size_t i;

	for (i = 0; i < count; i++) {
		const struct lw_known_setting *setting = settings[i];
		const char *name = setting->part != NULL ? setting->part : "";

		if (last == NULL || strcmp(last, name) != 0) {
			part = view_add(view, parts);
			view_words(view, part, "part", name);
			list = view_list(view, part, "settings");
			last = name;
		}
		object = view_add(view, list);
		view_words(view, object, "setting", setting->id);
		view_words(view, object, "title", setting->title);
		view_text(view, object, "does", setting->does);
	}
}

enum lw_status
lw_view_known_settings(
    struct lw_doc **doc, struct lw_book *book, struct lw_err *err)
{
	const struct lw_known_setting *const *settings = NULL;
	enum lw_status outcome = LW_OK;
	struct view view;
	size_t count = 0;

	view_begin(&view, book);
	if (view.status == LW_OK &&
	    !view_got(&view, lw_book_known_settings(book, view.arena, &settings,
				 &count, &view.last)))
		count = 0;
	put_known(&view, settings, count);
	view_bool(&view, view.root, "empty", count == 0);
	if (view.status == LW_OK && count == 0)
		outcome = err_set(&view.err, LW_NOT_FOUND,
		    "no pack in the book says what settings do; lampwright "
		    "pack list shows those there are");
	return view_end(&view, doc, outcome, err);
}
