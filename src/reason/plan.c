/* The cheapest tree, as far as the limits let it go: looks at the grid and
 * calls what makes ready, draws up trees and searches; leaves each of these to
 * its own file. */
#include "reason/plan_work.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>
#include <string.h>

/* Sums of costs along any way stay finite below it. */
static const double COST_MAX = 1e300;

/* How many calls between two looks at the clock. */
enum { TICKS = 64, OUTCOMES_MAX = 65536 };

bool
plan_goes_on(struct plan_work *work)
{
	const struct reason_limits *limits = work->limits;

	if (!work->stopped && limits != NULL && limits->stop != NULL &&
	    work->ticks++ % TICKS == 0)
		work->stopped = limits->stop(limits->what);
	return !work->stopped;
}

size_t
plan_left(const struct plan_work *work)
{
	size_t used = lw_arena_used(work->arena) + work->answer;

	if (work->limits == NULL || work->limits->bytes == 0)
		return SIZE_MAX;
	return used < work->limits->bytes ? work->limits->bytes - used : 0;
}

void *
plan_room(struct plan_work *work, size_t count, size_t size)
{
	size_t left = plan_left(work);

	if (size != 0 && count > left / size)
		return NULL;
	return arena_array(work->arena, count, size);
}

static bool
is_amount(double value)
{
	return value >= 0 && value <= COST_MAX;
}

static enum lw_status
look_at_causes(const struct plan_grid *grid, struct lw_err *err)
{
	bool any = false;
	size_t i;

	if (grid->causes == 0)
		return err_set(err, LW_BAD_INPUT,
		    "there is no cause to tell apart; a plan needs at least "
		    "one");
	if (grid->causes > PLAN_CAUSES_MAX)
		return err_set(err, LW_BAD_INPUT,
		    "there are %zu causes; a plan takes at most %d",
		    grid->causes, PLAN_CAUSES_MAX);
	for (i = 0; i < grid->causes; i++) {
		if (!is_amount(grid->weight[i]))
			return err_set(err, LW_BAD_INPUT,
			    "the weight of cause %zu is %g; it has to be 0 or "
			    "more and at most %g",
			    i + 1, grid->weight[i], COST_MAX);
		any = any || grid->weight[i] > 0;
	}
	if (!any)
		return err_set(err, LW_BAD_INPUT,
		    "all weights are 0; at least one has to be above it");
	return LW_OK;
}

static enum lw_status
look_at_states(const struct plan_grid *grid, struct lw_err *err)
{
	size_t from, to;
	double setup;

	if (grid->states == 0 || grid->begin >= grid->states)
		return err_set(err, LW_BAD_INPUT,
		    "it begins in state %zu of %zu; it has to be one of them",
		    grid->begin + 1, grid->states);
	if (grid->setup == NULL)
		return LW_OK;
	for (from = 0; from < grid->states; from++) {
		for (to = 0; to < grid->states; to++) {
			setup = grid->setup[from * grid->states + to];
			if (is_amount(setup) && (from != to || setup == 0))
				continue;
			return err_set(err, LW_BAD_INPUT,
			    "the set-up from state %zu to %zu is %g; it has "
			    "to be 0 or more, at most %g, and 0 from a state "
			    "to itself",
			    from + 1, to + 1, setup, COST_MAX);
		}
	}
	return LW_OK;
}

static enum lw_status
look_at_checks(const struct plan_grid *grid, struct lw_err *err)
{
	size_t i, j;

	if (grid->checks > PLAN_CHECKS_MAX)
		return err_set(err, LW_BAD_INPUT,
		    "there are %zu checks; a plan takes at most %d",
		    grid->checks, PLAN_CHECKS_MAX);
	for (j = 0; j < grid->checks; j++) {
		if (!is_amount(grid->cost[j]))
			return err_set(err, LW_BAD_INPUT,
			    "the cost of check %zu is %g; it has to be 0 or "
			    "more and at most %g",
			    j + 1, grid->cost[j], COST_MAX);
		if (grid->state != NULL && grid->state[j] >= grid->states)
			return err_set(err, LW_BAD_INPUT,
			    "check %zu is done in state %zu of %zu; it has to "
			    "be one of them",
			    j + 1, grid->state[j] + 1, grid->states);
		for (i = 0; i < grid->causes; i++)
			if (grid->outcome[j * grid->causes + i] >= OUTCOMES_MAX)
				return err_set(err, LW_BAD_INPUT,
				    "check %zu has outcome %u for cause %zu; "
				    "it has to be below %d",
				    j + 1, grid->outcome[j * grid->causes + i],
				    i + 1, OUTCOMES_MAX);
	}
	return LW_OK;
}

static enum lw_status
look_at(const struct plan_grid *grid, struct lw_err *err)
{
	enum lw_status status = look_at_causes(grid, err);

	if (status == LW_OK)
		status = look_at_states(grid, err);
	if (status == LW_OK)
		status = look_at_checks(grid, err);
	return status;
}

enum lw_status
plan_make(struct plan *plan, struct lw_arena *arena,
    const struct plan_grid *grid, enum plan_effort effort,
    const struct reason_limits *limits, struct lw_err *err)
{
	struct plan_work work = {.grid = grid, .limits = limits};
	struct plan_draft draft = {0};
	enum lw_status status = look_at(grid, err);

	memset(plan, 0, sizeof *plan);
	(void)effort;
	if (status != LW_OK)
		return status;
	work.arena = lw_arena_new();
	if (work.arena == NULL)
		return err_no_memory(err);
	status = plan_ready(&work, err);
	if (status != LW_OK)
		goto out;
	status = plan_draft_make(&draft, &work, NULL);
	if (status == LW_OK)
		status = plan_tree(plan, arena, &work, &draft);
	if (status != LW_OK) {
		status = err_no_memory(err);
		goto out;
	}
	plan->optimal = draft.count == 0;
out:
	lw_arena_free(work.arena);
	return status;
}
