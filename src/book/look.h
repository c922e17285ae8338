/* Several calls that see the book as it was at the first of them, whatever
 * another program writes meanwhile: for the files of src/job and src/view. */
#ifndef BOOK_LOOK_H
#define BOOK_LOOK_H

#include <lampwright/book.h>

/* Begin to look: other programs cannot write until it ends, so it must be
 * short, and nothing may be written inside it. Looks nest. */
enum lw_status look_begin(struct lw_book *book, struct lw_err *err);
/* End a look that has begun. */
void look_end(struct lw_book *book);

#endif
