/*
 * Which causes were proved in jobs that ended cured: what priors learn from.
 * Kept beside the findings, in the same transaction as the finding that
 * changes it, and always what they say.
 */
#ifndef BOOK_CURES_H
#define BOOK_CURES_H

#include <lampwright/arena.h>
#include <lampwright/book.h>

struct book_cure {
	const char *cause;
	unsigned here;	    /* on this device */
	unsigned elsewhere; /* on any other, or none */
};

/* What jobs that began with this fault, or symptom (one of them NULL), came
 * to, since counting was last begun anew; by cause. device NULL: all count as
 * elsewhere. `but`: a job that does not count (the one that asks). */
enum lw_status book_cures(const struct book_cure **cures, size_t *count,
    struct lw_book *book, struct lw_arena *arena, const char *device,
    const char *fault, const char *symptom, int64_t but, struct lw_err *err);

/* What a job came to, for book_job_append: cause NULL: not cured (any more). */
struct book_cured {
	const char *cause;
	const char *fault;   /* what it began with, or NULL */
	const char *symptom; /* or NULL */
};

/* Within the transaction of a finding. */
enum lw_status cures_put(struct lw_book *book, int64_t job,
    const struct book_cured *cured, int64_t now_s, struct lw_err *err);

#endif
