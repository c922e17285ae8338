/*
 * Branch and bound over the sets that are reached, each looked at once and
 * remembered: "is there a tree for less than the limit?" Method: the dynamic
 * programme of Garey 1972, asked for from the top, with a limit that cuts off
 * what cannot be part of an answer. Where to begin and how far to go is left
 * to plan.c.
 */
#include "reason/plan_sets.h"

#include <math.h>
#include <stdlib.h>

static int
compare_choices(const void *one, const void *other)
{
	const struct plan_choice *a = one, *b = other;

	if (a->sum != b->sum)
		return a->sum < b->sum ? -1 : 1;
	return a->check < b->check ? -1 : a->check > b->check;
}

/* What the parts cost at least. */
static double
lows(const struct plan_level *level)
{
	double sum = level->rest;
	size_t i;

	for (i = 0; i < level->parts; i++)
		sum += level->part[i]->low;
	return sum;
}

/* The checks that could be part of a tree for less than the limit, the most
 * promising first; *rest is the least of all others. */
static size_t
find_choices(struct plan_sets *sets, const struct plan_entry *entry,
    struct plan_level *level, double weight, double limit, double *rest)
{
	size_t one = plan_set_one(sets, entry->set), count = 0, j;
	double sum;

	for (j = 0; j < sets->work->checks; j++) {
		if (!plan_set_splits(sets, entry->set, one, j))
			continue;
		sum = plan_step(sets, entry, j, weight);
		if (sum < limit - sets->near) {
			if (plan_goes_on(sets->work, 50) &&
			    plan_parts(level, sets, entry, j))
				sum += lows(level);
			if (sum < limit - sets->near) {
				level->choice[count].sum = sum;
				level->choice[count++].check = (uint32_t)j;
				continue;
			}
		}
		*rest = fmin(*rest, sum);
	}
	qsort(level->choice, count, sizeof *level->choice, compare_choices);
	return count;
}

/* Search the parts until they cost the limit or are solved. What they cost at
 * least, with the check; *whole: they are solved. */
static double
try_choice(struct plan_sets *sets, const struct plan_entry *entry,
    struct plan_level *level, size_t depth, size_t check, double limit,
    double weight, bool *whole)
{
	double step = plan_step(sets, entry, check, weight), sum = step;
	size_t i;

	*whole = false;
	if (!plan_parts(level, sets, entry, check))
		return step;
	sum = step + lows(level);
	for (i = 0; i < level->parts && sum < limit - sets->near; i++) {
		struct plan_entry *part = level->part[i];

		if (plan_solved(part))
			continue;
		if (!plan_search(
			sets, part, depth + 1, part->low + (limit - sum)))
			return step + lows(level);
		sum = step + lows(level);
	}
	*whole = i == level->parts && sum < limit - sets->near;
	return sum;
}

bool
plan_search(struct plan_sets *sets, struct plan_entry *entry, size_t depth,
    double limit)
{
	struct plan_level *level = plan_level(sets, depth);
	double weight = plan_set_weight(sets, entry->set);
	double rest = INFINITY, sum;
	size_t count, i;
	bool whole;

	if (level == NULL || sets->budget == 0 ||
	    !plan_goes_on(sets->work, 100))
		return false;
	sets->budget--;
	count = find_choices(
	    sets, entry, level, weight, fmin(limit, entry->high), &rest);
	for (i = 0; i < count; i++) {
		double most = fmin(limit, entry->high);
		size_t check = level->choice[i].check;

		sum = level->choice[i].sum;
		if (sum >= most - sets->near)
			break;
		sum = try_choice(
		    sets, entry, level, depth, check, most, weight, &whole);
		if (whole && sum < entry->high) {
			entry->high = sum;
			entry->check = (uint32_t)check;
		}
		rest = fmin(rest, sum);
		if (!whole && sum < most - sets->near) {
			/* Out of time, room or budget. */
			if (i + 1 < count)
				rest = fmin(rest, level->choice[i + 1].sum);
			entry->low = fmax(entry->low, fmin(rest, entry->high));
			return false;
		}
	}
	if (i < count)
		rest = fmin(rest, level->choice[i].sum);
	rest = fmin(rest, entry->high);
	if (rest >= entry->high - sets->near)
		rest = entry->high;
	entry->low = fmax(entry->low, rest);
	if (entry->low > entry->high)
		entry->low = entry->high;
	return true;
}
