/* Lends a transaction to src/job; what is written in it is left to the other
 * files of the book. */
#include "book/together.h"

#include "book/store.h"

enum lw_status
together_begin(struct lw_book *book, struct lw_err *err)
{
	return store_begin_write(book, err);
}

enum lw_status
together_end(struct lw_book *book, enum lw_status status, struct lw_err *err)
{
	return store_end_write(book, status, err);
}
