/*
 * What an expression can be over one box: natural interval extension, then
 * again at the corner of every name in which the slope keeps its sign, for
 * either end. Each time some names were settled, the slopes of the others are
 * looked at again over the smaller box. Where some stay open, the box is cut in
 * two where it matters most, again and again (the branch and bound of Moore
 * and Skelboe; Moore, Kearfott, Cloud, chapter 5). Choices that are open are
 * left to meter/expr_range.c, the single step to meter/expr_step.c.
 */
#include "meter/expr_inside.h"

#include <math.h>
#include <string.h>

enum {
	ROUNDS = 3,
	PARTS = 32 /* that a box is cut into at most, for an end */
};

/* Closer than that, as a share, no cut makes it. */
#define SHARP 1e-12

bool
expr_is_end(const struct expr_node *node)
{
	return node->op == EXPR_LOW || node->op == EXPR_HIGH ||
	       node->op == EXPR_MIDDLE;
}

static void
read_name(struct expr_cell *cell, struct interval x)
{
	memset(cell, 0, sizeof *cell);
	cell->value = x;
	if (interval_is_finite(x) && x.low <= x.high)
		return;
	cell->value = interval_of(0, 0);
	cell->trouble = EXPR_BAD_VALUE;
	cell->where = -1;
}

/* No word at all is as little known as all of them. */
static void
read_choice(struct expr_cell *cell, unsigned possible, unsigned words)
{
	memset(cell, 0, sizeof *cell);
	if (possible == 0)
		cell->truth = EXPR_EITHER;
	else if ((possible & ~words) == 0)
		cell->truth = EXPR_TRUE;
	else
		cell->truth =
		    (possible & words) == 0 ? EXPR_FALSE : EXPR_EITHER;
}

/* A divisor, or what a ln is of, seems to be out of bounds: look at it more
 * closely than the natural extension does. */
static void
rescue(struct expr_cell *cells, struct expr_look *look,
    const struct expr_box *box, size_t i)
{
	const struct expr_node *node = &look->expr->nodes[i];
	short operand = node->operand[node->op == EXPR_DIV ? 1 : 0];
	struct expr_sharp sharp;

	if (look->budget <= 0 || cells[i].where != -1 ||
	    cells[i].trouble >= EXPR_TOO_BIG ||
	    interval_is_point(cells[operand].value))
		return;
	expr_sharpen(&sharp, look, (size_t)operand, box, false);
	if (sharp.trouble != EXPR_FINE)
		return;
	cells[operand].value = interval_of(sharp.low.low, sharp.high.high);
	expr_step(&cells[i], node, cells);
}

void
expr_pass(struct expr_cell *cells, struct expr_look *look, size_t last,
    const struct expr_box *box, bool closer)
{
	const struct expr_node *node;
	size_t i;

	look->budget -= (long)last + 1;
	for (i = 0; i <= last; i++) {
		node = &look->expr->nodes[i];
		if (node->op == EXPR_NAME)
			read_name(&cells[i], box->at[node->name]);
		else if (node->op == EXPR_CHOICE)
			read_choice(
			    &cells[i], box->words[node->name], node->words);
		else if (expr_is_end(node))
			cells[i] = look->ends[i];
		else
			expr_step(&cells[i], node, cells);
		if (cells[i].trouble != EXPR_FINE && closer)
			rescue(cells, look, box, i);
		if (cells[i].trouble != EXPR_FINE && cells[i].where < 0)
			cells[i].where = (short)i;
	}
}

/* --- one end ----------------------------------------------------------------
 */

/* What an end is looked for in, and what was found. */
struct hunt {
	struct expr_look *look;
	size_t last;
	bool upper;
	bool closer;
};

/* A part of the box. */
struct part {
	struct expr_box box;
	struct interval end; /* from what is attained to what is sure */
	int open;	     /* the name that matters most of those that are
			      * not settled; -1: none */
};

/* How much a name may matter: its slope times its width. */
static double
weight_of(struct interval slope, struct interval at)
{
	return fmax(fabs(slope.low), fabs(slope.high)) * (at.high - at.low);
}

/* Settle the names in which the node only rises or only falls. Returns whether
 * one was. */
static bool
settle(
    struct part *part, const struct hunt *hunt, const struct expr_cell *cells)
{
	const struct expr *expr = hunt->look->expr;
	struct interval slopes[EXPR_NODES_MAX], slope;
	unsigned names = expr->nodes[hunt->last].names;
	struct expr_box settled = part->box;
	double most = -1, weight;
	bool any = false;
	unsigned i;

	part->open = -1;
	for (i = 0; i < expr->name_count; i++) {
		if ((names >> i & 1) == 0 || expr->choices[i] != NULL ||
		    interval_is_point(part->box.at[i]))
			continue;
		hunt->look->budget -= (long)hunt->last + 1;
		expr_slopes(slopes, cells, expr, hunt->last, i);
		slope = slopes[hunt->last];
		weight = weight_of(slope, part->box.at[i]);
		if (slope.low >= 0 || slope.high <= 0) {
			any = true;
			if ((slope.low >= 0) == hunt->upper)
				settled.at[i].low = settled.at[i].high;
			else
				settled.at[i].high = settled.at[i].low;
		} else if (weight > most) {
			most = weight;
			part->open = (int)i;
		}
	}
	part->box = settled;
	return any;
}

/* What is attained somewhere in the part: at its middle. */
static void
attain(struct part *part, const struct hunt *hunt, struct expr_cell *cells)
{
	const struct expr_cell *root = &cells[hunt->last];
	struct interval *end = &part->end;
	struct expr_box box = part->box;
	double value;
	size_t i;

	for (i = 0; i < hunt->look->expr->name_count; i++) {
		value = interval_middle(box.at[i]);
		box.at[i] = interval_of(value, value);
		box.words[i] &= ~box.words[i] + 1;
		if (box.words[i] == 0)
			box.words[i] = 1;
	}
	expr_pass(cells, hunt->look, hunt->last, &box, false);
	if (root->trouble != EXPR_FINE)
		return;
	if (hunt->upper)
		end->low = fmax(end->low, fmin(root->value.low, end->high));
	else
		end->high = fmin(end->high, fmax(root->value.high, end->low));
}

/* The end over one part, from what its nodes come to. */
static void
find_end(struct part *part, const struct hunt *hunt, struct expr_cell *cells)
{
	int round;

	part->end = cells[hunt->last].value;
	for (round = 0; round < ROUNDS && hunt->look->budget > 0; round++) {
		if (!settle(part, hunt, cells))
			break;
		expr_pass(
		    cells, hunt->look, hunt->last, &part->box, hunt->closer);
		if (cells[hunt->last].trouble != EXPR_FINE)
			break;
		part->end = cells[hunt->last].value;
		if (part->open < 0)
			break;
	}
	if (!interval_is_point(part->end) && hunt->look->budget > 0)
		attain(part, hunt, cells);
}

/* The part that says how far the end is. */
static size_t
outermost(const struct part *parts, size_t count, bool upper)
{
	size_t worst = 0, i;

	for (i = 1; i < count; i++)
		if (upper ? parts[i].end.high > parts[worst].end.high
			  : parts[i].end.low < parts[worst].end.low)
			worst = i;
	return worst;
}

/* What the parts say together. */
static struct interval
joined(const struct part *parts, size_t count, bool upper)
{
	struct interval end = parts[0].end;
	size_t i;

	for (i = 1; i < count; i++)
		end = upper ? interval_max(end, parts[i].end)
			    : interval_min(end, parts[i].end);
	return end;
}

/* Cut a part in two at the middle of its open name. False: it cannot be. */
static bool
cut(struct part *part, struct part *other, const struct hunt *hunt)
{
	struct expr_cell cells[EXPR_NODES_MAX];
	struct part halves[2];
	struct interval *at;
	double middle;
	int i, open = part->open;

	middle = interval_middle(part->box.at[open]);
	for (i = 0; i < 2; i++) {
		halves[i].box = part->box;
		at = &halves[i].box.at[open];
		*(i == 0 ? &at->high : &at->low) = middle;
		halves[i].open = open;
		expr_pass(cells, hunt->look, hunt->last, &halves[i].box,
		    hunt->closer);
		if (cells[hunt->last].trouble != EXPR_FINE)
			return false;
		find_end(&halves[i], hunt, cells);
	}
	*part = halves[0];
	*other = halves[1];
	return true;
}

static bool
is_sharp(struct interval end)
{
	return end.high - end.low <=
	       SHARP * fmax(fabs(end.low), fabs(end.high));
}

/* One end: over the whole box, then where it is not sure, in parts. */
static struct interval
sharpen_end(const struct hunt *hunt, const struct expr_box *box,
    const struct expr_cell *full)
{
	struct expr_cell cells[EXPR_NODES_MAX];
	struct part parts[PARTS];
	struct interval end;
	size_t count = 1, worst;

	memcpy(cells, full, (hunt->last + 1) * sizeof *cells);
	parts[0].box = *box;
	parts[0].open = -1;
	find_end(&parts[0], hunt, cells);
	end = parts[0].end;
	while (count < PARTS && hunt->look->budget > 0 && !is_sharp(end)) {
		worst = outermost(parts, count, hunt->upper);
		if (parts[worst].open < 0 ||
		    !cut(&parts[worst], &parts[count], hunt))
			break;
		count++;
		end = joined(parts, count, hunt->upper);
	}
	return end;
}

/* --- both -------------------------------------------------------------------
 */

void
expr_sharpen(struct expr_sharp *sharp, struct expr_look *look, size_t last,
    const struct expr_box *box, bool closer)
{
	struct expr_cell cells[EXPR_NODES_MAX];
	struct interval *low = &sharp->low, *high = &sharp->high, swap;
	struct hunt hunt = {look, last, false, closer};

	expr_pass(cells, look, last, box, closer);
	sharp->trouble = cells[last].trouble;
	sharp->where = cells[last].where;
	*low = *high = cells[last].value;
	if (sharp->trouble != EXPR_FINE || interval_is_point(*low))
		return;
	*low = sharpen_end(&hunt, box, cells);
	hunt.upper = true;
	*high = sharpen_end(&hunt, box, cells);
	/* Corners of what hardly varies may be rounded past each other. */
	if (low->low > high->high) {
		swap = *low;
		*low = *high;
		*high = swap;
	}
}
