/* Allocation from an arena: zeroed, aligned for any type, never freed one by
 * one. Every function returns NULL when memory has run out. */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <lampwright/arena.h>

#include <stdbool.h>
#include <stddef.h>

void *arena_alloc(struct lw_arena *arena, size_t size);
/* count * size bytes, with overflow checked. */
void *arena_array(struct lw_arena *arena, size_t count, size_t size);
char *arena_dup(struct lw_arena *arena, const char *text);
char *arena_dup_n(struct lw_arena *arena, const char *text, size_t length);
char *arena_printf(struct lw_arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/*
 * Room for one more item at the end of an array that grows in an arena; the
 * old room stays behind in the arena. Returns the new item, zeroed, and
 * raises *count; NULL when memory has run out, with nothing changed.
 *     struct lw_ref *ref = arena_grow(arena, &items, &count, &room, sizeof
 * *ref) `items` is a pointer to the array pointer.
 */
void *arena_grow(struct lw_arena *arena, void *items, size_t *count,
    size_t *room, size_t size);

/* Have one arena keep another alive: what lies in `other` lives until both are
 * freed. Held twice is held once. False when memory has run out. */
bool arena_hold(struct lw_arena *arena, struct lw_arena *other);

#endif
