/* What the values of a rig come to: what was said of it, what can be worked
 * out from that, and what is usual. Reading facts is left to rig_facts.c. */
#include "book/rig_values.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"
#include "meter/accuracy.h"
#include "meter/expr.h"

#include <lampwright/quantity.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
	FROM_MAX = 400,	 /* bytes of what a value is worked out from */
	NEEDS_MAX = 300, /* of the names and values that it needs */
	DIGITS = 4
};

/*
 * What is worked out rests on usual figures (2.45 V a cell), so that what was
 * said contradicts it only where it is further off than their spread: 15 %,
 * and of a value that may be nothing also 5 % of the most that it may be.
 * Common practice: charge voltages of one kind of cell differ by some 4 %,
 * limits under load by some 10 %.
 */
static const double SPREAD = 0.15, SPREAD_OF_MOST = 0.05;
/* Noise of conversions is no reason to call a value not plausible. */
static const double NOISE = 1e-9;

struct work {
	struct lw_rig *rig;
	const struct rig_values *values;
	struct lw_rig_value *items;
	const struct expr **exprs; /* NULL: it cannot be worked out */
	struct lw_arena *arena;
	struct lw_err *err;
};

/* --- what is plausible ---------------------------------------------------- */

static void
find_limits(double *low, double *high, const struct lw_value *value)
{
	double one = lw_quantity_from(value->low, value->unit);
	double other = lw_quantity_from(value->high, value->unit);

	/* The smaller AWG is the larger size. */
	*low = one < other ? one : other;
	*high = one < other ? other : one;
}

static bool
is_plausible(const struct lw_value *value, double number)
{
	double low, high;

	find_limits(&low, &high, value);
	return number >= low - fabs(low) * NOISE &&
	       number <= high + fabs(high) * NOISE;
}

static unsigned
all_choices(const struct lw_value *value)
{
	unsigned all = 0, i;

	for (i = 0; i < 32 && value->choices[i] != NULL; i++)
		all |= 1u << i;
	return all;
}

/* A value of which nothing is known: all that is plausible. */
static void
start(struct lw_rig_value *item, const struct lw_value *value)
{
	item->value = value;
	if (value->kind == LW_VALUE_QUANTITY && value->unit != NULL) {
		find_limits(&item->low, &item->high, value);
		item->nominal = item->low + (item->high - item->low) / 2;
	} else if (value->kind == LW_VALUE_CHOICE) {
		item->choices = all_choices(value);
	}
}

/* --- what was said, and what is usual ------------------------------------- */

static bool
take_choice(struct lw_rig_value *item, const char *text)
{
	unsigned i;

	for (i = 0; i < 32 && item->value->choices[i] != NULL; i++)
		if (strcmp(item->value->choices[i], text) == 0) {
			item->choices = 1u << i;
			return true;
		}
	return false;
}

/* The usual tolerance where none was said. */
static void
add_tolerance(struct lw_quantity *quantity, bool *usual,
    const struct lw_value *value, const char *text)
{
	char whole[LW_QUANTITY_TEXT_MAX + 1];
	struct lw_quantity other;
	int length;

	*usual = false;
	if (quantity->toleranced || value->tolerance == NULL)
		return;
	length = snprintf(whole, sizeof whole, "%s %s", text, value->tolerance);
	if (length < 0 || (size_t)length >= sizeof whole ||
	    lw_quantity_parse(&other, whole, value->unit, NULL) != LW_OK)
		return;
	*quantity = other;
	*usual = true;
}

static bool
take_quantity(struct lw_rig_value *item, const char *text)
{
	struct lw_quantity quantity;

	if (item->value->unit == NULL ||
	    lw_quantity_parse(&quantity, text, item->value->unit, NULL) !=
		LW_OK ||
	    !is_plausible(item->value, quantity.value))
		return false;
	add_tolerance(&quantity, &item->usual_tolerance, item->value, text);
	item->nominal = quantity.value;
	item->low = quantity.low;
	item->high = quantity.high;
	return true;
}

/* Take the text for the value; false where it cannot be. */
static bool
take(struct lw_rig_value *item, const char *text, enum lw_known known)
{
	struct accuracy accuracy;
	bool taken = true;

	switch (item->value->kind) {
	case LW_VALUE_CHOICE:
		taken = take_choice(item, text);
		break;
	case LW_VALUE_QUANTITY:
		taken = take_quantity(item, text);
		break;
	case LW_VALUE_ACCURACY:
		taken = accuracy_parse(&accuracy, text, NULL) == LW_OK;
		break;
	case LW_VALUE_LIST:
		break;
	}
	if (taken) {
		item->known = known;
		item->text = text;
	}
	return taken;
}

/* A fact that does not fit the value any more: it is neither taken nor
 * thrown away, and nothing else is put in its place. */
static enum lw_status
take_said(struct work *work)
{
	size_t i;

	for (i = 0; i < work->values->count; i++) {
		struct lw_rig_value *item = &work->items[i];
		const char *text = lw_rig_fact(work->rig, item->value->id);

		if (text == NULL || take(item, text, LW_KNOWN_GIVEN))
			continue;
		item->conflict = arena_printf(work->arena,
		    "%s was said to be \"%s\", which it cannot be: say it "
		    "anew, and until then it counts as not known",
		    item->value->title, text);
		if (item->conflict == NULL)
			return err_no_memory(work->err);
	}
	return LW_OK;
}

static void
take_usual(struct work *work)
{
	size_t i;

	for (i = 0; i < work->values->count; i++) {
		struct lw_rig_value *item = &work->items[i];

		if (item->known == LW_KNOWN_NOT && item->conflict == NULL &&
		    item->value->usual != NULL)
			take(item, item->value->usual, LW_KNOWN_USUAL);
	}
}

/* --- what can be worked out ----------------------------------------------- */

static struct lw_rig_value *
find_item(const struct work *work, const char *id)
{
	size_t i;

	for (i = 0; i < work->values->count; i++)
		if (strcmp(work->values->items[i]->id, id) == 0)
			return &work->items[i];
	return NULL;
}

static bool
find_name(const void *context, const char *name, struct expr_name *found)
{
	const struct work *work = context;
	const struct lw_rig_value *item = find_item(work, name);

	if (item == NULL)
		return false;
	memset(found, 0, sizeof *found);
	found->name = item->value->id;
	if (item->value->kind == LW_VALUE_CHOICE) {
		found->choices = item->value->choices;
		return true;
	}
	return item->value->kind == LW_VALUE_QUANTITY &&
	       item->value->unit != NULL &&
	       lw_unit_dimension(&found->dimension, item->value->unit, NULL) ==
		   LW_OK;
}

/* A pack that is read in again without another's values may leave names that
 * there are not: then the value just is not worked out. */
static enum lw_status
parse(struct work *work, size_t i)
{
	const struct expr_names names = {.find = find_name, .context = work};
	const struct lw_value *value = work->values->items[i];
	struct lw_dimension dimension;
	const struct expr *expr;
	enum lw_status status;

	if (value->worked == NULL || value->kind != LW_VALUE_QUANTITY ||
	    value->unit == NULL)
		return LW_OK;
	status = expr_parse(&expr, work->arena, value->worked, &names, NULL);
	if (status == LW_NO_MEMORY)
		return err_no_memory(work->err);
	if (status == LW_OK &&
	    lw_unit_dimension(&dimension, value->unit, NULL) == LW_OK &&
	    lw_dimension_equal(dimension, expr_dimension(expr)))
		work->exprs[i] = expr;
	return LW_OK;
}

/* What an expression comes to. */
struct result {
	enum lw_known known; /* LW_KNOWN_NOT: not all that it needs is known */
	double nominal;
	double low;
	double high;
};

/* False: something that it needs is not known, or there is no such number. */
static bool
evaluate(
    struct result *result, const struct work *work, const struct expr *expr)
{
	struct expr_value values[EXPR_NAMES_MAX];
	struct expr_range range;
	size_t i;

	result->known = LW_KNOWN_WORKED;
	for (i = 0; i < expr_name_count(expr); i++) {
		const struct lw_rig_value *item =
		    find_item(work, expr_name_at(expr, i));

		if (item == NULL || item->known == LW_KNOWN_NOT)
			return false;
		if (item->known == LW_KNOWN_USUAL)
			result->known = LW_KNOWN_USUAL;
		values[i].low = item->low;
		values[i].high = item->high;
		values[i].nominal = item->nominal;
		values[i].choices = item->choices;
		values[i].open = false;
	}
	if (expr_number(&result->nominal, expr, values, NULL) != LW_OK ||
	    expr_range(&range, expr, values, NULL) != LW_OK)
		return false;
	result->low = fmin(range.low, result->nominal);
	result->high = fmax(range.high, result->nominal);
	return true;
}

static enum lw_status
say(const char **text, const struct work *work, double value, const char *unit)
{
	char said[LW_QUANTITY_MAX];

	lw_quantity_say(said, value, unit, DIGITS);
	*text = arena_dup(work->arena, said);
	return *text == NULL ? err_no_memory(work->err) : LW_OK;
}

/* A value as people say it. */
static const char *
words_of(const struct lw_rig_value *item)
{
	size_t i;

	for (i = 0; item->value->kind == LW_VALUE_CHOICE &&
		    item->value->choices[i] != NULL;
	     i++)
		if (strcmp(item->value->choices[i], item->text) == 0)
			return item->value->choice_titles[i];
	return item->text;
}

/* "Cells in series (16) and Kind of battery (lead-acid)": what an expression
 * needs. */
static void
say_needs(
    char *text, size_t size, const struct work *work, const struct expr *expr)
{
	size_t count = expr_name_count(expr), length = 0, i;

	text[0] = '\0';
	for (i = 0; i < count && length < size; i++) {
		const struct lw_rig_value *item =
		    find_item(work, expr_name_at(expr, i));
		const char *join = i + 1 < count ? ", " : " and ";
		int more = snprintf(text + length, size - length, "%s%s (%s)",
		    i == 0 ? "" : join, item->value->title, words_of(item));

		length += more > 0 ? (size_t)more : 0;
	}
	if (length >= size)
		text[utf8_whole(text, size - 1)] = '\0';
}

/* What it was worked out from, with the numbers in their places. */
static enum lw_status
say_from(
    struct lw_rig_value *item, const struct work *work, const struct expr *expr)
{
	const char *texts[EXPR_NAMES_MAX];
	char from[FROM_MAX];
	size_t i;

	for (i = 0; i < expr_name_count(expr); i++)
		texts[i] = find_item(work, expr_name_at(expr, i))->text;
	expr_say(from, sizeof from, expr, texts);
	item->from = arena_dup(work->arena, from);
	return item->from == NULL ? err_no_memory(work->err) : LW_OK;
}

/* What comes out cannot be: one of those that it needs is wrong. */
static enum lw_status
refuse(struct lw_rig_value *item, const struct work *work,
    const struct expr *expr, double nominal)
{
	char needs[NEEDS_MAX];
	const char *text = NULL, *low = NULL, *high = NULL;
	const struct lw_value *value = item->value;
	enum lw_status status;
	double least, most;

	find_limits(&least, &most, value);
	status = say(&text, work, nominal, value->unit);
	if (status == LW_OK)
		status = say(&low, work, least, value->unit);
	if (status == LW_OK)
		status = say(&high, work, most, value->unit);
	if (status != LW_OK)
		return status;
	say_needs(needs, sizeof needs, work, expr);
	item->conflict = arena_printf(work->arena,
	    "%s would come to %s by %s, and it is from %s to %s: one of them "
	    "is wrong",
	    value->title, text, needs, low, high);
	return item->conflict == NULL ? err_no_memory(work->err) : LW_OK;
}

static enum lw_status
work_out(bool *changed, struct work *work, size_t i)
{
	struct lw_rig_value *item = &work->items[i];
	const struct expr *expr = work->exprs[i];
	struct result result;
	enum lw_status status;

	if (expr == NULL || item->known != LW_KNOWN_NOT ||
	    item->conflict != NULL || !evaluate(&result, work, expr))
		return LW_OK;
	if (!is_plausible(item->value, result.nominal))
		return refuse(item, work, expr, result.nominal);
	status = say(&item->text, work, result.nominal, item->value->unit);
	if (status == LW_OK)
		status = say_from(item, work, expr);
	if (status != LW_OK)
		return status;
	item->nominal = result.nominal;
	item->low = result.low;
	item->high = result.high;
	item->known = result.known;
	*changed = true;
	return LW_OK;
}

/* What cannot be worked out, since something that it needs is not known, can
 * still not be everything that is plausible. */
static void
narrow(struct work *work, size_t i)
{
	struct lw_rig_value *item = &work->items[i];
	const struct expr *expr = work->exprs[i];
	struct expr_value values[EXPR_NAMES_MAX];
	struct expr_range range;
	size_t k;

	if (expr == NULL || item->known != LW_KNOWN_NOT ||
	    item->conflict != NULL)
		return;
	for (k = 0; k < expr_name_count(expr); k++) {
		const struct lw_rig_value *other =
		    find_item(work, expr_name_at(expr, k));

		if (other == NULL)
			return;
		values[k].low = other->low;
		values[k].high = other->high;
		values[k].nominal = other->nominal;
		values[k].choices = other->choices;
		values[k].open = other->known == LW_KNOWN_NOT;
	}
	if (expr_range(&range, expr, values, NULL) != LW_OK ||
	    range.low > item->high || range.high < item->low)
		return;
	item->low = fmax(item->low, range.low);
	item->high = fmin(item->high, range.high);
}

/* Pass after pass until nothing changes; each makes one more known at least,
 * so that there are no more passes than values. */
static enum lw_status
work_all_out(struct work *work)
{
	enum lw_status status = LW_OK;
	bool changed = true;
	size_t i;

	while (changed && status == LW_OK) {
		changed = false;
		for (i = 0; i < work->values->count && status == LW_OK; i++)
			status = work_out(&changed, work, i);
	}
	return status;
}

/* --- what contradicts ----------------------------------------------------- */

/* Whether what was said lies wholly outside what is worked out from all else
 * that was said. */
static bool
contradicts(
    const struct lw_rig_value *item, const struct result *result, double most)
{
	double low = result->low - fabs(result->low) * SPREAD;
	double high = result->high + fabs(result->high) * SPREAD;

	if (item->value->low <= 0) {
		low -= most * SPREAD_OF_MOST;
		high += most * SPREAD_OF_MOST;
	}
	return item->high < low || item->low > high;
}

static enum lw_status
find_conflict(struct work *work, size_t i)
{
	struct lw_rig_value *item = &work->items[i];
	char needs[NEEDS_MAX];
	struct result result;
	double least, most;
	const char *text;
	enum lw_status status;

	if (work->exprs[i] == NULL || item->known != LW_KNOWN_GIVEN ||
	    !evaluate(&result, work, work->exprs[i]) ||
	    result.known != LW_KNOWN_WORKED)
		return LW_OK;
	find_limits(&least, &most, item->value);
	if (!contradicts(item, &result, most))
		return LW_OK;
	status = say(&text, work, result.nominal, item->value->unit);
	if (status != LW_OK)
		return status;
	say_needs(needs, sizeof needs, work, work->exprs[i]);
	item->conflict = arena_printf(work->arena,
	    "%s is said to be %s, and %s %s %s: one of them is wrong",
	    item->value->title, item->text, needs,
	    expr_name_count(work->exprs[i]) == 1 ? "gives" : "give", text);
	item->low = fmin(item->low, result.low);
	item->high = fmax(item->high, result.high);
	return item->conflict == NULL ? err_no_memory(work->err) : LW_OK;
}

enum lw_status
rig_values_resolve(struct lw_rig *rig, const struct rig_values *values,
    struct lw_arena *arena, struct lw_err *err)
{
	struct work work = {
	    .rig = rig, .values = values, .arena = arena, .err = err};
	enum lw_status status = LW_OK;
	size_t i;

	work.items = arena_array(arena, values->count, sizeof *work.items);
	work.exprs = arena_array(arena, values->count, sizeof *work.exprs);
	if (work.items == NULL || work.exprs == NULL)
		return err_no_memory(err);
	for (i = 0; i < values->count; i++)
		start(&work.items[i], values->items[i]);
	for (i = 0; i < values->count && status == LW_OK; i++)
		status = parse(&work, i);
	if (status == LW_OK)
		status = take_said(&work);
	if (status == LW_OK)
		status = work_all_out(&work);
	for (i = 0; i < values->count && status == LW_OK; i++)
		status = find_conflict(&work, i);
	if (status == LW_OK) {
		take_usual(&work);
		status = work_all_out(&work);
	}
	for (i = 0; i < values->count && status == LW_OK; i++)
		narrow(&work, i);
	rig->values = work.items;
	rig->value_count = values->count;
	return status;
}
