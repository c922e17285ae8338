/*
 * One run of a statement: bind, step, read columns, end. It remembers its
 * first error, so a caller binds and reads away and checks at the end.
 *
 *	query_start(&query, book, SQL_ITEM_NUMBER, err);
 *	query_text(&query, 1, kind);
 *	while (query_row(&query))
 *		number = query_get_int(&query, 0);
 *	status = query_end(&query);
 *
 * Parameters count from 1 and columns from 0, as in SQLite.
 */
#ifndef BOOK_QUERY_H
#define BOOK_QUERY_H

#include "book/store.h"

#include <stdbool.h>
#include <stdint.h>

struct query {
	struct lw_book *book;
	struct lw_err *err;
	sqlite3_stmt *statement; /* NULL after an error */
	enum lw_status status;
};

void query_start(struct query *query, struct lw_book *book,
    enum statement which, struct lw_err *err);

/* NULL binds NULL. The text must live until query_end. */
void query_text(struct query *query, int parameter, const char *text);
void query_int(struct query *query, int parameter, int64_t value);
void query_real(struct query *query, int parameter, double value);

/* On to the next row; false at the end, and after an error. */
bool query_row(struct query *query);

/* The column as a text in the arena; NULL for NULL. */
const char *query_get_text(
    struct query *query, struct lw_arena *arena, int column);
/* The same, "" for NULL: for columns that are never NULL in a sound book. */
const char *query_get_word(
    struct query *query, struct lw_arena *arena, int column);
/* The column as SQLite has it, until the next row; "" for NULL. */
const char *query_peek(struct query *query, int column);
int64_t query_get_int(struct query *query, int column);
double query_get_real(struct query *query, int column);
bool query_get_null(struct query *query, int column);

/* Note memory that ran out while the rows were being read. */
void query_no_memory(struct query *query);

/* Release the statement; the first error, or LW_OK. */
enum lw_status query_end(struct query *query);

/* query_row until there is none, then query_end: for statements that write. */
enum lw_status query_run(struct query *query);

/* Room for the next item of a result, or NULL with the error noted. */
void *query_grow(struct query *query, struct lw_arena *arena, void *items,
    size_t *count, size_t *room, size_t size);

#endif
