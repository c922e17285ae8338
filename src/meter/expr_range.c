/*
 * All that an expression can be: over each case of the choices that are open,
 * what meter/expr_sharp.c makes of it.
 */
#include "meter/expr_inside.h"

#include "base/err.h"

#include <math.h>
#include <string.h>

enum {
	BUDGET = 1000000, /* steps; a usual expression takes a few hundred */
	CASES_MAX = 32
};

/* The cases of one choice that is open: a word that is asked for, or all the
 * others together. */
struct open {
	unsigned cases[EXPR_WORDS_MAX];
	size_t count;
	size_t at; /* the one that is looked at */
	size_t name;
};

struct opens {
	struct open of[EXPR_NAMES_MAX];
	size_t count;
};

static unsigned
all_words(const char *const *words)
{
	unsigned mask = 0;
	size_t i;

	for (i = 0; i < EXPR_WORDS_MAX && words[i] != NULL; i++)
		mask |= 1u << i;
	return mask;
}

/* The cases of a choice; none where it is not open. */
static void
open_one(struct open *open, const struct expr *expr, size_t last, size_t name,
    unsigned possible)
{
	unsigned asked = 0, rest, bit;
	size_t i;

	memset(open, 0, sizeof *open);
	open->name = name;
	if (possible == 0)
		possible = all_words(expr->choices[name]);
	for (i = 0; i <= last; i++)
		if (expr->nodes[i].op == EXPR_CHOICE &&
		    expr->nodes[i].name == (short)name)
			asked |= expr->nodes[i].words & possible;
	rest = possible & ~asked;
	for (bit = 1; bit <= asked && asked != 0; bit <<= 1)
		if ((asked & bit) != 0)
			open->cases[open->count++] = bit;
	if (rest != 0 && open->count < EXPR_WORDS_MAX)
		open->cases[open->count++] = rest;
}

static void
find_opens(struct opens *opens, const struct expr_look *look, size_t last)
{
	const struct expr *expr = look->expr;
	size_t name, product = 1;
	struct open *open;

	opens->count = 0;
	for (name = 0; name < expr->name_count; name++) {
		if (expr->choices[name] == NULL)
			continue;
		open = &opens->of[opens->count];
		open_one(open, expr, last, name, look->full.words[name]);
		if (open->count < 2 || product * open->count > CASES_MAX)
			continue;
		product *= open->count;
		opens->count++;
	}
}

/* The next case, as an odometer turns. False after the last one. */
static bool
next_case(struct opens *opens)
{
	size_t i;

	for (i = 0; i < opens->count; i++) {
		if (++opens->of[i].at < opens->of[i].count)
			return true;
		opens->of[i].at = 0;
	}
	return false;
}

static void
widen(struct expr_sharp *sharp, const struct expr_sharp *by)
{
	sharp->low = interval_min(sharp->low, by->low);
	sharp->high = interval_max(sharp->high, by->high);
	if (sharp->trouble == EXPR_FINE) {
		sharp->trouble = by->trouble;
		sharp->where = by->where;
	}
}

/* Over every case of what is open. */
static void
sharpen_cases(struct expr_sharp *sharp, struct expr_look *look, size_t last)
{
	struct expr_box box = look->full;
	struct expr_sharp one;
	struct opens opens;
	bool first = true;
	size_t i;

	find_opens(&opens, look, last);
	if (look->budget <= 0)
		opens.count = 0;
	do {
		for (i = 0; i < opens.count; i++)
			box.words[opens.of[i].name] =
			    opens.of[i].cases[opens.of[i].at];
		expr_sharpen(&one, look, last, &box, true);
		if (first)
			*sharp = one;
		else
			widen(sharp, &one);
		first = false;
	} while (next_case(&opens) && sharp->trouble == EXPR_FINE);
}

/* Whether what a node gives hangs on a name that nobody knows, also by way of
 * the ends within it; `open` says so of those before it. */
static bool
is_open(const struct expr_look *look, const bool *open, size_t i)
{
	const struct expr_node *node = &look->expr->nodes[i];
	bool is = (node->names & look->open) != 0;
	size_t k;

	for (k = 0; k < 3 && node->operand[k] >= 0; k++)
		is = is || open[node->operand[k]];
	return is;
}

/* low(), high(), middle(): numbers that the whole box gives; of what nobody
 * knows, all that they can be. */
static void
find_ends(struct expr_look *look)
{
	const struct expr *expr = look->expr;
	struct expr_cell *cell;
	struct expr_sharp sharp;
	bool open[EXPR_NODES_MAX];
	size_t i;

	for (i = 0; i < expr->count; i++) {
		open[i] = is_open(look, open, i);
		if (!expr_is_end(&expr->nodes[i]))
			continue;
		cell = &look->ends[i];
		sharpen_cases(&sharp, look, (size_t)expr->nodes[i].operand[0]);
		memset(cell, 0, sizeof *cell);
		cell->trouble = sharp.trouble;
		cell->where = sharp.where;
		if (sharp.trouble != EXPR_FINE)
			continue;
		if (open[i])
			cell->value =
			    interval_of(sharp.low.low, sharp.high.high);
		else if (expr->nodes[i].op == EXPR_LOW)
			cell->value = sharp.low;
		else if (expr->nodes[i].op == EXPR_HIGH)
			cell->value = sharp.high;
		else
			cell->value = interval_mul(interval_of(0.5, 0.5),
			    interval_add(sharp.low, sharp.high));
	}
}

static void
begin(struct expr_look *look, const struct expr *expr,
    const struct expr_value *values)
{
	size_t i;

	look->expr = expr;
	look->budget = BUDGET;
	look->open = 0;
	for (i = 0; i < expr->name_count; i++) {
		look->full.at[i] = interval_of(0, 0);
		look->full.words[i] = values[i].choices;
		look->open |= values[i].open ? 1u << i : 0;
		if (expr->choices[i] == NULL)
			look->full.at[i] =
			    interval_of(values[i].low, values[i].high);
	}
	if (expr->ends > 0)
		find_ends(look);
}

/* Nothing varies. */
static bool
is_exact(const struct expr_look *look)
{
	size_t i;

	for (i = 0; i < look->expr->name_count; i++)
		if (look->expr->choices[i] != NULL ||
		    !interval_is_point(look->full.at[i]))
			return false;
	return true;
}

static enum lw_status
complain(const struct expr_look *look, unsigned trouble, short where,
    bool surely, struct lw_err *err)
{
	return expr_complain(
	    &look->expr->nodes[where], (enum expr_trouble)trouble, surely, err);
}

enum lw_status
expr_range(struct expr_range *range, const struct expr *expr,
    const struct expr_value *values, struct lw_err *err)
{
	struct expr_look look;
	struct expr_sharp sharp;

	begin(&look, expr, values);
	sharpen_cases(&sharp, &look, expr->root);
	if (sharp.trouble != EXPR_FINE)
		return complain(
		    &look, sharp.trouble, sharp.where, is_exact(&look), err);
	range->low = sharp.low.low;
	range->high = sharp.high.high;
	return LW_OK;
}

enum lw_status
expr_number(double *number, const struct expr *expr,
    const struct expr_value *values, struct lw_err *err)
{
	struct expr_cell cells[EXPR_NODES_MAX];
	struct expr_look look;
	struct expr_box box;
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
	expr_pass(cells, &look, last, &box, false);
	if (cells[last].trouble != EXPR_FINE)
		return complain(&look, cells[last].trouble, cells[last].where,
		    expr->ends == 0, err);
	*number = interval_middle(cells[last].value);
	return LW_OK;
}
