/*
 * Good trees where the best is too far: rollout (Tu and Pattipati 2003), that
 * is, each check tried with the greedy tree behind it; and small sets get the
 * best tree. Proving anything is left to the search.
 */
#include "reason/plan_sets.h"

#include <math.h>

/* The tree that begins with the check at hand, from what is known of its
 * parts. */
static double
highs(const struct plan_level *level)
{
	double sum = level->rest;
	size_t i;

	for (i = 0; i < level->parts; i++)
		sum += level->part[i]->high;
	return sum;
}

static void
take(struct plan_sets *sets, struct plan_entry *entry,
    const struct plan_level *level, size_t check, double weight)
{
	double sum = plan_step(sets, entry, check, weight) + highs(level);

	if (sum < entry->high - sets->near || isinf(entry->high)) {
		entry->high = sum;
		entry->check = (uint32_t)check;
	}
	if (entry->high < entry->low)
		entry->high = entry->low;
}

/* Give an entry a greedy tree where it has none. */
static void
greedy(struct plan_sets *sets, struct plan_entry *entry, size_t depth,
    size_t exact)
{
	struct plan_level *level;
	size_t count, check, from = 0, i;

	if (!isinf(entry->high))
		return;
	if (entry->count <= exact)
		plan_search(sets, entry, depth, INFINITY);
	level = plan_level(sets, depth);
	if (!isinf(entry->high) || level == NULL)
		return;
	count = plan_set_list(sets->list, sets, entry->set);
	check = plan_greedy(sets->work, sets->list, count, entry->state, &from);
	if (!plan_parts(level, sets, entry, check))
		return;
	for (i = 0; i < level->parts; i++)
		greedy(sets, level->part[i], depth + 1, exact);
	take(sets, entry, level, check, plan_set_weight(sets, entry->set));
}

/* Each check with the greedy tree (or a rollout) behind it. */
static void
try_all(struct plan_sets *sets, struct plan_entry *entry, size_t depth,
    size_t exact, int deep)
{
	struct plan_level *level = plan_level(sets, depth);
	double weight = plan_set_weight(sets, entry->set);
	size_t one = plan_set_one(sets, entry->set), i, j;
	double low;

	for (j = 0; j < sets->work->checks && level != NULL; j++) {
		if (!plan_set_splits(sets, entry->set, one, j))
			continue;
		if (!plan_goes_on(sets->work, 100) ||
		    !plan_parts(level, sets, entry, j))
			return;
		low = plan_step(sets, entry, j, weight) + level->rest;
		for (i = 0; i < level->parts; i++)
			low += level->part[i]->low;
		if (low >= entry->high - sets->near)
			continue;
		for (i = 0; i < level->parts; i++) {
			if (deep > 1)
				plan_rollout(sets, level->part[i], depth + 1,
				    exact, deep - 1);
			else
				greedy(sets, level->part[i], depth + 1, exact);
		}
		take(sets, entry, level, j, weight);
	}
}

void
plan_rollout(struct plan_sets *sets, struct plan_entry *entry, size_t depth,
    size_t exact, int deep)
{
	struct plan_level *level = plan_level(sets, depth);
	size_t i;

	if (level == NULL || plan_solved(entry))
		return;
	if (entry->count <= exact &&
	    plan_search(sets, entry, depth, entry->high))
		return;
	greedy(sets, entry, depth, exact);
	try_all(sets, entry, depth, exact, deep);
	if (entry->check == UINT32_MAX ||
	    !plan_parts(level, sets, entry, entry->check))
		return;
	for (i = 0; i < level->parts; i++)
		plan_rollout(sets, level->part[i], depth + 1, exact, deep);
	take(sets, entry, level, entry->check,
	    plan_set_weight(sets, entry->set));
}
