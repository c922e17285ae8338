/* A picture of a timeline in a document: no label over another, none outside,
 * every path within it. */
#ifndef UNIT_DRAWN_H
#define UNIT_DRAWN_H

#include "unit/doc.h"

#include "base/utf8.h"
#include "view/timeline.h"

enum { WIDTH_SMALL = 6, WIDTH_LETTER = 7 };

static inline double
real(const char *where)
{
	ck_assert_msg(json_is_number(at(where)), "%s is no number", where);
	return json_number_value(at(where));
}

struct box {
	double left, right, top, bottom;
};
static struct box boxes[2000];
static size_t box_count;

/* A text as wide as common fonts make it ("from memory": about half of its
 * height a letter, digits a little more). */
static inline void
take_box(double x, double base, const char *what, double share, double letter)
{
	double width = letter * (double)utf8_count(what, strlen(what)), high;
	struct box *box = &boxes[box_count++];
	size_t i;

	ck_assert_uint_lt(box_count, 2000);
	box->left = x - share * width;
	box->right = box->left + width;
	box->top = base - 10;
	box->bottom = base + 2;
	high = real("timeline.height");
	ck_assert_msg(box->left >= 0 && box->right <= real("timeline.width") &&
			  box->top >= 0 && box->bottom <= high,
	    "%s stands outside: %g to %g", what, box->left, box->right);
	for (i = 0; i + 1 < box_count; i++)
		ck_assert_msg(box->left >= boxes[i].right ||
				  boxes[i].left >= box->right ||
				  box->top >= boxes[i].bottom ||
				  boxes[i].top >= box->bottom,
		    "%s at %g, %g lies over another", what, x, base);
}

static inline void
take_labels(const char *list, double share, double letter)
{
	char where[100];
	size_t i;

	for (i = 0; i < count(list); i++) {
		double x, base;

		snprintf(where, sizeof where, "%s.%zu.x", list, i);
		x = real(where);
		snprintf(where, sizeof where, "%s.%zu.base", list, i);
		base = real(where);
		snprintf(where, sizeof where, "%s.%zu.text", list, i);
		take_box(x, base, text(where), share, letter);
	}
}

/* All points of a path are in the picture. */
static inline size_t
check_path(const char *d)
{
	double x, y;
	size_t points = 0;
	int n;

	for (; *d == 'M' || *d == 'L'; d += n, points++) {
		ck_assert_int_eq(sscanf(d + 1, "%lf %lf%n", &x, &y, &n), 2);
		n++;
		ck_assert(x >= real("timeline.left") - 0.05 &&
			  x <= real("timeline.right") + 0.05);
		ck_assert(y >= 0 && y <= real("timeline.height"));
	}
	ck_assert_msg(*d == '\0' || *d == 'Z', "a path with %s", d);
	return points;
}

static inline void
check_lane(const char *lane)
{
	char where[240];
	size_t i;

	snprintf(where, sizeof where, "%s.head", lane);
	take_box(10, json_number_value(json_object_get(at(lane), "head_base")),
	    text(where), 0, WIDTH_LETTER);
	snprintf(where, sizeof where, "%s.remark", lane);
	if (json_is_string(at(where)))
		take_box(real("timeline.right"),
		    json_number_value(json_object_get(at(lane), "head_base")),
		    text(where), 1, WIDTH_LETTER);
	snprintf(where, sizeof where, "%s.numbers", lane);
	take_labels(where, 0.5, WIDTH_SMALL);
	snprintf(where, sizeof where, "%s.counts", lane);
	take_labels(where, 0.5, WIDTH_SMALL);
	snprintf(where, sizeof where, "%s.pauses", lane);
	take_labels(where, 0.5, WIDTH_SMALL);
	for (i = 0;; i++) {
		snprintf(where, sizeof where, "%s.lit", lane);
		if (i == count(where))
			break;
		snprintf(where, sizeof where, "%s.lit.%zu.d", lane, i);
		check_path(text(where));
	}
	snprintf(where, sizeof where, "%s.level", lane);
	if (json_is_string(at(where)))
		check_path(text(where));
}

static inline void
check_text(void)
{
	char where[60];
	size_t i;

	for (i = 0; i < count("text_timeline"); i++) {
		snprintf(where, sizeof where, "text_timeline.%zu", i);
		ck_assert_msg(utf8_count(text(where), strlen(text(where))) <=
				  TIMELINE_COLUMNS,
		    "too long: %s", text(where));
	}
}

static inline void
check_picture(void)
{
	char where[100], ticks[60];
	size_t row, k;

	box_count = 0;
	for (row = 0; row < count("timeline.rows"); row++) {
		snprintf(where, sizeof where, "timeline.rows.%zu.lanes", row);
		for (k = 0; k < count(where); k++) {
			char lane[160];

			snprintf(lane, sizeof lane, "%s.%zu", where, k);
			check_lane(lane);
		}
	}
	for (k = 0; k < count("timeline.ticks"); k++) {
		snprintf(ticks, sizeof ticks, "timeline.ticks.%zu.text", k);
		snprintf(where, sizeof where, "timeline.ticks.%zu.x", k);
		if (json_is_string(at(ticks)))
			take_box(real(where), real("timeline.tick_base"),
			    text(ticks), 0.5, WIDTH_SMALL);
	}
	for (k = 0; k < count("timeline.key"); k++) {
		double x, base;

		snprintf(where, sizeof where, "timeline.key.%zu.text_x", k);
		x = real(where);
		snprintf(where, sizeof where, "timeline.key.%zu.base", k);
		base = real(where);
		snprintf(where, sizeof where, "timeline.key.%zu.text", k);
		take_box(x, base, text(where), 0, WIDTH_LETTER);
	}
	check_text();
}

#endif
