/* Open addressing with linear probing, at most half full; nothing is taken
 * out again. Who owns keys and values is left to the caller. */
#include "pack/map.h"

#include <stdint.h>
#include <string.h>

void
pack_map_init(struct pack_map *map, struct lw_arena *arena)
{
	memset(map, 0, sizeof *map);
	map->arena = arena;
}

/* FNV-1a, 64 bits (Fowler, Noll, Vo), its halves folded together. */
static size_t
hash(const char *key)
{
	const unsigned char *s = (const unsigned char *)key;
	uint64_t h = 14695981039346656037u;

	for (; *s != '\0'; s++)
		h = (h ^ *s) * 1099511628211u;
	return (size_t)(h ^ h >> 32);
}

static struct pack_map_slot *
slot_of(struct pack_map_slot *slots, size_t room, const char *key)
{
	size_t i = hash(key) & (room - 1);

	while (slots[i].key != NULL && strcmp(slots[i].key, key) != 0)
		i = (i + 1) & (room - 1);
	return &slots[i];
}

const void *
pack_map_find(const struct pack_map *map, const char *key)
{
	if (map->room == 0)
		return NULL;
	return slot_of(map->slots, map->room, key)->value;
}

static int
widen(struct pack_map *map)
{
	size_t room = map->room == 0 ? 16 : map->room * 2, i;
	struct pack_map_slot *slots;

	slots = arena_array(map->arena, room, sizeof *slots);
	if (slots == NULL)
		return 0;
	for (i = 0; i < map->room; i++)
		if (map->slots[i].key != NULL)
			*slot_of(slots, room, map->slots[i].key) =
			    map->slots[i];
	map->slots = slots;
	map->room = room;
	return 1;
}

const void *
pack_map_put(struct pack_map *map, const char *key, const void *value)
{
	struct pack_map_slot *slot;

	if (map->count * 2 >= map->room && !widen(map))
		return NULL;
	slot = slot_of(map->slots, map->room, key);
	if (slot->key == NULL) {
		slot->key = key;
		slot->value = value;
		map->count++;
	}
	return slot->value;
}
