/* Transactions, and what SQLite says turned into sentences. Opening is left
 * to open.c. */
#include "book/store.h"

#include "base/err.h"
#include "book/kept.h"
#include "book/look.h"
#include "book/query.h"

#include <assert.h>
#include <errno.h>
#include <string.h>

static const char *
system_says(const struct lw_book *book)
{
	int number = book->db == NULL ? 0 : sqlite3_system_errno(book->db);

	return number == 0 ? "no reason given" : strerror(number);
}

enum lw_status
store_error(const struct lw_book *book, int code, struct lw_err *err)
{
	const char *path = book->path;

	switch (code & 0xff) {
	case SQLITE_NOMEM:
		return err_no_memory(err);
	case SQLITE_FULL:
		return err_set(err, LW_FAILED,
		    "the disk is full, so nothing was changed in the book "
		    "%.200s; free some space and try again",
		    path);
	case SQLITE_READONLY:
	case SQLITE_PERM:
		return err_set(err, LW_FAILED,
		    "the book %.200s can be read but not changed; allow "
		    "writing to the file and to its folder",
		    path);
	case SQLITE_CANTOPEN:
		return err_set(err, LW_FAILED,
		    "cannot open the book %.200s or make a file beside it "
		    "(%s); allow writing to the file and to its folder",
		    path, system_says(book));
	case SQLITE_BUSY:
	case SQLITE_LOCKED:
		return err_set(err, LW_FAILED,
		    "another program holds the book %.200s; try again when "
		    "it has finished",
		    path);
	case SQLITE_NOTADB:
		return err_set(err, LW_CORRUPT,
		    "%.200s is not a Lampwright book; name another file", path);
	case SQLITE_CORRUPT:
		return err_set(err, LW_CORRUPT,
		    "the book %.200s is damaged (%s); put a saved copy in "
		    "its place",
		    path, sqlite3_errmsg(book->db));
	case SQLITE_ERROR:
		/* Our statements are sound, so a table must be missing. */
		return err_set(err, LW_CORRUPT,
		    "the book %.200s is damaged (%.200s); put a saved copy "
		    "in its place",
		    path, sqlite3_errmsg(book->db));
	case SQLITE_IOERR:
		return err_set(err, LW_FAILED,
		    "the disk failed while the book %.200s was read or "
		    "written (%s); look after the disk",
		    path, system_says(book));
	case SQLITE_TOOBIG:
		return err_set(err, LW_TOO_BIG,
		    "a text is too long for the book %.200s; make it shorter",
		    path);
	default:
		return err_set(err, LW_FAILED,
		    "the book %.200s refused a change (%.200s); it should "
		    "not have been asked for",
		    path, sqlite3_errmsg(book->db));
	}
}

static enum lw_status
run(struct lw_book *book, enum statement which, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, which, err);
	return query_run(&query);
}

static enum lw_status
begin(struct lw_book *book, enum statement which, struct lw_err *err)
{
	enum lw_status status = LW_OK;

	/* What is written inside a look would be taken back with it. */
	assert(book->depth == 0 || book->writes || which == SQL_BEGIN_READ);
	if (book->depth == 0) {
		status = run(book, which, err);
		book->writes = which == SQL_BEGIN_WRITE;
		book->kept_is_current = false;
	}
	if (status == LW_OK)
		book->depth++;
	return status;
}

enum lw_status
store_begin_read(struct lw_book *book, struct lw_err *err)
{
	return begin(book, SQL_BEGIN_READ, err);
}

enum lw_status
store_begin_write(struct lw_book *book, struct lw_err *err)
{
	return begin(book, SQL_BEGIN_WRITE, err);
}

enum lw_status
look_begin(struct lw_book *book, struct lw_err *err)
{
	return store_begin_read(book, err);
}

void
look_end(struct lw_book *book)
{
	store_end_read(book, LW_OK);
}

/* A full disk or the like may have rolled back already. */
static void
roll_back(struct lw_book *book)
{
	if (!sqlite3_get_autocommit(book->db))
		(void)run(book, SQL_ROLLBACK, NULL);
}

enum lw_status
store_end_read(struct lw_book *book, enum lw_status status)
{
	if (--book->depth == 0)
		roll_back(book);
	return status;
}

enum lw_status
store_end_write(struct lw_book *book, enum lw_status status, struct lw_err *err)
{
	if (--book->depth > 0)
		return status;
	if (status == LW_OK)
		status = run(book, SQL_RAISE_CHANGE, err);
	if (status == LW_OK)
		status = run(book, SQL_COMMIT, err);
	if (status != LW_OK)
		roll_back(book);
	kept_drop(book);
	return status;
}
