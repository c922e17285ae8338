/* What is known of each set that was looked at, in a hash table that grows
 * within the limit; what the sets are is left to plan_sets.c. */
#include "reason/plan_sets.h"

#include <math.h>
#include <string.h>

/* Entries made at once. */
enum { CHUNK = 256 };

static uint64_t
hash_of(const struct plan_sets *sets, const uint64_t *set, size_t state)
{
	uint64_t hash = state * UINT64_C(0x9e3779b97f4a7c15);
	size_t i;

	for (i = 0; i < sets->words; i++) {
		hash = (hash ^ set[i]) * UINT64_C(0xff51afd7ed558ccd);
		hash ^= hash >> 32;
	}
	hash *= UINT64_C(0xc4ceb9fe1a85ec53);
	return hash ^ hash >> 29;
}

static struct plan_entry *
entry_at(const struct plan_sets *sets, size_t number)
{
	unsigned char *chunk = sets->chunk[number / CHUNK];

	return (struct plan_entry *)(void *)(chunk +
					     number % CHUNK * sets->entry_size);
}

/* Its slot, or the free one where it would be. */
static size_t
slot_for(const struct plan_sets *sets, const uint64_t *set, size_t state,
    uint64_t hash)
{
	size_t at = hash & (sets->slots - 1);
	const struct plan_entry *entry;

	for (; sets->slot[at] != 0; at = (at + 1) & (sets->slots - 1)) {
		if ((sets->slot[at] ^ hash) >> 32 != 0)
			continue;
		entry = entry_at(sets, (sets->slot[at] & UINT32_MAX) - 1);
		if (entry->state == state &&
		    memcmp(entry->set, set, sets->words * sizeof *set) == 0)
			break;
	}
	return at;
}

struct plan_entry *
plan_entry_find(struct plan_sets *sets, const uint64_t *set, size_t state)
{
	size_t at = slot_for(sets, set, state, hash_of(sets, set, state));

	if (sets->slot[at] == 0)
		return NULL;
	return entry_at(sets, (sets->slot[at] & UINT32_MAX) - 1);
}

/* Twice the slots; where that is past the limit, as many as there are serve
 * until they are nearly full. */
static bool
widen(struct plan_sets *sets)
{
	size_t old = sets->slots, i, at;
	uint64_t *slot = sets->slot;
	struct plan_entry *entry;
	uint64_t hash;

	sets->slot = plan_room(sets->work, old * 2, sizeof *slot);
	if (sets->slot == NULL) {
		sets->slot = slot;
		return sets->entries < old / 8 * 7;
	}
	sets->slots = old * 2;
	for (i = 0; i < old; i++) {
		if (i % 4096 == 0 && !plan_goes_on(sets->work, 4096 * 20)) {
			sets->slot = slot;
			sets->slots = old;
			return false;
		}
		if (slot[i] == 0)
			continue;
		entry = entry_at(sets, (slot[i] & UINT32_MAX) - 1);
		hash = hash_of(sets, entry->set, entry->state);
		at = hash & (sets->slots - 1);
		while (sets->slot[at] != 0)
			at = (at + 1) & (sets->slots - 1);
		sets->slot[at] = slot[i];
	}
	return true;
}

/* One more chunk of entries. */
static bool
add_chunk(struct plan_sets *sets)
{
	unsigned char **chunk = sets->chunk;

	if (sets->chunks == sets->chunk_room) {
		size_t room = sets->chunks == 0 ? 64 : sets->chunks * 2;

		chunk = plan_room(sets->work, room, sizeof *chunk);
		if (chunk == NULL)
			return false;
		if (sets->chunks > 0)
			memcpy(
			    chunk, sets->chunk, sets->chunks * sizeof *chunk);
		sets->chunk = chunk;
		sets->chunk_room = room;
	}
	chunk[sets->chunks] = plan_room(sets->work, CHUNK, sets->entry_size);
	if (chunk[sets->chunks] == NULL)
		return false;
	sets->chunks++;
	return true;
}

/* Room for one more. */
static bool
make_room(struct plan_sets *sets)
{
	if (sets->full)
		return false;
	if (sets->entries >= sets->slots / 3 * 2 && !widen(sets))
		sets->full = true;
	else if (sets->entries == sets->chunks * CHUNK && !add_chunk(sets))
		sets->full = true;
	else if (sets->entries >= UINT32_MAX - 1)
		sets->full = true;
	return !sets->full;
}

struct plan_entry *
plan_entry(
    struct plan_sets *sets, const uint64_t *set, size_t count, size_t state)
{
	uint64_t hash = hash_of(sets, set, state);
	size_t at = slot_for(sets, set, state, hash);
	struct plan_entry *entry;

	if (sets->slot[at] != 0)
		return entry_at(sets, (sets->slot[at] & UINT32_MAX) - 1);
	if (!make_room(sets))
		return NULL;
	at = slot_for(sets, set, state, hash);
	entry = entry_at(sets, sets->entries++);
	sets->slot[at] = (hash >> 32 << 32) | sets->entries;
	memcpy(entry->set, set, sets->words * sizeof *set);
	entry->state = (uint16_t)state;
	entry->count = (uint16_t)count;
	entry->high = INFINITY;
	entry->check = UINT32_MAX;
	sets->work->ticks += 200 + 10 * count + 4 * sets->work->groups;
	entry->low =
	    plan_bound(sets, set, count, state, plan_set_weight(sets, set));
	return entry;
}
