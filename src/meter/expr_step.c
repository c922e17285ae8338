/* One step of an expression's work: what an operator makes of its operands,
 * and the sentence where it cannot. Which steps are done, and over what, is
 * left to meter/expr_range.c. */
#include "meter/expr_inside.h"

#include "base/err.h"

#include <math.h>

/* So much under zero, as a share of the upper end, is rounding and no
 * negative number. */
#define ROUNDING 1e-12

static void
begin_trouble(struct expr_cell *cell, enum expr_trouble trouble)
{
	cell->trouble = (unsigned char)trouble;
	cell->where = -1;
	cell->value = interval_of(0, 0);
	cell->truth = EXPR_EITHER;
}

static unsigned char
truth_not(unsigned char one)
{
	return one == EXPR_EITHER ? EXPR_EITHER
	       : one == EXPR_TRUE ? EXPR_FALSE
				  : EXPR_TRUE;
}

static unsigned char
truth_equal(struct interval x, struct interval y)
{
	if (x.high < y.low || y.high < x.low)
		return EXPR_FALSE;
	if (interval_is_point(x) && interval_is_point(y))
		return EXPR_TRUE;
	return EXPR_EITHER;
}

static unsigned char
truth_less(struct interval x, struct interval y)
{
	if (x.high < y.low)
		return EXPR_TRUE;
	return x.low >= y.high ? EXPR_FALSE : EXPR_EITHER;
}

static unsigned char
truth_at_most(struct interval x, struct interval y)
{
	if (x.high <= y.low)
		return EXPR_TRUE;
	return x.low > y.high ? EXPR_FALSE : EXPR_EITHER;
}

/* `and` and `or`: what is on the right counts only where the left does not
 * tell already. */
static void
step_join(struct expr_cell *cell, const struct expr_cell *one,
    const struct expr_cell *two, unsigned char settles)
{
	*cell = *one;
	if (one->trouble != EXPR_FINE || one->truth == settles)
		return;
	if (two->trouble != EXPR_FINE || two->truth == settles ||
	    one->truth != EXPR_EITHER)
		*cell = *two;
}

static void
step_if(struct expr_cell *cell, const struct expr_cell *condition,
    const struct expr_cell *then, const struct expr_cell *otherwise)
{
	if (condition->trouble != EXPR_FINE) {
		*cell = *condition;
	} else if (condition->truth != EXPR_EITHER) {
		*cell = condition->truth == EXPR_TRUE ? *then : *otherwise;
	} else if (then->trouble != EXPR_FINE) {
		*cell = *then;
	} else {
		*cell = *otherwise;
		cell->value = interval_hull(then->value, otherwise->value);
	}
}

static void
step_sqrt(struct expr_cell *cell, struct interval x)
{
	if (x.low < 0 && x.low >= -ROUNDING * x.high)
		x.low = 0;
	if (x.low < 0)
		begin_trouble(cell, EXPR_SQRT_DOMAIN);
	else
		cell->value = interval_sqrt(x);
}

static void
step_power(
    struct expr_cell *cell, const struct expr_node *node, struct interval x)
{
	double power = node->number;

	if (power < 0 && interval_has_zero(x))
		begin_trouble(cell, EXPR_BY_ZERO);
	else if (node->op == EXPR_POWER)
		cell->value = interval_power(x, (int)power);
	else if (x.low < 0)
		begin_trouble(cell, EXPR_POWER_DOMAIN);
	else
		cell->value = interval_root(x, power);
}

static void
step_condition(struct expr_cell *cell, enum expr_op op,
    const struct expr_cell *one, const struct expr_cell *two)
{
	switch (op) {
	case EXPR_EQUAL:
		cell->truth = truth_equal(one->value, two->value);
		break;
	case EXPR_LESS:
		cell->truth = truth_less(one->value, two->value);
		break;
	case EXPR_AT_MOST:
		cell->truth = truth_at_most(one->value, two->value);
		break;
	default:
		cell->truth = truth_not(one->truth);
		break;
	}
}

static void
step_arithmetic(struct expr_cell *cell, const struct expr_node *node,
    struct interval x, struct interval y)
{
	switch (node->op) {
	case EXPR_ADD:
		cell->value = interval_add(x, y);
		break;
	case EXPR_SUB:
		cell->value = interval_sub(x, y);
		break;
	case EXPR_MUL:
		cell->value = interval_mul(x, y);
		break;
	case EXPR_DIV:
		if (interval_has_zero(y))
			begin_trouble(cell, EXPR_BY_ZERO);
		else
			cell->value = interval_div(x, y);
		break;
	case EXPR_NEG:
		cell->value = interval_neg(x);
		break;
	case EXPR_POWER:
	case EXPR_ROOT:
		step_power(cell, node, x);
		break;
	case EXPR_MIN:
		cell->value = interval_min(x, y);
		break;
	case EXPR_MAX:
		cell->value = interval_max(x, y);
		break;
	case EXPR_ABS:
		cell->value = interval_abs(x);
		break;
	case EXPR_EXP:
		cell->value = interval_exp(x);
		break;
	case EXPR_LN:
		if (x.low <= 0)
			begin_trouble(cell, EXPR_LN_DOMAIN);
		else
			cell->value = interval_ln(x);
		break;
	default:
		step_sqrt(cell, x);
		break;
	}
	if (cell->trouble == EXPR_FINE && !interval_is_finite(cell->value))
		begin_trouble(cell, EXPR_TOO_BIG);
}

void
expr_step(struct expr_cell *cell, const struct expr_node *node,
    const struct expr_cell *cells)
{
	static const struct expr_cell nothing;
	const struct expr_cell *one = &nothing, *two = &nothing;

	*cell = nothing;
	if (node->op == EXPR_NUMBER) {
		cell->value = interval_of(node->number, node->number);
		return;
	}
	one = &cells[node->operand[0]];
	if (node->operand[1] >= 0)
		two = &cells[node->operand[1]];
	if (node->op == EXPR_IF)
		step_if(cell, one, two, &cells[node->operand[2]]);
	else if (node->op == EXPR_AND)
		step_join(cell, one, two, EXPR_FALSE);
	else if (node->op == EXPR_OR)
		step_join(cell, one, two, EXPR_TRUE);
	else if (one->trouble != EXPR_FINE)
		*cell = *one;
	else if (two->trouble != EXPR_FINE)
		*cell = *two;
	else if (node->condition)
		step_condition(cell, node->op, one, two);
	else
		step_arithmetic(cell, node, one->value, two->value);
}

enum lw_status
expr_complain(const struct expr_node *node, enum expr_trouble trouble,
    bool surely, struct lw_err *err)
{
	static const struct {
		const char *is;
		const char *may_be;
	} said[] = {
	    [EXPR_BY_ZERO] = {"this divides by zero",
		"this divides by what may be zero"},
	    [EXPR_LN_DOMAIN] = {"ln is of a number above zero, and this is "
				"none",
		"ln is of a number above zero, and this may be zero or less"},
	    [EXPR_SQRT_DOMAIN] = {"sqrt is of a number from zero up, and this "
				  "is below",
		"sqrt is of a number from zero up, and this may be below"},
	    [EXPR_POWER_DOMAIN] = {"a broken power is of a number from zero "
				   "up, and this is below",
		"a broken power is of a number from zero up, and this may be "
		"below"},
	    [EXPR_TOO_BIG] = {"this is too big; numbers go up to 1.7e308",
		"this may be too big; numbers go up to 1.7e308"},
	    [EXPR_BAD_VALUE] = {"what this name stands for has to be a number",
		"what this name stands for has to be a number, from low to "
		"high"},
	};
	const char *text = surely ? said[trouble].is : said[trouble].may_be;

	if (node->within != NULL)
		return err_set_at(err, LW_BAD_INPUT, 0, node->column,
		    "within %s %s", node->within, text);
	return err_set_at(err, LW_BAD_INPUT, 0, node->column, "%s", text);
}
