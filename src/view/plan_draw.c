/* A decision tree as a drawing, from its document: which of it is drawn, and
 * where. What stands in the boxes is left to plan_boxes, the lines for a
 * terminal to plan_text. */
#include "view/plan_draw.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"

#include <math.h>
#include <string.h>

/* More than this nobody finds a way through; the likeliest are drawn. */
enum { BOXES_MOST = 60, DEPTH_MOST = 24, NOTES_MOST = 4, LABEL_MAX = 4000 };

/* What comes below a check that is reached less often is drawn only where the
 * whole is small. */
static const double SELDOM = 0.01;
enum { BOXES_FEW = 24 };

/* --- which of it --------------------------------------------------------- */

static bool
is_leaf(const json_t *node)
{
	return json_is_true(json_object_get(node, "is_leaf"));
}

static double
share_of(const struct tree_box *box)
{
	return json_number_value(json_object_get(box->node, "share"));
}

static struct tree_box *
add_box(struct tree_drawing *drawing, struct tree_box *parent,
    const json_t *node, const json_t *outcome)
{
	struct tree_box *box = arena_alloc(drawing->view->arena, sizeof *box);

	if (box == NULL)
		return NULL;
	box->node = node;
	box->outcome = outcome;
	box->parent = parent;
	box->depth = parent != NULL ? parent->depth + 1 : 0;
	if (json_is_string(json_object_get(outcome, "stop")))
		box->kind = TREE_STOP;
	else if (is_leaf(node))
		box->kind = TREE_LEAF;
	else
		box->kind = TREE_CHECK;
	drawing->checks += box->kind == TREE_CHECK;
	drawing->depth =
	    box->depth > drawing->depth ? box->depth : drawing->depth;
	drawing->boxes[drawing->count++] = box;
	return tree_write_box(drawing, box) ? box : NULL;
}

/* The likeliest check below which nothing was taken up yet. */
static struct tree_box *
next_to_open(const struct tree_drawing *drawing)
{
	struct tree_box *best = NULL, *box;
	size_t i;

	for (i = 0; i < drawing->count; i++) {
		box = drawing->boxes[i];
		if (box->kind == TREE_CHECK && box->below == NULL &&
		    !box->closed &&
		    (best == NULL || share_of(box) > share_of(best)))
			best = box;
	}
	return best;
}

static bool
open_box(struct tree_drawing *drawing, struct tree_box *box)
{
	const json_t *outcomes = json_object_get(box->node, "outcomes");
	size_t count = json_array_size(outcomes), i;

	box->closed = count == 0 || box->depth == DEPTH_MOST ||
		      drawing->count + count > BOXES_MOST ||
		      (drawing->count > BOXES_FEW && share_of(box) < SELDOM);
	if (box->closed)
		return true;
	box->below =
	    arena_array(drawing->view->arena, count, sizeof *box->below);
	if (box->below == NULL)
		return false;
	for (i = 0; i < count; i++) {
		const json_t *outcome = json_array_get(outcomes, i);

		box->below[i] = add_box(
		    drawing, box, json_object_get(outcome, "next"), outcome);
		if (box->below[i] == NULL)
			return false;
		box->below_count++;
	}
	return true;
}

static bool
take_up(struct tree_drawing *drawing, const json_t *tree)
{
	struct tree_box *box;

	drawing->boxes = arena_array(
	    drawing->view->arena, BOXES_MOST + 1, sizeof *drawing->boxes);
	if (drawing->boxes == NULL ||
	    add_box(drawing, NULL, tree, NULL) == NULL)
		return false;
	while ((box = next_to_open(drawing)) != NULL)
		if (!open_box(drawing, box))
			return false;
	return true;
}

/* Checks of the whole document; no deeper than PLAN_DEPTH_MAX. */
static size_t
count_checks(const json_t *node)
{
	const json_t *outcomes = json_object_get(node, "outcomes"), *outcome;
	size_t count = !is_leaf(node), i;

	for (i = 0; i < json_array_size(outcomes); i++) {
		outcome = json_array_get(outcomes, i);
		if (!json_is_string(json_object_get(outcome, "stop")))
			count += count_checks(json_object_get(outcome, "next"));
	}
	return count;
}

/* --- where it stands ----------------------------------------------------- */

/* What takes least room comes first, so that short ways stand beside where
 * they begin; among equals the check's own order. */
static void
sort_below(struct tree_box *box)
{
	struct tree_box *moved;
	size_t i, k;

	for (i = 1; i < box->below_count; i++) {
		moved = box->below[i];
		for (k = i;
		     k > 0 && box->below[k - 1]->together > moved->together;
		     k--)
			box->below[k] = box->below[k - 1];
		box->below[k] = moved;
	}
}

/* From the last to the first, since what is below comes later. */
static void
measure(struct tree_drawing *drawing)
{
	struct tree_box *box;
	double below;
	size_t i, k;

	for (i = drawing->count; i-- > 0;) {
		box = drawing->boxes[i];
		sort_below(box);
		below = 0;
		for (k = 0; k < box->below_count; k++)
			below += box->below[k]->together;
		box->together = fmax(
		    below, TREE_SAYS - TREE_ENTRY + box->height + TREE_ABOVE);
	}
}

/* What is below begins as high as the box itself. */
static void
place(struct tree_drawing *drawing)
{
	struct tree_box *box = drawing->boxes[0];
	double top;
	size_t i, k;

	box->top = TREE_EDGE - (TREE_SAYS - TREE_ENTRY);
	drawing->height = box->top + box->together + TREE_EDGE;
	for (i = 0; i < drawing->count; i++) {
		box = drawing->boxes[i];
		top = box->top;
		for (k = 0; k < box->below_count; k++) {
			box->below[k]->top = top;
			top += box->below[k]->together;
		}
	}
}

/* The edge that leads to it, or would. */
static double
entry_of(const struct tree_box *box)
{
	return round(box->top + TREE_SAYS);
}

static double
left_of(const struct tree_box *box)
{
	return TREE_EDGE + (double)box->depth * (TREE_BOX + TREE_GAP);
}

/* --- the document -------------------------------------------------------- */

static void
put_pixels(struct view *view, json_t *object, const char *key, double at)
{
	view_real(view, object, key, round(at));
}

static void
put_line(
    struct view *view, json_t *list, double x, double base, const char *text)
{
	json_t *line = view_add(view, list);

	put_pixels(view, line, "x", x);
	put_pixels(view, line, "base", base);
	view_words(view, line, "text", text);
}

static void
put_box(struct view *view, json_t *list, const struct tree_box *box)
{
	json_t *object = view_add(view, list);
	json_t *strong = view_list(view, object, "strong");
	json_t *small = view_list(view, object, "small");
	double x = left_of(box), y = entry_of(box) - TREE_ENTRY;
	size_t i;

	view_bool(view, object, "is_check", box->kind == TREE_CHECK);
	view_bool(view, object, "is_leaf", box->kind == TREE_LEAF);
	view_bool(view, object, "is_stop", box->kind == TREE_STOP);
	view_words(view, object, "dashes", box->closed ? "6 4" : "none");
	put_pixels(view, object, "x", x);
	put_pixels(view, object, "y", y);
	put_pixels(view, object, "width", TREE_BOX);
	put_pixels(view, object, "height", box->height);
	y += TREE_PAD;
	for (i = 0; i < box->line_count; i++) {
		y += box->lines[i].strong ? TREE_TALL : TREE_SMALL;
		put_line(view, box->lines[i].strong ? strong : small,
		    x + TREE_PAD, y - 4, box->lines[i].text);
	}
}

static void
put_edge(struct view *view, json_t *list, const struct tree_box *box)
{
	json_t *object = view_add(view, list), *says;
	const struct tree_box *from = box->parent;
	double x = left_of(from) + TREE_BOX, text = x + TREE_BEND + 4;
	double y = entry_of(box);
	size_t i;

	put_pixels(view, object, "from_x", x);
	put_pixels(view, object, "from_y", entry_of(from));
	put_pixels(view, object, "bend_x", x + TREE_BEND);
	put_pixels(view, object, "to_x", left_of(box));
	put_pixels(view, object, "to_y", y);
	says = view_list(view, object, "says");
	for (i = 0; i < box->edge_count; i++)
		put_line(view, says, text,
		    y - 5 - TREE_SMALL * (double)(box->edge_count - 1 - i),
		    box->edge[i].text);
	put_pixels(view, object, "x", text);
	put_pixels(view, object, "base", y + 14);
	view_words(view, object, "percent",
	    json_string_value(json_object_get(box->outcome, "percent")));
}

static double
width_of(const struct tree_drawing *drawing)
{
	return 2 * TREE_EDGE + (double)(drawing->depth + 1) * TREE_BOX +
	       (double)drawing->depth * TREE_GAP;
}

/* What a drawing needs to be said below it; how high that is. */
static double
put_notes(struct view *view, json_t *object, const struct tree_drawing *drawing,
    const json_t *tree)
{
	json_t *list = view_list(view, object, "notes");
	const char *lines[NOTES_MOST], *text;
	size_t all = count_checks(tree), count, i;
	double width = width_of(drawing);

	if (drawing->checks >= all && !drawing->boxes[0]->closed &&
	    drawing->count == 1)
		return 0;
	text = arena_printf(view->arena,
	    "Beside a way stands how many of all cases go it.%s",
	    json_is_null(json_object_get(view->root, "for"))
		? ""
		: " Ends list fixes in the order in which to try them. Ways "
		  "into a power state are not drawn; they come first.");
	if (text != NULL && drawing->checks < all)
		text = arena_printf(view->arena,
		    "%s The likeliest ways are drawn, with %zu of %zu checks; "
		    "from a dashed box it goes on.",
		    text, drawing->checks, all);
	count = text == NULL ? 0
			     : tree_wrap(lines, NOTES_MOST,
				   (size_t)((width - 2 * TREE_EDGE) * 10 /
					    TREE_SMALL_LETTER),
				   view->arena, text);
	if (count == 0) {
		view_fail(view, err_no_memory(&view->last));
		return 0;
	}
	for (i = 0; i < count; i++)
		put_line(view, list, TREE_EDGE,
		    drawing->height + TREE_SMALL * (double)(i + 1) - 4,
		    lines[i]);
	return (double)count * TREE_SMALL + TREE_EDGE;
}

/* What it shows, for those who do not see it. */
static void
put_label(struct view *view, json_t *object, const struct tree_drawing *drawing)
{
	const struct tree_box *first = drawing->boxes[0];
	const char *title =
	    json_string_value(json_object_get(first->node, "title"));
	struct buf label;
	size_t i;

	buf_init(&label, LABEL_MAX);
	if (first->kind != TREE_CHECK) {
		buf_add(&label, "No check is worth asking.");
	} else {
		buf_printf(&label,
		    "A tree of %zu checks, from the left to the right. It "
		    "begins with: %s.",
		    drawing->checks, title != NULL ? title : "");
		for (i = 0; i < first->below_count; i++) {
			const json_t *outcome = first->below[i]->outcome;

			buf_printf(&label, " %s, %s: ",
			    json_string_value(
				json_object_get(outcome, "title")),
			    json_string_value(
				json_object_get(outcome, "percent")));
			buf_printf(
			    &label, "%s.", first->below[i]->lines[0].text);
		}
	}
	view_words(view, object, "label", buf_text(&label));
	buf_clear(&label);
}

static void
put_drawing(
    struct view *view, const struct tree_drawing *drawing, const json_t *tree)
{
	json_t *object = view_object(view, view->root, "drawing"), *list;
	double notes;
	size_t i;

	view_words(view, object, "title",
	    json_string_value(json_object_get(view->root, "title")));
	put_label(view, object, drawing);
	notes = put_notes(view, object, drawing, tree);
	put_pixels(view, object, "width", width_of(drawing));
	put_pixels(view, object, "height", drawing->height + notes);
	list = view_list(view, object, "edges");
	for (i = 1; i < drawing->count; i++)
		put_edge(view, list, drawing->boxes[i]);
	list = view_list(view, object, "boxes");
	for (i = 0; i < drawing->count; i++)
		put_box(view, list, drawing->boxes[i]);
}

void
view_plan_show(struct view *view)
{
	struct tree_drawing drawing = {.view = view};
	const json_t *tree = json_object_get(view->root, "tree");

	view_plan_text(view);
	if (view->status != LW_OK)
		return;
	if (!take_up(&drawing, tree)) {
		view_fail(view, err_no_memory(&view->last));
		return;
	}
	measure(&drawing);
	place(&drawing);
	put_drawing(view, &drawing, tree);
}
