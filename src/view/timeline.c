/* A timeline in a document: the picture with its rows, axis and key, and what
 * it shows in words. One lamp in one row is left to timeline_draw.c, what is
 * shown to timeline_pick.c. */
#include "view/timeline_draw.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"
#include "view/plot.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { LABEL_MOST = 16 * 1024, TICKS_MOST = 6, SAMPLE = 26 };

static void
no_memory(struct view *view)
{
	err_no_memory(&view->last);
	view_fail(view, LW_NO_MEMORY);
}

/* --- preparation ---------------------------------------------------------- */

/* What a lamp's level is drawn between, over all rows; a glare of some moment
 * does not make all else flat. */
static void
find_scale(struct draw *draw, size_t lamp)
{
	const struct timeline *timeline = draw->timeline;
	const struct timeline_lamp *of = &timeline->from->lamps[lamp];
	double swing = of->sight->bright - of->sight->dim, low, high;
	struct draw_scale *scale = &draw->scales[lamp];
	size_t i;

	scale->low = INFINITY;
	scale->high = -INFINITY;
	for (i = 0; of->levels != NULL && i < timeline->row_count; i++) {
		if (!timeline_range(&low, &high, timeline->from->seconds,
			of->levels, timeline->from->count,
			timeline->rows[i].start_s, timeline->rows[i].end_s))
			continue;
		scale->low = fmin(scale->low, low);
		scale->high = fmax(scale->high, high);
	}
	/* What never changes is nearly level. */
	if (of->sight->stretch_count == 1) {
		swing = 2 * (scale->high - scale->low);
		scale->low -= swing;
		scale->high += swing;
	} else if (swing > 0) {
		scale->low = fmax(scale->low, of->sight->dim - 2 * swing);
		scale->high = fmin(scale->high, of->sight->bright + 2 * swing);
	}
}

static bool
prepare(struct draw *draw)
{
	const struct timeline *timeline = draw->timeline;
	size_t i, k, lamps = timeline->from->lamp_count;

	draw->scales =
	    arena_array(draw->view->arena, lamps, sizeof *draw->scales);
	if (draw->scales == NULL) {
		no_memory(draw->view);
		return false;
	}
	draw->px_per_s = (DRAW_RIGHT - DRAW_LEFT) / timeline->span_s;
	for (k = 0; k < lamps; k++)
		find_scale(draw, k);
	for (i = 0; i < timeline->row_count; i++) {
		for (k = 0; k < lamps; k++) {
			const struct timeline_lane *lane =
			    &timeline->rows[i].lanes[k];

			if (lane->group_count > 0)
				draw->has_numbers = draw->has_groups = true;
		}
	}
	if (timeline->by_cycle)
		draw->has_groups = true;
	return true;
}

/* --- rows ----------------------------------------------------------------- */

/* A name, cut off where it has more letters than there is room for. */
static const char *
cut(struct draw *draw, const char *name, size_t most)
{
	size_t length = strlen(name), at = 0, letters;

	if (utf8_count(name, length) <= most)
		return name;
	for (letters = 0; letters + 1 < most && at < length; letters++) {
		size_t n = utf8_decode(name + at, length - at, NULL);

		at += n > 0 ? n : 1;
	}
	return arena_printf(draw->view->arena, "%.*s\u2026", (int)at, name);
}

/* When the row begins, and the lamp's name where there are several: as much
 * of it as there is room for beside the remark. */
static void
put_head(struct draw *draw, json_t *object, const struct timeline_row *row,
    size_t lamp)
{
	const char *name = draw->timeline->from->lamps[lamp].name;
	const char *remark = draw_remark(row, &row->lanes[lamp]), *head;
	char from[40], when[60] = "";
	double room;

	timeline_seconds(from, row->start_s - draw->timeline->first_s);
	if (lamp == 0)
		snprintf(when, sizeof when, "at %s%s", from,
		    name != NULL ? ": " : "");
	room = (DRAW_RIGHT - DRAW_LEFT - 8) / DRAW_LETTER -
	       (double)(strlen(remark) + strlen(when));
	head = cut(draw, name == NULL ? "" : name, (size_t)fmax(room, 1));
	if (head != NULL)
		head = arena_printf(draw->view->arena, "%s%s", when, head);
	if (head == NULL)
		no_memory(draw->view);
	view_words(draw->view, object, "head", head);
}

static double
put_rows(struct draw *draw, json_t *object)
{
	const struct timeline *timeline = draw->timeline;
	json_t *rows = view_list(draw->view, object, "rows"), *row, *lane;
	json_t *lanes;
	double top = 2, high = DRAW_HEAD + DRAW_BOX;
	size_t i, k;

	high += draw->has_numbers ? DRAW_NUMBERS : 0;
	high += draw->has_groups ? DRAW_GROUPS : 6;
	for (i = 0; i < timeline->row_count; i++) {
		row = view_add(draw->view, rows);
		view_int(draw->view, row, "row", (int64_t)i + 1);
		lanes = view_list(draw->view, row, "lanes");
		for (k = 0; k < timeline->from->lamp_count; k++) {
			const char *colour = timeline->from->lamps[k].colour;

			lane = view_add(draw->view, lanes);
			view_words(
			    draw->view, lane, "colour", draw_colour(colour));
			view_words(draw->view, lane, "fill", draw_fill(colour));
			put_head(draw, lane, &timeline->rows[i], k);
			draw_lane(draw, lane, &timeline->rows[i], k, top);
			top += high;
		}
		top += DRAW_BETWEEN;
	}
	return top;
}

/* --- the axis ------------------------------------------------------------- */

static void
put_axis(struct draw *draw, json_t *object, double y)
{
	json_t *list = view_list(draw->view, object, "ticks"), *tick;
	double span = draw->timeline->span_s, x, wide, next = 0;
	struct plot_axis axis;
	char text[32];
	size_t i;

	draw_pixels(draw->view, object, "axis_y", y);
	draw_pixels(draw->view, object, "tick_y", y + 5);
	draw_pixels(draw->view, object, "tick_base", y + 18);
	draw_pixels(draw->view, object, "axis_base", y + 36);
	view_words(draw->view, object, "axis_text",
	    draw->timeline->row_count > 1
		? "seconds from the beginning of a row"
		: "seconds");
	if (!plot_axis_fit(&axis, 0, span, TICKS_MOST, false))
		return;
	for (i = 0; i < axis.count; i++) {
		x = DRAW_LEFT + plot_axis_tick(text, &axis, i) * draw->px_per_s;
		wide = DRAW_SMALL * (double)strlen(text);
		tick = view_add(draw->view, list);
		draw_pixels(draw->view, tick, "x", x);
		/* None over another, none outside. */
		if (x - wide / 2 < next || x - wide / 2 < 1 ||
		    x + wide / 2 > DRAW_WIDTH - 1) {
			view_null(draw->view, tick, "text");
			continue;
		}
		next = x + wide / 2 + 6;
		view_words(draw->view, tick, "text", text);
	}
}

/* --- the key -------------------------------------------------------------- */

/* What each kind of drawing means, of those that were drawn. */
static double
put_key(struct draw *draw, json_t *object, double top)
{
	const struct {
		const char *kind;
		bool used;
		const char *text;
	} items[] = {
	    {"is_lit", draw->has_lit, "lit"},
	    {"is_level", draw->has_level, "level, as recorded"},
	    {"is_tap", draw->has_tap, "a tap"},
	    {"is_group", draw->has_numbers, "one group"},
	    {"is_mended", draw->has_mended, "mended: missed or seen twice"},
	    {"is_open", draw->has_open, "not seen whole"},
	};
	json_t *list = view_list(draw->view, object, "key"), *item;
	double x = DRAW_LEFT, wide;
	size_t i, k;

	for (i = 0; i < sizeof items / sizeof items[0]; i++) {
		if (!items[i].used)
			continue;
		wide = SAMPLE + 8 +
		       DRAW_LETTER * (double)strlen(items[i].text) + 14;
		if (x > DRAW_LEFT && x + wide > DRAW_RIGHT + 14) {
			x = DRAW_LEFT;
			top += DRAW_LINE;
		}
		item = view_add(draw->view, list);
		for (k = 0; k < sizeof items / sizeof items[0]; k++)
			view_bool(draw->view, item, items[k].kind, k == i);
		draw_pixels(draw->view, item, "x", x);
		draw_pixels(draw->view, item, "x_end", x + SAMPLE);
		draw_pixels(draw->view, item, "x_middle", x + SAMPLE / 2.0);
		draw_pixels(draw->view, item, "y", top + 2);
		draw_pixels(draw->view, item, "y_middle", top + 8);
		draw_pixels(draw->view, item, "y_end", top + 14);
		draw_pixels(draw->view, item, "text_x", x + SAMPLE + 8);
		draw_pixels(draw->view, item, "base", top + 13);
		view_words(draw->view, item, "text", items[i].text);
		x += wide;
	}
	return top + DRAW_LINE;
}

/* --- words ---------------------------------------------------------------- */

static void
add_lane_words(struct buf *buf, const struct timeline_row *row,
    const struct timeline_lane *lane)
{
	char text[40];
	size_t i, pause;

	if (lane->crowded)
		buf_add(buf, " too quick to draw");
	for (i = 0; i < lane->group_count && i < 24; i++)
		buf_printf(buf, "%s%s", i == 0 ? " " : ", ",
		    timeline_count(text, &lane->groups[i]));
	if (lane->group_count == 1)
		buf_printf(
		    buf, " flash%s", lane->groups[0].count == 1 ? "" : "es");
	for (pause = 0; pause < lane->mark_count; pause++)
		if (lane->marks[pause].kind == LW_STRETCH_PAUSE &&
		    !lane->marks[pause].open_end &&
		    !lane->marks[pause].open_start)
			break;
	if (pause < lane->mark_count)
		buf_printf(buf, ", pause of %s",
		    timeline_seconds(text,
			lane->marks[pause].to_s - lane->marks[pause].from_s));
	if (lane->steady)
		buf_add(buf, " never changes");
	else if (lane->group_count == 0 && lane->mark_count == 1)
		buf_add(buf, lane->marks[0].on ? " lit" : " dark");
	else if (lane->group_count == 0 && !lane->crowded)
		buf_printf(buf, " %zu changes",
		    lane->mark_count > 0 ? lane->mark_count - 1 : 0);
	if (lane->mended)
		buf_add(buf, ", mended");
	if (row->cut_start)
		buf_add(buf, ", its start not seen");
	if (row->cut_end)
		buf_add(buf, ", its end not seen");
}

/* What the drawing shows, for who does not see it. */
static void
put_label(struct draw *draw, json_t *object, const char *shown)
{
	const struct timeline *timeline = draw->timeline;
	struct buf buf;
	char text[40];
	size_t i, k;

	buf_init(&buf, LABEL_MOST);
	buf_add(&buf, shown);
	for (i = 0; i < timeline->row_count; i++) {
		const struct timeline_row *row = &timeline->rows[i];

		buf_printf(&buf, " At %s:",
		    timeline_seconds(text, row->start_s - timeline->first_s));
		for (k = 0; k < timeline->from->lamp_count; k++) {
			const char *name = timeline->from->lamps[k].name;

			if (name != NULL)
				buf_printf(
				    &buf, "%s %.60s:", k > 0 ? ";" : "", name);
			add_lane_words(&buf, row, &row->lanes[k]);
		}
		buf_add(&buf, ".");
	}
	view_words(draw->view, object, "label", buf_text(&buf));
	if (buf_check(&buf, &draw->view->last) != LW_OK)
		view_fail(draw->view, buf.status);
	buf_clear(&buf);
}

/* --- all of it ------------------------------------------------------------ */

static void
put_drawing(struct view *view, json_t *object, const struct timeline *timeline)
{
	struct draw draw = {.view = view, .timeline = timeline};
	const char *shown = timeline_shown(timeline, view->arena);
	double y;

	if (shown == NULL) {
		no_memory(view);
		return;
	}
	if (!prepare(&draw))
		return;
	view_words(view, object, "title",
	    timeline->taps ? "Timeline of the taps" : "Timeline of the light");
	view_words(view, object, "shown", shown);
	put_label(&draw, object, shown);
	view_words(view, object, "key_fill",
	    draw_fill(timeline->from->lamps[0].colour));
	view_words(view, object, "key_colour",
	    draw_colour(timeline->from->lamps[0].colour));
	view_int(view, object, "width", DRAW_WIDTH);
	draw_pixels(view, object, "left", DRAW_LEFT);
	draw_pixels(view, object, "right", DRAW_RIGHT);
	view_int(view, object, "cycles", (int64_t)timeline->cycles);
	view_int(view, object, "shown_cycles", (int64_t)timeline->shown_cycles);
	y = put_rows(&draw, object);
	put_axis(&draw, object, y);
	y = put_key(&draw, object, y + 46);
	draw_pixels(view, object, "height", y + 4);
}

void
view_timeline(
    struct view *view, json_t *object, const struct timeline_source *from)
{
	struct timeline timeline;
	bool drawn;

	if (view->status != LW_OK)
		return;
	drawn = view_got(
	    view, timeline_pick(&timeline, view->arena, from, &view->last));
	if (drawn)
		put_drawing(
		    view, view_object(view, object, "timeline"), &timeline);
	else
		view_null(view, object, "timeline");
	object = view_list(view, object, "text_timeline");
	if (drawn)
		view_timeline_text(view, object, &timeline);
}
