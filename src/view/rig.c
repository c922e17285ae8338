/* A rig: its devices, points, jobs; and every point with the rig's words. Its
 * facts are left to rig_facts.c, the ledger to ledger.c. */
#include "view/list.h"

#include "view/parts.h"
#include "view/rig_facts.h"

enum { LAST_RECORDS = 10 };

static void
put_devices(struct view *view, const struct lw_rig *rig)
{
	json_t *list = view_list(view, view->root, "devices"), *object;
	struct lw_entries devices = {0};
	size_t i;

	for (i = 0; i < rig->device_count; i++) {
		object = view_add(view, list);
		view_words(view, object, "name", rig->devices[i].name);
		view_words(view, object, "device", rig->devices[i].device);
		view_words(view, object, "title", rig->devices[i].title);
	}
	list = view_list(view, view->root, "choices");
	if (view->status != LW_OK ||
	    !view_got(view, lw_book_list(view->book, view->arena, "device",
				&devices, &view->last)))
		return;
	for (i = 0; i < devices.count; i++) {
		object = view_add(view, list);
		view_words(view, object, "device", devices.items[i].id);
		view_words(view, object, "title", devices.items[i].title);
	}
}

static void
put_point(struct view *view, json_t *list, const struct lw_rig_point *point)
{
	json_t *object = view_add(view, list);

	view_words(view, object, "point", point->point);
	view_words(view, object, "title", point->title);
	view_text(view, object, "where", point->where);
	view_text(view, object, "own", point->words);
	view_bool(view, object, "has_own", point->words != NULL);
}

/* The settings as they stand, and what the devices said last. */
static void
put_kept(struct view *view, const struct lw_rig *rig, int64_t now_s)
{
	struct lw_settings settings = {0};
	struct lw_records records = {0};

	if (view->status != LW_OK ||
	    !view_got(view, lw_setting_as_of(view->book, view->arena, rig->rig,
				now_s, &settings, &view->last)))
		settings.count = 0;
	view_settings(view, view_list(view, view->root, "settings"), &settings);
	if (view->status != LW_OK ||
	    !view_got(view, lw_record_list(view->book, view->arena, rig->rig, 0,
				&records, &view->last)))
		records.count = 0;
	if (records.count > LAST_RECORDS) {
		records.items += records.count - LAST_RECORDS;
		records.count = LAST_RECORDS;
	}
	view_records(view, view_list(view, view->root, "records"), &records);
}

static void
put_rig(struct view *view, const struct lw_rig *rig, int64_t now_s)
{
	json_t *root = view->root, *list;
	size_t i;

	view_bool(view, root, "removed", rig->removed);
	view_bool(view, root, "in_hand", rig->in_hand);
	view_rig_facts(view, rig);
	put_devices(view, rig);
	list = view_list(view, root, "tools");
	for (i = 0; i < rig->tool_count; i++)
		view_add_text(view, list, rig->tools[i]);
	view_bool(view, root, "known_tools", rig->known_tools);
	list = view_list(view, root, "points");
	for (i = 0; i < rig->point_count; i++)
		put_point(view, list, &rig->points[i]);
	view_jobs(view, view_list(view, root, "jobs"), rig->rig, 0, now_s);
	view_notes(view, view_list(view, root, "notes"), "rig", rig->rig);
	put_kept(view, rig, now_s);
}

const struct lw_rig *
view_begin_rig(struct view *view, struct lw_book *book, const char *name)
{
	const struct lw_rig *rig;
	enum lw_status status;

	view_begin(view, book);
	if (view->status != LW_OK)
		return NULL;
	status = lw_rig_get(book, view->arena, name, &rig, &view->last);
	if (status != LW_OK) {
		view_fail(view, status);
		return NULL;
	}
	view_words(view, view->root, "rig", rig->rig);
	view_words(view, view->root, "title", rig->title);
	return rig;
}

enum lw_status
lw_view_rig(struct lw_doc **doc, struct lw_book *book, const char *name,
    int64_t now_s, struct lw_err *err)
{
	const struct lw_rig *rig;
	struct view view;

	rig = view_begin_rig(&view, book, name);
	if (rig != NULL)
		put_rig(&view, rig, now_s);
	return view_end(&view, doc, LW_OK, err);
}

enum lw_status
view_rig_keys(struct lw_doc **doc, struct lw_book *book, struct lw_err *err)
{
	const struct lw_rig *rig;
	struct view view;

	view_begin(&view, book);
	if (view.status == LW_OK &&
	    view_got(
		&view, lw_rig_of(book, view.arena, NULL, 0, &rig, &view.last)))
		view_rig_facts(&view, rig);
	return view_end(&view, doc, LW_OK, err);
}

enum lw_status
lw_view_rig_points(struct lw_doc **doc, struct lw_book *book, const char *name,
    struct lw_err *err)
{
	const struct lw_rig_point *points;
	const struct lw_rig *rig;
	struct view view;
	json_t *list;
	size_t count, i;

	rig = view_begin_rig(&view, book, name);
	list = view_list(&view, view.root, "points");
	if (rig != NULL &&
	    view_got(&view, lw_rig_points(book, view.arena, rig->rig, &points,
				&count, &view.last))) {
		for (i = 0; i < count; i++)
			put_point(&view, list, &points[i]);
	}
	return view_end(&view, doc, LW_OK, err);
}
