/* Puts together what is shown with a check: cautions, points, expectation.
 * Which check it is, is left to situation. */
#include "job/step.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"

#include <lampwright/reading.h>

#include <stdio.h>
#include <string.h>

struct cautions {
	const struct lw_caution **items;
	size_t count;
	size_t room;
};

const struct lw_outcome *
step_expected(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].expected)
			return &check->outcomes[i];
	return NULL;
}

void
step_expect_text(char *text, size_t size, const struct lw_check *check)
{
	const struct lw_outcome *outcome = step_expected(check);
	char from[LW_READING_MAX], below[LW_READING_MAX];
	int length;

	text[0] = '\0';
	if (outcome == NULL)
		return;
	if (check->unit != NULL && outcome->has_from)
		lw_reading_format(from, outcome->from, check->unit);
	if (check->unit != NULL && outcome->has_below)
		lw_reading_format(below, outcome->below, check->unit);
	if (check->unit == NULL || (!outcome->has_from && !outcome->has_below))
		length = snprintf(text, size, "%s", outcome->title);
	else if (!outcome->has_from)
		length = snprintf(text, size, "below %s", below);
	else if (!outcome->has_below)
		length = snprintf(text, size, "at least %s", from);
	else
		length = snprintf(text, size, "%s to %s", from, below);
	if (length >= 0 && (size_t)length >= size)
		text[utf8_whole(text, size - 1)] = '\0';
}

/* Add one where it belongs: after those as grave, once. */
static enum lw_status
add_caution(struct cautions *all, struct shelf *shelf,
    const struct lw_caution *caution, struct lw_err *err)
{
	const struct lw_caution **last;
	size_t i;

	for (i = 0; i < all->count; i++)
		if (strcmp(all->items[i]->id, caution->id) == 0)
			return LW_OK;
	last = arena_grow(shelf->arena, &all->items, &all->count, &all->room,
	    sizeof(const struct lw_caution *));
	if (last == NULL)
		return err_no_memory(err);
	for (i = all->count - 1;
	     i > 0 && (caution->signal != LW_SIGNAL_NONE &&
			  (all->items[i - 1]->signal > caution->signal ||
			      all->items[i - 1]->signal == LW_SIGNAL_NONE));
	     i--)
		all->items[i] = all->items[i - 1];
	all->items[i] = caution;
	return LW_OK;
}

static enum lw_status
add_refs(struct cautions *all, struct shelf *shelf, const struct lw_refs *refs,
    struct lw_err *err)
{
	const struct lw_caution *caution;
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < refs->count && status == LW_OK; i++) {
		status = shelf_caution(&caution, shelf, refs->items[i].id, err);
		if (status == LW_OK && caution != NULL)
			status = add_caution(all, shelf, caution, err);
	}
	return status;
}

static enum lw_status
add_state(struct cautions *all, struct shelf *shelf, enum lw_power power,
    struct lw_err *err)
{
	const struct shelf_cautions *of_state;
	enum lw_status status;
	size_t i;

	status = shelf_cautions_in(&of_state, shelf, power, err);
	for (i = 0; status == LW_OK && i < of_state->count; i++)
		status = add_caution(all, shelf, of_state->items[i], err);
	return status;
}

static enum lw_status
add_points(struct lw_job_step *step, struct shelf *shelf, struct lw_err *err)
{
	const struct lw_refs *refs = &step->check->points;
	const struct lw_point **points, *point;
	enum lw_status status;
	size_t i;

	status = shelf_point(&step->black, shelf, step->check->black, err);
	if (status == LW_OK)
		status = shelf_point(&step->red, shelf, step->check->red, err);
	if (status != LW_OK || refs->count == 0)
		return status;
	points = arena_array(
	    shelf->arena, refs->count, sizeof(const struct lw_point *));
	if (points == NULL)
		return err_no_memory(err);
	for (i = 0; i < refs->count; i++) {
		status = shelf_point(&point, shelf, refs->items[i].id, err);
		if (status != LW_OK)
			return status;
		if (point != NULL)
			points[step->point_count++] = point;
	}
	step->points = points;
	return LW_OK;
}

enum lw_status
step_build(const struct lw_job_step **out, struct shelf *shelf,
    const struct lw_check *ask, const struct lw_check *then,
    const struct lw_symptom *symptom, struct lw_err *err)
{
	struct lw_job_step *step = arena_alloc(shelf->arena, sizeof *step);
	struct cautions cautions = {0};
	enum lw_status status = LW_OK;

	if (step == NULL)
		return err_no_memory(err);
	step->check = ask;
	step->gate = ask != then;
	step->then = step->gate ? then : NULL;
	if (symptom != NULL)
		status = add_refs(&cautions, shelf, &symptom->cautions, err);
	if (status == LW_OK)
		status = add_refs(&cautions, shelf, &ask->cautions, err);
	if (status == LW_OK)
		status = add_state(&cautions, shelf, ask->power, err);
	/* A gate also shows what goes with the state that it leads into. */
	if (status == LW_OK && step->gate)
		status = add_state(&cautions, shelf, then->power, err);
	if (status == LW_OK)
		status = add_points(step, shelf, err);
	if (status != LW_OK)
		return status;
	step->cautions = cautions.items;
	step->caution_count = cautions.count;
	step->expected = step_expected(ask);
	step_expect_text(step->expect_text, sizeof step->expect_text, ask);
	*out = step;
	return LW_OK;
}
