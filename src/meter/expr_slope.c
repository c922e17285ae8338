/* How an expression changes with one of its names: the slopes of every step
 * over a box, as intervals (forward differentiation). */
#include "meter/expr_inside.h"

#include <math.h>

static struct interval
point(double x)
{
	return interval_of(x, x);
}

/* x^n: n x^(n-1) x'. */
static struct interval
slope_power(const struct expr_node *node, struct interval x, struct interval dx)
{
	double power = node->number;
	struct interval outer;

	if (power == 0)
		return point(0);
	if (node->op == EXPR_POWER)
		outer = interval_power(x, (int)power - 1);
	else
		outer = interval_root(x, power - 1);
	return interval_mul(interval_mul(point(power), outer), dx);
}

/* sqrt x: x' / (2 sqrt x), which is without bound at zero. */
static struct interval
slope_sqrt(struct interval root, struct interval dx)
{
	struct interval twice = interval_add(root, root);
	struct interval outer = interval_of(0, HUGE_VAL);

	if (twice.low > 0)
		outer = interval_div(point(1), twice);
	return interval_mul(outer, dx);
}

/* min and max: the slope of the one that it is, or of either. */
static struct interval
slope_choose(bool first, bool second, struct interval dx, struct interval dy)
{
	if (first == second)
		return interval_hull(dx, dy);
	return first ? dx : dy;
}

static struct interval
slope_abs(struct interval x, struct interval dx)
{
	if (x.low >= 0)
		return dx;
	if (x.high <= 0)
		return interval_neg(dx);
	return interval_hull(dx, interval_neg(dx));
}

/* Where the condition itself varies with the name there may be a jump. */
static struct interval
slope_if(const struct expr_node *nodes, const struct expr_node *node,
    const struct expr_cell *cells, const struct interval *slopes, unsigned bit)
{
	struct interval then = slopes[node->operand[1]];
	struct interval otherwise = slopes[node->operand[2]];
	unsigned char truth = cells[node->operand[0]].truth;

	if (truth == EXPR_TRUE)
		return then;
	if (truth == EXPR_FALSE)
		return otherwise;
	if ((nodes[node->operand[0]].names & bit) != 0)
		return interval_all();
	return interval_hull(then, otherwise);
}

static struct interval
slope_of(const struct expr_node *node, struct interval z, struct interval x,
    struct interval y, struct interval dx, struct interval dy)
{
	switch (node->op) {
	case EXPR_ADD:
		return interval_add(dx, dy);
	case EXPR_SUB:
		return interval_sub(dx, dy);
	case EXPR_MUL:
		return interval_add(interval_mul(dx, y), interval_mul(x, dy));
	case EXPR_DIV:
		return interval_div(interval_sub(dx, interval_mul(z, dy)), y);
	case EXPR_NEG:
		return interval_neg(dx);
	case EXPR_POWER:
	case EXPR_ROOT:
		return slope_power(node, x, dx);
	case EXPR_MIN:
		return slope_choose(x.high <= y.low, y.high <= x.low, dx, dy);
	case EXPR_MAX:
		return slope_choose(x.low >= y.high, y.low >= x.high, dx, dy);
	case EXPR_ABS:
		return slope_abs(x, dx);
	case EXPR_EXP:
		return interval_mul(z, dx);
	case EXPR_LN:
		return interval_div(dx, x);
	case EXPR_SQRT:
		return slope_sqrt(z, dx);
	default:
		return point(0);
	}
}

void
expr_slopes(struct interval *slopes, const struct expr_cell *cells,
    const struct expr *expr, size_t last, unsigned name)
{
	const struct expr_node *nodes = expr->nodes, *node;
	unsigned bit = 1u << name;
	size_t i;
	short one, two;

	for (i = 0; i <= last; i++) {
		node = &nodes[i];
		one = node->operand[0];
		two = node->operand[1] < 0 ? one : node->operand[1];
		if ((node->names & bit) == 0)
			slopes[i] = point(0);
		else if (node->op == EXPR_NAME)
			slopes[i] = point(1);
		else if (node->condition || cells[i].trouble != EXPR_FINE)
			slopes[i] = point(0);
		else if (node->op == EXPR_IF)
			slopes[i] = slope_if(nodes, node, cells, slopes, bit);
		else
			slopes[i] =
			    slope_of(node, cells[i].value, cells[one].value,
				cells[two].value, slopes[one], slopes[two]);
	}
}
