/* The workbench of policy: weights, checks worth asking, limits. What to do
 * with them is left to policy_roll, policy_exact and policy_bound. */
#include "reason/policy_work.h"

#include "base/err.h"
#include "reason/bits.h"
#include "reason/next.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is meant where nothing is said; and past what none is larger, so that
 * shares of nodes and recursion stay within reason. */
enum {
	NODES_USUAL = 10000,
	DEPTH_USUAL = 12,
	DEPTH_MOST = 100,
	SHARES_MOST = 20000000
};

/* The clock is asked once in so many times. */
enum { ASK_EVERY = 16 };

static void
set_bounds(struct policy_work *work, const struct policy_bounds *bounds)
{
	if (bounds != NULL)
		work->bounds = *bounds;
	if (work->bounds.nodes_max == 0)
		work->bounds.nodes_max = NODES_USUAL;
	if (work->bounds.nodes_max > SHARES_MOST / work->causes + 1)
		work->bounds.nodes_max = SHARES_MOST / work->causes + 1;
	if (work->bounds.depth_max == 0)
		work->bounds.depth_max = DEPTH_USUAL;
	if (work->bounds.depth_max > DEPTH_MOST)
		work->bounds.depth_max = DEPTH_MOST;
	if (work->bounds.depth_max > work->table->checks)
		work->bounds.depth_max = work->table->checks;
}

/* Whether the check says the same under every cause. */
static bool
is_mute(const struct policy_work *work, size_t number, const double *share)
{
	const struct reason_check *check = &work->table->check[number];
	size_t o, i, first = 0;

	while (!(share[first] > 0))
		first++;
	for (o = 0; o < check->outcomes; o++) {
		const double *given = check->given + o * work->causes;

		for (i = first + 1; i < work->causes; i++)
			if (share[i] > 0 && given[i] != given[first])
				return false;
	}
	return true;
}

static void
find_live(struct policy_work *work, const double *share)
{
	size_t j;

	for (j = 0; j < work->table->checks; j++) {
		if (is_mute(work, j, share))
			continue;
		work->live[work->live_count++] = j;
		bits_rows(work->row + j * work->causes, &work->table->check[j],
		    work->causes);
	}
}

static void *
take_array(struct policy_work *work, size_t count, size_t size)
{
	if (count == 0)
		count = 1;
	if (count > SIZE_MAX / size)
		return NULL;
	work->bytes += count * size;
	return calloc(count, size);
}

enum lw_status
policy_work_open(struct policy_work *work, const struct reason_table *table,
    const double *share, const struct reason_fixes *fixes,
    const struct policy_bounds *bounds, const struct reason_limits *limits,
    struct lw_err *err)
{
	size_t n = table->causes, m = table->checks, j;

	memset(work, 0, sizeof *work);
	work->table = table;
	work->fixes = fixes;
	work->limits = limits;
	work->causes = n;
	work->outcomes = 1;
	for (j = 0; j < m; j++)
		if (table->check[j].outcomes > work->outcomes)
			work->outcomes = table->check[j].outcomes;
	set_bounds(work, bounds);
	work->live = take_array(work, m, sizeof *work->live);
	work->row = take_array(work, n, (m + 1) * sizeof *work->row);
	work->least = take_array(work, n, sizeof *work->least);
	work->done = take_array(work, m, sizeof *work->done);
	work->levels = take_array(
	    work, n, (work->bounds.depth_max + 3) * sizeof *work->levels);
	work->mass = take_array(work, work->outcomes, sizeof *work->mass);
	work->safer = take_array(work, table->states, sizeof *work->safer);
	work->options = take_array(work, m, sizeof *work->options);
	work->bytes += fixes_desk_size(fixes, n);
	work->desk = fixes_desk_new(fixes, n);
	if (work->live == NULL || work->row == NULL || work->least == NULL ||
	    work->done == NULL || work->levels == NULL || work->mass == NULL ||
	    work->safer == NULL || work->options == NULL || work->desk == NULL)
		return err_no_memory(err);
	find_live(work, share);
	fixes_least(work->least, work->fixes, work->causes);
	return LW_OK;
}

void
policy_work_close(struct policy_work *work)
{
	free(work->live);
	free(work->row);
	free(work->least);
	free(work->done);
	free(work->levels);
	free(work->mass);
	free(work->safer);
	free(work->options);
	fixes_desk_free(work->desk);
	policy_memo_free(work->memo);
}

bool
policy_stopped(struct policy_work *work)
{
	const struct reason_limits *limits = work->limits;

	if (!work->stopped && limits != NULL && limits->stop != NULL &&
	    work->asked++ % ASK_EVERY == 0)
		work->stopped = limits->stop(limits->what);
	return work->stopped;
}

bool
policy_take(struct policy_work *work, size_t count, size_t size)
{
	size_t limit = SIZE_MAX;

	if (work->limits != NULL && work->limits->bytes > 0)
		limit = work->limits->bytes;
	if (work->bytes > limit || count > (limit - work->bytes) / size)
		return false;
	work->bytes += count * size;
	return true;
}

double
policy_ask_cost(const struct policy_work *work, size_t state, size_t check)
{
	const struct reason_table *table = work->table;
	size_t to = table->check[check].state;
	double cost = table->check[check].cost;

	if (table->setup != NULL)
		cost += table->setup[state * table->states + to];
	return cost;
}

/* A number for a finding that looks random (splitmix64). */
static uint64_t
finding_mark(size_t check, size_t outcome)
{
	uint64_t z = ((uint64_t)check << 24) + outcome + 1;

	z *= UINT64_C(0x9e3779b97f4a7c15);
	z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
	z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
	return z ^ (z >> 31);
}

struct policy_place
policy_after(const struct policy_work *work, double *weight,
    const struct policy_place *place, size_t check, size_t outcome)
{
	const struct reason_check *asked = &work->table->check[check];
	const double *given = asked->given + outcome * work->causes;
	struct policy_place after;
	size_t i;

	after.weight = weight;
	after.sum = 0;
	for (i = 0; i < work->causes; i++) {
		weight[i] = place->weight[i] * given[i];
		after.sum += weight[i];
	}
	after.state = asked->state;
	after.depth = place->depth + 1;
	after.mark = place->mark ^ finding_mark(check, outcome);
	return after;
}

double
policy_floor(const struct policy_work *work, const struct policy_place *place)
{
	double floor = 0;
	size_t i;

	for (i = 0; i < work->causes; i++)
		floor += place->weight[i] * work->least[i];
	return floor;
}

static bool
is_better(const struct policy_option *a, const struct policy_option *b)
{
	if (a->score != b->score)
		return a->score > b->score;
	if (a->bits != b->bits)
		return a->bits > b->bits;
	return a->check < b->check;
}

/* Into `safer` for each state what a check in a less hazardous one tells. */
static void
find_safer(struct policy_work *work, size_t count)
{
	double here, before = 0;
	size_t k, s;

	memset(work->safer, 0, work->table->states * sizeof *work->safer);
	for (k = 0; k < count; k++) {
		s = work->table->check[work->options[k].check].state;
		work->safer[s] = fmax(work->safer[s], work->options[k].bits);
	}
	for (s = 0; s < work->table->states; s++) {
		here = work->safer[s];
		work->safer[s] = before;
		before = fmax(before, here);
	}
}

/* All that tell something here, as they stand in the table. */
static size_t
find_telling(struct policy_work *work, const struct policy_place *place)
{
	size_t k, j, count = 0;
	double bits;

	for (k = 0; k < work->live_count; k++) {
		j = work->live[k];
		if (work->done[j])
			continue;
		bits = bits_told(work->mass, &work->table->check[j],
		    work->row + j * work->causes, place->weight, work->causes,
		    place->sum);
		if (!(bits >= NEXT_LEAST_BITS))
			continue;
		work->options[count].check = j;
		work->options[count++].bits = bits;
	}
	return count;
}

size_t
policy_options(struct policy_work *work, struct policy_option *options,
    size_t most, const struct policy_place *place)
{
	size_t k, at, found, count = 0;

	found = find_telling(work, place);
	find_safer(work, found);
	for (k = 0; k < found; k++) {
		struct policy_option option = work->options[k];
		size_t state = work->table->check[option.check].state;

		if (next_yields(option.bits, work->safer[state]))
			continue;
		option.cost = policy_ask_cost(work, place->state, option.check);
		option.score = next_score(option.bits, option.cost);
		option.expected = (double)INFINITY;
		if (count == most && !is_better(&option, &options[count - 1]))
			continue;
		at = count < most ? count++ : count - 1;
		for (; at > 0 && is_better(&option, &options[at - 1]); at--)
			options[at] = options[at - 1];
		options[at] = option;
	}
	return count;
}
