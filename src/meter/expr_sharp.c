/*
 * What an expression can be over one box: natural interval extension, then
 * again at the corner of every name in which the slope keeps its sign, for
 * either end. Each time some names were settled, the slopes of the others are
 * looked at again over the smaller box. Choices that are open are left to
 * meter/expr_range.c, the single step to meter/expr_step.c.
 */
#include "meter/expr_inside.h"

#include <math.h>
#include <string.h>

enum { ROUNDS = 3 };

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

/* Settle the names in which a node only rises or only falls, for its lower or
 * its upper end. Returns whether one was. `left`: one is still open. */
static bool
settle(struct expr_box *box, bool *left, struct expr_look *look,
    const struct expr_cell *cells, size_t last, bool upper)
{
	struct interval slopes[EXPR_NODES_MAX], slope;
	unsigned names = look->expr->nodes[last].names;
	bool any = false;
	struct expr_box settled = *box;
	unsigned i;

	*left = false;
	for (i = 0; i < look->expr->name_count; i++) {
		if ((names >> i & 1) == 0 || look->expr->choices[i] != NULL ||
		    interval_is_point(box->at[i]))
			continue;
		look->budget -= (long)last + 1;
		expr_slopes(slopes, cells, look->expr, last, i);
		slope = slopes[last];
		if (slope.low < 0 && slope.high > 0) {
			*left = true;
			continue;
		}
		any = true;
		if ((slope.low >= 0) == upper)
			settled.at[i].low = box->at[i].high;
		else
			settled.at[i].high = box->at[i].low;
	}
	*box = settled;
	return any;
}

/* What is attained somewhere in the box: at its middle. */
static void
attain(struct interval *end, struct expr_cell *cells, struct expr_look *look,
    size_t last, struct expr_box box, bool upper)
{
	double value;
	size_t i;

	for (i = 0; i < look->expr->name_count; i++) {
		value = interval_middle(box.at[i]);
		box.at[i] = interval_of(value, value);
		box.words[i] &= ~box.words[i] + 1;
		if (box.words[i] == 0)
			box.words[i] = 1;
	}
	expr_pass(cells, look, last, &box, false);
	if (cells[last].trouble != EXPR_FINE)
		return;
	if (upper)
		end->low =
		    fmax(end->low, fmin(cells[last].value.low, end->high));
	else
		end->high =
		    fmin(end->high, fmax(cells[last].value.high, end->low));
}

/* One end, from the cells over the whole box. */
static struct interval
sharpen_end(struct expr_look *look, size_t last, struct expr_box box,
    const struct expr_cell *full, bool upper, bool closer)
{
	struct expr_cell cells[EXPR_NODES_MAX];
	struct interval end = full[last].value;
	bool left = true;
	int round;

	memcpy(cells, full, (last + 1) * sizeof *cells);
	for (round = 0; round < ROUNDS && left && look->budget > 0; round++) {
		if (!settle(&box, &left, look, cells, last, upper))
			break;
		expr_pass(cells, look, last, &box, closer);
		if (cells[last].trouble != EXPR_FINE)
			break;
		end = cells[last].value;
	}
	if (!interval_is_point(end) && look->budget > 0)
		attain(&end, cells, look, last, box, upper);
	return end;
}

void
expr_sharpen(struct expr_sharp *sharp, struct expr_look *look, size_t last,
    const struct expr_box *box, bool closer)
{
	struct expr_cell cells[EXPR_NODES_MAX];
	struct interval *low = &sharp->low, *high = &sharp->high, swap;

	expr_pass(cells, look, last, box, closer);
	sharp->trouble = cells[last].trouble;
	sharp->where = cells[last].where;
	*low = *high = cells[last].value;
	if (sharp->trouble != EXPR_FINE || interval_is_point(*low))
		return;
	*low = sharpen_end(look, last, *box, cells, false, closer);
	*high = sharpen_end(look, last, *box, cells, true, closer);
	/* Corners of what hardly varies may be rounded past each other. */
	if (low->low > high->high) {
		swap = *low;
		*low = *high;
		*high = swap;
	}
}
