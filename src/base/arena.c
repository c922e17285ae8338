/* A chain of blocks that grow in size; freed all at once. */
#include "base/arena.h"

#include <stdalign.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct block {
	struct block *next;
	size_t size;
	size_t used;
	alignas(max_align_t) unsigned char data[];
};

/* An arena that is held, once. */
struct held {
	struct held *next;
	struct lw_arena *arena;
};

struct lw_arena {
	struct block *first;
	size_t used;
	struct held *held;
	unsigned holders; /* arenas that hold this one */
	bool freed;	  /* but by them */
};

enum { FIRST_BLOCK = 8192, LARGEST_BLOCK = 1 << 20 };

struct lw_arena *
lw_arena_new(void)
{
	return calloc(1, sizeof(struct lw_arena));
}

static void
let_go(struct lw_arena *arena)
{
	arena->holders--;
	if (arena->freed)
		lw_arena_free(arena);
}

void
lw_arena_free(struct lw_arena *arena)
{
	struct block *block, *next;
	struct held *held;

	if (arena == NULL)
		return;
	arena->freed = true;
	if (arena->holders > 0)
		return;
	for (held = arena->held; held != NULL; held = held->next)
		let_go(held->arena);
	for (block = arena->first; block != NULL; block = next) {
		next = block->next;
		free(block);
	}
	free(arena);
}

size_t
lw_arena_used(const struct lw_arena *arena)
{
	return arena->used;
}

void *
arena_alloc(struct lw_arena *arena, size_t size)
{
	struct block *block = arena->first;
	size_t step = alignof(max_align_t), whole;
	void *data;

	if (size > SIZE_MAX / 2)
		return NULL;
	size = (size + step - 1) / step * step;
	if (size == 0)
		size = step;
	if (block == NULL || block->size - block->used < size) {
		whole = block == NULL ? FIRST_BLOCK : block->size * 2;
		if (whole > LARGEST_BLOCK)
			whole = LARGEST_BLOCK;
		if (whole < size)
			whole = size;
		block = calloc(1, sizeof *block + whole);
		if (block == NULL)
			return NULL;
		block->size = whole;
		block->next = arena->first;
		arena->first = block;
	}
	data = block->data + block->used;
	block->used += size;
	arena->used += size;
	return data;
}

void *
arena_array(struct lw_arena *arena, size_t count, size_t size)
{
	if (size != 0 && count > SIZE_MAX / size)
		return NULL;
	return arena_alloc(arena, count * size);
}

char *
arena_dup_n(struct lw_arena *arena, const char *text, size_t length)
{
	char *copy = arena_alloc(arena, length + 1);

	if (copy == NULL)
		return NULL;
	if (length > 0)
		memcpy(copy, text, length);
	copy[length] = '\0';
	return copy;
}

char *
arena_dup(struct lw_arena *arena, const char *text)
{
	return arena_dup_n(arena, text, strlen(text));
}

char *
arena_printf(struct lw_arena *arena, const char *format, ...)
{
	va_list args;
	char *text;
	int length;

	va_start(args, format);
	length = vsnprintf(NULL, 0, format, args);
	va_end(args);
	if (length < 0)
		return NULL;
	text = arena_alloc(arena, (size_t)length + 1);
	if (text == NULL)
		return NULL;
	va_start(args, format);
	vsnprintf(text, (size_t)length + 1, format, args);
	va_end(args);
	return text;
}

void *
arena_grow(struct lw_arena *arena, void *items, size_t *count, size_t *room,
    size_t size)
{
	unsigned char *old, *wider;
	size_t more;

	memcpy(&old, items, sizeof old);
	if (*count == *room) {
		more = *room == 0 ? 4 : *room * 2;
		wider = arena_array(arena, more, size);
		if (wider == NULL)
			return NULL;
		if (*count > 0)
			memcpy(wider, old, *count * size);
		memcpy(items, &wider, sizeof wider);
		*room = more;
		old = wider;
	}
	return old + (*count)++ * size;
}

bool
arena_hold(struct lw_arena *arena, struct lw_arena *other)
{
	struct held *held;

	for (held = arena->held; held != NULL; held = held->next)
		if (held->arena == other)
			return true;
	held = arena_alloc(arena, sizeof *held);
	if (held == NULL)
		return false;
	held->arena = other;
	held->next = arena->held;
	arena->held = held;
	other->holders++;
	return true;
}
