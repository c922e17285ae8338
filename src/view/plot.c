/* Curves worked out to a drawing: where axes, ticks, lines and labels stand.
 * The ticks themselves are left to plot_axis.c, colours to the templates. */
#include "view/plot.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* In pixels of the picture. It is about as wide as the page on a phone, so
 * that its letters come out about as large as those of the page. */
enum {
	WIDTH = 380,
	AREA = 220,  /* between the axes' ends */
	EM = 14,     /* height of letters; templates have the same */
	TOP = 34,    /* above the area: the title of the y axis */
	ROW = 20,    /* one more curve in the legend */
	BELOW = 46,  /* below the area: tick labels, the title of the x axis */
	LABEL = 16,  /* lines of labels that do not overlap */
	LEADER = 9,  /* from the area to the label of a level */
	SAMPLE = 26, /* of a curve, in the legend */
	LABEL_MOST = 16, /* characters of a level's label */
	TICKS_MOST = 6
};
#define PER_LETTER 8.4 /* a wide one's width */

/* A level in the picture. */
struct mark {
	const struct lw_reckon_level *level;
	double y;     /* of its line */
	double label; /* of the middle of its label */
};

struct drawing {
	struct view *view;
	const struct lw_reckon_plot *plot;
	struct plot_axis x;
	struct plot_axis y;
	double left;
	double right;
	double top;
	double bottom;
	struct mark *marks; /* from the highest to the lowest */
	size_t mark_count;
};

static void
no_memory(struct view *view)
{
	err_no_memory(&view->last);
	view_fail(view, LW_NO_MEMORY);
}

/* --- what there is to show ------------------------------------------------ */

static bool
is_shown(const struct lw_reckon_curve *curve, size_t i)
{
	return isfinite(curve->x[i]) && isfinite(curve->y[i]);
}

static void
widen(double *low, double *high, double value)
{
	if (value < *low)
		*low = value;
	if (value > *high)
		*high = value;
}

/* The two axes; false where nothing can be drawn. */
static bool
fit_axes(struct drawing *drawing)
{
	const struct lw_reckon_plot *plot = drawing->plot;
	double x[2] = {INFINITY, -INFINITY}, y[2] = {INFINITY, -INFINITY};
	size_t c, i;

	for (c = 0; c < plot->curve_count; c++) {
		const struct lw_reckon_curve *curve = &plot->curves[c];

		for (i = 0; i < curve->count; i++) {
			if (!is_shown(curve, i))
				continue;
			widen(&x[0], &x[1], curve->x[i]);
			widen(&y[0], &y[1], curve->y[i]);
		}
	}
	if (!(x[0] < x[1]))
		return false;
	for (i = 0; i < plot->level_count; i++)
		if (isfinite(plot->levels[i].y))
			widen(&y[0], &y[1], plot->levels[i].y);
	/* An axis that could well begin at zero does. */
	if (y[0] > 0 && y[0] < y[1] * 0.6)
		y[0] = 0;
	return plot_axis_fit(&drawing->x, x[0], x[1], TICKS_MOST, false) &&
	       plot_axis_fit(&drawing->y, y[0], y[1], TICKS_MOST, true);
}

/* --- where things stand --------------------------------------------------- */

/* To a tenth of a pixel. */
static double
tenths(double value)
{
	double rounded = round(value * 10) / 10;

	return rounded == 0 ? 0 : rounded; /* no -0 */
}

static double
x_of(const struct drawing *drawing, double x)
{
	double share =
	    (x - drawing->x.low) / (drawing->x.high - drawing->x.low);

	return drawing->left + share * (drawing->right - drawing->left);
}

static double
y_of(const struct drawing *drawing, double y)
{
	double share =
	    (y - drawing->y.low) / (drawing->y.high - drawing->y.low);

	return drawing->bottom - share * (drawing->bottom - drawing->top);
}

/* How wide a text is at most, cut off where it is a level's label. */
static double
width_of(const char *text, size_t most)
{
	size_t letters = utf8_count(text, strlen(text));

	return PER_LETTER * (double)(letters < most ? letters : most);
}

static double
ticks_width(const struct plot_axis *axis)
{
	double widest = 0;
	char text[32];
	size_t i;

	for (i = 0; i < axis->count; i++) {
		plot_axis_tick(text, axis, i);
		widest = fmax(widest, width_of(text, sizeof text));
	}
	return widest;
}

/* The area that the curves are in, with room for all labels around it. */
static void
place_area(struct drawing *drawing)
{
	const struct lw_reckon_plot *plot = drawing->plot;
	double right = ticks_width(&drawing->x) / 2 + 2, label;
	size_t i;

	for (i = 0; i < plot->level_count; i++) {
		label = width_of(plot->levels[i].title, LABEL_MOST);
		right = fmax(right, label + LEADER + 4);
	}
	drawing->left = ceil(ticks_width(&drawing->y)) + 10;
	drawing->right = WIDTH - ceil(right);
	drawing->top = TOP;
	if (plot->curve_count > 1)
		drawing->top += ROW * (double)plot->curve_count;
	drawing->bottom = drawing->top + AREA;
}

/* Labels from the highest down, none closer than a line to the one above;
 * then from the lowest up, so that none is below the area. */
static void
spread_labels(struct drawing *drawing)
{
	struct mark *marks = drawing->marks;
	double next = drawing->top;
	size_t i;

	for (i = 0; i < drawing->mark_count; i++) {
		marks[i].label = fmax(marks[i].y, next);
		next = marks[i].label + LABEL;
	}
	next = drawing->bottom;
	for (i = drawing->mark_count; i-- > 0;) {
		marks[i].label = fmin(marks[i].label, next);
		next = marks[i].label - LABEL;
	}
}

/* The levels from the highest to the lowest, as many as have room. */
static void
place_marks(struct drawing *drawing)
{
	const struct lw_reckon_plot *plot = drawing->plot;
	size_t most = AREA / LABEL, i, at;
	struct mark mark;

	drawing->marks = arena_array(
	    drawing->view->arena, plot->level_count + 1, sizeof mark);
	if (drawing->marks == NULL) {
		no_memory(drawing->view);
		return;
	}
	for (i = 0; i < plot->level_count && drawing->mark_count < most; i++) {
		mark.level = &plot->levels[i];
		if (!isfinite(mark.level->y))
			continue;
		mark.y = mark.label = y_of(drawing, mark.level->y);
		for (at = drawing->mark_count++;
		     at > 0 && drawing->marks[at - 1].y > mark.y; at--)
			drawing->marks[at] = drawing->marks[at - 1];
		drawing->marks[at] = mark;
	}
	spread_labels(drawing);
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

	if (utf8_count(title, length) <= LABEL_MOST)
		return title;
	for (letters = 0; letters + 1 < LABEL_MOST && at < length; letters++) {
		size_t n = utf8_decode(title + at, length - at, NULL);

		at += n > 0 ? n : 1;
	}
	return arena_printf(drawing->view->arena, "%.*s\u2026", (int)at, title);
}

/* Three digits are enough to hear. */
static void
add_number(struct buf *buf, double value)
{
	int power = value == 0 ? 0 : (int)floor(log10(fabs(value))) - 2;
	double scale = pow(10, abs(power));
	char text[32];

	value = power < 0 ? round(value * scale) / scale
			  : round(value / scale) * scale;
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
	add_quantity(buf, curve->y[i], drawing->plot->y_unit);
	buf_add(buf, " at ");
	add_quantity(buf, curve->x[i], drawing->plot->x_unit);
}

/* What the drawing shows, for who does not see it. */
static void
put_label(struct drawing *drawing, json_t *object)
{
	const struct lw_reckon_plot *plot = drawing->plot;
	size_t c, i, first, last;
	struct buf buf;

	buf_init(&buf, 4096);
	buf_printf(&buf, "%s.", plot->title);
	for (c = 0; c < plot->curve_count; c++) {
		const struct lw_reckon_curve *curve = &plot->curves[c];

		first = last = curve->count;
		for (i = 0; i < curve->count; i++) {
			if (!is_shown(curve, i))
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
	for (i = 0; i < drawing->mark_count; i++)
		buf_printf(&buf, "%s%s", i == 0 ? " Lines at " : ", ",
		    drawing->marks[i].level->title);
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
	double apart = x_of(drawing, drawing->x.low + drawing->x.step) -
		       x_of(drawing, drawing->x.low);
	double need = ticks_width(&drawing->x) + 8;

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

	for (i = 0; i < drawing->x.count; i++) {
		value = plot_axis_tick(text, &drawing->x, i);
		tick = view_add(drawing->view, xs);
		put_pixels(drawing, tick, "x", x_of(drawing, value));
		view_text(drawing->view, tick, "text",
		    i % labelled == 0 ? text : NULL);
	}
	for (i = 0; i < drawing->y.count; i++) {
		value = plot_axis_tick(text, &drawing->y, i);
		tick = view_add(drawing->view, ys);
		put_pixels(drawing, tick, "y", y_of(drawing, value));
		put_pixels(drawing, tick, "base", y_of(drawing, value) + 5);
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
		if (!is_shown(curve, i)) {
			drawn = false;
			continue;
		}
		buf_add(&path, drawn ? "L" : "M");
		add_pixels(&path, x_of(drawing, curve->x[i]));
		buf_add_char(&path, ' ');
		add_pixels(&path, y_of(drawing, curve->y[i]));
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
	const struct lw_reckon_plot *plot = drawing->plot;
	double y = TOP;
	size_t i;

	for (i = 0; i < plot->curve_count; i++, y += ROW) {
		size_t pen = i % (sizeof pens / sizeof pens[0]);

		curve = view_add(drawing->view, list);
		view_text(drawing->view, curve, "title", plot->curves[i].title);
		view_int(drawing->view, curve, "pen", (int64_t)pen);
		view_words(drawing->view, curve, "colour", pens[pen].colour);
		view_words(drawing->view, curve, "dashes", pens[pen].dashes);
		put_path(drawing, curve, &plot->curves[i]);
		/* In the legend. */
		put_pixels(drawing, curve, "y", y + ROW / 2.0 - 5);
		put_pixels(drawing, curve, "base", y + ROW / 2.0);
	}
}

static void
put_levels(struct drawing *drawing, json_t *object)
{
	json_t *list = view_list(drawing->view, object, "levels"), *level;
	const char *title;
	size_t i;

	for (i = 0; i < drawing->mark_count; i++) {
		const struct mark *mark = &drawing->marks[i];

		title = label_text(drawing, mark->level->title);
		if (title == NULL)
			no_memory(drawing->view);
		level = view_add(drawing->view, list);
		view_words(drawing->view, level, "title", title);
		put_pixels(drawing, level, "y", mark->y);
		put_pixels(drawing, level, "label_y", mark->label);
		put_pixels(drawing, level, "base", mark->label + 5);
	}
}

static void
put_axis_titles(struct drawing *drawing, json_t *object)
{
	const struct lw_reckon_plot *plot = drawing->plot;
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

	view_words(view, object, "title", drawing->plot->title);
	put_label(drawing, object);
	view_int(view, object, "width", WIDTH);
	put_pixels(drawing, object, "height", drawing->bottom + BELOW);
	view_bool(view, object, "has_legend", drawing->plot->curve_count > 1);
	put_pixels(drawing, object, "left", drawing->left);
	put_pixels(drawing, object, "right", drawing->right);
	put_pixels(drawing, object, "top", drawing->top);
	put_pixels(drawing, object, "bottom", drawing->bottom);
	put_pixels(
	    drawing, object, "middle", (drawing->left + drawing->right) / 2);
	put_pixels(drawing, object, "tick_right", drawing->left - 6);
	put_pixels(drawing, object, "tick_base", drawing->bottom + EM + 4);
	put_pixels(drawing, object, "title_base", drawing->bottom + BELOW - 8);
	put_pixels(drawing, object, "leader_x", drawing->right + LEADER - 3);
	put_pixels(drawing, object, "label_x", drawing->right + LEADER);
	put_pixels(drawing, object, "sample_x", drawing->left + SAMPLE);
	put_pixels(
	    drawing, object, "sample_text_x", drawing->left + SAMPLE + 8);
	put_axis_titles(drawing, object);
	put_ticks(drawing, object);
	put_curves(drawing, object);
	put_levels(drawing, object);
}

void
view_plot(struct view *view, json_t *object, const char *key,
    const struct lw_reckon_plot *plot)
{
	struct drawing drawing = {.view = view, .plot = plot};

	if (view->status != LW_OK)
		return;
	if (plot == NULL || !fit_axes(&drawing)) {
		view_null(view, object, key);
		return;
	}
	place_area(&drawing);
	place_marks(&drawing);
	if (view->status == LW_OK)
		put_drawing(&drawing, view_object(view, object, key));
}
