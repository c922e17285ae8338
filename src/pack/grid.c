/* Trying plausible rigs: all of them where there are few, else some that are
 * drawn, the same ones every time. What is looked at on them is left to
 * lint_grid.c. */
#include "pack/grid.h"

#include "base/buf.h"

#include <lampwright/quantity.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { OPTIONS = 3, SAY_MAX = 6, DIGITS = 4 };

/* Noise of conversions is no reason to call a value not plausible. */
static const double NOISE = 1e-9;

/* --- which values ----------------------------------------------------------
 */

/* The usual tolerance, as shares. */
static void
read_tolerance(struct grid_item *item, const char *tolerance)
{
	struct lw_quantity quantity;
	char text[PACK_LINE_MAX * 4 + 8];
	int length;

	item->least = item->most = 1;
	if (tolerance == NULL)
		return;
	length = snprintf(text, sizeof text, "1 V %s", tolerance);
	if (length < 0 || (size_t)length >= sizeof text ||
	    lw_quantity_parse(&quantity, text, "V", NULL) != LW_OK)
		return;
	item->least = quantity.low;
	item->most = quantity.high;
}

static bool
is_worked(const struct pack_named *named)
{
	return named->usable && !named->unknown &&
	       named->value->kind == LW_VALUE_QUANTITY &&
	       named->value->worked != NULL;
}

static bool
append(struct grid *grid, struct pack_named *named)
{
	struct pack_formula formula = {NULL, NULL, NULL, NULL};
	const struct lw_value *value = named->value;
	struct grid_item *item;

	if (grid->count == GRID_NAMES_MAX)
		return false;
	item = &grid->items[grid->count++];
	memset(item, 0, sizeof *item);
	item->named = named;
	if (is_worked(named)) {
		formula.text = value->worked;
		formula.unit = value->unit;
		item->worked =
		    pack_formula_parse(grid->set, &formula, grid->arena);
	}
	if (value->kind == LW_VALUE_CHOICE)
		while (value->choices[item->options] != NULL)
			item->options++;
	else
		item->options = OPTIONS;
	read_tolerance(item, value->tolerance);
	return true;
}

/* A value, after what it is worked out from. False: there are too many. None
 * is worked out from itself. */
static bool
add(struct grid *grid, struct pack_named *named)
{
	size_t i;

	if (named->mark == grid->mark)
		return true;
	named->mark = grid->mark;
	for (i = 0; i < named->need_count; i++)
		if (!add(grid, named->needs[i]))
			return false;
	return append(grid, named);
}

/* What can be worked out from those that there are, too: where it is not
 * plausible, the rig is none. */
static void
add_witnesses(struct grid *grid)
{
	struct pack_names *names = grid->set->values;
	struct pack_named *named;
	bool more = true;
	size_t i, k;

	while (more && grid->count < GRID_NAMES_MAX) {
		more = false;
		names->work += names->count / 4;
		for (i = 0; i < names->count; i++) {
			named = &names->items[i];
			if (named->mark == grid->mark ||
			    named->need_count == 0 || named->unknown)
				continue;
			for (k = 0; k < named->need_count; k++)
				if (named->needs[k]->mark != grid->mark)
					break;
			if (k == named->need_count)
				more = add(grid, named) || more;
		}
	}
}

/* Whether what one is worked out from has a problem, which is told. */
static bool
is_unknown(const struct grid *grid)
{
	size_t i;

	for (i = 0; i < grid->count; i++)
		if (grid->items[i].named->unknown &&
		    grid->items[i].named->item != NULL)
			return true;
	return false;
}

static void
count_rigs(struct grid *grid)
{
	size_t i;

	grid->rigs = 1;
	grid->whole = true;
	for (i = 0; i < grid->count; i++) {
		if (grid->items[i].worked != NULL)
			continue;
		grid->rigs *= grid->items[i].options;
		if (grid->rigs > GRID_RIGS_MAX) {
			grid->rigs = GRID_RIGS_MAX;
			grid->whole = false;
			return;
		}
	}
}

static void
begin(struct grid *grid, struct pack_set *set, struct lw_arena *arena,
    uint64_t seed)
{
	memset(grid, 0, sizeof *grid);
	grid->set = set;
	grid->arena = arena;
	grid->seed = seed | 1;
	grid->mark = ++set->values->mark;
}

static bool
add_names(struct grid *grid, const struct expr *expr)
{
	size_t i;

	for (i = 0; i < expr_name_count(expr); i++)
		if (!add(grid,
			pack_names_find(grid->set, expr_name_at(expr, i))))
			return false;
	return true;
}

bool
grid_start(struct grid *grid, const struct pack_file *file, struct lw_where at,
    struct lw_arena *arena, uint64_t seed, const struct expr *const *exprs,
    size_t count)
{
	struct pack_set *set = file->set;
	size_t i;

	begin(grid, set, arena, seed);
	if (set->values->looped || set->values->spent)
		return false;
	for (i = 0; i < count; i++) {
		if (exprs[i] == NULL || add_names(grid, exprs[i]))
			continue;
		pack_tell(file, at, "too-big",
		    "the bands hang on more than %d values; no reading has to "
		    "do with so many",
		    GRID_NAMES_MAX);
		return false;
	}
	if (is_unknown(grid))
		return false;
	add_witnesses(grid);
	count_rigs(grid);
	return true;
}

bool
grid_of_value(struct grid *grid, struct pack_set *set, struct lw_arena *arena,
    struct pack_named *named)
{
	begin(grid, set, arena, 1);
	if (set->values->looped || set->values->spent || !add(grid, named) ||
	    is_unknown(grid))
		return false;
	count_rigs(grid);
	return true;
}

/* --- one rig after the other ------------------------------------------------
 */

/* xorshift (Marsaglia 2003), 64 bits. */
static size_t
draw(struct grid *grid, size_t below)
{
	grid->seed ^= grid->seed << 13;
	grid->seed ^= grid->seed >> 7;
	grid->seed ^= grid->seed << 17;
	return (size_t)(grid->seed >> 11) % below;
}

/* Which option each value has on the rig of that number. Those that are drawn
 * come after the one with all that is low, in the middle, and high. */
static void
choose(struct grid *grid, size_t rig)
{
	struct grid_item *item;
	size_t i;

	for (i = 0; i < grid->count; i++) {
		item = &grid->items[i];
		if (item->worked != NULL)
			continue;
		if (grid->whole) {
			item->option = rig % item->options;
			rig /= item->options;
		} else if (rig < OPTIONS) {
			item->option = rig % item->options;
		} else {
			item->option = draw(grid, item->options);
		}
	}
}

static double
middle_of(const struct lw_value *value)
{
	double middle;

	if (value->low > 0)
		middle = sqrt(value->low) * sqrt(value->high);
	else
		middle = value->low / 2 + value->high / 2;
	/* What is counted stays whole. */
	if (strcmp(value->unit, "number") == 0 &&
	    value->low == floor(value->low) &&
	    value->high == floor(value->high))
		middle = round(middle);
	return middle;
}

static void
set_range(struct grid_item *item, double nominal)
{
	double one = nominal * item->least, other = nominal * item->most;

	item->value.nominal = nominal;
	item->value.low = fmin(one, other);
	item->value.high = fmax(one, other);
}

static void
say_option(struct grid_item *item)
{
	const struct lw_value *value = item->named->value;
	double number;

	if (value->kind == LW_VALUE_CHOICE) {
		item->value.choices = 1u << item->option;
		return;
	}
	number = item->option == 0   ? value->low
		 : item->option == 1 ? middle_of(value)
				     : value->high;
	set_range(item, lw_quantity_from(number, value->unit));
}

static bool
is_plausible(const struct lw_value *value, double nominal)
{
	double one = lw_quantity_from(value->low, value->unit);
	double other = lw_quantity_from(value->high, value->unit);
	double low = fmin(one, other), high = fmax(one, other);

	return nominal >= low - fabs(low) * NOISE &&
	       nominal <= high + fabs(high) * NOISE;
}

static const struct expr_value *
value_of(const struct grid *grid, const char *name)
{
	size_t i;

	for (i = 0; i < grid->count; i++)
		if (strcmp(grid->items[i].named->id, name) == 0)
			return &grid->items[i].value;
	return NULL;
}

static void
values_of(struct expr_value values[EXPR_NAMES_MAX], const struct grid *grid,
    const struct expr *expr)
{
	size_t i;

	for (i = 0; i < expr_name_count(expr); i++)
		values[i] = *value_of(grid, expr_name_at(expr, i));
}

/* The work that an expression is, by its length: much the same for all that
 * are written out, a few times that for those of functions. */
static void
count_work(struct grid *grid, const char *text, size_t times)
{
	grid->set->values->work += (1 + strlen(text) / 16) * times;
}

enum lw_status
grid_number(double *number, struct grid *grid, const struct expr *expr,
    const char *text, struct lw_err *err)
{
	struct expr_value values[EXPR_NAMES_MAX];

	count_work(grid, text, 1);
	values_of(values, grid, expr);
	return expr_number(number, expr, values, err);
}

/* False where it is not plausible, or cannot be worked out. */
static bool
work_out(struct grid *grid, struct grid_item *item)
{
	struct expr_value values[EXPR_NAMES_MAX];
	struct expr_range range;
	double nominal;

	count_work(grid, item->named->value->worked,
	    2 + expr_name_count(item->worked));
	values_of(values, grid, item->worked);
	if (expr_number(&nominal, item->worked, values, NULL) != LW_OK ||
	    expr_range(&range, item->worked, values, NULL) != LW_OK ||
	    !is_plausible(item->named->value, nominal))
		return false;
	item->value.nominal = nominal;
	item->value.low = fmin(range.low, nominal);
	item->value.high = fmax(range.high, nominal);
	return true;
}

static bool
set_up(struct grid *grid)
{
	size_t i;

	choose(grid, grid->tried++);
	for (i = 0; i < grid->count; i++) {
		if (grid->items[i].worked == NULL)
			say_option(&grid->items[i]);
		else if (!work_out(grid, &grid->items[i]))
			return false;
	}
	return true;
}

bool
grid_next(struct grid *grid)
{
	while (grid->tried < grid->rigs) {
		if (grid->set->values->work > PACK_WORK_MAX) {
			grid->set->values->spent = true;
			return false;
		}
		if (set_up(grid))
			return true;
	}
	return false;
}

void
grid_say(char *text, size_t size, const struct grid *grid)
{
	char value[LW_QUANTITY_MAX];
	const struct grid_item *item;
	size_t said = 0, left = 0, length = 0, i;

	for (i = 0; i < grid->count; i++)
		left += grid->items[i].worked == NULL;
	if (left == 0)
		snprintf(text, size, "on every rig");
	for (i = 0; i < grid->count && length < size; i++) {
		item = &grid->items[i];
		if (item->worked != NULL)
			continue;
		if (said == SAY_MAX) {
			snprintf(text + length, size - length, " and so on");
			return;
		}
		if (item->named->value->kind == LW_VALUE_CHOICE)
			snprintf(value, sizeof value, "%s",
			    item->named->value->choices[item->option]);
		else
			lw_quantity_say(value, item->value.nominal,
			    item->named->value->unit, DIGITS);
		length +=
		    (size_t)snprintf(text + length, size - length, "%s%s %s",
			said == 0	   ? "with "
			: said + 1 == left ? " and "
					   : ", ",
			item->named->id, value);
		said++;
	}
}
