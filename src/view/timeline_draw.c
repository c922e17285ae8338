/* One lamp in one row of a drawn timeline: bars, level, numbers, groups. The
 * picture around it is left to timeline.c. */
#include "view/timeline_draw.h"

#include "base/num.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { TRACE_MOST = 64 * 1024, POINT = 5 /* of an open bar */ };

double
draw_x(const struct draw *draw, const struct timeline_row *row, double at_s)
{
	double x = DRAW_LEFT + (at_s - row->from_s) * draw->px_per_s;

	return fmin(fmax(x, DRAW_LEFT), DRAW_RIGHT);
}

void
draw_pixels(struct view *view, json_t *object, const char *key, double at)
{
	double rounded = round(at * 10) / 10;

	view_real(view, object, key, rounded == 0 ? 0 : rounded);
}

static const struct {
	const char *colour;
	const char *fill;
} colours[] = {
    {"amber", "#f5a623"},
    {"red", "#ef6a5a"},
    {"green", "#58b368"},
    {"blue", "#6aa5ee"},
    {"white", "#dcd6c6"},
    {"yellow", "#f2cf1d"},
    {"orange", "#f08a24"},
};

static size_t
colour_of(const char *colour)
{
	size_t i;

	for (i = 0; colour != NULL && i < sizeof colours / sizeof colours[0];
	     i++)
		if (strcmp(colour, colours[i].colour) == 0)
			return i;
	return 0;
}

const char *
draw_colour(const char *colour)
{
	return colours[colour_of(colour)].colour;
}

const char *
draw_fill(const char *colour)
{
	return colours[colour_of(colour)].fill;
}

/* --- paths ---------------------------------------------------------------- */

static void
put_path(struct draw *draw, json_t *object, struct buf *path)
{
	view_words(draw->view, object, "d", buf_text(path));
	if (buf_check(path, &draw->view->last) != LW_OK)
		view_fail(draw->view, path->status);
	buf_clear(path);
}

static void
add_step(struct buf *path, const char *letter, double x, double y)
{
	char text[32];

	buf_add(path, letter);
	num_format(text, sizeof text, round(x * 10) / 10);
	buf_add(path, text);
	buf_add_char(path, ' ');
	num_format(text, sizeof text, round(y * 10) / 10);
	buf_add(path, text);
}

/* A bar; an end that was not seen is a point. */
static void
put_bar(struct draw *draw, json_t *object, const struct timeline_mark *mark,
    double x0, double x1, double top)
{
	double bottom = top + DRAW_BOX, middle = top + DRAW_BOX / 2.0;
	double point = fmin(POINT, (x1 - x0) / 2);
	struct buf path;

	buf_init(&path, 400);
	if (mark->open_start) {
		add_step(&path, "M", x0 + point, bottom);
		add_step(&path, "L", x0, middle);
		add_step(&path, "L", x0 + point, top);
	} else {
		add_step(&path, "M", x0, bottom);
		add_step(&path, "L", x0, top);
	}
	if (mark->open_end) {
		add_step(&path, "L", x1 - point, top);
		add_step(&path, "L", x1, middle);
		add_step(&path, "L", x1 - point, bottom);
	} else {
		add_step(&path, "L", x1, top);
		add_step(&path, "L", x1, bottom);
	}
	buf_add(&path, "Z");
	put_path(draw, object, &path);
}

/* --- bars, dark stretches, taps ------------------------------------------- */

static void
put_lit(struct draw *draw, json_t *list, const struct timeline_row *row,
    const struct timeline_mark *mark, double top)
{
	double x0 = draw_x(draw, row, mark->from_s);
	double x1 = draw_x(draw, row, mark->to_s);
	json_t *bar = view_add(draw->view, list);
	bool open = mark->open_start || mark->open_end;

	/* However short, it is seen. */
	if (x1 - x0 < 1.5) {
		x1 = fmin(x0 + 1.5, DRAW_RIGHT);
		x0 = x1 - 1.5;
	}
	view_bool(draw->view, bar, "mended", mark->mended);
	view_bool(draw->view, bar, "open", open);
	view_words(draw->view, bar, "dashes", mark->mended ? "3 2" : "none");
	view_words(draw->view, bar, "opacity", mark->mended ? "0.35" : "0.75");
	put_bar(draw, bar, mark, x0, x1, top);
	draw->has_lit = true;
	draw->has_mended = draw->has_mended || mark->mended;
	draw->has_open = draw->has_open || open;
}

/* The base line, where it says something of its own. */
static void
put_dark(struct draw *draw, json_t *list, const struct timeline_row *row,
    const struct timeline_mark *mark)
{
	bool open = mark->open_start || mark->open_end;
	json_t *line;

	if (!mark->mended && !open)
		return;
	line = view_add(draw->view, list);
	draw_pixels(
	    draw->view, line, "from_x", draw_x(draw, row, mark->from_s));
	draw_pixels(draw->view, line, "to_x", draw_x(draw, row, mark->to_s));
	view_words(draw->view, line, "dashes", mark->mended ? "3 2" : "2 4");
	draw->has_mended = draw->has_mended || mark->mended;
	draw->has_open = draw->has_open || open;
}

static void
put_marks(struct draw *draw, json_t *object, const struct timeline_row *row,
    const struct timeline_lane *lane, double top)
{
	json_t *lit = view_list(draw->view, object, "lit");
	json_t *dark = view_list(draw->view, object, "dark");
	json_t *taps = view_list(draw->view, object, "taps"), *tap;
	size_t i;

	for (i = 0; i < lane->mark_count; i++) {
		const struct timeline_mark *mark = &lane->marks[i];

		if (lane->steady)
			continue;
		if (!mark->on) {
			put_dark(draw, dark, row, mark);
		} else if (!draw->timeline->taps) {
			put_lit(draw, lit, row, mark, top);
		} else {
			tap = view_add(draw->view, taps);
			draw_pixels(draw->view, tap, "x",
			    draw_x(draw, row, mark->from_s));
			view_bool(draw->view, tap, "mended", mark->mended);
			draw->has_tap = true;
			draw->has_mended = draw->has_mended || mark->mended;
		}
	}
}

static void
put_trace(struct draw *draw, json_t *object, const struct timeline_row *row,
    size_t lamp, double top)
{
	const struct timeline_source *from = draw->timeline->from;
	struct timeline_trace trace = {
	    .seconds = from->seconds,
	    .levels = from->lamps[lamp].levels,
	    .count = from->count,
	    .from_s = row->start_s,
	    .to_s = row->end_s,
	    .x = draw_x(draw, row, row->start_s),
	    .px_per_s = draw->px_per_s,
	    .low = draw->scales[lamp].low,
	    .high = draw->scales[lamp].high,
	    .top = top + 2,
	    .bottom = top + DRAW_BOX - 2,
	};
	struct buf path;

	if (trace.levels == NULL) {
		view_null(draw->view, object, "level");
		return;
	}
	buf_init(&path, TRACE_MOST);
	timeline_trace(&path, &trace);
	view_text(draw->view, object, "level", buf_text(&path));
	draw->has_level = draw->has_level || path.length > 0;
	if (buf_check(&path, &draw->view->last) != LW_OK)
		view_fail(draw->view, path.status);
	buf_clear(&path);
}

/* --- labels --------------------------------------------------------------- */

/* Labels of one line, none over another: those that were placed. */
struct placed {
	double left[TIMELINE_MARKS_MOST];
	double right[TIMELINE_MARKS_MOST];
	size_t count;
};

static bool
place(struct placed *placed, double middle, double width)
{
	double left = middle - width / 2, right = middle + width / 2;
	size_t i;

	if (left < 1 || right > DRAW_WIDTH - 1 ||
	    placed->count == TIMELINE_MARKS_MOST)
		return false;
	for (i = 0; i < placed->count; i++)
		if (left < placed->right[i] + 2 && placed->left[i] < right + 2)
			return false;
	placed->left[placed->count] = left;
	placed->right[placed->count++] = right;
	return true;
}

static void
put_label(
    struct draw *draw, json_t *list, double x, double base, const char *text)
{
	json_t *label = view_add(draw->view, list);

	draw_pixels(draw->view, label, "x", x);
	draw_pixels(draw->view, label, "base", base);
	view_words(draw->view, label, "text", text);
}

static double
middle_of(const struct draw *draw, const struct timeline_row *row,
    double from_s, double to_s)
{
	return (draw_x(draw, row, from_s) + draw_x(draw, row, to_s)) / 2;
}

/* Which numbers are worth most: a group's last, its first, every fifth. */
static int
rank_of(const struct timeline_lane *lane, size_t at)
{
	size_t number = lane->marks[at].number, i;

	for (i = at + 1; i < lane->mark_count; i++)
		if (lane->marks[i].number > 0)
			break;
	if (i == lane->mark_count || lane->marks[i].number <= number)
		return 0;
	if (number == 1)
		return 1;
	return number % 5 == 0 ? 2 : 3;
}

static void
put_numbers(struct draw *draw, json_t *object, const struct timeline_row *row,
    const struct timeline_lane *lane, double base)
{
	json_t *list = view_list(draw->view, object, "numbers");
	struct placed placed = {.count = 0};
	size_t i, left_out = 0;
	char text[40];
	int rank;

	for (rank = 0; rank < 4; rank++) {
		for (i = 0; i < lane->mark_count; i++) {
			const struct timeline_mark *mark = &lane->marks[i];
			double x =
			    middle_of(draw, row, mark->from_s, mark->to_s);

			/* All of a kind, or none: gaps in a row of numbers
			 * look like flashes that are missing. */
			if (mark->number == 0 || rank_of(lane, i) != rank ||
			    (rank == 3 && left_out > 0))
				continue;
			snprintf(text, sizeof text, "%zu", mark->number);
			if (place(
				&placed, x, DRAW_SMALL * (double)strlen(text)))
				put_label(draw, list, x, base, text);
			else
				left_out++;
		}
	}
}

/* A line below each group, its count below that, and pauses named. */
static void
put_groups(struct draw *draw, json_t *object, const struct timeline_row *row,
    const struct timeline_lane *lane, double top)
{
	json_t *list = view_list(draw->view, object, "groups"), *line;
	json_t *counts = view_list(draw->view, object, "counts");
	json_t *pauses = view_list(draw->view, object, "pauses");
	struct placed placed = {.count = 0};
	double base = top + 19, x, room;
	char text[80], seconds[40];
	size_t i;

	for (i = 0; i < lane->group_count; i++) {
		const struct timeline_group *group = &lane->groups[i];

		line = view_add(draw->view, list);
		draw_pixels(draw->view, line, "from_x",
		    draw_x(draw, row, group->from_s));
		draw_pixels(
		    draw->view, line, "to_x", draw_x(draw, row, group->to_s));
		draw_pixels(draw->view, line, "y", top + 5);
		x = middle_of(draw, row, group->from_s, group->to_s);
		timeline_count(text, group);
		/* At the picture's edge it moves inwards. */
		room = DRAW_SMALL * (double)strlen(text) / 2 + 2;
		x = fmin(fmax(x, room), DRAW_WIDTH - room);
		if (place(&placed, x, 2 * room - 4))
			put_label(draw, counts, x, base, text);
	}
	for (i = 0; i < lane->mark_count; i++) {
		const struct timeline_mark *mark = &lane->marks[i];

		if (mark->kind != LW_STRETCH_PAUSE)
			continue;
		room = draw_x(draw, row, mark->to_s) -
		       draw_x(draw, row, mark->from_s);
		x = middle_of(draw, row, mark->from_s, mark->to_s);
		snprintf(text, sizeof text, "pause %s",
		    timeline_seconds(seconds, mark->to_s - mark->from_s));
		/* One that is not over has no length yet. */
		if (mark->open_start || mark->open_end ||
		    DRAW_SMALL * (double)strlen(text) > room)
			snprintf(text, sizeof text, "pause");
		if (DRAW_SMALL * (double)strlen(text) <= room &&
		    place(&placed, x, DRAW_SMALL * (double)strlen(text)))
			put_label(draw, pauses, x, base, text);
	}
}

/* --- the lane ------------------------------------------------------------- */

const char *
draw_remark(const struct timeline_row *row, const struct timeline_lane *lane)
{
	if (lane->crowded)
		return "too quick to draw";
	if (lane->steady)
		return "never changes";
	if (row->cut_start && row->cut_end)
		return lane->mended ? "mended, not seen whole"
				    : "not seen whole";
	if (row->cut_start)
		return lane->mended ? "mended, start not seen"
				    : "start not seen";
	if (row->cut_end)
		return lane->mended ? "mended, end not seen" : "end not seen";
	return lane->mended ? "mended" : "";
}

void
draw_lane(struct draw *draw, json_t *object, const struct timeline_row *row,
    size_t lamp, double top)
{
	const struct timeline_lane *lane = &row->lanes[lamp];
	struct view *view = draw->view;
	double box;

	view_text(view, object, "remark", draw_remark(row, lane));
	draw_pixels(view, object, "head_base", top + 14);
	box = top + DRAW_HEAD + (draw->has_numbers ? DRAW_NUMBERS : 0);
	draw_pixels(view, object, "from_x", draw_x(draw, row, row->start_s));
	draw_pixels(view, object, "to_x", draw_x(draw, row, row->end_s));
	draw_pixels(view, object, "top", box);
	draw_pixels(view, object, "bottom", box + DRAW_BOX);
	draw_pixels(view, object, "tap_top", box + 8);
	put_marks(draw, object, row, lane, box);
	put_trace(draw, object, row, lamp, box);
	put_numbers(draw, object, row, lane, box - 3);
	put_groups(draw, object, row, lane, box + DRAW_BOX);
}
