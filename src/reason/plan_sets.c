/* Sets of groups as bits: what they weigh, and how checks part them. What is
 * known of each is left to the table, and which to look at to the searches. */
#include "reason/plan_sets.h"

#include "base/arena.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A check and what it costs coming from a state. */
struct priced {
	double cost;
	size_t check;
};

static int
compare_priced(const void *one, const void *other)
{
	const struct priced *a = one, *b = other;

	if (a->cost != b->cost)
		return a->cost < b->cost ? -1 : 1;
	return a->check < b->check ? -1 : a->check > b->check;
}

/* Groups told apart by one check after another, the cheapest first: `order`
 * lists them, and gap[i] is what it took to tell order[i] from the one before.
 */
static bool
tell_apart(size_t *order, double *gap, const struct plan_work *work,
    const struct priced *priced)
{
	size_t n = work->groups, i, j, k, end, parts;
	size_t *ends = malloc((n + work->kinds_max) * sizeof *ends);
	size_t *spare = malloc(n * sizeof *spare);
	bool fine = ends != NULL && spare != NULL;

	for (i = 0; i < n; i++) {
		order[i] = i;
		gap[i] = INFINITY;
	}
	for (j = 0; fine && j < work->checks; j++) {
		for (i = 0; i < n; i = end) {
			for (end = i + 1; end < n && isinf(gap[end]); end++)
				continue;
			if (end - i < 2)
				continue;
			parts = plan_split(order + i, end - i, ends, spare,
			    work, priced[j].check);
			for (k = 0; k + 1 < parts; k++)
				gap[i + ends[k]] = priced[j].cost;
		}
	}
	free(ends);
	free(spare);
	return fine;
}

/* What it takes to tell two apart: the least of the gaps between them. */
static void
fill_pairs(double *pair, const size_t *order, const double *gap, size_t n)
{
	size_t i, k;
	double least;

	for (i = 0; i < n; i++) {
		least = INFINITY;
		for (k = i + 1; k < n; k++) {
			least = fmin(least, gap[k]);
			pair[order[i] * n + order[k]] = least;
			pair[order[k] * n + order[i]] = least;
		}
	}
}

/* `order` and `gap` as a state sees them; REASON_NONE: as checks cost alone. */
static bool
make_order(struct plan_sets *sets, size_t state)
{
	struct plan_work *work = sets->work;
	struct priced *priced = malloc((work->checks + 1) * sizeof *priced);
	bool fine = priced != NULL;
	size_t j;

	for (j = 0; fine && j < work->checks; j++) {
		priced[j] = (struct priced){work->cost[j], j};
		if (state != REASON_NONE)
			priced[j].cost +=
			    work->setup[state * work->states + work->state[j]];
	}
	if (fine) {
		qsort(priced, work->checks, sizeof *priced, compare_priced);
		fine = tell_apart(sets->order, sets->gap, work, priced);
	}
	free(priced);
	return fine;
}

static bool
make_pairs(struct plan_sets *sets)
{
	size_t n = sets->work->groups, g;
	bool fine = true;

	for (g = 0; fine && g < sets->work->states; g++) {
		fine = make_order(sets, g);
		if (fine)
			fill_pairs(
			    sets->pair + g * n * n, sets->order, sets->gap, n);
	}
	return fine && make_order(sets, REASON_NONE);
}

static void
fill_masks(struct plan_sets *sets)
{
	const struct plan_work *work = sets->work;
	size_t n = work->groups, i, j, byte, value;

	for (j = 0; j < work->checks; j++) {
		for (i = 0; i < n; i++) {
			size_t kind = work->kind[j * n + i];
			size_t at =
			    (sets->offset[j] + kind) * sets->words + i / 64;

			sets->mask[at] |= UINT64_C(1) << i % 64;
		}
	}
	for (byte = 0; byte < sets->words * 8; byte++)
		for (value = 1; value < 256; value++)
			for (i = 0; i < 8 && byte * 8 + i < n; i++)
				if (value >> i & 1)
					sets->weigh[byte * 256 + value] +=
					    work->weight[byte * 8 + i];
}

enum lw_status
plan_sets_make(struct plan_sets *sets, struct plan_work *work)
{
	size_t n = work->groups;

	memset(sets, 0, sizeof *sets);
	sets->work = work;
	sets->words = (n + 63) / 64;
	sets->order = arena_array(work->arena, n, sizeof(size_t));
	sets->gap = arena_array(work->arena, n, sizeof(double));
	sets->list = arena_array(work->arena, n, sizeof(size_t));
	sets->heap = arena_array(work->arena, n, sizeof(double));
	sets->spare = arena_array(work->arena, sets->words, sizeof(uint64_t));
	if (sets->order == NULL || sets->gap == NULL || sets->list == NULL ||
	    sets->heap == NULL || sets->spare == NULL)
		return LW_NO_MEMORY;
	return make_order(sets, REASON_NONE) ? LW_OK : LW_NO_MEMORY;
}

bool
plan_sets_open(struct plan_sets *sets)
{
	struct plan_work *work = sets->work;
	size_t n = work->groups, masks = 0, j;

	if (n > PLAN_SETS_MAX || work->states > UINT16_MAX)
		return false;
	sets->entry_size =
	    sizeof(struct plan_entry) + sets->words * sizeof(uint64_t);
	sets->offset = plan_room(work, work->checks + 1, sizeof(size_t));
	if (sets->offset == NULL)
		return false;
	for (j = 0; j < work->checks; j++) {
		sets->offset[j] = masks;
		masks += work->kinds[j];
	}
	sets->mask = plan_room(work, masks * sets->words, sizeof(uint64_t));
	sets->weigh = plan_room(work, sets->words * 8 * 256, sizeof(double));
	sets->pair = plan_room(work, work->states * n * n, sizeof(double));
	sets->level = plan_room(work, n + 1, sizeof *sets->level);
	sets->slots = 1024;
	sets->slot = plan_room(work, sets->slots, sizeof(uint64_t));
	if (sets->mask == NULL || sets->weigh == NULL || sets->pair == NULL ||
	    sets->level == NULL || sets->slot == NULL)
		return false;
	fill_masks(sets);
	return make_pairs(sets);
}

void
plan_sets_all(uint64_t *set, const struct plan_sets *sets)
{
	size_t i;

	memset(set, 0, sets->words * sizeof *set);
	for (i = 0; i < sets->work->groups; i++)
		set[i / 64] |= UINT64_C(1) << i % 64;
}

double
plan_set_weight(const struct plan_sets *sets, const uint64_t *set)
{
	const double *weigh = sets->weigh;
	double weight = 0;
	uint64_t word;
	size_t i, at;

	for (i = 0; i < sets->words; i++)
		for (word = set[i], at = i * 2048; word != 0;
		     word >>= 8, at += 256)
			weight += weigh[at + (word & 255)];
	return weight;
}

size_t
plan_set_count(const struct plan_sets *sets, const uint64_t *set)
{
	size_t i, count = 0;

	for (i = 0; i < sets->words; i++)
		count += (size_t)__builtin_popcountll(set[i]);
	return count;
}

size_t
plan_set_list(size_t *list, const struct plan_sets *sets, const uint64_t *set)
{
	size_t i, count = 0;
	uint64_t word;

	for (i = 0; i < sets->words; i++)
		for (word = set[i]; word != 0; word &= word - 1)
			list[count++] = i * 64 + (size_t)__builtin_ctzll(word);
	return count;
}

size_t
plan_set_one(const struct plan_sets *sets, const uint64_t *set)
{
	size_t i = 0;

	while (i + 1 < sets->words && set[i] == 0)
		i++;
	return i * 64 + (size_t)__builtin_ctzll(set[i]);
}

bool
plan_set_splits(
    const struct plan_sets *sets, const uint64_t *set, size_t one, size_t check)
{
	const struct plan_work *work = sets->work;
	size_t kind = work->kind[check * work->groups + one], i;
	const uint64_t *mask =
	    sets->mask + (sets->offset[check] + kind) * sets->words;

	for (i = 0; i < sets->words; i++)
		if ((set[i] & ~mask[i]) != 0)
			return true;
	return false;
}

struct plan_entry *
plan_root(struct plan_sets *sets)
{
	plan_sets_all(sets->spare, sets);
	return plan_entry(
	    sets, sets->spare, sets->work->groups, sets->work->grid->begin);
}

struct plan_level *
plan_level(struct plan_sets *sets, size_t depth)
{
	struct plan_work *work = sets->work;
	struct plan_level *level = sets->level[depth];

	if (level != NULL)
		return level;
	level = plan_room(work, 1, sizeof *level);
	if (level == NULL)
		return NULL;
	level->choice = plan_room(work, work->checks, sizeof *level->choice);
	level->part = plan_room(work, work->kinds_max, sizeof *level->part);
	level->set = plan_room(work, sets->words, sizeof(uint64_t));
	if (level->choice == NULL || level->part == NULL || level->set == NULL)
		return NULL;
	sets->level[depth] = level;
	return level;
}

bool
plan_parts(struct plan_level *level, struct plan_sets *sets,
    const struct plan_entry *entry, size_t check)
{
	const struct plan_work *work = sets->work;
	const uint64_t *mask = sets->mask + sets->offset[check] * sets->words;
	size_t state = work->state[check], kind, i, count, one;
	uint64_t any;
	double weight;

	level->parts = 0;
	level->rest = 0;
	for (kind = 0; kind < work->kinds[check]; kind++) {
		any = 0;
		for (i = 0; i < sets->words; i++) {
			level->set[i] = entry->set[i] & *mask++;
			any |= level->set[i];
		}
		if (any == 0)
			continue;
		count = plan_set_count(sets, level->set);
		if (count == 1)
			continue;
		weight = plan_set_weight(sets, level->set);
		if (!(weight > 0))
			continue;
		if (count == 2) {
			size_t two[2];

			plan_set_list(two, sets, level->set);
			one = (state * work->groups + two[0]) * work->groups;
			level->rest += weight * sets->pair[one + two[1]];
			continue;
		}
		level->part[level->parts] =
		    plan_entry(sets, level->set, count, state);
		if (level->part[level->parts++] == NULL)
			return false;
	}
	return true;
}
