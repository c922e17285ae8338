/* Typed binding and reading of one statement's run. Which statements there
 * are is left to statements.c, transactions to store.c. */
#include "book/query.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

static void
fail(struct query *query, int code)
{
	if (query->status == LW_OK)
		query->status = store_error(query->book, code, query->err);
}

void
query_start(struct query *query, struct lw_book *book, enum statement which,
    struct lw_err *err)
{
	sqlite3_stmt **slot = &book->statements[which];
	int code;

	memset(query, 0, sizeof *query);
	query->book = book;
	query->err = err;
	if (*slot == NULL) {
		code = sqlite3_prepare_v3(book->db, statement_text(which), -1,
		    SQLITE_PREPARE_PERSISTENT, slot, NULL);
		if (code != SQLITE_OK) {
			fail(query, code);
			return;
		}
	}
	query->statement = *slot;
}

void
query_text(struct query *query, int parameter, const char *text)
{
	int code;

	if (query->status != LW_OK)
		return;
	code = sqlite3_bind_text(
	    query->statement, parameter, text, -1, SQLITE_STATIC);
	if (code != SQLITE_OK)
		fail(query, code);
}

void
query_int(struct query *query, int parameter, int64_t value)
{
	int code;

	if (query->status != LW_OK)
		return;
	code = sqlite3_bind_int64(query->statement, parameter, value);
	if (code != SQLITE_OK)
		fail(query, code);
}

void
query_real(struct query *query, int parameter, double value)
{
	int code;

	if (query->status != LW_OK)
		return;
	code = sqlite3_bind_double(query->statement, parameter, value);
	if (code != SQLITE_OK)
		fail(query, code);
}

bool
query_row(struct query *query)
{
	int code;

	if (query->status != LW_OK)
		return false;
	code = sqlite3_step(query->statement);
	if (code == SQLITE_ROW)
		return true;
	if (code != SQLITE_DONE)
		fail(query, code);
	return false;
}

const char *
query_peek(struct query *query, int column)
{
	const unsigned char *text;

	if (query->status != LW_OK)
		return "";
	text = sqlite3_column_text(query->statement, column);
	if (text == NULL) {
		if (sqlite3_errcode(query->book->db) == SQLITE_NOMEM)
			query_no_memory(query);
		return "";
	}
	return (const char *)text;
}

const char *
query_get_word(struct query *query, struct lw_arena *arena, int column)
{
	const char *text = query_peek(query, column), *copy;

	copy = arena_dup(arena, text);
	if (copy == NULL) {
		query_no_memory(query);
		return "";
	}
	return copy;
}

const char *
query_get_text(struct query *query, struct lw_arena *arena, int column)
{
	if (query_get_null(query, column))
		return NULL;
	return query_get_word(query, arena, column);
}

int64_t
query_get_int(struct query *query, int column)
{
	if (query->status != LW_OK)
		return 0;
	return sqlite3_column_int64(query->statement, column);
}

double
query_get_real(struct query *query, int column)
{
	if (query->status != LW_OK)
		return 0;
	return sqlite3_column_double(query->statement, column);
}

bool
query_get_null(struct query *query, int column)
{
	return query->status != LW_OK ||
	       sqlite3_column_type(query->statement, column) == SQLITE_NULL;
}

void
query_no_memory(struct query *query)
{
	if (query->status == LW_OK)
		query->status = err_no_memory(query->err);
}

enum lw_status
query_end(struct query *query)
{
	if (query->statement != NULL) {
		sqlite3_reset(query->statement);
		sqlite3_clear_bindings(query->statement);
		query->statement = NULL;
	}
	return query->status;
}

enum lw_status
query_run(struct query *query)
{
	while (query_row(query))
		continue;
	return query_end(query);
}

void *
query_grow(struct query *query, struct lw_arena *arena, void *items,
    size_t *count, size_t *room, size_t size)
{
	void *item;

	if (query->status != LW_OK)
		return NULL;
	item = arena_grow(arena, items, count, room, size);
	if (item == NULL)
		query_no_memory(query);
	return item;
}
