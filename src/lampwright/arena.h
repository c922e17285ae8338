/*
 * An arena owns every result of the calls that it is given to. What lies in
 * it is const and lives until the arena is freed.
 */
#ifndef LAMPWRIGHT_ARENA_H
#define LAMPWRIGHT_ARENA_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

struct lw_arena;

/* A new, empty arena; NULL when memory has run out. The caller frees it. */
struct lw_arena *lw_arena_new(void);

/* Free the arena and everything in it. NULL is fine. */
void lw_arena_free(struct lw_arena *arena);

/* Bytes handed out so far, for tests and limits. */
size_t lw_arena_used(const struct lw_arena *arena);

#ifdef __cplusplus
}
#endif
#endif
