/* The open book, and transactions on it. For the files of src/book and their
 * tests alone. */
#ifndef BOOK_STORE_H
#define BOOK_STORE_H

#include "base/asset.h"
#include "book/statements.h"

#include <lampwright/book.h>

#include <sqlite3.h>

enum {
	STORE_VERSION = 5,		   /* user_version of a book */
	STORE_APPLICATION_ID = 0x4C414D50, /* "LAMP" */
	STORE_BUSY_MS = 5000
};

struct kept_set;

struct lw_book {
	sqlite3 *db;
	char *path;	       /* as it was given, for sentences */
	int depth;	       /* of transactions begun and not ended */
	bool writes;	       /* the outermost of them does */
	struct kept_set *kept; /* what was read before, or NULL */
	bool kept_is_current;  /* as far as this transaction knows */
	sqlite3_stmt *statements[STATEMENT_COUNT]; /* prepared when needed */
};

/*
 * As lw_book_open, with the tables and the version named: "book/schema.sql"
 * makes version 1, and each "book/upgrade-N.sql" leads from N - 1 to N.
 */
enum lw_status store_open(struct lw_book **book, bool *created,
    const char *path, const struct asset *assets, int version,
    struct lw_err *err);

/* What SQLite said, as a status and a sentence. */
enum lw_status store_error(
    const struct lw_book *book, int code, struct lw_err *err);

/*
 * Begin a transaction that reads, so that several statements see one state,
 * or one that writes. They nest; the outermost one counts, so one that
 * writes must not begin inside one that reads.
 */
enum lw_status store_begin_read(struct lw_book *book, struct lw_err *err);
enum lw_status store_begin_write(struct lw_book *book, struct lw_err *err);

/*
 * End it: keep what was written when status is LW_OK, take it back
 * otherwise. Returns status, or why it could not be kept.
 */
enum lw_status store_end_read(struct lw_book *book, enum lw_status status);
enum lw_status store_end_write(
    struct lw_book *book, enum lw_status status, struct lw_err *err);

#endif
