/* A rig: its facts with all that can be said, its devices, points, jobs; and
 * every point with the rig's words. The ledger is left to ledger.c. */
#include "view/list.h"

#include "view/parts.h"

#include "base/err.h"

#include <string.h>

enum { LAST_RECORDS = 10 };

/* What is not known counts as what is dangerous; what that means for the
 * person beside the vehicle. */
static const struct {
	const char *key;
	const char *words;
} unknowns[] = {
    {"motor",
	"The kind of motor is not known, so it counts as series-wound: without "
	"load it runs away. Never switch it on unloaded."},
    {"reference",
	"It is not known whether the pack is tied to the frame, so it counts "
	"as tied: do not touch the frame and a pole of the pack at once."},
    {"charger",
	"It is not known whether a charger is on board: look for one, and "
	"unplug it at both ends before it counts as isolated."},
    {"pack.kind",
	"The kind of cells is not known, so they count as lithium: swollen, "
	"hot or smelling means get away."},
    {"pack.full",
	"The highest voltage of the pack is not known, so it counts as "
	"dangerous to touch."},
    {"bus.capacitor",
	"The size of the capacitors is not known: with everything off they "
	"count as charged until the meter says otherwise."},
    {"bleed.resistor",
	"It is not known whether anything drains the capacitors: waiting alone "
	"does not make them safe, measuring does."},
    {"contactor",
	"It is not known whether there is a contactor: the key may not part "
	"the pack from the controller."},
    {"precharge",
	"It is not known whether there is a pre-charge path: a resistor across "
	"the contactor may charge the capacitors again with the key off."},
    {"dcdc",
	"It is not known whether there is a DC-DC converter: it may keep a "
	"part of the vehicle live with the main disconnect open."},
    {"auxiliary",
	"It is not known whether there is an auxiliary battery: it may keep "
	"the controls live with the main disconnect open."},
    {"strings",
	"It is not known whether battery strings stand in parallel: one open "
	"disconnect may leave another string connected."},
};

static const char *
choice_title(const struct lw_value *key, const char *value)
{
	size_t i;

	if (key->kind != LW_VALUE_CHOICE)
		return value;
	for (i = 0; key->choices[i] != NULL; i++) {
		if (strcmp(key->choices[i], value) == 0)
			return key->choice_titles[i];
	}
	return value;
}

static void
put_fact(struct view *view, json_t *list, const struct lw_value *key,
    const char *value)
{
	json_t *object = view_add(view, list), *choices, *choice;
	size_t i;

	view_words(view, object, "key", key->id);
	view_words(view, object, "title", key->title);
	view_text(view, object, "help", key->help);
	view_text(view, object, "where", key->where);
	view_text(view, object, "value", value);
	view_bool(view, object, "known", value != NULL);
	view_bool(view, object, "is_choice", key->kind == LW_VALUE_CHOICE);
	view_bool(view, object, "is_quantity", key->kind == LW_VALUE_QUANTITY);
	view_bool(view, object, "is_list", key->kind == LW_VALUE_LIST);
	view_text(view, object, "unit", key->unit);
	if (key->kind == LW_VALUE_QUANTITY) {
		view_real(view, object, "low", key->low);
		view_real(view, object, "high", key->high);
	} else {
		view_null(view, object, "low");
		view_null(view, object, "high");
	}
	choices = view_list(view, object, "choices");
	if (key->kind != LW_VALUE_CHOICE)
		return;
	for (i = 0; key->choices[i] != NULL; i++) {
		choice = view_add(view, choices);
		view_words(view, choice, "choice", key->choices[i]);
		view_words(view, choice, "title", key->choice_titles[i]);
		view_bool(view, choice, "chosen",
		    value != NULL && strcmp(value, key->choices[i]) == 0);
	}
}

/* `facts`, `known_facts`, `unknown` and `cautions`. */
static void
put_facts(struct view *view, const struct lw_rig *rig)
{
	json_t *facts = view_list(view, view->root, "facts");
	json_t *known = view_list(view, view->root, "known_facts");
	json_t *unknown = view_list(view, view->root, "unknown");
	json_t *cautions = view_list(view, view->root, "cautions");
	const struct lw_value *keys;
	size_t count, i, k;
	json_t *object;

	keys = lw_rig_built_in(&count);
	for (i = 0; i < count; i++) {
		const struct lw_value *key = &keys[i];
		const char *value = lw_rig_fact(rig, key->id);

		put_fact(view, facts, key, value);
		if (value != NULL) {
			object = view_add(view, known);
			view_words(view, object, "key", key->id);
			view_words(view, object, "title", key->title);
			view_words(view, object, "value", value);
			view_words(view, object, "value_title",
			    choice_title(key, value));
			continue;
		}
		view_add_text(view, unknown, key->title);
		for (k = 0; k < sizeof unknowns / sizeof unknowns[0]; k++) {
			if (strcmp(unknowns[k].key, key->id) == 0)
				view_add_text(
				    view, cautions, unknowns[k].words);
		}
	}
}

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
	put_facts(view, rig);
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
view_rig_keys(struct lw_doc **doc, struct lw_err *err)
{
	json_t *facts;
	struct view view;
	const struct lw_value *keys;
	size_t count, i;

	view_begin(&view, NULL);
	facts = view_list(&view, view.root, "facts");
	keys = lw_rig_built_in(&count);
	for (i = 0; i < count; i++)
		put_fact(&view, facts, &keys[i], NULL);
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
