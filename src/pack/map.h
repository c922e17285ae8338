/* A hash table from texts to pointers, in an arena. */
#ifndef PACK_MAP_H
#define PACK_MAP_H

#include "base/arena.h"

struct pack_map_slot {
	const char *key;
	const void *value;
};

struct pack_map {
	struct lw_arena *arena;
	struct pack_map_slot *slots;
	size_t room; /* a power of two, or 0 */
	size_t count;
};

void pack_map_init(struct pack_map *map, struct lw_arena *arena);

/* NULL where there is none. */
const void *pack_map_find(const struct pack_map *map, const char *key);

/*
 * Keep a value, which may not be NULL, under a key that lives as long as the
 * map. Returns what is under the key: an earlier value where there was one
 * (it stays), else the new one; NULL when memory has run out.
 */
const void *pack_map_put(
    struct pack_map *map, const char *key, const void *value);

#endif
