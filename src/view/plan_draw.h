/*
 * What the parts of a drawn tree share: its boxes, from the left to the right,
 * and where they stand. In pixels.
 */
#ifndef VIEW_PLAN_DRAW_H
#define VIEW_PLAN_DRAW_H

#include "view/plan.h"

enum {
	TREE_BOX = 236,	 /* wide */
	TREE_GAP = 188,	 /* between columns, for what an edge says */
	TREE_BEND = 22,	 /* of the gap, before edges part */
	TREE_EDGE = 16,	 /* around the picture */
	TREE_ABOVE = 10, /* between boxes of a column, at least */
	TREE_ENTRY = 24, /* from a box's top to the edge that leads to it */
	TREE_SAYS = 40,	 /* above an edge, for what it says */
	TREE_PAD = 10,	 /* within a box */
	TREE_TALL = 18,	 /* a line of 14 px */
	TREE_SMALL = 16, /* a line of 12 px */
	TREE_LINES = 12	 /* in a box, at most */
};
/* A letter's width, as in wide fonts, in tenths: of 14 px, bold; of 12 px. */
enum { TREE_LETTER = 90, TREE_SMALL_LETTER = 72 };

enum tree_kind { TREE_CHECK, TREE_LEAF, TREE_STOP };

struct tree_line {
	const char *text;
	bool strong; /* 14 px, else 12 px */
};

struct tree_box {
	enum tree_kind kind;
	const json_t *node;    /* of the document */
	const json_t *outcome; /* that leads here; NULL for the first */
	struct tree_box *parent;
	struct tree_box **below;
	size_t below_count;
	size_t depth;
	bool closed; /* a check below which nothing is drawn */
	struct tree_line lines[TREE_LINES];
	size_t line_count;
	struct tree_line edge[2]; /* what the edge to it says */
	size_t edge_count;
	double height;	 /* of the box */
	double together; /* of it and all below it */
	double top;	 /* of the room that it has, from the picture's */
};

struct tree_drawing {
	struct view *view;
	struct tree_box **boxes; /* in the order in which they were taken up;
				  * the first is the tree's first */
	size_t count;
	size_t checks; /* of those that are drawn */
	size_t depth;  /* of the deepest */
	double height;
};

/* --- plan_boxes.c: what stands in a box, and on its edge. False: out of
 * memory. ------------------------------------------------------------------ */
bool tree_write_box(struct tree_drawing *drawing, struct tree_box *box);

/* `text` in lines of at most so many letters, at most `most` lines, the last
 * ending in "..." where more would come. How many; 0: out of memory. */
size_t tree_wrap(const char **lines, size_t most, size_t letters,
    struct lw_arena *arena, const char *text);

#endif
