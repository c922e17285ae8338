/* Where everything of a timeline stands in its picture, in pixels from its
 * upper left corner, and the parts of a row. */
#ifndef VIEW_TIMELINE_DRAW_H
#define VIEW_TIMELINE_DRAW_H

#include "view/timeline.h"

/* The picture is about as wide as a card is on a phone. */
enum {
	DRAW_WIDTH = 340,
	DRAW_LEFT = 10,
	DRAW_RIGHT = DRAW_WIDTH - 10,
	DRAW_HEAD = 20,	   /* a line: when it is, which lamp */
	DRAW_NUMBERS = 15, /* above the box: the flashes' numbers */
	DRAW_BOX = 32,	   /* light and level */
	DRAW_GROUPS = 24,  /* below it: groups with their counts */
	DRAW_BETWEEN = 8,
	DRAW_LINE = 20 /* of the key */
};
#define DRAW_LETTER 7.8 /* a wide one of the headings, 14 px high */
#define DRAW_SMALL 7.0	/* of numbers and counts, 12 px high */

/* A lamp's level: what is drawn at the bottom and at the top. */
struct draw_scale {
	double low;
	double high;
};

struct draw {
	struct view *view;
	const struct timeline *timeline;
	struct draw_scale *scales; /* one for each lamp */
	double px_per_s;
	bool has_numbers; /* a strip for them is left */
	bool has_groups;
	bool has_lit; /* what the key has to explain */
	bool has_level;
	bool has_mended;
	bool has_open;
	bool has_tap;
};

double draw_x(
    const struct draw *draw, const struct timeline_row *row, double at_s);
void draw_pixels(struct view *view, json_t *object, const char *key, double at);
/* The colour's class and the fill on white for a lamp's colour. */
const char *draw_colour(const char *colour);
const char *draw_fill(const char *colour);

/* What is said beside a row: "mended, end not seen"; "" nothing. */
const char *draw_remark(
    const struct timeline_row *row, const struct timeline_lane *lane);

/* One lamp in one row, from `top` on. */
void draw_lane(struct draw *draw, json_t *object,
    const struct timeline_row *row, size_t lamp, double top);

#endif
