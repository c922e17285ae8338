/* Puts together what is shown with a check: instructions, cautions and points
 * as they are for the rig, and what to expect. Which check it is, is left to
 * situation. */
#include "job/step.h"

#include "base/arena.h"
#include "base/err.h"
#include "job/expect.h"
#include "job/figures.h"
#include "job/reasons.h"

#include <string.h>
#include <strings.h>

struct cautions {
	const struct lw_rig *rig;
	const struct lw_caution **items;
	size_t count;
	size_t room;
};

/* Add one where it belongs: after those as grave, once. */
static enum lw_status
add_caution(struct cautions *all, struct shelf *shelf,
    const struct lw_caution *caution, struct lw_err *err)
{
	const struct lw_caution **last;
	size_t i;

	if (!figures_apply(caution, all->rig))
		return LW_OK;
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

/* The rig's words for a point, or NULL. */
static const char *
own_words(const struct lw_rig *rig, const char *point)
{
	size_t i;

	for (i = 0; rig != NULL && point != NULL && i < rig->point_count; i++)
		if (strcmp(rig->points[i].point, point) == 0)
			return rig->points[i].words;
	return NULL;
}

static enum lw_status
add_points(struct lw_job_step *step, struct shelf *shelf,
    const struct lw_rig *rig, struct lw_err *err)
{
	const struct lw_refs *refs = &step->check->points;
	const struct lw_point **points, *point;
	const char **owns;
	enum lw_status status;
	size_t i;

	step->black_own = own_words(rig, step->check->black);
	step->red_own = own_words(rig, step->check->red);
	status = shelf_point(&step->black, shelf, step->check->black, err);
	if (status == LW_OK)
		status = shelf_point(&step->red, shelf, step->check->red, err);
	if (status != LW_OK || refs->count == 0)
		return status;
	points = arena_array(
	    shelf->arena, refs->count, sizeof(const struct lw_point *));
	owns = arena_array(shelf->arena, refs->count, sizeof *owns);
	if (points == NULL || owns == NULL)
		return err_no_memory(err);
	for (i = 0; i < refs->count; i++) {
		status = shelf_point(&point, shelf, refs->items[i].id, err);
		if (status != LW_OK)
			return status;
		if (point == NULL)
			continue;
		owns[step->point_count] = own_words(rig, point->id);
		points[step->point_count++] = point;
	}
	step->points = points;
	step->point_owns = owns;
	return LW_OK;
}

static enum lw_status
add_instructions(struct lw_job_step *step, struct lw_arena *arena,
    const struct lw_rig *rig, struct lw_err *err)
{
	const struct lw_instructions *all = &step->check->steps;
	const char **texts;
	size_t i;

	if (all->count == 0)
		return LW_OK;
	texts = arena_array(arena, all->count, sizeof *texts);
	if (texts == NULL)
		return err_no_memory(err);
	for (i = 0; i < all->count; i++)
		if (lw_rig_holds(rig, &all->items[i].only))
			texts[step->instruction_count++] = all->items[i].text;
	step->instructions = texts;
	return LW_OK;
}

/* Tools that the rig's list lacks, where it has a list. */
static enum lw_status
add_missing(struct lw_job_step *step, struct lw_arena *arena,
    const struct lw_rig *rig, struct lw_err *err)
{
	const struct lw_texts *tools = &step->check->tools;
	const char **missing;
	size_t i, k;

	if (rig == NULL || !rig->known_tools || tools->count == 0 ||
	    step->purpose == LW_PURPOSE_FIX)
		return LW_OK;
	missing = arena_array(arena, tools->count, sizeof *missing);
	if (missing == NULL)
		return err_no_memory(err);
	for (i = 0; i < tools->count; i++) {
		for (k = 0; k < rig->tool_count; k++)
			if (strcasecmp(rig->tools[k], tools->items[i].text) ==
			    0)
				break;
		if (k == rig->tool_count)
			missing[step->missing_count++] = tools->items[i].text;
	}
	step->missing = missing;
	return LW_OK;
}

static bool
refers_to(const struct lw_refs *refs, const char *id)
{
	size_t i;

	for (i = 0; i < refs->count; i++)
		if (strcmp(refs->items[i].id, id) == 0)
			return true;
	return false;
}

/* Mark what an earlier check on this way in has shown already. */
static void
mark_shown(const struct lw_job_step *step, bool *standing,
    const struct lw_check *earlier)
{
	size_t i;

	for (i = 0; i < step->caution_count; i++)
		if (refers_to(&earlier->cautions, step->cautions[i]->id) ||
		    step->cautions[i]->states[earlier->power])
			standing[i] = true;
}

/* The checks that came before this one on the way in. */
static enum lw_status
mark_earlier(const struct lw_job_step *step, bool *standing,
    struct shelf *shelf, const struct situation *at, struct lw_err *err)
{
	const struct lw_check *gate, *earlier;
	enum lw_status status;
	size_t i;

	status = shelf_gate(&gate, shelf, at->way.into, err);
	for (i = 0; status == LW_OK && gate != NULL && i < gate->after.count;
	     i++) {
		status =
		    shelf_check(&earlier, shelf, gate->after.items[i].id, err);
		if (status != LW_OK || earlier == step->check)
			break;
		if (earlier != NULL && lw_rig_holds(at->rig, &earlier->only))
			mark_shown(step, standing, earlier);
	}
	return status;
}

/* What goes with the power state that is proved was shown on the way in, and
 * what goes with an earlier check of this way was shown there. */
static enum lw_status
add_standing(struct lw_job_step *step, struct shelf *shelf,
    const struct situation *at, struct lw_err *err)
{
	enum lw_power proved = at->power.proved;
	bool *standing;
	size_t i;

	if (step->caution_count == 0)
		return LW_OK;
	standing =
	    arena_array(shelf->arena, step->caution_count, sizeof *standing);
	if (standing == NULL)
		return err_no_memory(err);
	for (i = 0; i < step->caution_count; i++)
		standing[i] = proved != LW_POWER_UNKNOWN &&
			      step->cautions[i]->states[proved];
	step->standing = standing;
	return at->way.part > 1 ? mark_earlier(step, standing, shelf, at, err)
				: LW_OK;
}

static enum lw_status
add_cautions(struct lw_job_step *step, struct shelf *shelf,
    const struct situation *at, const struct lw_symptom *symptom,
    struct lw_err *err)
{
	struct cautions cautions = {.rig = at->vehicle};
	const struct lw_check *ask = step->check, *led_by;
	enum lw_status status = LW_OK;

	if (symptom != NULL)
		status = add_refs(&cautions, shelf, &symptom->cautions, err);
	if (status == LW_OK)
		status = add_refs(&cautions, shelf, &ask->cautions, err);
	if (status == LW_OK)
		status = add_state(&cautions, shelf, ask->power, err);
	/* The fix is made where the check was that led to it. */
	if (status == LW_OK && at->purpose == LW_PURPOSE_FIX &&
	    ask == at->then && at->led_by != NULL) {
		status = shelf_check(&led_by, shelf, at->led_by, err);
		if (status == LW_OK && led_by != NULL)
			status =
			    add_refs(&cautions, shelf, &led_by->cautions, err);
	}
	/* A way in also shows what goes with the state that it leads into. */
	if (status == LW_OK && at->way.gate && !at->way.compulsory)
		status = add_state(&cautions, shelf, at->way.into, err);
	step->cautions = cautions.items;
	step->caution_count = cautions.count;
	return status == LW_OK ? add_standing(step, shelf, at, err) : status;
}

enum lw_status
step_build(const struct lw_job_step **out, struct shelf *shelf,
    const struct situation *at, const struct lw_symptom *symptom,
    struct lw_err *err)
{
	struct lw_job_step *step = arena_alloc(shelf->arena, sizeof *step);
	const struct lw_check *ask = at->way.ask;
	enum lw_status status;

	if (step == NULL)
		return err_no_memory(err);
	step->check = ask;
	step->purpose = at->purpose;
	step->gate = ask != at->then;
	step->then = step->gate ? at->then : NULL;
	step->compulsory = at->way.compulsory;
	if (at->way.gate) {
		step->into = at->way.into;
		step->part = at->way.part;
		step->parts = at->way.parts;
	}
	status = add_instructions(step, shelf->arena, at->rig, err);
	if (status == LW_OK)
		status = add_cautions(step, shelf, at, symptom, err);
	if (status == LW_OK && at->way.gate && !at->way.compulsory)
		status = figures_say(&step->figures, &step->figure_count,
		    shelf->arena, at->vehicle, at->way.into, err);
	if (status == LW_OK)
		status = add_missing(step, shelf->arena, at->rig, err);
	if (status == LW_OK)
		status = add_points(step, shelf, at->rig, err);
	if (status == LW_OK && at->purpose == LW_PURPOSE_NEXT &&
	    at->reasoning != NULL) {
		step->why = reasons_next(
		    shelf->arena, at->reasoning, &at->reasoning->choices[0]);
		if (step->why == NULL)
			status = err_no_memory(err);
	}
	if (status != LW_OK)
		return status;
	*out = step;
	return expect_fill(step, shelf->arena, at, err);
}
