/* Changing who holds a vehicle, inside the transaction of what is done with
 * it. Lent to jobs.c; reading a hold is in book/jobs.h. */
#ifndef BOOK_HOLDS_H
#define BOOK_HOLDS_H

#include "book/jobs.h"

/*
 * Put the next hold in place of the one that was seen, in a transaction that
 * writes. LW_CONFLICT where its holder, job or asker are others by now, or
 * where another is to have it and its holder has done something since; who
 * holds it now is in the sentence.
 */
enum lw_status holds_change(struct lw_book *book,
    const struct book_hold_change *change, struct lw_err *err);

#endif
