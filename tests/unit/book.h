/* A scratch folder with a book in it, and an invented pack with something in
 * every field, for the suites of the book. */
#ifndef UNIT_BOOK_H
#define UNIT_BOOK_H

#include <lampwright/book.h>

struct scratch {
	char folder[256];
	char path[300]; /* of the book; not made yet */
	struct lw_book *book;
	struct lw_arena *arena;
	struct lw_err err;
};

/* A new empty folder; `scratch_open` makes the book and opens it. */
void scratch_make(struct scratch *scratch);
void scratch_open(struct scratch *scratch);
/* Close and open again. */
void scratch_reopen(struct scratch *scratch);
void scratch_remove(struct scratch *scratch);

/* A file of the folder, in memory; the caller frees it. */
unsigned char *scratch_read(const char *path, size_t *size);
void scratch_write(const char *path, const void *data, size_t size);

/* "cart": the pack. "other": a small one that shares no id with it. */
extern const struct lw_pack sample_cart;
extern const struct lw_pack sample_other;
/* "gauges": values of every kind, and bands whose ends are expressions. */
extern const struct lw_pack sample_gauges;
/* "known": settings, which refer to the faults and symptoms of "cart". */
extern const struct lw_pack sample_known;

/* Fail the test unless the two packs are the same, field by field, but for
 * places, of which the other has none. */
void sample_compare(const struct lw_pack *one, const struct lw_pack *other);
/* The same of a pack that was read from a file, which has places. */
void sample_same(const struct lw_pack *one, const struct lw_pack *other);

#endif
