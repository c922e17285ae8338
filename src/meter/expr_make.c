/* Making an expression's nodes: dimensions, conditions, and what is known at
 * once is worked out at once. Grammar is left to meter/expr_parse.c. */
#include "meter/expr_inside.h"

#include "base/err.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { POWER_MOST = 100 };

static const struct lw_dimension bare = {0, 0, 0, 0, 0};

static bool
is_bare(const struct expr_node *node)
{
	return lw_dimension_equal(node->dimension, bare);
}

static const char *
sign_of(enum expr_op op)
{
	static const char *const signs[] = {
	    [EXPR_ADD] = "+",
	    [EXPR_SUB] = "-",
	    [EXPR_MUL] = "*",
	    [EXPR_DIV] = "/",
	    [EXPR_NEG] = "-",
	    [EXPR_POWER] = "^",
	    [EXPR_MIN] = "min",
	    [EXPR_MAX] = "max",
	    [EXPR_ABS] = "abs",
	    [EXPR_EXP] = "exp",
	    [EXPR_LN] = "ln",
	    [EXPR_SQRT] = "sqrt",
	    [EXPR_IF] = "if",
	    [EXPR_LOW] = "low",
	    [EXPR_HIGH] = "high",
	    [EXPR_MIDDLE] = "middle",
	    [EXPR_EQUAL] = "=",
	    [EXPR_LESS] = "a comparison",
	    [EXPR_AT_MOST] = "a comparison",
	    [EXPR_AND] = "and",
	    [EXPR_OR] = "or",
	    [EXPR_NOT] = "not",
	};

	return signs[op];
}

/* --- what goes together --------------------------------------------------- */

/* Two operands have to measure the same. */
static enum lw_status
check_same(const struct expr_node *one, const struct expr_node *other,
    enum expr_op op, unsigned column, struct lw_err *err)
{
	char first[LW_QUANTITY_MAX], second[LW_QUANTITY_MAX];
	const char *hint = "";

	if (lw_dimension_equal(one->dimension, other->dimension))
		return LW_OK;
	if (is_bare(one) || is_bare(other))
		hint = "; a number may need its unit";
	lw_dimension_say(first, one->dimension);
	lw_dimension_say(second, other->dimension);
	return err_set_at(err, LW_BAD_INPUT, 0, column,
	    "%s has %s and %s, which do not measure the same%s", sign_of(op),
	    first, second, hint);
}

static enum lw_status
check_bare(const struct expr_node *operand, enum expr_op op, unsigned column,
    struct lw_err *err)
{
	char text[LW_QUANTITY_MAX];

	if (is_bare(operand))
		return LW_OK;
	lw_dimension_say(text, operand->dimension);
	return err_set_at(err, LW_BAD_INPUT, 0, column,
	    "%s is of a bare number, not of %s; divide by what it is measured "
	    "against first",
	    sign_of(op), text);
}

/* Conditions where they belong, and nowhere else. */
static enum lw_status
check_kinds(const struct expr_build *build, enum expr_op op,
    const short *operands, unsigned column)
{
	bool wants, is;
	int i;

	for (i = 0; i < 3 && operands[i] >= 0; i++) {
		wants = op >= EXPR_AND || (op == EXPR_IF && i == 0);
		is = build->nodes[operands[i]].condition;
		if (wants && !is)
			return err_set_at(build->err, LW_BAD_INPUT, 0, column,
			    "%s needs a condition, such as pack.cells > 10",
			    sign_of(op));
		if (!wants && is)
			return err_set_at(build->err, LW_BAD_INPUT, 0, column,
			    "%s takes quantities, not a condition; a condition "
			    "stands in if(condition, then, else)",
			    sign_of(op));
	}
	return LW_OK;
}

/* The dimension of a product of powers. False: out of all bounds. */
static bool
combine(struct lw_dimension *out, struct lw_dimension one,
    struct lw_dimension other, int power)
{
	int kg = one.kg + power * other.kg, m = one.m + power * other.m;
	int s = one.s + power * other.s, a = one.a + power * other.a;
	int k = one.k + power * other.k;

	if (abs(kg) > SCHAR_MAX || abs(m) > SCHAR_MAX || abs(s) > SCHAR_MAX ||
	    abs(a) > SCHAR_MAX || abs(k) > SCHAR_MAX)
		return false;
	out->kg = (signed char)kg;
	out->m = (signed char)m;
	out->s = (signed char)s;
	out->a = (signed char)a;
	out->k = (signed char)k;
	return true;
}

static enum lw_status
too_many_powers(unsigned column, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0, column,
	    "no quantity has a unit to so high a power");
}

static enum lw_status
halve(struct lw_dimension *dimension, unsigned column, struct lw_err *err)
{
	struct lw_dimension d = *dimension;
	char text[LW_QUANTITY_MAX];

	if (d.kg % 2 != 0 || d.m % 2 != 0 || d.s % 2 != 0 || d.a % 2 != 0 ||
	    d.k % 2 != 0) {
		lw_dimension_say(text, d);
		return err_set_at(err, LW_BAD_INPUT, 0, column,
		    "%s has no square root; sqrt is of a bare number, of V^2 "
		    "and the like",
		    text);
	}
	dimension->kg = d.kg / 2;
	dimension->m = d.m / 2;
	dimension->s = d.s / 2;
	dimension->a = d.a / 2;
	dimension->k = d.k / 2;
	return LW_OK;
}

/* What the operands of an operator measure together. */
static enum lw_status
measure(struct expr_node *node, const struct expr_build *build)
{
	const struct expr_node *one = &build->nodes[node->operand[0]];
	const struct expr_node *two =
	    node->operand[1] < 0 ? NULL : &build->nodes[node->operand[1]];
	const struct expr_node *three =
	    node->operand[2] < 0 ? NULL : &build->nodes[node->operand[2]];
	unsigned column = node->column;

	node->dimension = one->dimension;
	switch (node->op) {
	case EXPR_ADD:
	case EXPR_SUB:
	case EXPR_MIN:
	case EXPR_MAX:
	case EXPR_EQUAL:
	case EXPR_LESS:
	case EXPR_AT_MOST:
		return check_same(one, two, node->op, column, build->err);
	case EXPR_MUL:
	case EXPR_DIV:
		if (!combine(&node->dimension, one->dimension, two->dimension,
			node->op == EXPR_MUL ? 1 : -1))
			return too_many_powers(column, build->err);
		return LW_OK;
	case EXPR_POWER:
		if (!combine(&node->dimension, bare, one->dimension,
			(int)node->number))
			return too_many_powers(column, build->err);
		return LW_OK;
	case EXPR_ROOT:
	case EXPR_EXP:
	case EXPR_LN:
		return check_bare(one, node->op, column, build->err);
	case EXPR_SQRT:
		return halve(&node->dimension, column, build->err);
	case EXPR_IF:
		node->dimension = two->dimension;
		return check_same(two, three, node->op, column, build->err);
	default:
		return LW_OK;
	}
}

/* --- nodes ---------------------------------------------------------------- */

static enum lw_status
add_node(short *node, struct expr_build *build, const struct expr_node *wanted)
{
	if (build->count == EXPR_NODES_MAX)
		return err_set_at(build->err, LW_BAD_INPUT, 0, wanted->column,
		    "the expression is too long; written out it may have %d "
		    "steps",
		    EXPR_NODES_MAX);
	build->nodes[build->count] = *wanted;
	*node = (short)build->count++;
	return LW_OK;
}

static struct expr_node
plain_node(enum expr_op op, struct expr_place place)
{
	struct expr_node node;

	memset(&node, 0, sizeof node);
	node.op = op;
	node.operand[0] = node.operand[1] = node.operand[2] = -1;
	node.column = place.column;
	node.within = place.within;
	node.condition = op == EXPR_CHOICE || op >= EXPR_EQUAL;
	return node;
}

enum lw_status
expr_make_number(short *node, struct expr_build *build, double number,
    struct lw_dimension dimension, struct expr_place place)
{
	struct expr_node made = plain_node(EXPR_NUMBER, place);

	made.number = number;
	made.dimension = dimension;
	return add_node(node, build, &made);
}

/* A name is one node, however often it stands in the text. */
enum lw_status
expr_make_name(
    short *node, struct expr_build *build, short name, struct expr_place place)
{
	struct expr_node made = plain_node(EXPR_NAME, place);
	enum lw_status status;

	*node = build->name_nodes[name];
	if (*node >= 0)
		return LW_OK;
	made.name = name;
	made.names = 1u << name;
	made.dimension = build->names[name].dimension;
	status = add_node(node, build, &made);
	if (status == LW_OK)
		build->name_nodes[name] = *node;
	return status;
}

enum lw_status
expr_make_choice(short *node, struct expr_build *build, short name,
    unsigned words, struct expr_place place)
{
	struct expr_node made = plain_node(EXPR_CHOICE, place);

	made.name = name;
	made.names = 1u << name;
	made.words = words;
	return add_node(node, build, &made);
}

/* Work out at once what is known at once. */
static enum lw_status
fold(struct expr_node *made, const struct expr_build *build)
{
	struct expr_cell cells[4];
	struct expr_node moved = *made;
	struct expr_place place = {made->column, made->within};
	struct expr_node number = plain_node(EXPR_NUMBER, place);
	short i;

	for (i = 0; i < 3 && made->operand[i] >= 0; i++) {
		const struct expr_node *operand =
		    &build->nodes[made->operand[i]];

		if (operand->op != EXPR_NUMBER)
			return LW_OK;
		memset(&cells[i], 0, sizeof cells[i]);
		cells[i].value = interval_of(operand->number, operand->number);
		moved.operand[i] = i;
	}
	if (made->condition || i == 0)
		return LW_OK;
	number.number = cells[0].value.low;
	number.dimension = made->dimension;
	if (made->op != EXPR_LOW && made->op != EXPR_HIGH &&
	    made->op != EXPR_MIDDLE) {
		expr_step(&cells[3], &moved, cells);
		if (cells[3].trouble != EXPR_FINE)
			return expr_complain(
			    made, cells[3].trouble, true, build->err);
		number.number = cells[3].value.low;
	}
	*made = number;
	return LW_OK;
}

static enum lw_status
finish(short *node, struct expr_build *build, struct expr_node *made)
{
	enum lw_status status;
	int i;

	for (i = 0; i < 3 && made->operand[i] >= 0; i++)
		made->names |= build->nodes[made->operand[i]].names;
	if (made->op == EXPR_LOW || made->op == EXPR_HIGH ||
	    made->op == EXPR_MIDDLE)
		made->names = 0;
	status = measure(made, build);
	if (status == LW_OK)
		status = fold(made, build);
	if (status == LW_OK)
		status = add_node(node, build, made);
	return status;
}

enum lw_status
expr_make(short *node, struct expr_build *build, enum expr_op op,
    const short *operands, struct expr_place place)
{
	struct expr_node made = plain_node(op, place);
	enum lw_status status;

	status = check_kinds(build, op, operands, place.column);
	if (status != LW_OK)
		return status;
	memcpy(made.operand, operands, sizeof made.operand);
	/* A square is narrower than a product of two things that happen to be
	 * the same. */
	if (op == EXPR_MUL && operands[0] == operands[1]) {
		made.op = EXPR_POWER;
		made.number = 2;
		made.operand[1] = -1;
	}
	return finish(node, build, &made);
}

/* a ^ b of bare numbers where b is not known yet: exp(b ln a). */
static enum lw_status
power_by_name(short *node, struct expr_build *build, short base, short exponent,
    struct expr_place place)
{
	short operands[3] = {base, -1, -1};
	enum lw_status status;
	short logarithm, product;

	status = expr_make(&logarithm, build, EXPR_LN, operands, place);
	if (status != LW_OK)
		return status;
	operands[0] = exponent;
	operands[1] = logarithm;
	status = expr_make(&product, build, EXPR_MUL, operands, place);
	if (status != LW_OK)
		return status;
	operands[0] = product;
	operands[1] = -1;
	return expr_make(node, build, EXPR_EXP, operands, place);
}

enum lw_status
expr_make_power(short *node, struct expr_build *build, short base,
    short exponent, struct expr_place place)
{
	struct expr_node made = plain_node(EXPR_POWER, place);
	const short operands[3] = {base, exponent, -1};
	const struct expr_node *power = &build->nodes[exponent];
	double number = power->number;
	enum lw_status status;

	status = check_kinds(build, EXPR_POWER, operands, place.column);
	if (status != LW_OK)
		return status;
	if (!is_bare(power))
		return err_set_at(build->err, LW_BAD_INPUT, 0, place.column,
		    "a power is a bare number, such as 2");
	if (power->op != EXPR_NUMBER || number != floor(number)) {
		if (!is_bare(&build->nodes[base]))
			return err_set_at(build->err, LW_BAD_INPUT, 0,
			    place.column,
			    "a quantity with a unit has a whole power that is "
			    "written as a number, such as ^2; sqrt() is for "
			    "the half");
		if (power->op != EXPR_NUMBER)
			return power_by_name(
			    node, build, base, exponent, place);
		made.op = EXPR_ROOT;
	}
	if (made.op == EXPR_POWER && fabs(number) > POWER_MOST)
		return err_set_at(build->err, LW_BAD_INPUT, 0, place.column,
		    "a power is from -%d to %d", POWER_MOST, POWER_MOST);
	made.operand[0] = base;
	made.number = number;
	return finish(node, build, &made);
}
