/* The best policy by dynamic programming over every set of findings, where
 * there are few; when that is too many is decided here, what to do then is left
 * to policy. */
#include "reason/policy_work.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Sets of findings, times states; and times causes: what is small. */
enum { SETS_MAX = 600000, WORK_MAX = 12000000 };

/*
 * A set of findings is a number: for each live check a digit, 0 where it is not
 * done, else its outcome and 1. Whatever comes after a set has a larger number.
 */
struct policy_exact {
	struct policy_work *work;
	size_t sets;
	size_t *digit;	/* what each live check's digit counts */
	size_t *number; /* of each check of the table, which live one it is */
	struct policy_option *found; /* room for all live checks */
	size_t *states;		     /* those that it can be in, and how many */
	size_t state_count;
	size_t *slot;	  /* of each state of the table, where it is in those */
	double *cost;	  /* [set * state_count + slot], times the chance */
	double *bound;	  /* the same, where nothing is cut off */
	uint32_t *choice; /* the live check, and 1; 0: fix */
	double *levels;	  /* weights, for each live check and one more */
	bool stopped;
};

/* --- how large it is ----------------------------------------------------- */

static size_t
count_sets(const struct policy_work *work)
{
	size_t k, digits, sets = 1;

	for (k = 0; k < work->live_count; k++) {
		digits = work->table->check[work->live[k]].outcomes + 1;
		if (digits > SETS_MAX / sets)
			return 0;
		sets *= digits;
	}
	return sets;
}

static void
find_states(struct policy_exact *exact)
{
	const struct policy_work *work = exact->work;
	const struct reason_table *table = work->table;
	size_t k, s;

	for (s = 0; s < table->states; s++)
		exact->slot[s] = REASON_NONE;
	exact->states[0] = table->begin;
	exact->slot[table->begin] = 0;
	exact->state_count = 1;
	for (k = 0; k < work->live_count; k++) {
		s = table->check[work->live[k]].state;
		if (exact->slot[s] != REASON_NONE)
			continue;
		exact->slot[s] = exact->state_count;
		exact->states[exact->state_count++] = s;
	}
}

void
policy_exact_free(struct policy_exact *exact)
{
	if (exact == NULL)
		return;
	free(exact->digit);
	free(exact->number);
	free(exact->found);
	free(exact->states);
	free(exact->slot);
	free(exact->cost);
	free(exact->bound);
	free(exact->choice);
	free(exact->levels);
	free(exact);
}

static void
number_digits(struct policy_exact *exact)
{
	const struct policy_work *work = exact->work;
	size_t k, counts = 1;

	for (k = work->live_count; k-- > 0;) {
		exact->digit[k] = counts;
		exact->number[work->live[k]] = k;
		counts *= work->table->check[work->live[k]].outcomes + 1;
	}
}

static enum lw_status
make_room(struct policy_exact *exact)
{
	struct policy_work *work = exact->work;
	size_t live = work->live_count, cells;

	exact->digit = calloc(live + 1, sizeof *exact->digit);
	exact->number = calloc(work->table->checks + 1, sizeof *exact->number);
	exact->found = calloc(live + 1, sizeof *exact->found);
	exact->states = calloc(live + 1, sizeof *exact->states);
	exact->slot = calloc(work->table->states, sizeof *exact->slot);
	if (exact->digit == NULL || exact->number == NULL ||
	    exact->found == NULL || exact->states == NULL ||
	    exact->slot == NULL)
		return LW_NO_MEMORY;
	find_states(exact);
	cells = exact->sets * exact->state_count;
	if (cells > SETS_MAX ||
	    exact->sets > WORK_MAX / (work->causes + exact->state_count) ||
	    !policy_take(work, cells, 2 * sizeof(double) + sizeof(uint32_t)) ||
	    !policy_take(work, live + 1, work->causes * sizeof(double)))
		return LW_TOO_BIG;
	exact->cost = calloc(cells, sizeof *exact->cost);
	exact->bound = calloc(cells, sizeof *exact->bound);
	exact->choice = calloc(cells, sizeof *exact->choice);
	exact->levels =
	    calloc(work->causes, (live + 1) * sizeof *exact->levels);
	if (exact->cost == NULL || exact->bound == NULL ||
	    exact->choice == NULL || exact->levels == NULL)
		return LW_NO_MEMORY;
	number_digits(exact);
	return LW_OK;
}

/* --- each set of findings ------------------------------------------------ */

/* Asking a live check here, from each state. Where the tree is cut off, the
 * bound alone goes on. */
static void
weigh_option(struct policy_exact *exact, const struct policy_place *place,
    size_t set, size_t number, bool cut_off)
{
	const struct policy_work *work = exact->work;
	size_t check = work->live[number], count = exact->state_count, s, o, at;
	size_t to = exact->slot[work->table->check[check].state];
	double cost = 0, bound = 0, ask;

	for (o = 0; o < work->table->check[check].outcomes; o++) {
		at = (set + (o + 1) * exact->digit[number]) * count + to;
		cost += exact->cost[at];
		bound += exact->bound[at];
	}
	for (s = 0; s < count; s++) {
		at = set * count + s;
		ask =
		    policy_ask_cost(work, exact->states[s], check) * place->sum;
		exact->bound[at] = fmin(exact->bound[at], bound + ask);
		if (cut_off || !(cost + ask < exact->cost[at]))
			continue;
		exact->cost[at] = cost + ask;
		exact->choice[at] = (uint32_t)number + 1;
	}
}

static void
weigh_set(
    struct policy_exact *exact, const struct policy_place *place, size_t set)
{
	struct policy_work *work = exact->work;
	size_t count = exact->state_count, s, k, found;
	double now = fixes_desk_cost(work->desk, NULL, place->weight);
	bool cut_off = place->sum < work->least_chance ||
		       place->depth >= work->bounds.depth_max;

	for (s = 0; s < count; s++) {
		exact->cost[set * count + s] = now;
		exact->bound[set * count + s] = now;
	}
	found = policy_options(work, exact->found, work->live_count, place);
	for (k = 0; k < found; k++)
		weigh_option(exact, place, set,
		    exact->number[exact->found[k].check], cut_off);
}

/* All sets that have these digits before `number`, the largest first. */
static void
weigh_sets(struct policy_exact *exact, const struct policy_place *place,
    size_t set, size_t number)
{
	struct policy_work *work = exact->work;
	double *weight = exact->levels + (number + 1) * work->causes;
	struct policy_place after;
	size_t check, o;

	if (number == work->live_count) {
		exact->stopped = exact->stopped || policy_stopped(work);
		if (!exact->stopped)
			weigh_set(exact, place, set);
		return;
	}
	check = work->live[number];
	work->done[check] = true;
	for (o = work->table->check[check].outcomes; o-- > 0;) {
		if (exact->stopped)
			continue;
		after = policy_after(work, weight, place, check, o);
		if (after.sum > 0)
			weigh_sets(exact, &after,
			    set + (o + 1) * exact->digit[number], number + 1);
	}
	work->done[check] = false;
	if (!exact->stopped)
		weigh_sets(exact, place, set, number + 1);
}

enum lw_status
policy_exact_new(
    struct policy_exact **made, struct policy_work *work, const double *share)
{
	struct policy_place whole = {.weight = share};
	struct policy_exact *exact;
	enum lw_status status;
	size_t i, sets = count_sets(work);

	*made = NULL;
	if (sets == 0)
		return LW_TOO_BIG;
	exact = calloc(1, sizeof *exact);
	if (exact == NULL)
		return LW_NO_MEMORY;
	exact->work = work;
	exact->sets = sets;
	status = make_room(exact);
	if (status != LW_OK)
		goto fail;
	for (i = 0; i < work->causes; i++)
		whole.sum += share[i];
	whole.state = work->table->begin;
	weigh_sets(exact, &whole, 0, 0);
	if (exact->stopped) {
		status = LW_UNDECIDED;
		goto fail;
	}
	*made = exact;
	return LW_OK;
fail:
	policy_exact_free(exact);
	return status;
}

double
policy_exact_bound(const struct policy_exact *exact)
{
	return exact->bound[0];
}

size_t
policy_exact_choice(const struct policy_exact *exact, size_t state,
    const size_t *check, const size_t *outcome, size_t count)
{
	size_t set = 0, k;
	uint32_t choice;

	for (k = 0; k < count; k++)
		set += (outcome[k] + 1) * exact->digit[exact->number[check[k]]];
	choice = exact->choice[set * exact->state_count + exact->slot[state]];
	return choice == 0 ? REASON_NONE : exact->work->live[choice - 1];
}
