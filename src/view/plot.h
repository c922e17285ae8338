/*
 * A reckoner's curves as a drawing: everything that a template needs, in
 * pixels of a picture that is `width` wide. How it is coloured is left to the
 * templates (web/part/plot.html).
 */
#ifndef VIEW_PLOT_H
#define VIEW_PLOT_H

#include "view/parts.h"

#include <lampwright/reckon.h>

/* An axis with ticks at whole multiples of its step, which is 1, 2 or 5 times
 * a power of ten. */
struct plot_axis {
	double low; /* low < high */
	double high;
	double step;
	int mantissa; /* of the step: 1, 2 or 5 */
	int power;    /* and its power of ten */
	long first;   /* the first tick is first * step */
	size_t count; /* ticks on the axis */
};

/*
 * Fit an axis to data from `lowest` to `highest` with at most `most` ticks (3
 * or more); where both are the same it gets room around them. With `whole`
 * the axis begins and ends on a tick, else with the data. False: what it is
 * to show is not finite, or too large or too small to be drawn.
 */
bool plot_axis_fit(struct plot_axis *axis, double lowest, double highest,
    size_t most, bool whole);

/* The value of a tick, and its text: "0.2", "300". `text` has room for 32
 * bytes. */
double plot_axis_tick(char *text, const struct plot_axis *axis, size_t tick);

/* Put the drawing at `key`; null where there is no plot, or nothing in it
 * that can be drawn. */
void view_plot(struct view *view, json_t *object, const char *key,
    const struct lw_reckon_plot *plot);

#endif
