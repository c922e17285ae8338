/*
 * All that an expression can be: natural interval extension over the box of
 * what its names can be, then again at the corner of every name in which the
 * slope keeps its sign, for either end. The single step is left to
 * meter/expr_step.c, slopes to meter/expr_slope.c.
 *
 * Each time some names were settled the slopes of the others are looked at
 * again over the smaller box, ROUNDS times at most.
 */
#include "meter/expr_inside.h"

#include "base/err.h"

#include <math.h>
#include <string.h>

enum {
	ROUNDS = 3,
	RESCUES = 32 /* divisors and the like that are looked at closer */
};

struct box {
	struct interval at[EXPR_NAMES_MAX];
	unsigned words[EXPR_NAMES_MAX]; /* of choices */
};

/* One question about an expression. */
struct look {
	const struct expr *expr;
	struct box full;
	struct expr_cell ends[EXPR_NODES_MAX]; /* low, high, middle */
	int rescues;			       /* left */
};

/* What the expression up to a node can be: its ends, each between what is
 * sure and what is attained. */
struct sharp {
	struct interval low;
	struct interval high;
	unsigned char trouble;
	short where;
};

static void sharpen(struct sharp *sharp, struct look *look, size_t last,
    const struct box *box, bool may_rescue);

static bool
is_end(const struct expr_node *node)
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
rescue(
    struct expr_cell *cells, struct look *look, const struct box *box, size_t i)
{
	const struct expr_node *node = &look->expr->nodes[i];
	short operand = node->operand[node->op == EXPR_DIV ? 1 : 0];
	struct sharp sharp;

	if (look->rescues == 0 || cells[i].where != -1 ||
	    cells[i].trouble >= EXPR_TOO_BIG ||
	    interval_is_point(cells[operand].value))
		return;
	look->rescues--;
	sharpen(&sharp, look, (size_t)operand, box, false);
	if (sharp.trouble != EXPR_FINE)
		return;
	cells[operand].value = interval_of(sharp.low.low, sharp.high.high);
	expr_step(&cells[i], node, cells);
}

/* Work out every node up to `last` over a box. */
static void
pass(struct expr_cell *cells, struct look *look, size_t last,
    const struct box *box, bool may_rescue)
{
	const struct expr_node *node;
	size_t i;

	for (i = 0; i <= last; i++) {
		node = &look->expr->nodes[i];
		if (node->op == EXPR_NAME)
			read_name(&cells[i], box->at[node->name]);
		else if (node->op == EXPR_CHOICE)
			read_choice(
			    &cells[i], box->words[node->name], node->words);
		else if (is_end(node))
			cells[i] = look->ends[i];
		else
			expr_step(&cells[i], node, cells);
		if (cells[i].trouble != EXPR_FINE && may_rescue)
			rescue(cells, look, box, i);
		if (cells[i].trouble != EXPR_FINE && cells[i].where < 0)
			cells[i].where = (short)i;
	}
}

/* Settle the names in which a node only rises or only falls, for its lower or
 * its upper end. Returns whether one was. `left`: one is still open. */
static bool
settle(struct box *box, bool *left, const struct look *look,
    const struct expr_cell *cells, size_t last, bool upper)
{
	struct interval slopes[EXPR_NODES_MAX], slope;
	unsigned names = look->expr->nodes[last].names;
	bool any = false;
	struct box settled = *box;
	unsigned i;

	*left = false;
	for (i = 0; i < look->expr->name_count; i++) {
		if ((names >> i & 1) == 0 || look->expr->choices[i] != NULL ||
		    interval_is_point(box->at[i]))
			continue;
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
attain(struct interval *end, struct expr_cell *cells, struct look *look,
    size_t last, struct box box, bool upper)
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
	pass(cells, look, last, &box, false);
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
sharpen_end(struct look *look, size_t last, struct box box,
    const struct expr_cell *full, bool upper, bool may_rescue)
{
	struct expr_cell cells[EXPR_NODES_MAX];
	struct interval end = full[last].value;
	bool left = true;
	int round;

	memcpy(cells, full, (last + 1) * sizeof *cells);
	for (round = 0; round < ROUNDS && left; round++) {
		if (!settle(&box, &left, look, cells, last, upper))
			break;
		pass(cells, look, last, &box, may_rescue);
		if (cells[last].trouble != EXPR_FINE)
			break;
		end = cells[last].value;
	}
	if (!interval_is_point(end))
		attain(&end, cells, look, last, box, upper);
	return end;
}

static void
sharpen(struct sharp *sharp, struct look *look, size_t last,
    const struct box *box, bool may_rescue)
{
	struct expr_cell cells[EXPR_NODES_MAX];
	struct interval *low = &sharp->low, *high = &sharp->high, swap;

	pass(cells, look, last, box, may_rescue);
	sharp->trouble = cells[last].trouble;
	sharp->where = cells[last].where;
	if (sharp->trouble != EXPR_FINE)
		return;
	*low = *high = cells[last].value;
	if (interval_is_point(*low))
		return;
	*low = sharpen_end(look, last, *box, cells, false, may_rescue);
	*high = sharpen_end(look, last, *box, cells, true, may_rescue);
	/* Corners of what hardly varies may be rounded past each other. */
	if (low->low > high->high) {
		swap = *low;
		*low = *high;
		*high = swap;
	}
}

/* low(), high(), middle(): numbers that the whole box gives. */
static void
find_ends(struct look *look)
{
	const struct expr *expr = look->expr;
	struct expr_cell *cell;
	struct sharp sharp;
	size_t i;

	for (i = 0; i < expr->count; i++) {
		if (!is_end(&expr->nodes[i]))
			continue;
		cell = &look->ends[i];
		sharpen(&sharp, look, (size_t)expr->nodes[i].operand[0],
		    &look->full, true);
		memset(cell, 0, sizeof *cell);
		cell->trouble = sharp.trouble;
		cell->where = sharp.where;
		if (sharp.trouble != EXPR_FINE)
			continue;
		if (expr->nodes[i].op == EXPR_LOW)
			cell->value = sharp.low;
		else if (expr->nodes[i].op == EXPR_HIGH)
			cell->value = sharp.high;
		else
			cell->value = interval_mul(interval_of(0.5, 0.5),
			    interval_add(sharp.low, sharp.high));
	}
}

static void
begin(
    struct look *look, const struct expr *expr, const struct expr_value *values)
{
	size_t i;

	look->expr = expr;
	look->rescues = RESCUES;
	for (i = 0; i < expr->name_count; i++) {
		look->full.at[i] = interval_of(0, 0);
		look->full.words[i] = values[i].choices;
		if (expr->choices[i] == NULL)
			look->full.at[i] =
			    interval_of(values[i].low, values[i].high);
	}
	if (expr->ends > 0)
		find_ends(look);
}

static enum lw_status
complain(const struct look *look, unsigned trouble, short where, bool surely,
    struct lw_err *err)
{
	return expr_complain(
	    &look->expr->nodes[where], (enum expr_trouble)trouble, surely, err);
}

enum lw_status
expr_range(struct expr_range *range, const struct expr *expr,
    const struct expr_value *values, struct lw_err *err)
{
	struct look look;
	struct sharp sharp;

	begin(&look, expr, values);
	sharpen(&sharp, &look, expr->root, &look.full, true);
	if (sharp.trouble != EXPR_FINE)
		return complain(&look, sharp.trouble, sharp.where, false, err);
	range->low = sharp.low.low;
	range->high = sharp.high.high;
	return LW_OK;
}

enum lw_status
expr_number(double *number, const struct expr *expr,
    const struct expr_value *values, struct lw_err *err)
{
	struct expr_cell cells[EXPR_NODES_MAX];
	struct look look;
	struct box box;
	size_t i, last = expr->root;

	begin(&look, expr, values);
	for (i = 0; i < expr->name_count; i++) {
		box.at[i] = interval_of(0, 0);
		box.words[i] = values[i].choices & (~values[i].choices + 1);
		if (box.words[i] == 0)
			box.words[i] = 1;
		if (expr->choices[i] == NULL)
			box.at[i] =
			    interval_of(values[i].nominal, values[i].nominal);
	}
	pass(cells, &look, last, &box, false);
	if (cells[last].trouble != EXPR_FINE)
		return complain(
		    &look, cells[last].trouble, cells[last].where, true, err);
	*number = interval_middle(cells[last].value);
	return LW_OK;
}
