/*
 * Items of the catalogue, and rigs, that were read before, kept with the open
 * book as long as nothing has been written to it, by whatever program. They
 * live in an arena of their own, which the arena of a caller then holds.
 *
 *	status = kept_begin(&kept, book, arena, "fault", id, NULL, err);
 *	if (status != LW_OK)
 *		return status;
 *	if (kept.what == NULL)
 *		status = ... read it into kept.arena, set kept.what ...
 *	return kept_end(&kept, status, err);
 *
 * In between, other things that are kept may be read into kept.arena.
 */
#ifndef BOOK_KEPT_H
#define BOOK_KEPT_H

#include "book/store.h"

#include <lampwright/arena.h>

/* A set of what was read; struct lw_book has one, or NULL. */
struct kept_set;

struct kept {
	const void *what;	/* found, or to be set; NULL: not read yet */
	struct lw_arena *arena; /* to read into */
	/* For kept_end. */
	struct lw_book *book;
	struct lw_arena *caller;
	struct kept_set *set; /* where it will be kept, or NULL: nowhere */
	const char *kind;
	const char *id;
	const char *other;
	unsigned hash;
	bool found;
};

/* Begin to read what `kind`, a constant, and the ids (which may be NULL) stand
 * for, in a transaction of its own or the one that there is. Inside one that
 * writes nothing is kept, nor looked for. */
enum lw_status kept_begin(struct kept *kept, struct lw_book *book,
    struct lw_arena *arena, const char *kind, const char *id, const char *other,
    struct lw_err *err);

/* End it: keep it where status is LW_OK, and have the caller's arena hold it.
 * Returns status, or LW_NO_MEMORY. */
enum lw_status kept_end(
    struct kept *kept, enum lw_status status, struct lw_err *err);

/* Let go of all that is kept. */
void kept_drop(struct lw_book *book);

#endif
