/* What no policy can do without: a few checks are looked ahead, and from there
 * on each cause is as good as known. Finding policies is left to the others. */
#include "reason/policy_work.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* How much is looked at: outcomes tried, times causes. */
static const double WORK_MAX = 4e6;

/* Tables of more states than this are taken to need no set-up here. */
enum { STATES_MAX = 64 };

struct look {
	struct policy_work *work;
	double *setup;	/* the cheapest way between states; NULL: nothing */
	double *levels; /* weights for each check that is looked ahead */
};

/* The cheapest way between two states, over others (Floyd and Warshall): a
 * check that tells nothing may be a detour that pays. */
static double *
cheapest_ways(const struct reason_table *table)
{
	size_t n = table->states, a, b, over;
	double *ways;

	if (table->setup == NULL || n > STATES_MAX)
		return NULL;
	ways = calloc(n * n, sizeof *ways);
	if (ways == NULL)
		return NULL;
	memcpy(ways, table->setup, n * n * sizeof *ways);
	for (over = 0; over < n; over++)
		for (a = 0; a < n; a++)
			for (b = 0; b < n; b++)
				ways[a * n + b] = fmin(ways[a * n + b],
				    ways[a * n + over] + ways[over * n + b]);
	return ways;
}

static double
ask_least(const struct look *look, size_t state, size_t number)
{
	const struct reason_table *table = look->work->table;
	const struct reason_check *check = &table->check[number];

	if (look->setup == NULL)
		return check->cost;
	return check->cost + look->setup[state * table->states + check->state];
}

/* Whoever does not fix at once asks at least one check. */
static double
look_no_further(const struct look *look, const struct policy_place *place,
    double now, double floor)
{
	const struct policy_work *work = look->work;
	double ask = (double)INFINITY;
	size_t k;

	for (k = 0; k < work->live_count; k++)
		if (!work->done[work->live[k]])
			ask = fmin(
			    ask, ask_least(look, place->state, work->live[k]));
	return fmin(now, ask * place->sum + floor);
}

static double
look_ahead(
    const struct look *look, const struct policy_place *place, size_t depth)
{
	struct policy_work *work = look->work;
	double *weight = look->levels + place->depth * work->causes, bound;
	double least = fixes_desk_cost(work->desk, NULL, place->weight);
	double floor = policy_floor(work, place);
	struct policy_place after;
	size_t k, o, check;

	if (depth == 0 || policy_stopped(work))
		return look_no_further(look, place, least, floor);
	for (k = 0; k < work->live_count; k++) {
		check = work->live[k];
		bound = ask_least(look, place->state, check) * place->sum;
		if (work->done[check] || bound + floor >= least)
			continue;
		work->done[check] = true;
		for (o = 0; o < work->table->check[check].outcomes; o++) {
			after = policy_after(work, weight, place, check, o);
			if (after.sum > 0)
				bound += look_ahead(look, &after, depth - 1);
		}
		work->done[check] = false;
		least = fmin(least, bound);
	}
	return least;
}

double
policy_bound(struct policy_work *work, const double *share)
{
	struct policy_place whole = {.weight = share};
	struct look look = {.work = work};
	double tried = 0, bound, each = (double)work->causes;
	size_t depth = 0, k, i;

	for (i = 0; i < work->causes; i++)
		whole.sum += share[i];
	whole.state = work->table->begin;
	for (k = 0; k < work->live_count; k++)
		tried += (double)work->table->check[work->live[k]].outcomes;
	while (depth < work->live_count && each * tried <= WORK_MAX) {
		each *= tried;
		depth++;
	}
	look.levels = calloc(work->causes, (depth + 1) * sizeof(double));
	if (look.levels == NULL)
		return policy_floor(work, &whole);
	look.setup = cheapest_ways(work->table);
	bound =
	    fmax(look_ahead(&look, &whole, depth), policy_floor(work, &whole));
	free(look.setup);
	free(look.levels);
	return bound;
}
