/* Several changes that are kept whole or not at all: for the files of
 * src/job. */
#ifndef BOOK_TOGETHER_H
#define BOOK_TOGETHER_H

#include <lampwright/book.h>

/* Begin; nothing of what follows is kept before it ends. They nest, and must
 * not begin within a look. */
enum lw_status together_begin(struct lw_book *book, struct lw_err *err);
/* End it: keep everything where `status` is LW_OK, nothing otherwise. Returns
 * status, or why it could not be kept. */
enum lw_status together_end(
    struct lw_book *book, enum lw_status status, struct lw_err *err);

#endif
