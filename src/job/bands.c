/* Works out the ends of a check's bands on a vehicle, in the check's unit.
 * Which band a reading is in is left to meter/verdict, and what is asked for
 * to asking.c. */
#include "job/bands.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"
#include "meter/expr.h"

#include <lampwright/quantity.h>
#include <lampwright/reading.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { USES_MAX = 2 * EXPR_NAMES_MAX };

/* So far from anything that a meter can show. */
static const double FAR = 1e300;

/* One end that two bands share. */
struct end {
	const char *says; /* an expression, or NULL */
	double number;	  /* where it is none */
};

struct work {
	struct bands *bands;
	struct lw_arena *arena;
	const struct lw_check *check;
	const struct lw_rig *vehicle;
	struct verdict_band *chain;
	size_t *outcomes;
	size_t expected; /* its place in the chain; count where there is none */
	const struct lw_rig_value **uses, **lacks;
	struct lw_err *err;
};

static bool
is_band(const struct lw_outcome *outcome)
{
	return outcome->has_from || outcome->has_below;
}

bool
bands_depend(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].from_says != NULL ||
		    check->outcomes[i].below_says != NULL)
			return true;
	return false;
}

/* --- names ---------------------------------------------------------------- */

static bool
find_name(const void *context, const char *name, struct expr_name *found)
{
	const struct lw_rig_value *value = lw_rig_value(context, name);

	if (value == NULL)
		return false;
	found->name = value->value->id;
	if (value->value->kind == LW_VALUE_CHOICE) {
		found->choices = value->value->choices;
		return true;
	}
	return value->value->kind == LW_VALUE_QUANTITY &&
	       value->value->unit != NULL &&
	       lw_unit_dimension(&found->dimension, value->value->unit, NULL) ==
		   LW_OK;
}

/* Add a value to a list, once. */
static void
note(const struct lw_rig_value **list, size_t *count,
    const struct lw_rig_value *value)
{
	size_t i;

	for (i = 0; i < *count; i++)
		if (list[i] == value)
			return;
	if (*count < USES_MAX)
		list[(*count)++] = value;
}

/* --- one end -------------------------------------------------------------- */

/* An end that cannot be worked out can be anything. */
static enum lw_status
give_up(struct work *work, struct verdict_edge *edge, const struct lw_err *why)
{
	edge->low = -FAR;
	edge->high = FAR;
	if (work->bands->trouble == NULL)
		work->bands->trouble = arena_dup(work->arena, why->text);
	return work->bands->trouble == NULL ? err_no_memory(work->err) : LW_OK;
}

/* Noise of the last bits is no part of an end. */
static double
rounded(double value)
{
	return num_round(value, 10);
}

/* What the names of an expression are on the vehicle. *known: each is. */
static void
take_values(struct expr_value *values, bool *known, struct work *work,
    const struct expr *expr, bool expected)
{
	size_t i;

	*known = true;
	for (i = 0; i < expr_name_count(expr); i++) {
		const struct lw_rig_value *value =
		    lw_rig_value(work->vehicle, expr_name_at(expr, i));

		values[i].low = value->low;
		values[i].high = value->high;
		values[i].nominal = value->nominal;
		values[i].choices = value->choices;
		/* Where what was said contradicts itself, which of it is right
		 * is not known either. */
		values[i].open =
		    value->known == LW_KNOWN_NOT || value->conflict != NULL;
		if (values[i].open) {
			*known = false;
			note(work->lacks, &work->bands->lack_count, value);
		} else if (expected) {
			note(work->uses, &work->bands->use_count, value);
		}
	}
}

/* Lint sees to it in packs; a book may have been changed by another hand. */
static bool
fits(const struct expr *expr, const char *unit)
{
	struct lw_dimension dimension;

	return lw_unit_dimension(&dimension, unit, NULL) == LW_OK &&
	       lw_dimension_equal(dimension, expr_dimension(expr));
}

/* The end below the band at `place` of the chain. */
static enum lw_status
find_edge(struct verdict_edge *edge, struct work *work, const struct end *end,
    size_t place)
{
	const struct expr_names names = {
	    .find = find_name, .context = work->vehicle};
	struct expr_value values[EXPR_NAMES_MAX];
	const size_t expected = work->expected, count = work->bands->count;
	const struct expr *expr;
	struct expr_range range;
	enum lw_status status;
	struct lw_err why;
	bool known;

	edge->there = true;
	edge->low = edge->high = end->number;
	if (end->says == NULL)
		return LW_OK;
	status = expr_parse(&expr, work->arena, end->says, &names, &why);
	if (status == LW_OK && !fits(expr, work->check->unit))
		status = err_set(&why, LW_BAD_INPUT,
		    "its dimension is not that of the check's unit");
	if (status == LW_OK) {
		take_values(values, &known, work, expr,
		    place == expected || place == expected + 1);
		status = expr_range(&range, expr, values, &why);
	}
	if (status == LW_NO_MEMORY)
		return err_no_memory(work->err);
	if (status != LW_OK)
		return give_up(work, edge, &why);
	edge->low = rounded(lw_quantity_in(range.low, work->check->unit));
	edge->high = rounded(lw_quantity_in(range.high, work->check->unit));
	if (!known)
		return LW_OK;
	if (expected == count)
		edge->low = rounded(edge->low + (edge->high - edge->low) / 2);
	if (place > expected && expected < count)
		edge->low = edge->high;
	else
		edge->high = edge->low;
	return LW_OK;
}

/* --- the chain ------------------------------------------------------------ */

static struct end
below_of(const struct lw_outcome *outcome)
{
	return (struct end){outcome->below_says, outcome->below};
}

static struct end
from_of(const struct lw_outcome *outcome)
{
	return (struct end){outcome->from_says, outcome->from};
}

static bool
same_end(struct end one, struct end other)
{
	if (one.says == NULL || other.says == NULL)
		return one.says == other.says && one.number >= other.number &&
		       one.number <= other.number;
	return strcmp(one.says, other.says) == 0;
}

/* The outcome that begins where another ends; count where there is none. */
static size_t
find_next(const struct lw_check *check, size_t last)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++) {
		const struct lw_outcome *outcome = &check->outcomes[i];

		if (last == check->outcome_count
			? is_band(outcome) && !outcome->has_from
			: i != last && outcome->has_from &&
			      same_end(below_of(&check->outcomes[last]),
				  from_of(outcome)))
			break;
	}
	return i;
}

/* From the band without a lower end upwards, as lint sees to it. */
static void
find_chain(struct work *work)
{
	const struct lw_check *check = work->check;
	size_t at = check->outcome_count;

	while (work->bands->count < check->outcome_count) {
		at = find_next(check, at);
		if (at == check->outcome_count)
			break;
		work->outcomes[work->bands->count++] = at;
		if (!check->outcomes[at].has_below)
			break;
	}
}

/* Ends that would cross on this vehicle cannot be told apart. */
static void
untangle(struct verdict_edge *edges, size_t count)
{
	size_t i;

	for (i = count; i-- > 1;)
		if (edges[i].low < edges[i - 1].low)
			edges[i - 1].low = edges[i].low;
	for (i = 1; i < count; i++)
		if (edges[i].high < edges[i - 1].high)
			edges[i].high = edges[i - 1].high;
}

static enum lw_status
find_ends(struct work *work)
{
	struct bands *bands = work->bands;
	struct verdict_edge *edges;
	enum lw_status status = LW_OK;
	size_t i;

	work->expected = bands->count;
	for (i = 0; i < bands->count; i++)
		if (work->check->outcomes[work->outcomes[i]].expected)
			work->expected = i;
	edges = arena_array(work->arena, bands->count + 1, sizeof *edges);
	if (edges == NULL)
		return err_no_memory(work->err);
	for (i = 1; i < bands->count && status == LW_OK; i++) {
		const struct end end =
		    from_of(&work->check->outcomes[work->outcomes[i]]);

		status = find_edge(&edges[i], work, &end, i);
	}
	if (bands->count > 1)
		untangle(edges + 1, bands->count - 1);
	for (i = 0; i < bands->count; i++) {
		work->chain[i].from = edges[i];
		work->chain[i].below = edges[i + 1];
	}
	return status;
}

/* --- what is shown -------------------------------------------------------- */

/* What was worked out has the four digits that a meter shows; what an author
 * wrote stays as it is. */
static void
format_end(struct work *work, char text[LW_READING_MAX], double value,
    const char *says)
{
	lw_reading_format(text, says != NULL ? num_round(value, 4) : value,
	    work->check->unit);
}

static enum lw_status
show(struct work *work, struct lw_job_band *shown,
    const struct lw_outcome *outcome, const struct verdict_band *band)
{
	char from[LW_READING_MAX], below[LW_READING_MAX];

	shown->is_band = true;
	shown->has_from = band->from.there;
	shown->has_below = band->below.there;
	shown->from = band->from.low;
	shown->below = band->below.high;
	shown->sure = band->from.low >= band->from.high &&
		      band->below.low >= band->below.high;
	if ((shown->has_from && shown->from <= -FAR) ||
	    (shown->has_below && shown->below >= FAR))
		return LW_OK;
	format_end(work, from, shown->from, outcome->from_says);
	format_end(work, below, shown->below, outcome->below_says);
	if (shown->has_from && shown->has_below)
		shown->text =
		    arena_printf(work->arena, "%s to %s", from, below);
	else if (shown->has_from)
		shown->text = arena_printf(work->arena, "%s or more", from);
	else if (shown->has_below)
		shown->text = arena_printf(work->arena, "below %s", below);
	else
		shown->text = "anything";
	return shown->text == NULL ? err_no_memory(work->err) : LW_OK;
}

enum lw_status
bands_find(struct bands *bands, struct lw_arena *arena,
    const struct lw_check *check, const struct lw_rig *vehicle,
    struct lw_err *err)
{
	struct work work = {.bands = bands,
	    .arena = arena,
	    .check = check,
	    .vehicle = vehicle,
	    .err = err};
	size_t room = check->outcome_count, i;
	struct lw_job_band *shown;
	enum lw_status status;

	memset(bands, 0, sizeof *bands);
	shown = arena_array(arena, room, sizeof *shown);
	work.chain = arena_array(arena, room, sizeof *work.chain);
	work.outcomes = arena_array(arena, room, sizeof *work.outcomes);
	work.uses = arena_array(arena, USES_MAX, sizeof *work.uses);
	work.lacks = arena_array(arena, USES_MAX, sizeof *work.lacks);
	if (shown == NULL || work.chain == NULL || work.outcomes == NULL ||
	    work.uses == NULL || work.lacks == NULL)
		return err_no_memory(err);
	if (check->unit != NULL)
		find_chain(&work);
	status = find_ends(&work);
	for (i = 0; i < bands->count && status == LW_OK; i++)
		status = show(&work, &shown[work.outcomes[i]],
		    &check->outcomes[work.outcomes[i]], &work.chain[i]);
	bands->shown = shown;
	bands->chain = work.chain;
	bands->outcomes = work.outcomes;
	bands->uses = work.uses;
	bands->lacks = work.lacks;
	return status;
}
