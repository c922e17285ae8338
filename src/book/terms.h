/* What was typed into a search, as a text that is safe to match and as
 * expressions in FTS5's language. */
#ifndef BOOK_TERMS_H
#define BOOK_TERMS_H

#include "base/buf.h"

#include <stdbool.h>
#include <stddef.h>

#define TERMS_TEXT_MAX 1000 /* bytes that are looked at */
#define TERMS_MAX 32	    /* words that are searched for */

struct terms {
	char text[TERMS_TEXT_MAX + 1]; /* UTF-8, on one line */
	struct {
		const char *start; /* in text */
		size_t length;
	} items[TERMS_MAX];
	size_t count; /* 0: nothing to search for */
};

/* Any bytes are fine as `typed`. */
void terms_read(struct terms *terms, const char *typed);

/* The expression for all of the words, or for any of them. Each stands for
 * itself and, from three bytes on, for what begins with it. */
void terms_write(const struct terms *terms, bool all, struct buf *out);

#endif
