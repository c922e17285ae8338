/* What to ask at one place, found by looking ahead: one check, or a whole
 * policy of one check at a time after each check (rollout). Growing a tree of
 * such choices is left to policy. */
#include "reason/policy_work.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A gain below this, of what is spent, is none. */
static const double NO_GAIN = 1e-12;

/* Rollouts do not follow what is less probable than this, of the place where
 * they begin. */
static const double ROLLOUT_CUT = 0.01;

/* Enough for POLICY_SURE. */
static const double SURE = 0.95;

/* --- what was found out before ------------------------------------------- */

/* What the policy costs from a place on, by what was
 * found and the state; two that share a mark (one in 2^64) would share what is
 * expected of them, and no more. */
struct entry {
	uint64_t key; /* 0: free */
	double cost;  /* on average, if it comes there */
	double cut;   /* what was not followed, as a share of the place */
};

struct policy_memo {
	struct entry *entries;
	size_t size; /* a power of two */
	size_t count;
	bool full; /* no bytes are left to grow */
};

enum { MEMO_SIZE = 1024 };

struct policy_memo *
policy_memo_new(struct policy_work *work)
{
	struct policy_memo *memo;

	if (!policy_take(work, MEMO_SIZE, sizeof *memo->entries))
		return NULL;
	memo = calloc(1, sizeof *memo);
	if (memo == NULL)
		return NULL;
	memo->size = MEMO_SIZE;
	memo->entries = calloc(memo->size, sizeof *memo->entries);
	if (memo->entries != NULL)
		return memo;
	free(memo);
	return NULL;
}

void
policy_memo_free(struct policy_memo *memo)
{
	if (memo == NULL)
		return;
	free(memo->entries);
	free(memo);
}

/* Where the key is, or would be. */
static struct entry *
memo_find(const struct policy_memo *memo, uint64_t key)
{
	size_t at = (size_t)key & (memo->size - 1);

	while (memo->entries[at].key != 0 && memo->entries[at].key != key)
		at = (at + 1) & (memo->size - 1);
	return &memo->entries[at];
}

static uint64_t
place_key(const struct policy_place *place, bool further)
{
	uint64_t where = 2 * (uint64_t)place->state + 2 + further;

	return (place->mark ^ where * UINT64_C(0xd6e8feb86659fd93)) | 1;
}

/* Whether the cost of a place is known, with no more left out than `cut`, or
 * not much more. */
static bool
memo_knows(
    double *cost, const struct policy_work *work, uint64_t key, double cut)
{
	const struct entry *entry;

	if (work->memo == NULL)
		return false;
	entry = memo_find(work->memo, key);
	if (entry->key != key || entry->cut > 2 * cut)
		return false;
	*cost = entry->cost;
	return true;
}

static void
memo_grow(struct policy_work *work, struct policy_memo *memo)
{
	struct policy_memo larger = *memo;
	size_t i;

	larger.size = 2 * memo->size;
	if (!policy_take(work, memo->size, sizeof *memo->entries)) {
		memo->full = true;
		return;
	}
	larger.entries = calloc(larger.size, sizeof *larger.entries);
	if (larger.entries == NULL) {
		memo->full = true;
		return;
	}
	for (i = 0; i < memo->size; i++)
		if (memo->entries[i].key != 0)
			*memo_find(&larger, memo->entries[i].key) =
			    memo->entries[i];
	free(memo->entries);
	*memo = larger;
}

static void
memo_keep(struct policy_work *work, uint64_t key, double cost, double cut)
{
	struct policy_memo *memo = work->memo;
	struct entry *entry;

	/* What was cut short is not worth keeping. */
	if (memo == NULL || work->stopped)
		return;
	if (4 * memo->count >= 3 * memo->size && !memo->full)
		memo_grow(work, memo);
	entry = memo_find(memo, key);
	if (entry->key == 0) {
		if (4 * memo->count >= 3 * memo->size)
			return;
		memo->count++;
	}
	entry->key = key;
	entry->cost = cost;
	entry->cut = cut;
}

/* --- one check at a time ------------------------------------------------- */

static double *
level(const struct policy_work *work, size_t depth)
{
	return work->levels + depth * work->causes;
}

/* What is spent on average where the check is asked here and it is fixed right
 * after, whatever it says. +infinity as soon as that is sure not to be below
 * `best`. `floor` is the place's. */
static double
expected_after(struct policy_work *work, const struct policy_place *place,
    const struct policy_option *option, double floor, double best)
{
	const struct reason_check *check = &work->table->check[option->check];
	double *weight = level(work, work->bounds.depth_max + 1);
	double spent = option->cost * place->sum, rest = floor;
	struct policy_place after;
	size_t o;

	for (o = 0; o < check->outcomes; o++) {
		if (spent + rest > best * (1 + NO_GAIN))
			return (double)INFINITY;
		after = policy_after(work, weight, place, option->check, o);
		if (!(after.sum > 0))
			continue;
		rest -= policy_floor(work, &after);
		spent += fixes_desk_cost(work->desk, NULL, weight);
	}
	return spent;
}

/* The option that is best if it is fixed right after; NULL: fix now, for
 * `now`. */
static const struct policy_option *
best_option(struct policy_work *work, struct policy_option *options,
    size_t count, const struct policy_place *place, double now)
{
	double floor = policy_floor(work, place), best = now * (1 - NO_GAIN);
	const struct policy_option *chosen = NULL;
	size_t k;

	for (k = 0; k < count; k++) {
		double expected =
		    expected_after(work, place, &options[k], floor, best);

		if (expected < best) {
			best = expected;
			chosen = &options[k];
		}
	}
	return chosen;
}

static double cost_on(struct policy_work *work,
    const struct policy_place *place, double cut, bool further);

/* What is spent where the check is asked here and the policy goes on after
 * it. */
static double
asked_cost(struct policy_work *work, const struct policy_place *place,
    const struct policy_option *option, double cut, bool further)
{
	const struct reason_check *check = &work->table->check[option->check];
	double spent = option->cost * place->sum;
	struct policy_place after;
	size_t o;

	work->done[option->check] = true;
	for (o = 0; o < check->outcomes; o++) {
		after = policy_after(work, level(work, place->depth + 1), place,
		    option->check, o);
		if (after.sum > 0)
			spent += cost_on(work, &after, cut, further);
	}
	work->done[option->check] = false;
	return spent;
}

/* What the policy costs from here on, times the chance of the place. Places
 * less probable than `cut` are not divided. Where one check more does not pay,
 * the one with the best score is tried for what may come after it, but only
 * once on a way (`further`). */
static double
cost_on(struct policy_work *work, const struct policy_place *place, double cut,
    bool further)
{
	struct policy_option options[POLICY_CLOSELY];
	const struct policy_option *chosen;
	uint64_t key = place_key(place, further);
	double now, spent, known;
	size_t count;

	if (memo_knows(&known, work, key, cut / place->sum))
		return known * place->sum;
	now = fixes_desk_cost(work->desk, NULL, place->weight);
	if (place->sum < cut || place->depth >= work->bounds.depth_max ||
	    policy_stopped(work))
		return now;
	count = policy_options(work, options, POLICY_CLOSELY, place);
	chosen = best_option(work, options, count, place, now);
	spent = now;
	if (chosen != NULL)
		spent = asked_cost(work, place, chosen, cut, further);
	else if (further && count > 0)
		spent = asked_cost(work, place, &options[0], cut, false);
	spent = fmin(spent, now);
	memo_keep(work, key, spent / place->sum, cut / place->sum);
	return spent;
}

size_t
policy_decide_myopic(struct policy_work *work, const struct policy_place *place)
{
	struct policy_option options[POLICY_CLOSELY];
	const struct policy_option *chosen;
	size_t count;

	count = policy_options(work, options, POLICY_CLOSELY, place);
	chosen = best_option(work, options, count, place,
	    fixes_desk_cost(work->desk, NULL, place->weight));
	return chosen == NULL ? REASON_NONE : chosen->check;
}

size_t
policy_decide_sure(struct policy_work *work, const struct policy_place *place)
{
	struct policy_option option;
	size_t i;

	for (i = 0; i < work->causes; i++)
		if (place->weight[i] >= SURE * place->sum)
			return REASON_NONE;
	return policy_options(work, &option, 1, place) == 0 ? REASON_NONE
							    : option.check;
}

/* --- rollout ------------------------------------------------------------- */

/* What is spent where the check is asked here and the policy of one check at
 * a time goes on from there; +infinity as in expected_after. */
static double
rollout_after(struct policy_work *work, const struct policy_place *place,
    const struct policy_option *option, double floor, double best, double cut)
{
	const struct reason_check *check = &work->table->check[option->check];
	double spent = option->cost * place->sum, rest = floor;
	struct policy_place after;
	size_t o;

	work->done[option->check] = true;
	for (o = 0; o < check->outcomes && spent + rest <= best; o++) {
		after = policy_after(work, level(work, place->depth + 1), place,
		    option->check, o);
		if (!(after.sum > 0))
			continue;
		rest -= policy_floor(work, &after);
		spent += cost_on(work, &after, cut, true);
	}
	work->done[option->check] = false;
	return o < check->outcomes ? (double)INFINITY : spent;
}

static int
by_expected(const void *a, const void *b)
{
	const struct policy_option *x = a, *y = b;

	if (x->expected != y->expected)
		return x->expected < y->expected ? -1 : 1;
	return x->check < y->check ? -1 : x->check > y->check;
}

size_t
policy_decide_rollout(
    struct policy_work *work, const struct policy_place *place)
{
	struct policy_option options[POLICY_CLOSELY];
	double floor = policy_floor(work, place), spent,
	       cut = fmax(ROLLOUT_CUT * place->sum, work->least_chance),
	       best = fixes_desk_cost(work->desk, NULL, place->weight) *
		      (1 - NO_GAIN);
	size_t count, k, chosen = REASON_NONE;

	count = policy_options(work, options, POLICY_CLOSELY, place);
	for (k = 0; k < count; k++)
		options[k].expected = expected_after(
		    work, place, &options[k], floor, (double)INFINITY);
	qsort(options, count, sizeof *options, by_expected);
	for (k = 0; k < count; k++) {
		/* The first is the choice of one check at a time. */
		if (k > 0 && policy_stopped(work))
			break;
		spent =
		    rollout_after(work, place, &options[k], floor, best, cut);
		if (spent < best) {
			best = spent;
			chosen = options[k].check;
		}
	}
	return chosen;
}
