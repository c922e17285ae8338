/* The cheapest tree, as far as the limits let it go: looks at the grid and
 * calls what makes ready, draws up trees and searches; leaves each of these to
 * its own file. */
#include "reason/plan_sets.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>
#include <string.h>

/* Sums of costs along any way stay finite below it. */
static const double COST_MAX = 1e300;

/* What rounding may make of the same sum. */
static const double PROOF = 1e-10;

/* How much work between two looks at the clock: about a millisecond's. */
enum { TICKS = 500000, OUTCOMES_MAX = 65536 };

bool
plan_goes_on(struct plan_work *work, size_t ticks)
{
	const struct reason_limits *limits = work->limits;

	work->ticks += ticks;
	if (work->stopped || work->ticks < TICKS)
		return !work->stopped;
	work->ticks = 0;
	if (limits != NULL && limits->stop != NULL)
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

/* What is known of a set, for a draft. */
static size_t
choose_known(
    void *what, const size_t *list, size_t count, size_t state, double weight)
{
	struct plan_sets *sets = what;
	const struct plan_work *work = sets->work;
	uint64_t *set = sets->spare;
	const struct plan_entry *entry;
	size_t i, best = REASON_NONE;
	double least = INFINITY, cost;

	if (!(weight > 0))
		return REASON_NONE;
	memset(set, 0, sets->words * sizeof *set);
	for (i = 0; i < count; i++)
		set[list[i] / 64] |= UINT64_C(1) << list[i] % 64;
	if (count > 2) {
		entry = plan_entry_find(sets, set, state);
		return entry != NULL && entry->check != UINT32_MAX
			   ? entry->check
			   : REASON_NONE;
	}
	for (i = 0; i < work->checks; i++) {
		cost = work->cost[i] +
		       work->setup[state * work->states + work->state[i]];
		if (cost < least && plan_set_splits(sets, set, list[0], i)) {
			least = cost;
			best = i;
		}
	}
	return best;
}

/* Keep the cheaper of two drafts. */
static enum lw_status
draft_again(struct plan_draft *draft, struct plan_work *work,
    const struct plan_chooser *chooser)
{
	struct plan_draft other = {0};
	enum lw_status status = plan_draft_make(&other, work, chooser);

	if (status == LW_OK && other.cost <= draft->cost)
		*draft = other;
	return status;
}

/* Raise what the whole costs at least, in steps, until it is proved. */
static void
prove(struct plan_sets *sets, struct plan_entry *root)
{
	double limit;

	while (!plan_solved(root)) {
		limit = root->low + (root->high - root->low) / 4;
		if (root->high - root->low < root->high / 50)
			limit = root->high;
		if (!plan_search(sets, root, 0, limit))
			break;
	}
}

/* All subsets at once, where the search would take longer. */
static enum lw_status
try_array(
    struct plan_draft *draft, struct plan_sets *sets, struct plan_entry *root)
{
	struct plan_work *work = sets->work;
	struct plan_array array = {0};
	struct plan_chooser chooser = {plan_array_choose, &array};
	size_t bytes = plan_array_bytes(work);
	enum lw_status status;

	if (bytes == 0 || bytes > plan_left(work) ||
	    !plan_array_fill(&array, sets))
		return LW_OK;
	status = draft_again(draft, work, &chooser);
	root->low = root->high = draft->cost;
	return status;
}

/* How many sets the search may open before the array is the better way. */
static size_t
budget_before_array(const struct plan_work *work)
{
	size_t bytes = plan_array_bytes(work);

	if (bytes == 0 || bytes > plan_left(work))
		return SIZE_MAX;
	return ((size_t)1 << work->groups) / 64;
}

/* Sets of so many groups get the best tree within a rollout; and so many sets
 * are opened before the rollout is made over a rollout. */
enum { FEW = 12, SOME = 20000 };

/* From the greedy tree to the best one that the limits allow; *low is what no
 * tree costs less than. */
static enum lw_status
improve(struct plan_draft *draft, double *low, struct plan_work *work,
    enum plan_effort effort)
{
	struct plan_sets sets;
	struct plan_chooser chooser = {choose_known, &sets};
	struct plan_entry *root;
	enum lw_status status = plan_sets_make(&sets, work);
	size_t budget;

	if (status != LW_OK)
		return status;
	plan_sets_all(sets.spare, &sets);
	*low =
	    plan_bound(&sets, sets.spare, work->groups, work->grid->begin, 1);
	root = plan_sets_open(&sets) ? plan_root(&sets) : NULL;
	if (effort == PLAN_GREEDY || root == NULL)
		return LW_OK;
	sets.near = draft->cost * 1e-13;
	sets.budget = SIZE_MAX;
	plan_rollout(&sets, root, 0, FEW, 1);
	if (effort == PLAN_BEST) {
		budget = budget_before_array(work);
		sets.budget = budget < SOME ? budget : SOME;
		prove(&sets, root);
		if (budget > SOME) {
			sets.budget = budget - SOME;
			plan_rollout(&sets, root, 0, FEW, 2);
			prove(&sets, root);
		}
	}
	status = draft_again(draft, work, &chooser);
	if (status == LW_OK && effort == PLAN_BEST && !plan_solved(root))
		status = try_array(draft, &sets, root);
	*low = root->low;
	return status;
}

enum lw_status
plan_make(struct plan *plan, struct lw_arena *arena,
    const struct plan_grid *grid, enum plan_effort effort,
    const struct reason_limits *limits, struct lw_err *err)
{
	struct plan_work work = {
	    .grid = grid, .limits = limits, .ticks = TICKS};
	struct plan_draft draft = {0};
	enum lw_status status = look_at(grid, err);
	double low = 0;

	memset(plan, 0, sizeof *plan);
	if (status != LW_OK)
		return status;
	work.arena = lw_arena_new();
	if (work.arena == NULL)
		return err_no_memory(err);
	status = plan_ready(&work, err);
	if (status != LW_OK)
		goto out;
	status = plan_draft_make(&draft, &work, NULL);
	if (status == LW_OK && work.groups > 1)
		status = improve(&draft, &low, &work, effort);
	if (status == LW_OK)
		status = plan_tree(plan, arena, &work, &draft);
	if (status != LW_OK) {
		status = err_no_memory(err);
		goto out;
	}
	plan->optimal = low >= draft.cost * (1 - PROOF);
	/* Never above, for all rounding. */
	plan->lower_bound =
	    plan->optimal ? plan->cost : low * work.unit * (1 - PROOF);
out:
	lw_arena_free(work.arena);
	return status;
}
