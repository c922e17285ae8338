/* What a recording of a lamp, or taps, show, and what that means on a device.
 * Reading them is left to lamp, the timeline to timeline.c. */
#include "view/parts.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"
#include "view/timeline.h"
#include "view/watch_known.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { STRETCHES_MOST = 4000 /* of a lamp, in the document */ };

/* From here on what a pattern means is said without an "if"; as the pad of
 * web/static/tap.js has it. */
#define SURE 0.9

struct watch {
	struct view view;
	const struct lw_device *device; /* or NULL */
	struct watch_known known;
	const struct lw_seen *seen;
	const double *seconds; /* of the levels or the taps */
	size_t count;
	bool taps;
};

/* --- values --------------------------------------------------------------- */

/* How sure, rounded down: "97 %"; nothing is certain. */
static void
put_confidence(struct view *view, json_t *object, double confidence)
{
	char percent[32];

	if (confidence > 0.99)
		snprintf(percent, sizeof percent, "over 99 %%");
	else if (confidence > 0 && confidence < 0.01)
		snprintf(percent, sizeof percent, "under 1 %%");
	else
		snprintf(percent, sizeof percent, "%d %%",
		    (int)(confidence * 100 + 1e-9));
	view_real(view, object, "confidence", num_round(confidence, 6));
	view_text(view, object, "percent", confidence > 0 ? percent : NULL);
}

static void
put_seconds(struct view *view, json_t *object, const char *key, double seconds)
{
	if (seconds > 0)
		view_real(view, object, key, num_round(seconds, 4));
	else
		view_null(view, object, key);
}

/* A time as people read it, with its unit. */
static void
add_time(struct view *view, json_t *list, const char *title, double seconds)
{
	char text[40];
	json_t *row;

	if (!(seconds > 0))
		return;
	row = view_add(view, list);
	view_words(view, row, "title", title);
	view_words(view, row, "text", timeline_seconds(text, seconds));
}

static void
add_rate(struct view *view, json_t *list, const struct lw_sight *sight)
{
	char number[32], text[80];
	json_t *row;

	if (!(sight->hertz > 0))
		return;
	num_format(number, sizeof number, num_round(sight->hertz, 3));
	snprintf(text, sizeof text, "%s a second", number);
	row = view_add(view, list);
	view_words(view, row, "title", "flashes");
	view_words(view, row, "text", text);
	if (!(sight->duty > 0))
		return;
	snprintf(text, sizeof text, "%d %%", (int)(sight->duty * 100 + 0.5));
	row = view_add(view, list);
	view_words(view, row, "title", "of that time lit");
	view_words(view, row, "text", text);
}

static void
put_timing(
    struct view *view, json_t *object, const struct lw_sight *sight, bool taps)
{
	bool two = sight->long_s > 0;
	json_t *timing = view_object(view, object, "timing"), *times;

	put_seconds(view, timing, "on_s", sight->on_s);
	put_seconds(view, timing, "long_s", sight->long_s);
	put_seconds(view, timing, "gap_s", sight->gap_s);
	put_seconds(view, timing, "group_gap_s", sight->group_gap_s);
	put_seconds(view, timing, "pause_s", sight->pause_s);
	put_seconds(view, object, "hertz", sight->hertz);
	put_seconds(view, object, "duty", sight->hertz > 0 ? sight->duty : 0);
	times = view_list(view, object, "times");
	add_time(view, times, two ? "short flash" : "flash", sight->on_s);
	add_time(view, times, "long flash", sight->long_s);
	add_time(view, times,
	    taps ? "from flash to flash" : "gap between flashes", sight->gap_s);
	add_time(view, times,
	    taps ? "from group to group" : "gap between groups",
	    sight->group_gap_s);
	add_time(view, times, "pause", sight->pause_s);
	add_rate(view, times, sight);
	view_bool(view, object, "has_times",
	    view->status == LW_OK && json_array_size(times) > 0);
}

static void
put_also(
    struct view *view, json_t *object, const struct lw_also *also, size_t count)
{
	json_t *list = view_list(view, object, "also"), *one;
	size_t i;

	for (i = 0; i < count; i++) {
		one = view_add(view, list);
		view_words(view, one, "pattern", also[i].text);
		put_confidence(view, one, also[i].confidence);
	}
}

static const char *
coding_title(enum lw_coding coding)
{
	static const char *const titles[] = {
	    [LW_CODING_UNKNOWN] = "",
	    [LW_CODING_COUNT] = "counted flashes",
	    [LW_CODING_DIGITS] = "digits",
	    [LW_CODING_LONG_SHORT] = "long and short flashes",
	    [LW_CODING_RATE] = "a rate",
	    [LW_CODING_STEADY] = "steady",
	    [LW_CODING_IN_TURN] = "codes in turn",
	    [LW_CODING_LAMPS] = "several lamps",
	};

	return titles[coding];
}

static void
put_coding(struct view *view, json_t *object, enum lw_coding coding)
{
	view_text(view, object, "coding", lw_coding_name(coding));
	view_text(view, object, "coding_title", coding_title(coding));
}

static void
put_cycles(struct view *view, json_t *object, size_t cycles)
{
	char text[60];

	snprintf(text, sizeof text, "%zu whole cycle%s", cycles,
	    cycles == 1 ? "" : "s");
	view_int(view, object, "cycles", (int64_t)cycles);
	view_text(view, object, "cycles_text", cycles > 0 ? text : NULL);
}

/* --- lamps ---------------------------------------------------------------- */

static void
put_stretches(struct view *view, json_t *object, const struct lw_sight *sight)
{
	static const char *const kinds[] = {
	    [LW_STRETCH_OTHER] = "other",
	    [LW_STRETCH_FLASH] = "flash",
	    [LW_STRETCH_LONG] = "long",
	    [LW_STRETCH_LIT] = "lit",
	    [LW_STRETCH_GAP] = "gap",
	    [LW_STRETCH_GROUP_GAP] = "group-gap",
	    [LW_STRETCH_PAUSE] = "pause",
	    [LW_STRETCH_DARK] = "dark",
	};
	json_t *list = view_list(view, object, "stretches"), *one;
	size_t i;

	for (i = 0; i < sight->stretch_count && i < STRETCHES_MOST; i++) {
		const struct lw_stretch *stretch = &sight->stretches[i];

		one = view_add(view, list);
		/* To a tenth of a millisecond. */
		view_real(
		    view, one, "from_s", round(stretch->from_s * 1e4) / 1e4);
		view_real(view, one, "to_s", round(stretch->to_s * 1e4) / 1e4);
		view_bool(view, one, "on", stretch->on);
		view_bool(view, one, "open", stretch->open);
		view_words(view, one, "kind", kinds[stretch->kind]);
		view_bool(view, one, "mended", stretch->mended);
	}
	view_int(view, object, "stretch_count", (int64_t)sight->stretch_count);
}

/* What a lamp is called beside others. */
static const char *
lamp_name(const struct watch *watch, size_t lamp)
{
	const struct watch_known *known = &watch->known;

	if (lamp < known->lamp_count && known->lamps[lamp] != NULL)
		return known->lamps[lamp]->id;
	return watch->seen->lamps[lamp].lamp;
}

static const char *
lamp_title(const struct watch *watch, size_t lamp)
{
	const struct watch_known *known = &watch->known;

	if (lamp < known->lamp_count && known->lamps[lamp] != NULL &&
	    known->lamps[lamp]->title != NULL)
		return known->lamps[lamp]->title;
	return lamp_name(watch, lamp);
}

static void
put_lamps(struct watch *watch)
{
	struct view *view = &watch->view;
	json_t *list = view_list(view, view->root, "lamps"), *one, *remarks;
	size_t i, k;

	for (i = 0; i < watch->seen->lamp_count; i++) {
		const struct lw_sight *sight = &watch->seen->lamps[i];

		one = view_add(view, list);
		view_text(view, one, "lamp", lamp_name(watch, i));
		view_text(view, one, "lamp_title", lamp_title(watch, i));
		view_text(view, one, "pattern", sight->text);
		put_confidence(view, one, sight->confidence);
		put_cycles(view, one, sight->cycles);
		put_coding(view, one, sight->coding);
		put_also(view, one, sight->also, sight->also_count);
		put_timing(view, one, sight, watch->taps);
		remarks = view_list(view, one, "remarks");
		for (k = 0; k < sight->remark_count; k++)
			view_add_text(view, remarks, sight->remarks[k]);
		put_stretches(view, one, sight);
	}
}

/* --- the whole ------------------------------------------------------------ */

/* The lamp that the summary's times are of: the first that flashes. */
static const struct lw_sight *
main_lamp(const struct lw_seen *seen)
{
	static const struct lw_sight none;
	size_t i;

	for (i = 0; i < seen->lamp_count; i++)
		if (seen->lamps[i].on_s > 0 || seen->lamps[i].hertz > 0)
			return &seen->lamps[i];
	return seen->lamp_count > 0 ? &seen->lamps[0] : &none;
}

static void
put_remarks(struct watch *watch, const struct lw_series *series)
{
	struct view *view = &watch->view;
	json_t *list = view_list(view, view->root, "remarks");
	const struct lw_seen *seen = watch->seen;
	const char *text;
	size_t i, k;

	for (i = 0; i < series->remark_count; i++)
		view_add_text(view, list, series->remarks[i]);
	if (watch->known.remark != NULL)
		view_add_text(view, list, watch->known.remark);
	for (i = 0; i < seen->lamp_count; i++) {
		for (k = 0; k < seen->lamps[i].remark_count; k++) {
			text = seen->lamps[i].remarks[k];
			if (seen->lamp_count > 1 && lamp_name(watch, i) != NULL)
				text = arena_printf(view->arena, "%s: %s",
				    lamp_name(watch, i), text);
			view_add_text(view, list, text);
		}
	}
}

static void
put_timeline(struct watch *watch)
{
	struct view *view = &watch->view;
	const struct lw_seen *seen = watch->seen;
	struct timeline_source from = {.lamp_count = seen->lamp_count,
	    .seconds = watch->seconds,
	    .count = watch->count};
	struct timeline_lamp *lamps;
	size_t i;

	lamps = arena_array(view->arena, seen->lamp_count + 1, sizeof *lamps);
	if (lamps == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
		return;
	}
	for (i = 0; i < seen->lamp_count; i++) {
		const struct lw_lamp *lamp =
		    i < watch->known.lamp_count ? watch->known.lamps[i] : NULL;

		lamps[i].sight = &seen->lamps[i];
		lamps[i].name =
		    seen->lamp_count > 1 ? lamp_name(watch, i) : NULL;
		lamps[i].colour =
		    lamp != NULL ? lamp->colour : seen->lamps[i].lamp;
		if (!watch->taps)
			lamps[i].levels = watch->known.series.levels +
					  i * watch->known.series.count;
	}
	from.lamps = lamps;
	view_timeline(view, view->root, &from);
}

/* The pattern to look up on the device, and of which lamp; "": none. Where
 * one column alone of several is a lamp of it, what that one shows. */
static const char *
on_device(const struct watch *watch, const char **lamp)
{
	const struct watch_known *known = &watch->known;
	size_t i, only = 0, count = 0;

	if (watch->device == NULL)
		return "";
	for (i = 0; i < known->lamp_count; i++) {
		if (known->lamps[i] == NULL)
			continue;
		only = i;
		count++;
	}
	if (known->lamp_count == 1 || count == known->lamp_count)
		return watch->seen->text;
	if (count != 1 || only >= watch->seen->lamp_count)
		return "";
	*lamp = known->lamps[only]->id;
	return watch->seen->lamps[only].text;
}

/* What the pattern means on the device, as `read` says it. */
static void
put_read(struct watch *watch, const char *lamp)
{
	struct view *view = &watch->view;
	struct lw_doc *read = NULL;
	const char *pattern = on_device(watch, &lamp);

	if (pattern[0] == '\0' || view->status != LW_OK) {
		view_null(view, view->root, "read");
		return;
	}
	view_got(view, lw_view_read(&read, view->book, pattern,
			   watch->device->id, lamp, &view->last));
	if (read != NULL)
		view_put_again(view, view->root, "read", read->root);
	else
		view_null(view, view->root, "read");
	lw_doc_free(read);
}

static enum lw_status
say_undecided(struct watch *watch)
{
	struct lw_err *err = &watch->view.err;
	const struct lw_seen *seen = watch->seen;
	char text[40];

	if (seen->watch_s > 0)
		return err_set(err, LW_UNDECIDED,
		    "that does not settle yet what the lamp shows; watch it "
		    "for %s more",
		    timeline_seconds(text, ceil(seen->watch_s)));
	return err_set(err, LW_UNDECIDED,
	    "that does not settle what the lamp shows; the remarks say why");
}

static void
put_seen(struct watch *watch, const struct lw_series *series)
{
	struct view *view = &watch->view;
	const struct lw_seen *seen = watch->seen;
	const struct lw_lamp *lamp =
	    watch->known.lamp_count == 1 ? watch->known.lamps[0] : NULL;
	char text[40];

	view_text(view, view->root, "pattern", seen->text);
	put_confidence(view, view->root, seen->confidence);
	view_bool(view, view->root, "is_sure", seen->confidence >= SURE);
	put_cycles(view, view->root, seen->cycles);
	put_coding(view, view->root, seen->coding);
	put_also(view, view->root, seen->also, seen->also_count);
	view_bool(view, view->root, "has_also", seen->also_count > 0);
	put_remarks(watch, series);
	put_timing(view, view->root, main_lamp(seen), watch->taps);
	view_real(view, view->root, "watch_s", num_round(seen->watch_s, 4));
	view_text(view, view->root, "watch",
	    seen->watch_s > 0 ? timeline_seconds(text, ceil(seen->watch_s))
			      : NULL);
	view_bool(view, view->root, "is_taps", watch->taps);
	view_text(view, view->root, "device",
	    watch->device != NULL ? watch->device->id : NULL);
	view_text(view, view->root, "device_title",
	    watch->device != NULL ? watch->device->title : NULL);
	view_text(view, view->root, "lamp", lamp != NULL ? lamp->id : NULL);
	view_text(
	    view, view->root, "lamp_title", lamp != NULL ? lamp->title : NULL);
	view_bool(view, view->root, "is_several", seen->lamp_count > 1);
	put_lamps(watch);
	put_timeline(watch);
	put_read(watch, lamp != NULL ? lamp->id : NULL);
}

/* Look up what is known; false after a failure. */
static bool
know(struct watch *watch, const struct lw_series *series, const char *device,
    const char *lamp)
{
	struct view *view = &watch->view;
	enum lw_status status = LW_OK;

	if (view->status == LW_OK && device != NULL && device[0] != '\0')
		status = lw_book_device(view->book, view->arena, device,
		    &watch->device, &view->last);
	if (view->status == LW_OK && status == LW_OK)
		status = watch_know(&watch->known, view->arena, series,
		    watch->device,
		    lamp != NULL && lamp[0] != '\0' ? lamp : NULL, &view->last);
	if (status != LW_OK)
		view_fail(view, status);
	return view->status == LW_OK;
}

static enum lw_status
see(struct lw_doc **doc, struct lw_book *book, const struct lw_series *series,
    double until_s, const char *device, const char *lamp, struct lw_err *err)
{
	struct watch watch = {.taps = series->lamp_count == 0,
	    .seconds = series->seconds,
	    .count = series->count};
	struct view *view = &watch.view;
	enum lw_status status = LW_OK;

	view_begin(view, book);
	if (!know(&watch, series, device, lamp))
		return view_end(view, doc, LW_OK, err);
	if (watch.taps)
		status = lw_taps_read(&watch.seen, view->arena, series->seconds,
		    series->count, until_s, watch.known.known, &view->last);
	else
		status = lw_light_read(&watch.seen, view->arena,
		    &watch.known.series, watch.known.known, &view->last);
	if (status != LW_OK && status != LW_UNDECIDED) {
		view_fail(view, status);
		return view_end(view, doc, LW_OK, err);
	}
	put_seen(&watch, series);
	if (status == LW_UNDECIDED)
		say_undecided(&watch);
	return view_end(view, doc, status, err);
}

enum lw_status
lw_view_watch(struct lw_doc **doc, struct lw_book *book,
    const struct lw_series *series, const char *device, const char *lamp,
    struct lw_err *err)
{
	double until_s = 0;

	/* Taps of a file do not say until when none came. */
	if (series->count > 0)
		until_s = series->seconds[0] - 1;
	return see(doc, book, series, until_s, device, lamp, err);
}

enum lw_status
lw_view_taps(struct lw_doc **doc, struct lw_book *book, const double *seconds,
    size_t count, double until_s, const char *device, const char *lamp,
    struct lw_err *err)
{
	struct lw_series series = {.count = count, .seconds = seconds};

	return see(doc, book, &series, until_s, device, lamp, err);
}
