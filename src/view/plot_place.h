/* Where everything of a plot stands in its picture, in pixels from its upper
 * left corner. */
#ifndef VIEW_PLOT_PLACE_H
#define VIEW_PLOT_PLACE_H

#include "view/plot.h"

#include <lampwright/arena.h>

/*
 * The picture is about as wide as the page on a phone, so that its letters
 * come out about as large as those of the page.
 */
enum {
	PLOT_WIDTH = 380,
	PLOT_AREA = 220, /* height of the area that the curves are in */
	PLOT_EM = 14,	 /* height of letters; the templates have the same */
	PLOT_TOP = 34,	 /* above it: the title of the y axis */
	PLOT_ROW = 20,	 /* besides: one curve in the legend */
	PLOT_BELOW = 46, /* below it: tick labels, the title of the x axis */
	PLOT_LEADER = 9, /* from the area to a label beside it */
	PLOT_LABEL_MOST = 22 /* characters of a level's label */
};

/* A level and its label. */
struct plot_mark {
	const struct lw_reckon_level *level;
	double y;    /* of its line */
	bool beside; /* the label stands to the right of the area, with a
		      * leader from the line to it; else within */
	double x;    /* where the label begins; where it ends, with `ends` */
	bool ends;
	double base; /* its base line */
};

struct plot_place {
	const struct lw_reckon_plot *plot;
	struct plot_axis x;
	struct plot_axis y;
	double left; /* the area */
	double right;
	double top;
	double bottom;
	struct plot_mark *marks; /* from the highest to the lowest */
	size_t mark_count;
};

/* Find a place for everything; the marks lie in the arena. LW_NOT_FOUND:
 * there is nothing that can be drawn. LW_NO_MEMORY. */
enum lw_status plot_place(struct plot_place *place, struct lw_arena *arena,
    const struct lw_reckon_plot *plot, struct lw_err *err);

/* Whether a curve's point can be shown. */
bool plot_shows(const struct lw_reckon_curve *curve, size_t i);
double plot_x(const struct plot_place *place, double x);
double plot_y(const struct plot_place *place, double y);
/* How wide the labels of an axis are at most. */
double plot_ticks_width(const struct plot_axis *axis);

#endif
