/*
 * What simple policies cost over a table without noise, by walking their trees
 * set by set.
 */
#include "reason/simple.h"

#include "reason/masks.h"

#include <math.h>

const char *
simple_name(enum simple simple)
{
	static const char *const names[SIMPLE_COUNT] = {"authored order",
	    "most likely first", "information only", "I/(c+s)", "I^2/(c+s)",
	    "rollout on I^2/(c+s)"};

	return names[simple];
}

static double
bits_of(const struct masks *masks, const struct mask *mask, uint64_t set,
    double share)
{
	double bits = 0, part;
	size_t o;

	for (o = 0; o < mask->outcomes; o++) {
		part = masks_share(masks, set & mask->of[o]) / share;
		if (part > 0)
			bits -= part * log2(part);
	}
	return bits;
}

/* What is left beside the likeliest cause, where the check shows that one's
 * outcome. */
static double
beside_likeliest(
    const struct masks *masks, const struct mask *mask, uint64_t set)
{
	uint64_t one, likeliest = 0;
	size_t i, o = 0;
	double most = -1;

	for (i = 0; i < masks->grid->causes; i++) {
		one = (uint64_t)1 << i;
		if ((set & one) != 0 && masks->grid->weight[i] > most) {
			most = masks->grid->weight[i];
			likeliest = one;
		}
	}
	while ((mask->of[o] & likeliest) == 0)
		o++;
	return masks_share(masks, set & mask->of[o]);
}

/* The greater, the sooner. */
static double
merit(const struct masks *masks, const struct mask *mask, uint64_t set,
    size_t state, double share, enum simple simple)
{
	double cost = mask->cost + masks_setup(masks, state, mask->state);
	double bits;

	if (simple == SIMPLE_LIKELY)
		return -beside_likeliest(masks, mask, set) - 1e-9 * cost;
	bits = bits_of(masks, mask, set, share);
	if (simple == SIMPLE_BITS)
		return bits;
	if (simple == SIMPLE_BITS_COST)
		return bits / cost;
	return bits * bits / cost;
}

static double walk(
    const struct masks *masks, uint64_t set, size_t state, enum simple simple);

/* Of all causes' cost, what this check and `then` add to it. */
static double
cost_by(const struct masks *masks, const struct mask *mask, uint64_t set,
    size_t state, double share, enum simple then)
{
	double cost =
	    share * (mask->cost + masks_setup(masks, state, mask->state));
	size_t o;

	for (o = 0; o < mask->outcomes; o++)
		if ((set & mask->of[o]) != 0)
			cost +=
			    walk(masks, set & mask->of[o], mask->state, then);
	return cost;
}

static const struct mask *
choose(const struct masks *masks, uint64_t set, size_t state, double share,
    enum simple simple)
{
	const struct mask *best = NULL, *mask;
	double value, most = -INFINITY;

	for (mask = masks->checks; mask < masks->checks + masks->count;
	     mask++) {
		if (!mask_parts(mask, set))
			continue;
		if (simple == SIMPLE_AUTHORED)
			return mask;
		if (simple == SIMPLE_ROLLOUT)
			value = -cost_by(
			    masks, mask, set, state, share, SIMPLE_SQUARE);
		else
			value = merit(masks, mask, set, state, share, simple);
		if (best == NULL || value > most) {
			most = value;
			best = mask;
		}
	}
	return best;
}

static double
walk(const struct masks *masks, uint64_t set, size_t state, enum simple simple)
{
	const struct mask *mask;
	double share;

	if ((set & (set - 1)) == 0)
		return 0;
	share = masks_share(masks, set);
	mask = choose(masks, set, state, share, simple);
	if (mask == NULL)
		return 0;
	return cost_by(masks, mask, set, state, share, simple);
}

double
simple_cost(const struct plan_grid *grid, enum simple simple)
{
	struct masks masks;

	masks_fill(&masks, grid, false);
	return walk(&masks, masks_all(&masks), grid->begin, simple);
}
