/* A plot in a document: what its parts say and where they stand. Finding their
 * places is left to plot_place.c, drawing them to the templates. */
#include "view/plot_place.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"

#include <math.h>
#include <string.h>

enum { SAMPLE = 26 /* of a curve, in the legend */ };

struct drawing {
	struct view *view;
	struct plot_place place;
};

static void
no_memory(struct view *view)
{
	err_no_memory(&view->last);
	view_fail(view, LW_NO_MEMORY);
}

/* To a tenth of a pixel. */
static double
tenths(double value)
{
	double rounded = round(value * 10) / 10;

	return rounded == 0 ? 0 : rounded; /* no -0 */
}

/* --- texts ---------------------------------------------------------------- */

/* "time (s)"; a bare number has no unit. */
static const char *
axis_text(struct drawing *drawing, const char *title, const char *unit)
{
	if (unit == NULL || unit[0] == '\0' || strcmp(unit, "number") == 0)
		return title;
	return arena_printf(drawing->view->arena, "%s (%s)", title, unit);
}

/* A level's label, cut off where it is too long. */
static const char *
label_text(struct drawing *drawing, const char *title)
{
	size_t length = strlen(title), at = 0, letters;

	if (utf8_count(title, length) <= PLOT_LABEL_MOST)
		return title;
	for (letters = 0; letters + 1 < PLOT_LABEL_MOST && at < length;
	     letters++) {
		size_t n = utf8_decode(title + at, length - at, NULL);

		at += n > 0 ? n : 1;
	}
	return arena_printf(drawing->view->arena, "%.*s\u2026", (int)at, title);
}

/* Three digits are enough to hear. */
static void
add_number(struct buf *buf, double value)
{
	char text[32];

	value = num_round(value, 3);
	num_format(text, sizeof text, value == 0 ? 0 : value);
	buf_add(buf, text);
}

static void
add_quantity(struct buf *buf, double value, const char *unit)
{
	add_number(buf, value);
	if (unit != NULL && unit[0] != '\0' && strcmp(unit, "number") != 0)
		buf_printf(buf, " %s", unit);
}

static void
add_point(struct buf *buf, const struct drawing *drawing,
    const struct lw_reckon_curve *curve, size_t i)
{
	add_quantity(buf, curve->y[i], drawing->place.plot->y_unit);
	buf_add(buf, " at ");
	add_quantity(buf, curve->x[i], drawing->place.plot->x_unit);
}

/* What the drawing shows, for who does not see it. */
static void
put_label(struct drawing *drawing, json_t *object)
{
	const struct lw_reckon_plot *plot = drawing->place.plot;
	size_t c, i, first, last;
	struct buf buf;

	buf_init(&buf, 4096);
	buf_printf(&buf, "%s.", plot->title);
	for (c = 0; c < plot->curve_count; c++) {
		const struct lw_reckon_curve *curve = &plot->curves[c];

		first = last = curve->count;
		for (i = 0; i < curve->count; i++) {
			if (!plot_shows(curve, i))
				continue;
			first = first == curve->count ? i : first;
			last = i;
		}
		if (first == curve->count)
			continue;
		buf_printf(&buf, " %s: from ", curve->title);
		add_point(&buf, drawing, curve, first);
		buf_add(&buf, " to ");
		add_point(&buf, drawing, curve, last);
		buf_add(&buf, ".");
	}
	for (i = 0; i < drawing->place.mark_count; i++)
		buf_printf(&buf, "%s%s", i == 0 ? " Lines at " : ", ",
		    drawing->place.marks[i].level->title);
	view_words(drawing->view, object, "label", buf_text(&buf));
	if (buf_check(&buf, &drawing->view->last) != LW_OK)
		view_fail(drawing->view, buf.status);
	buf_clear(&buf);
}

/* --- the document --------------------------------------------------------- */

static void
put_pixels(struct drawing *drawing, json_t *object, const char *key, double at)
{
	view_real(drawing->view, object, key, tenths(at));
}

/* Labels of neighbouring ticks may not touch: every second or third, then. */
static size_t
every(const struct drawing *drawing)
{
	double apart = plot_x(&drawing->place,
			   drawing->place.x.low + drawing->place.x.step) -
		       plot_x(&drawing->place, drawing->place.x.low);
	double need = plot_ticks_width(&drawing->place.x) + 8;

	return apart >= need ? 1 : (size_t)ceil(need / apart);
}

static void
put_ticks(struct drawing *drawing, json_t *object)
{
	json_t *xs = view_list(drawing->view, object, "x_ticks");
	json_t *ys = view_list(drawing->view, object, "y_ticks"), *tick;
	size_t labelled = every(drawing), i;
	char text[32];
	double value;

	for (i = 0; i < drawing->place.x.count; i++) {
		value = plot_axis_tick(text, &drawing->place.x, i);
		tick = view_add(drawing->view, xs);
		put_pixels(drawing, tick, "x", plot_x(&drawing->place, value));
		view_text(drawing->view, tick, "text",
		    i % labelled == 0 ? text : NULL);
	}
	for (i = 0; i < drawing->place.y.count; i++) {
		value = plot_axis_tick(text, &drawing->place.y, i);
		tick = view_add(drawing->view, ys);
		put_pixels(drawing, tick, "y", plot_y(&drawing->place, value));
		put_pixels(
		    drawing, tick, "base", plot_y(&drawing->place, value) + 5);
		view_words(drawing->view, tick, "text", text);
	}
}

static void
add_pixels(struct buf *buf, double at)
{
	char text[32];

	num_format(text, sizeof text, tenths(at));
	buf_add(buf, text);
}

/* The path of a curve; a point that is not finite breaks it. */
static void
put_path(struct drawing *drawing, json_t *object,
    const struct lw_reckon_curve *curve)
{
	bool drawn = false;
	struct buf path;
	size_t i;

	buf_init(&path, 256 * 1024);
	for (i = 0; i < curve->count; i++) {
		if (!plot_shows(curve, i)) {
			drawn = false;
			continue;
		}
		buf_add(&path, drawn ? "L" : "M");
		add_pixels(&path, plot_x(&drawing->place, curve->x[i]));
		buf_add_char(&path, ' ');
		add_pixels(&path, plot_y(&drawing->place, curve->y[i]));
		drawn = true;
	}
	view_words(drawing->view, object, "d", buf_text(&path));
	if (buf_check(&path, &drawing->view->last) != LW_OK)
		view_fail(drawing->view, path.status);
	buf_clear(&path);
}

static void
put_curves(struct drawing *drawing, json_t *object)
{
	static const struct {
		const char *colour; /* on white */
		const char *dashes;
	} pens[] = {
	    {"#9a4a00", "none"},
	    {"#0b57d0", "8 4"},
	    {"#2f6b2a", "2 4"},
	    {"#a8281a", "10 4 2 4"},
	};
	json_t *list = view_list(drawing->view, object, "curves"), *curve;
	const struct lw_reckon_plot *plot = drawing->place.plot;
	double y = PLOT_TOP;
	size_t i;

	for (i = 0; i < plot->curve_count; i++, y += PLOT_ROW) {
		size_t pen = i % (sizeof pens / sizeof pens[0]);

		curve = view_add(drawing->view, list);
		view_text(drawing->view, curve, "title", plot->curves[i].title);
		view_int(drawing->view, curve, "pen", (int64_t)pen);
		view_words(drawing->view, curve, "colour", pens[pen].colour);
		view_words(drawing->view, curve, "dashes", pens[pen].dashes);
		put_path(drawing, curve, &plot->curves[i]);
		/* In the legend. */
		put_pixels(drawing, curve, "y", y + PLOT_ROW / 2.0 - 5);
		put_pixels(drawing, curve, "base", y + PLOT_ROW / 2.0);
	}
}

static void
put_levels(struct drawing *drawing, json_t *object)
{
	json_t *list = view_list(drawing->view, object, "levels"), *level;
	const char *title;
	size_t i;

	for (i = 0; i < drawing->place.mark_count; i++) {
		const struct plot_mark *mark = &drawing->place.marks[i];

		title = label_text(drawing, mark->level->title);
		if (title == NULL)
			no_memory(drawing->view);
		level = view_add(drawing->view, list);
		view_words(drawing->view, level, "title", title);
		put_pixels(drawing, level, "y", mark->y);
		view_bool(drawing->view, level, "beside", mark->beside);
		view_words(drawing->view, level, "anchor",
		    mark->ends ? "end" : "start");
		put_pixels(drawing, level, "x", mark->x);
		put_pixels(drawing, level, "base", mark->base);
		put_pixels(drawing, level, "leader_y", mark->base - 5);
	}
}

static void
put_axis_titles(struct drawing *drawing, json_t *object)
{
	const struct lw_reckon_plot *plot = drawing->place.plot;
	const char *x = axis_text(drawing, plot->x_title, plot->x_unit);
	const char *y = axis_text(drawing, plot->y_title, plot->y_unit);

	if (x == NULL || y == NULL) {
		no_memory(drawing->view);
		return;
	}
	view_words(drawing->view, object, "x_title", plot->x_title);
	view_words(drawing->view, object, "x_unit", plot->x_unit);
	view_words(drawing->view, object, "x_text", x);
	view_words(drawing->view, object, "y_title", plot->y_title);
	view_words(drawing->view, object, "y_unit", plot->y_unit);
	view_words(drawing->view, object, "y_text", y);
}

static void
put_drawing(struct drawing *drawing, json_t *object)
{
	struct view *view = drawing->view;

	view_words(view, object, "title", drawing->place.plot->title);
	put_label(drawing, object);
	view_int(view, object, "width", PLOT_WIDTH);
	put_pixels(
	    drawing, object, "height", drawing->place.bottom + PLOT_BELOW);
	view_bool(
	    view, object, "has_legend", drawing->place.plot->curve_count > 1);
	put_pixels(drawing, object, "left", drawing->place.left);
	put_pixels(drawing, object, "right", drawing->place.right);
	put_pixels(drawing, object, "top", drawing->place.top);
	put_pixels(drawing, object, "bottom", drawing->place.bottom);
	put_pixels(drawing, object, "middle",
	    (drawing->place.left + drawing->place.right) / 2);
	put_pixels(drawing, object, "tick_right", drawing->place.left - 6);
	put_pixels(
	    drawing, object, "tick_base", drawing->place.bottom + PLOT_EM + 4);
	put_pixels(drawing, object, "title_base",
	    drawing->place.bottom + PLOT_BELOW - 8);
	put_pixels(drawing, object, "leader_x",
	    drawing->place.right + PLOT_LEADER - 3);
	put_pixels(drawing, object, "sample_x", drawing->place.left + SAMPLE);
	put_pixels(
	    drawing, object, "sample_text_x", drawing->place.left + SAMPLE + 8);
	put_axis_titles(drawing, object);
	put_ticks(drawing, object);
	put_curves(drawing, object);
	put_levels(drawing, object);
}

void
view_plot(struct view *view, json_t *object, const char *key,
    const struct lw_reckon_plot *plot)
{
	struct drawing drawing = {.view = view};

	if (view->status != LW_OK)
		return;
	if (plot != NULL && view_got(view, plot_place(&drawing.place,
					       view->arena, plot, &view->last)))
		put_drawing(&drawing, view_object(view, object, key));
	else
		view_null(view, object, key);
}
