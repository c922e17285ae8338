/* Opening a book: making, recognising and upgrading the file. What stands in
 * it is left to schema.sql, copies and checks to upkeep.c. */
#include "book/store.h"

#include "base/err.h"
#include "book/kept.h"
#include "book/matched.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { SMALLEST = 512 }; /* bytes of the smallest database page */

/* For each connection; none of it is kept in the file. EXTRA syncs the folder
 * once the journal is gone: without that a loss of power can bring the journal
 * back, and with it the book as it was before a change that was done. */
static const char settings[] = "PRAGMA synchronous = EXTRA;"
			       "PRAGMA cell_size_check = ON;"
			       "PRAGMA temp_store = MEMORY;";

static enum lw_status
no_book(const char *path, const char *why, struct lw_err *err)
{
	return err_set(err, LW_CORRUPT,
	    "%.200s is not a Lampwright book (%s); name another file", path,
	    why);
}

/*
 * Make the file, empty and for its owner alone, unless it is there. SQLite
 * would make it readable for others.
 */
static enum lw_status
make_file(const char *path, struct lw_err *err)
{
	struct stat info;
	int file;

	if (stat(path, &info) == 0) {
		if (!S_ISREG(info.st_mode))
			return no_book(path, "not a plain file", err);
		/* SQLite would take a file of one byte for an empty one. */
		if (info.st_size > 0 && info.st_size < SMALLEST)
			return no_book(path, "too short for one", err);
		return LW_OK;
	}
	if (errno != ENOENT)
		return err_set(err, LW_FAILED,
		    "cannot look at the book %.200s: %s", path,
		    strerror(errno));
	file = open(path, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
	if (file < 0 && errno != EEXIST)
		return err_set(err, LW_FAILED,
		    "cannot make the book %.200s: %s; the folder must exist "
		    "and allow writing",
		    path, strerror(errno));
	if (file >= 0) {
		/* An odd umask may have kept its owner out. */
		(void)fchmod(file, 0600);
		close(file);
	}
	return LW_OK;
}

static enum lw_status
execute(struct lw_book *book, const char *sql, struct lw_err *err)
{
	int code = sqlite3_exec(book->db, sql, NULL, NULL, NULL);

	return code == SQLITE_OK ? LW_OK : store_error(book, code, err);
}

/* The number that a pragma answers. */
static enum lw_status
ask(struct lw_book *book, const char *sql, int64_t *answer, struct lw_err *err)
{
	sqlite3_stmt *statement = NULL;
	int code;

	*answer = 0;
	code = sqlite3_prepare_v2(book->db, sql, -1, &statement, NULL);
	if (code == SQLITE_OK) {
		code = sqlite3_step(statement);
		if (code == SQLITE_ROW)
			*answer = sqlite3_column_int64(statement, 0);
		code = sqlite3_finalize(statement);
	}
	return code == SQLITE_OK ? LW_OK : store_error(book, code, err);
}

static enum lw_status
configure(struct lw_book *book, struct lw_err *err)
{
	static const struct {
		int what;
		int on;
	} switches[] = {
	    {SQLITE_DBCONFIG_DEFENSIVE, 1},
	    {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
	    {SQLITE_DBCONFIG_DQS_DML, 0},
	    {SQLITE_DBCONFIG_DQS_DDL, 0},
	    {SQLITE_DBCONFIG_ENABLE_FKEY, 1},
	    {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
	};
	size_t i;
	int code;

	for (i = 0; i < sizeof switches / sizeof switches[0]; i++) {
		code = sqlite3_db_config(
		    book->db, switches[i].what, switches[i].on, (int *)NULL);
		if (code != SQLITE_OK)
			return store_error(book, code, err);
	}
	code = matched_register(book->db);
	if (code != SQLITE_OK)
		return store_error(book, code, err);
	sqlite3_busy_timeout(book->db, STORE_BUSY_MS);
	return execute(book, settings, err);
}

/* The book's version: 0 for a file with nothing in it. */
static enum lw_status
find_version(struct lw_book *book, int64_t *version, struct lw_err *err)
{
	int64_t things = 0, application = 0;
	enum lw_status status;

	status = ask(book, "SELECT count(*) FROM sqlite_schema", &things, err);
	if (status == LW_OK)
		status = ask(book, "PRAGMA application_id", &application, err);
	if (status == LW_OK)
		status = ask(book, "PRAGMA user_version", version, err);
	if (status != LW_OK)
		return status;
	if (things == 0 && application == 0 && *version == 0)
		return LW_OK;
	if (application != STORE_APPLICATION_ID)
		return no_book(
		    book->path, "a database of another program", err);
	if (*version < 1)
		return no_book(book->path, "it has no version", err);
	return LW_OK;
}

/* Run the script that leads to the next version, and see that it does. */
static enum lw_status
run_script(struct lw_book *book, const struct asset *assets, int64_t next,
    struct lw_err *err)
{
	const struct asset *script;
	char name[40];
	int64_t reached, broken;
	enum lw_status status;

	if (next == 1)
		snprintf(name, sizeof name, "book/schema.sql");
	else
		snprintf(name, sizeof name, "book/upgrade-%d.sql", (int)next);
	script = asset_find(assets, name);
	if (script == NULL)
		return err_set(err, LW_FAILED,
		    "this program was built without %s; build it again", name);
	status = execute(book, (const char *)script->data, err);
	if (status == LW_OK)
		status = ask(book, "PRAGMA user_version", &reached, err);
	if (status == LW_OK && reached != next)
		return err_set(err, LW_FAILED,
		    "%s leads to version %d and should lead to %d", name,
		    (int)reached, (int)next);
	if (status == LW_OK)
		status =
		    ask(book, "SELECT count(*) FROM pragma_foreign_key_check",
			&broken, err);
	if (status == LW_OK && broken != 0)
		return err_set(err, LW_CORRUPT,
		    "the book %.200s cannot be upgraded: %d references lead "
		    "nowhere; put a saved copy in its place",
		    book->path, (int)broken);
	return status;
}

/* One step, in one transaction. Another process may have been quicker. */
static enum lw_status
step_up(struct lw_book *book, const struct asset *assets, int64_t *version,
    bool *created, struct lw_err *err)
{
	int64_t now = 0;
	enum lw_status status;

	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = find_version(book, &now, err);
	if (status == LW_OK && now == *version) {
		status = run_script(book, assets, now + 1, err);
		if (status == LW_OK) {
			*created = *created || now == 0;
			now++;
		}
	}
	status = store_end_write(book, status, err);
	if (status == LW_OK)
		*version = now;
	return status;
}

static enum lw_status
bring_up(struct lw_book *book, const struct asset *assets, int version,
    bool *created, struct lw_err *err)
{
	int64_t now;
	enum lw_status status;

	/* In one transaction: between two of its questions another process
	 * may have made the book. */
	status = execute(book, "BEGIN", err);
	if (status != LW_OK)
		return status;
	status = find_version(book, &now, err);
	if (status == LW_OK)
		status = execute(book, "COMMIT", err);
	else
		execute(book, "ROLLBACK", NULL);
	if (status != LW_OK)
		return status;
	if (now < version) {
		/* Scripts may rebuild tables; they are checked instead. */
		status = execute(book, "PRAGMA foreign_keys = OFF", err);
		while (status == LW_OK && now < version)
			status = step_up(book, assets, &now, created, err);
		if (status == LW_OK)
			status = execute(book, "PRAGMA foreign_keys = ON", err);
		if (status != LW_OK)
			return status;
	}
	if (now > version)
		return err_set(err, LW_NEWER,
		    "the book %.200s was written by a newer version of "
		    "Lampwright (book version %d, this one knows %d); use "
		    "that version",
		    book->path, (int)now, version);
	return execute(book, "PRAGMA journal_mode = DELETE", err);
}

enum lw_status
store_open(struct lw_book **out, bool *created, const char *path,
    const struct asset *assets, int version, struct lw_err *err)
{
	struct lw_book *book;
	char *file = NULL;
	bool made = false;
	enum lw_status status;
	int code;

	*out = NULL;
	if (created != NULL)
		*created = false;
	if (path[0] == '\0')
		return err_set(err, LW_BAD_INPUT,
		    "the book has no file name; name a file");
	book = calloc(1, sizeof *book);
	if (book == NULL)
		return err_no_memory(err);
	/* "./" so that SQLite takes no name for a special one. */
	book->path = strdup(path);
	file = malloc(strlen(path) + 3);
	if (book->path == NULL || file == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	sprintf(file, "%s%s", path[0] == '/' ? "" : "./", path);
	status = make_file(path, err);
	if (status != LW_OK)
		goto out;
	/* One thread at a time has the book; see lampwright/book.h. */
	code = sqlite3_open_v2(
	    file, &book->db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
	if (code != SQLITE_OK) {
		status = store_error(book, code, err);
		goto out;
	}
	sqlite3_extended_result_codes(book->db, 1);
	status = configure(book, err);
	if (status == LW_OK)
		status = bring_up(book, assets, version, &made, err);
out:
	free(file);
	if (status != LW_OK) {
		lw_book_close(book);
		return status;
	}
	if (created != NULL)
		*created = made;
	*out = book;
	return LW_OK;
}

enum lw_status
lw_book_open(
    struct lw_book **book, bool *created, const char *path, struct lw_err *err)
{
	return store_open(
	    book, created, path, library_assets, STORE_VERSION, err);
}

void
lw_book_close(struct lw_book *book)
{
	size_t i;

	if (book == NULL)
		return;
	kept_drop(book);
	for (i = 0; i < STATEMENT_COUNT; i++)
		sqlite3_finalize(book->statements[i]);
	sqlite3_close(book->db);
	free(book->path);
	free(book);
}
