/* Places the parts of a plot so that no label covers another or a curve. What
 * is said of them in the document is left to plot.c. */
#include "view/plot_place.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"

#include <math.h>
#include <string.h>

enum { LINE = 16, TICKS_MOST = 6, MARKS_MOST = PLOT_AREA / LINE };
#define PER_LETTER 8.4 /* a wide one's width */
#define IN_THE_WAY 1000

/* --- the axes --------------------------------------------------------------
 */

bool
plot_shows(const struct lw_reckon_curve *curve, size_t i)
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

static bool
fit_axes(struct plot_place *place)
{
	const struct lw_reckon_plot *plot = place->plot;
	double x[2] = {INFINITY, -INFINITY}, y[2] = {INFINITY, -INFINITY};
	size_t c, i;

	for (c = 0; c < plot->curve_count; c++) {
		const struct lw_reckon_curve *curve = &plot->curves[c];

		for (i = 0; i < curve->count; i++) {
			if (!plot_shows(curve, i))
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
	return plot_axis_fit(&place->x, x[0], x[1], TICKS_MOST, false) &&
	       plot_axis_fit(&place->y, y[0], y[1], TICKS_MOST, true);
}

double
plot_x(const struct plot_place *place, double x)
{
	double share = (x - place->x.low) / (place->x.high - place->x.low);

	return place->left + share * (place->right - place->left);
}

double
plot_y(const struct plot_place *place, double y)
{
	double share = (y - place->y.low) / (place->y.high - place->y.low);

	return place->bottom - share * (place->bottom - place->top);
}

static double
width_of(const char *text)
{
	size_t letters = utf8_count(text, strlen(text));

	if (letters > PLOT_LABEL_MOST)
		letters = PLOT_LABEL_MOST;
	return PER_LETTER * (double)letters;
}

double
plot_ticks_width(const struct plot_axis *axis)
{
	double widest = 0;
	char text[32];
	size_t i;

	for (i = 0; i < axis->count; i++) {
		plot_axis_tick(text, axis, i);
		widest = fmax(widest, width_of(text));
	}
	return widest;
}

/* The area that the curves are in, with room for all labels around it, also
 * for those of levels where they stand beside it. */
static void
place_area(struct plot_place *place, bool beside)
{
	const struct lw_reckon_plot *plot = place->plot;
	double right = plot_ticks_width(&place->x) / 2 + 2, label;
	size_t i;

	for (i = 0; beside && i < plot->level_count; i++) {
		label = width_of(plot->levels[i].title);
		right = fmax(right, label + PLOT_LEADER + 4);
	}
	place->left = ceil(plot_ticks_width(&place->y)) + 10;
	place->right = PLOT_WIDTH - ceil(right);
	place->top = PLOT_TOP;
	if (plot->curve_count > 1)
		place->top += PLOT_ROW * (double)plot->curve_count;
	place->bottom = place->top + PLOT_AREA;
}

/* The levels from the highest to the lowest, as many as have room. */
static void
sort_marks(struct plot_place *place)
{
	const struct lw_reckon_plot *plot = place->plot;
	struct plot_mark mark = {.level = NULL};
	size_t i, at;

	place->mark_count = 0;
	for (i = 0; i < plot->level_count; i++) {
		mark.level = &plot->levels[i];
		if (!isfinite(mark.level->y) || place->mark_count == MARKS_MOST)
			continue;
		mark.y = plot_y(place, mark.level->y);
		for (at = place->mark_count++;
		     at > 0 && place->marks[at - 1].y > mark.y; at--)
			place->marks[at] = place->marks[at - 1];
		place->marks[at] = mark;
	}
}

/* --- labels within the area ------------------------------------------------
 */

struct box {
	double left;
	double right;
	double top;
	double bottom;
};

static struct box
box_of(const struct plot_mark *mark)
{
	double width = width_of(mark->level->title);
	struct box box = {.left = mark->ends ? mark->x - width : mark->x,
	    .top = mark->base - 11,
	    .bottom = mark->base + 4};

	box.right = box.left + width;
	return box;
}

/* Whether the line from one point to the next comes near the box. */
static bool
line_meets(const struct box *box, double x0, double y0, double x1, double y1)
{
	double length = fmax(fabs(x1 - x0), fabs(y1 - y0)), x, y;
	int steps = (int)ceil(length / 2) + 1, i;
	const double near = 3;

	for (i = 0; i <= steps; i++) {
		x = x0 + (x1 - x0) * i / steps;
		y = y0 + (y1 - y0) * i / steps;
		if (x > box->left - near && x < box->right + near &&
		    y > box->top - near && y < box->bottom + near)
			return true;
	}
	return false;
}

static bool
curve_meets(const struct plot_place *place, const struct lw_reckon_curve *curve,
    const struct box *box)
{
	size_t i;

	for (i = 1; i < curve->count; i++)
		if (plot_shows(curve, i - 1) && plot_shows(curve, i) &&
		    line_meets(box, plot_x(place, curve->x[i - 1]),
			plot_y(place, curve->y[i - 1]),
			plot_x(place, curve->x[i]), plot_y(place, curve->y[i])))
			return true;
	return false;
}

static bool
boxes_meet(const struct box *one, const struct box *other)
{
	return one->left < other->right + 4 && other->left < one->right + 4 &&
	       one->top < other->bottom && other->top < one->bottom;
}

/* What is wrong with the place that mark `at` has, all before it having
 * theirs. */
static int
cost_of(const struct plot_place *place, size_t at)
{
	struct box box = box_of(&place->marks[at]), other;
	int cost = 0;
	size_t i;

	if (box.left < place->left || box.right > place->right ||
	    box.top < place->top - 12 || box.bottom > place->bottom)
		return IN_THE_WAY;
	for (i = 0; i < place->plot->curve_count; i++)
		if (curve_meets(place, &place->plot->curves[i], &box))
			return IN_THE_WAY;
	for (i = 0; i < place->mark_count; i++) {
		double y = place->marks[i].y;

		other = box_of(&place->marks[i]);
		if (i < at && boxes_meet(&box, &other))
			return IN_THE_WAY;
		/* A line through it is legible, but whose is it? */
		if (i != at && y > box.top && y < box.bottom)
			cost += 100;
	}
	return cost;
}

/* The best place along its line for mark `at`; false: there is none. */
static bool
label_within(struct plot_place *place, size_t at)
{
	double left = place->left + 5, right = place->right - 5;
	struct plot_mark *mark = &place->marks[at], best = *mark;
	int least = IN_THE_WAY, cost, i;

	/* Above the line from its right end to its left, then below it. */
	for (i = 0; i < 10; i++) {
		mark->ends = i % 5 == 0;
		mark->x = right - (right - left) * (i % 5) / 4;
		mark->base = i < 5 ? mark->y - 5 : mark->y + 15;
		cost = cost_of(place, at) + i;
		if (cost < least) {
			least = cost;
			best = *mark;
		}
	}
	*mark = best;
	return least < 100;
}

/* --- labels beside the area -------------------------------------------------
 */

/* From the highest down, none closer than a line to the one above; then from
 * the lowest up, so that none is below the area. */
static void
labels_beside(struct plot_place *place)
{
	struct plot_mark *marks = place->marks;
	double next = place->top;
	size_t i;

	for (i = 0; i < place->mark_count; i++) {
		marks[i].beside = true;
		marks[i].ends = false;
		marks[i].x = place->right + PLOT_LEADER;
		marks[i].base = fmax(marks[i].y, next);
		next = marks[i].base + LINE;
	}
	next = place->bottom;
	for (i = place->mark_count; i-- > 0;) {
		marks[i].base = fmin(marks[i].base, next);
		next = marks[i].base - LINE;
		marks[i].base += 5;
	}
}

enum lw_status
plot_place(struct plot_place *place, struct lw_arena *arena,
    const struct lw_reckon_plot *plot, struct lw_err *err)
{
	size_t i;

	memset(place, 0, sizeof *place);
	place->plot = plot;
	if (!fit_axes(place))
		return err_set(
		    err, LW_NOT_FOUND, "there is nothing that can be drawn");
	place->marks = arena_array(arena, MARKS_MOST, sizeof *place->marks);
	if (place->marks == NULL)
		return err_no_memory(err);
	place_area(place, false);
	sort_marks(place);
	for (i = 0; i < place->mark_count; i++)
		if (!label_within(place, i))
			break;
	if (i == place->mark_count)
		return LW_OK;
	place_area(place, true);
	sort_marks(place);
	labels_beside(place);
	return LW_OK;
}
