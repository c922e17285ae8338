/*
 * The cheapest trees by plain recursions, with none of the library's code. How
 * the library finds its own is the library's matter.
 */
#include "reason/optimum.h"

#include "reason/masks.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- over all sets ---------------------------------------------------------
 */

/* value[set * states + state] from those of smaller sets. */
static void
value_set(double *value, const struct masks *masks, uint64_t set, double share)
{
	size_t states = masks->grid->states, g, o;
	double *best = value + set * states, rest, cost;
	const struct mask *mask;
	bool parts = false;

	for (g = 0; g < states; g++)
		best[g] = INFINITY;
	for (mask = masks->checks; mask < masks->checks + masks->count;
	     mask++) {
		if (!mask_parts(mask, set))
			continue;
		if (states == 1 && mask->cost * share >= best[0])
			break; /* the cheapest come first */
		parts = true;
		rest = 0;
		for (o = 0; o < mask->outcomes; o++)
			rest +=
			    value[(set & mask->of[o]) * states + mask->state];
		for (g = 0; g < states; g++) {
			cost = mask->cost + masks_setup(masks, g, mask->state);
			best[g] = fmin(best[g], cost * share + rest);
		}
	}
	if (!parts)
		for (g = 0; g < states; g++)
			best[g] = 0;
}

double
optimum_all(const struct plan_grid *grid)
{
	struct masks masks;
	uint64_t set, all;
	double *value, *low, *high, found;
	uint64_t half = (uint64_t)1 << 12;

	assert(grid->causes <= OPTIMUM_ALL_MAX);
	masks_fill(&masks, grid, true);
	all = masks_all(&masks);
	value = calloc((size_t)(all + 1) * grid->states, sizeof *value);
	low = calloc((size_t)half * 2, sizeof *low);
	if (value == NULL || low == NULL) {
		free(value);
		free(low);
		return NAN;
	}
	high = low + half;
	for (set = 0; set < half; set++) {
		low[set] = masks_share(&masks, set & all);
		high[set] = masks_share(&masks, (set << 12) & all);
	}
	for (set = 1; set <= all; set++)
		value_set(value, &masks, set,
		    low[set & (half - 1)] + high[set >> 12]);
	found = value[all * grid->states + grid->begin];
	free(value);
	free(low);
	return found;
}

/* --- over sets that are reached --------------------------------------------
 */

/* What is known of a set in a state, at some level; see optimum_near. */
struct known {
	uint64_t set;
	uint32_t state;
	uint32_t level;
	double value;
};

struct memo {
	struct masks masks;
	struct known *known;
	size_t room; /* a power of 2 */
	size_t count;
	size_t most;
	unsigned exact;
	bool full;
};

static size_t
memo_place(const struct memo *memo, uint64_t set, size_t state, unsigned level)
{
	uint64_t hash = set ^ ((uint64_t)state << 58) ^ ((uint64_t)level << 54);
	size_t at;

	hash *= 0x9E3779B97F4A7C15u;
	hash ^= hash >> 32;
	at = (size_t)(hash * 0xBF58476D1CE4E5B9u >> 20) & (memo->room - 1);
	while (memo->known[at].set != 0 &&
	       (memo->known[at].set != set || memo->known[at].state != state ||
		   memo->known[at].level != level))
		at = (at + 1) & (memo->room - 1);
	return at;
}

static bool
memo_grow(struct memo *memo)
{
	struct memo grown = *memo;
	const struct known *old;
	size_t i;

	grown.room = memo->room == 0 ? 1 << 16 : memo->room * 2;
	grown.known = calloc(grown.room, sizeof *grown.known);
	if (grown.known == NULL)
		return false;
	for (i = 0; i < memo->room; i++) {
		old = &memo->known[i];
		if (old->set != 0)
			grown.known[memo_place(
			    &grown, old->set, old->state, old->level)] = *old;
	}
	free(memo->known);
	*memo = grown;
	return true;
}

static void
memo_keep(
    struct memo *memo, uint64_t set, size_t state, unsigned level, double value)
{
	if (memo->count >= memo->most ||
	    (memo->count * 2 >= memo->room && !memo_grow(memo))) {
		memo->full = true;
		return;
	}
	memo->known[memo_place(memo, set, state, level)] =
	    (struct known){set, (uint32_t)state, (uint32_t)level, value};
	memo->count++;
}

static double value_reached(struct memo *memo, uint64_t set, size_t state);

/* The first check and the best tree after each of its outcomes; what is over
 * `most` need not be known exactly. */
static double
value_by(struct memo *memo, const struct mask *mask, uint64_t set, size_t state,
    double share, double most)
{
	double cost = share * (mask->cost + masks_setup(&memo->masks, state,
						mask->state));
	size_t o;

	for (o = 0; o < mask->outcomes && cost < most; o++)
		cost += value_reached(memo, set & mask->of[o], mask->state);
	return cost;
}

static double
value_reached(struct memo *memo, uint64_t set, size_t state)
{
	const struct mask *mask, *end = memo->masks.checks + memo->masks.count;
	double best = INFINITY, share;
	size_t at;

	if ((set & (set - 1)) == 0 || memo->full)
		return 0;
	at = memo_place(memo, set, state, 0);
	if (memo->known[at].set != 0)
		return memo->known[at].value;
	share = masks_share(&memo->masks, set);
	for (mask = memo->masks.checks; mask < end; mask++) {
		if (mask->cost * share >= best)
			break; /* the cheapest come first */
		if (mask_parts(mask, set))
			best = fmin(best,
			    value_by(memo, mask, set, state, share, best));
	}
	if (best == INFINITY)
		best = 0;
	memo_keep(memo, set, state, 0, best);
	return best;
}

double
optimum_reached(const struct plan_grid *grid, size_t sets_max)
{
	struct memo memo = {.most = sets_max};
	double found = NAN;

	masks_fill(&memo.masks, grid, true);
	if (memo_grow(&memo)) {
		found =
		    value_reached(&memo, masks_all(&memo.masks), grid->begin);
		if (memo.full)
			found = NAN;
	}
	free(memo.known);
	return found;
}

/* --- good trees ------------------------------------------------------------
 */

static double near_set(struct memo *memo, uint64_t set, unsigned level);

static double
near_by(struct memo *memo, const struct mask *mask, uint64_t set, double share,
    unsigned level)
{
	double cost = share * mask->cost;
	size_t o;

	for (o = 0; o < mask->outcomes; o++)
		cost += near_set(memo, set & mask->of[o], level);
	return cost;
}

static const struct mask *
near_choice(struct memo *memo, uint64_t set, double share, unsigned level)
{
	const struct mask *mask, *end = memo->masks.checks + memo->masks.count;
	const struct mask *best = NULL;
	double least = INFINITY, value, bits, part;
	size_t o;

	for (mask = memo->masks.checks; mask < end; mask++) {
		if (!mask_parts(mask, set))
			continue;
		if (level > 0)
			value = near_by(memo, mask, set, share, level - 1);
		else {
			bits = 0;
			for (o = 0; o < mask->outcomes; o++) {
				part = masks_share(
					   &memo->masks, set & mask->of[o]) /
				       share;
				bits -= part > 0 ? part * log2(part) : 0;
			}
			value = -bits * bits / mask->cost;
		}
		if (best == NULL || value < least) {
			least = value;
			best = mask;
		}
	}
	return best;
}

static double
near_set(struct memo *memo, uint64_t set, unsigned level)
{
	const struct mask *mask;
	double share, value = 0;
	size_t at;

	if (mask_size(set) <= memo->exact)
		return value_reached(memo, set, 0);
	at = memo_place(memo, set, 0, level + 1);
	if (memo->known[at].set != 0)
		return memo->known[at].value;
	share = masks_share(&memo->masks, set);
	mask = near_choice(memo, set, share, level);
	if (mask != NULL)
		value = near_by(memo, mask, set, share, level);
	memo_keep(memo, set, 0, level + 1, value);
	return value;
}

double
optimum_near(const struct plan_grid *grid, unsigned levels, unsigned exact)
{
	struct memo memo = {.most = (size_t)1 << 25, .exact = exact};
	double found = NAN;

	assert(grid->states == 1);
	masks_fill(&memo.masks, grid, true);
	if (memo_grow(&memo)) {
		found = near_set(&memo, masks_all(&memo.masks), levels);
		if (memo.full)
			found = NAN;
	}
	free(memo.known);
	return found;
}

/* --- the price of a tree ---------------------------------------------------
 */

static const struct plan_node *
follow(const struct plan_node *node, unsigned outcome)
{
	size_t i;

	for (i = 0; i < node->branch_count; i++)
		if (node->branches[i].outcome == outcome)
			return node->branches[i].node;
	return NULL;
}

/* Whether that end has the cause, and no two that a check tells apart. */
static bool
end_holds(
    const struct plan_node *end, const struct plan_grid *grid, size_t cause)
{
	const unsigned *row;
	bool there = false;
	size_t i, j;

	for (i = 0; i < end->cause_count; i++) {
		there = there || end->causes[i] == cause;
		for (j = 0; j < grid->checks; j++) {
			row = grid->outcome + j * grid->causes;
			if (row[end->causes[i]] != row[cause])
				return false;
		}
	}
	return there;
}

double
optimum_price(const struct plan_node *root, const struct plan_grid *grid)
{
	const struct plan_node *node;
	double all = 0, sum = 0, cost;
	size_t i, steps, state, to;

	for (i = 0; i < grid->causes; i++) {
		if (!(grid->weight[i] > 0))
			continue;
		cost = 0;
		state = grid->begin;
		for (node = root, steps = 0;
		     node != NULL && node->check != REASON_NONE; steps++) {
			if (node->check >= grid->checks || steps > grid->checks)
				return NAN;
			to = grid->state != NULL ? grid->state[node->check] : 0;
			cost += grid->cost[node->check];
			if (grid->setup != NULL)
				cost += grid->setup[state * grid->states + to];
			state = to;
			node = follow(node,
			    grid->outcome[node->check * grid->causes + i]);
		}
		if (node == NULL || !end_holds(node, grid, i))
			return NAN;
		all += grid->weight[i] * cost;
		sum += grid->weight[i];
	}
	return all / sum;
}
