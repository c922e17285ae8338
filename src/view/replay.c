/* A pattern played on a page, for comparing by eye, with a still picture beside
 * it. When what is lit is left to replay_time.c, the words to replay_words.c,
 * the drawings to replay_draw.c. */
#include "view/replay.h"

#include "base/err.h"
#include "view/hint.h"

#include <math.h>
#include <string.h>

/* --- the pattern ---------------------------------------------------------- */

static bool
is_name_of(const struct lw_lamp *lamp, const char *name)
{
	return strcmp(lamp->id, name) == 0 ||
	       (lamp->title != NULL && strcmp(lamp->title, name) == 0) ||
	       (lamp->colour != NULL && strcmp(lamp->colour, name) == 0);
}

/* The device's lamp of that name; an id before a colour. */
static const struct lw_lamp *
lamp_named(const struct lw_device *device, const char *name)
{
	const struct lw_lamp *lamp;
	size_t i;

	if (device == NULL)
		return NULL;
	if (view_lamp(&lamp, device, name, NULL) == LW_OK)
		return lamp;
	for (i = 0; i < device->lamp_count; i++)
		if (is_name_of(&device->lamps[i], name))
			return &device->lamps[i];
	return NULL;
}

/* Of several lamps the one whose code it is. */
static const struct lw_lamp *
lamp_with_code(const struct lw_device *device, const char *pattern)
{
	size_t i;

	for (i = 0; i < device->code_count; i++)
		if (lw_pattern_same(pattern, device->codes[i].pattern))
			return lamp_named(device, device->codes[i].lamp);
	return NULL;
}

/* Canonical text as it is, whatever a coding would make of it; else as people
 * type it. */
static enum lw_status
read_pattern(struct lw_pattern *pattern, struct view *view, const char *text,
    const struct lw_device *device, const struct lw_lamp *lamp)
{
	struct lw_pattern_readings readings;
	struct lw_lamp_hint hint;
	enum lw_status status;

	if (lw_pattern_parse(pattern, text, NULL) == LW_OK)
		return LW_OK;
	if (lamp == NULL && device != NULL && device->lamp_count > 0)
		lamp = &device->lamps[0];
	if (lamp != NULL &&
	    view_hint(&hint, view->arena, device, lamp, &view->last) != LW_OK)
		return view->last.code;
	status = lw_pattern_read(
	    &readings, text, lamp != NULL ? &hint : NULL, &view->last);
	if (status != LW_OK)
		return status;
	if (readings.count == 0)
		return err_set(&view->last, LW_BAD_INPUT,
		    "how fast \"%s\" is, is not known here; say a rate such as "
		    "2Hz",
		    readings.word);
	if (readings.count > 1)
		return err_set(&view->last, LW_BAD_INPUT,
		    "that can be read as %s or as %s; say which",
		    readings.items[0].text, readings.items[1].text);
	*pattern = readings.items[0];
	return LW_OK;
}

/* --- the lamps ------------------------------------------------------------ */

/* A colour that can be seen on a dark housing, and is no saturated red (WCAG
 * 2.2, 2.3.1: red at four fifths or more of all). */
static const char *
fill_of(const char *colour)
{
	static const struct {
		const char *word;
		const char *fill;
	} fills[] = {
	    {"red", "#ff7a66"},
	    {"orange", "#ff9a3d"},
	    {"amber", "#ffb52e"},
	    {"yellow", "#ffe14d"},
	    {"green", "#5be07a"},
	    {"blue", "#6fb1ff"},
	    {"white", "#f6f6f0"},
	};
	size_t i;

	for (i = 0; colour != NULL && i < sizeof fills / sizeof fills[0]; i++)
		if (strcmp(colour, fills[i].word) == 0)
			return fills[i].fill;
	return "#ffb52e";
}

static void
lay_lamp(struct view *view, struct replay *replay, const struct shown *shown,
    const struct lw_lamp *lamp)
{
	struct replay_lamp *at = &replay->lamps[replay->count];
	double slower;

	at->shown = shown;
	at->lamp = lamp;
	at->timing = replay_timing_of(lamp);
	at->fill = fill_of(lamp != NULL ? lamp->colour : shown->lamp);
	if (shown->lamp[0] != '\0')
		at->title = lamp != NULL && lamp->title != NULL ? lamp->title
								: shown->lamp;
	if (!view_got(view, replay_lay(&at->track, view->arena, shown,
				&at->timing, &view->last)))
		return;
	replay->count++;
	replay->plays |= !at->track.steady;
	slower = replay_slower(&at->track);
	if (slower > replay->slower)
		replay->slower = slower;
}

/* --- the document --------------------------------------------------------- */

/* Rounded up, so that what is said is no faster than what is shown. */
static void
put_slowed(struct view *view, const struct replay *replay,
    const struct canonical *canonical)
{
	const struct code *code = &canonical->lamps[0].codes[0];
	struct buf words;

	if (!replay->plays || replay->slower <= 1) {
		view_null(view, view->root, "slowed");
		return;
	}
	buf_init(&words, 400);
	buf_add(&words, "Shown slower than it is: ");
	if (canonical->count == 1 && canonical->lamps[0].count == 1 &&
	    code->coding == LW_CODING_RATE) {
		replay_add_number(&words, code->millihertz / 1000.0);
		buf_add(&words, " Hz as 2.5 Hz");
	} else {
		replay_add_number(&words, ceil(replay->slower * 10) / 10);
		buf_add(&words,
		    " times as long, so that there are 2.5 flashes a second "
		    "at most");
	}
	view_words(view, view->root, "slowed", buf_text(&words));
	buf_clear(&words);
}

static void
put_lamps(struct view *view, const struct replay *replay)
{
	json_t *list = view_list(view, view->root, "lamps"), *object;
	struct buf words;
	size_t i;

	for (i = 0; i < replay->count; i++) {
		const struct replay_lamp *lamp = &replay->lamps[i];

		object = view_add(view, list);
		view_text(view, object, "lamp",
		    lamp->lamp != NULL ? lamp->lamp->id : lamp->shown->lamp);
		view_text(view, object, "title", lamp->title);
		buf_init(&words, 16 * 1024);
		replay_add_words(&words, lamp->shown);
		view_words(view, object, "words", buf_text(&words));
		buf_clear(&words);
		replay_add_times(&words, lamp);
		view_text(view, object, "times", buf_text(&words));
		buf_clear(&words);
		view_bool(view, object, "times_known", lamp->timing.known);
		view_bool(view, object, "steady", lamp->track.steady);
		view_real(view, object, "cycle_s",
		    lamp->track.steady ? NAN : lamp->track.seconds);
	}
}

static void
put_replay(struct view *view, const struct replay *replay,
    const struct lw_pattern *pattern, const struct canonical *canonical)
{
	size_t i;
	bool known = true;

	view_words(view, view->root, "pattern", pattern->text);
	view_words(view, view->root, "coding", lw_coding_name(pattern->coding));
	view_bool(view, view->root, "several", replay->count > 1);
	view_bool(view, view->root, "plays", replay->plays);
	view_bool(view, view->root, "playing", replay->playing);
	put_slowed(view, replay, canonical);
	for (i = 0; i < replay->count; i++)
		known &=
		    replay->lamps[i].timing.known ||
		    replay->lamps[i].track.steady ||
		    replay->lamps[i].shown->codes[0].coding == LW_CODING_RATE;
	view_bool(view, view->root, "times_known", known);
	put_lamps(view, replay);
	replay_put_stage(view, view->root, replay);
	replay_put_still(view, view->root, replay);
}

static enum lw_status
read_and_put(struct view *view, const char *text,
    const struct lw_device *device, const struct lw_lamp *lamp, bool playing)
{
	struct replay replay = {.slower = 1};
	struct lw_pattern pattern;
	struct canonical canonical;
	enum lw_status status;
	size_t i;

	status = read_pattern(&pattern, view, text, device, lamp);
	if (status != LW_OK)
		return view_fail(view, status);
	/* What was written a moment ago can be read. */
	if (!canonical_parse(&canonical, pattern.text))
		return view_fail(
		    view, err_set(&view->last, LW_BAD_INPUT,
			      "%s cannot be played", pattern.text));
	for (i = 0; i < canonical.count; i++) {
		const struct shown *shown = &canonical.lamps[i];
		const struct lw_lamp *its = lamp;

		if (shown->lamp[0] != '\0')
			its = lamp_named(device, shown->lamp);
		else if (its == NULL && device != NULL)
			its = lamp_with_code(device, pattern.text);
		lay_lamp(view, &replay, shown, its);
	}
	if (view->status != LW_OK)
		return view->status;
	replay.playing = playing && replay.plays;
	put_replay(view, &replay, &pattern, &canonical);
	return view->status;
}

enum lw_status
lw_view_replay(struct lw_doc **doc, struct lw_book *book, const char *pattern,
    const char *device_id, const char *lamp_id, bool playing,
    struct lw_err *err)
{
	const struct lw_device *device = NULL;
	const struct lw_lamp *lamp = NULL;
	struct view view;

	view_begin(&view, book);
	if (view.status == LW_OK && device_id != NULL &&
	    !view_got(&view, lw_book_device(book, view.arena, device_id,
				 &device, &view.last)))
		view_fail(&view, LW_NOT_FOUND);
	if (view.status == LW_OK && device != NULL &&
	    view_lamp(&lamp, device, lamp_id, &view.last) == LW_NOT_FOUND)
		view_fail(&view, LW_NOT_FOUND);
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	view_words(&view, view.root, "query", pattern);
	view_text(&view, view.root, "device", device_id);
	view_text(&view, view.root, "device_title",
	    device != NULL ? device->title : NULL);
	view_text(&view, view.root, "lamp", lamp != NULL ? lamp->id : NULL);
	view_text(
	    &view, view.root, "lamp_title", lamp != NULL ? lamp->title : NULL);
	read_and_put(&view, pattern, device, lamp, playing);
	return view_end(&view, doc, LW_OK, err);
}
