/* The settings ledger and the records of a rig. What stood when, and what
 * differs, is worked out in the book. */
#include "view/list.h"

#include "view/parts.h"

#include "base/arena.h"
#include "base/err.h"

#include <stdio.h>
#include <string.h>

void
view_settings(
    struct view *view, json_t *list, const struct lw_settings *settings)
{
	json_t *object;
	size_t i;

	for (i = 0; i < settings->count; i++) {
		const struct lw_setting *setting = &settings->items[i];

		object = view_add(view, list);
		view_int(view, object, "entry", setting->entry);
		view_time(view, object, setting->time_s);
		view_day(view, object, "day", setting->time_s);
		view_words(view, object, "device", setting->device);
		view_words(view, object, "setting", setting->setting);
		view_text(view, object, "was", setting->was);
		view_words(view, object, "became", setting->became);
		view_text(view, object, "why", setting->why);
		view_number(view, object, "job", setting->job);
		view_bool(view, object, "only_read", setting->was == NULL);
		view_bool(view, object, "unexplained", setting->unexplained);
	}
}

void
view_wish(struct view *view, json_t *list, const struct lw_rig *rig,
    const struct lw_setting_wish *wish)
{
	json_t *object = view_add(view, list);

	view_int(view, object, "wish", wish->wish);
	view_time(view, object, wish->time_s);
	view_day(view, object, "day", wish->time_s);
	view_words(view, object, "rig", rig->rig);
	view_words(view, object, "rig_title", rig->title);
	view_words(view, object, "device", wish->device);
	view_words(view, object, "setting", wish->setting);
	view_bool(view, object, "to_read", wish->value == NULL);
	view_text(view, object, "value", wish->value);
	view_text(view, object, "last", wish->last);
	view_text(view, object, "why", wish->why);
	view_number(view, object, "job", wish->job);
}

static const char *
record_title(enum lw_record_kind kind)
{
	switch (kind) {
	case LW_RECORD_HOURS:
		return "Running hours";
	case LW_RECORD_FIRMWARE:
		return "Firmware";
	case LW_RECORD_FAULT:
		return "Logged fault";
	case LW_RECORD_LIVE:
		return "Live value";
	}
	return lw_record_kind_name(kind);
}

/* "Logged fault: 12, 3 times", "Running hours: 214": one line. */
static const char *
record_text(struct view *view, const struct lw_record *record)
{
	const char *subject = record->subject, *value = record->value, *text;
	char times[40] = "";

	if (record->has_count)
		snprintf(times, sizeof times, ", %lld time%s",
		    (long long)record->count, record->count == 1 ? "" : "s");
	text = arena_printf(view->arena, "%s: %s%s%s%s",
	    record_title(record->kind), subject != NULL ? subject : "",
	    subject != NULL && value != NULL ? ", " : "",
	    value != NULL ? value : "", times);
	if (text == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	}
	return text;
}

void
view_records(struct view *view, json_t *list, const struct lw_records *records)
{
	json_t *object;
	size_t i;

	for (i = 0; i < records->count && view->status == LW_OK; i++) {
		const struct lw_record *record = &records->items[i];

		object = view_add(view, list);
		view_int(view, object, "record", record->record);
		view_time(view, object, record->time_s);
		view_words(view, object, "device", record->device);
		view_words(
		    view, object, "kind", lw_record_kind_name(record->kind));
		view_words(
		    view, object, "kind_title", record_title(record->kind));
		view_text(view, object, "subject", record->subject);
		view_text(view, object, "value", record->value);
		if (record->has_count)
			view_int(view, object, "count", record->count);
		else
			view_null(view, object, "count");
		view_text(view, object, "words", record->words);
		view_number(view, object, "job", record->job);
		view_text(view, object, "text", record_text(view, record));
	}
}

/* The rig, and the names of its devices; NULL after a failure. */
static const struct lw_rig *
begin(struct view *view, struct lw_book *book, const char *name)
{
	const struct lw_rig *rig = view_begin_rig(view, book, name);
	json_t *list = view_list(view, view->root, "devices");
	size_t i;

	for (i = 0; rig != NULL && i < rig->device_count; i++)
		view_words(
		    view, view_add(view, list), "name", rig->devices[i].name);
	return rig;
}

enum lw_status
lw_view_records(struct lw_doc **doc, struct lw_book *book, const char *name,
    struct lw_err *err)
{
	struct lw_records records = {0};
	const struct lw_rig *rig;
	struct view view;

	rig = begin(&view, book, name);
	if (rig != NULL &&
	    !view_got(&view, lw_record_list(book, view.arena, rig->rig, 0,
				 &records, &view.last)))
		records.count = 0;
	view_records(&view, view_list(&view, view.root, "records"), &records);
	return view_end(&view, doc, LW_OK, err);
}

/* What of the ledger is asked for, as times. */
struct asked {
	const char *device; /* of this one alone; NULL: of all */
	bool is_on, is_difference, is_back;
	int64_t on_s, from_s, to_s;
};

/* The end of a day, or `otherwise` where none is named. */
static bool
read_day(struct view *view, int64_t *time_s, const char *day, int64_t otherwise)
{
	enum lw_status status = LW_OK;

	*time_s = otherwise;
	if (day != NULL)
		status = lw_day_end(time_s, day, &view->last);
	if (status != LW_OK)
		view_fail(view, status);
	return status == LW_OK;
}

static bool
read_days(struct view *view, struct asked *asked,
    const struct lw_ledger_days *days, int64_t now_s)
{
	asked->is_on = days->on != NULL;
	asked->is_difference = days->from != NULL || days->to != NULL;
	asked->is_back = days->back != NULL;
	if (asked->is_on + asked->is_difference + asked->is_back > 1) {
		view_fail(view,
		    err_set(&view->last, LW_BAD_INPUT,
			"a ledger is shown as of one day, or between two, or "
			"back to one; ask for one of these at a time"));
		return false;
	}
	if (asked->is_difference && days->from == NULL) {
		view_fail(view, err_set(&view->last, LW_BAD_INPUT,
				    "the day to begin from is missing, as in "
				    "2026-11-25"));
		return false;
	}
	if (asked->is_back)
		return read_day(view, &asked->to_s, days->back, now_s) &&
		       read_day(view, &asked->from_s, NULL, now_s);
	return read_day(view, &asked->on_s, days->on, now_s) &&
	       read_day(view, &asked->from_s, days->from, now_s) &&
	       read_day(view, &asked->to_s, days->to, now_s);
}

/* Leave those of other devices out. */
static void
keep_device(struct view *view, struct lw_settings *settings, const char *device)
{
	struct lw_setting *kept;
	size_t count = 0, i;

	if (device == NULL || settings->count == 0)
		return;
	kept = arena_array(view->arena, settings->count, sizeof *kept);
	if (kept == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	}
	for (i = 0; kept != NULL && i < settings->count; i++) {
		if (strcmp(settings->items[i].device, device) == 0)
			kept[count++] = settings->items[i];
	}
	settings->items = kept;
	settings->count = count;
}

/* History, or as of the day; and how it stands at the end of either. How many
 * entries there are. */
static size_t
put_entries(struct view *view, const char *rig, const struct asked *asked)
{
	json_t *entries = view_list(view, view->root, "entries");
	json_t *now = view_list(view, view->root, "now");
	struct lw_settings settings = {0};
	size_t count = 0;

	if (asked->is_difference || asked->is_back || view->status != LW_OK)
		return 0;
	if (!asked->is_on &&
	    view_got(view, lw_setting_history(view->book, view->arena, rig,
			       asked->device, &settings, &view->last))) {
		view_settings(view, entries, &settings);
		count = settings.count;
	}
	if (view->status == LW_OK &&
	    view_got(view, lw_setting_as_of(view->book, view->arena, rig,
			       asked->on_s, &settings, &view->last))) {
		keep_device(view, &settings, asked->device);
		view_settings(view, asked->is_on ? entries : now, &settings);
		if (asked->is_on)
			count = settings.count;
	}
	return count;
}

/* What differs; how much of it. */
static size_t
put_changes(struct view *view, const char *rig, const struct asked *asked)
{
	json_t *list = view_list(view, view->root, "changes"), *object;
	const struct lw_setting_change *changes;
	size_t count = 0, shown = 0, i;

	if (view->status != LW_OK ||
	    (!asked->is_difference && !asked->is_back) ||
	    !view_got(view,
		lw_setting_difference(view->book, view->arena, rig,
		    asked->from_s, asked->to_s, &changes, &count, &view->last)))
		return 0;
	for (i = 0; i < count; i++) {
		if (asked->device != NULL &&
		    strcmp(changes[i].device, asked->device) != 0)
			continue;
		shown++;
		object = view_add(view, list);
		view_words(view, object, "device", changes[i].device);
		view_words(view, object, "setting", changes[i].setting);
		view_text(view, object, "before", changes[i].before);
		view_text(view, object, "after", changes[i].after);
	}
	return shown;
}

/* What is to be read or set once a tool for it is here; how much. */
static size_t
put_wishes(
    struct view *view, const struct lw_rig *rig, const struct asked *asked)
{
	json_t *list = view_list(view, view->root, "wishes");
	struct lw_setting_wishes wishes = {0};
	size_t i;

	if (view->status != LW_OK || asked->is_on || asked->is_difference ||
	    asked->is_back ||
	    !view_got(view, lw_setting_wishes(view->book, view->arena, rig->rig,
				&wishes, &view->last)))
		wishes.count = 0;
	for (i = 0; i < wishes.count; i++)
		if (asked->device == NULL ||
		    strcmp(wishes.items[i].device, asked->device) == 0)
			view_wish(view, list, rig, &wishes.items[i]);
	view_bool(view, view->root, "has_wishes", json_array_size(list) > 0);
	return json_array_size(list);
}

enum lw_status
view_settings_of(struct lw_doc **doc, struct lw_book *book, const char *name,
    const char *device, const struct lw_ledger_days *days, int64_t now_s,
    struct lw_err *err)
{
	static const struct lw_ledger_days none = {NULL, NULL, NULL, NULL};
	const struct lw_rig *rig;
	enum lw_status outcome = LW_OK;
	struct asked asked = {.device = device};
	struct view view;
	size_t count;

	if (days == NULL)
		days = &none;
	rig = begin(&view, book, name);
	if (rig == NULL || !read_days(&view, &asked, days, now_s))
		return view_end(&view, doc, LW_OK, err);
	view_text(&view, view.root, "on", days->on);
	view_text(&view, view.root, "from", days->from);
	view_text(&view, view.root, "to", days->to);
	view_text(&view, view.root, "back", days->back);
	view_day(&view, view.root, "today", now_s);
	view_bool(&view, view.root, "is_history",
	    !asked.is_on && !asked.is_difference && !asked.is_back);
	view_bool(&view, view.root, "is_on", asked.is_on);
	view_bool(&view, view.root, "is_difference", asked.is_difference);
	view_bool(&view, view.root, "is_back", asked.is_back);
	count = put_entries(&view, rig->rig, &asked);
	count += put_changes(&view, rig->rig, &asked);
	count += put_wishes(&view, rig, &asked);
	view_bool(&view, view.root, "empty", count == 0);
	if (count == 0 && asked.is_back)
		outcome = err_set(&view.err, LW_NOT_FOUND,
		    "the settings of %s stand as they did then", rig->rig);
	else if (count == 0 && asked.is_difference)
		outcome = err_set(&view.err, LW_NOT_FOUND,
		    "no setting of %s differs between those days", rig->rig);
	else if (count == 0)
		outcome = err_set(&view.err, LW_NOT_FOUND,
		    "the ledger of %s has no entry%s%.64s%s", rig->rig,
		    device != NULL ? " for " : "", device != NULL ? device : "",
		    asked.is_on ? " up to that day" : "");
	return view_end(&view, doc, outcome, err);
}

enum lw_status
lw_view_settings(struct lw_doc **doc, struct lw_book *book, const char *name,
    const struct lw_ledger_days *days, int64_t now_s, struct lw_err *err)
{
	return view_settings_of(doc, book, name, NULL, days, now_s, err);
}
