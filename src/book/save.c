/* A safe copy of a book, to keep or to give away: with everything but who
 * may come in over the network, and who holds which vehicle. Looking whether
 * it is sound is left to upkeep.c. */
#include "base/err.h"
#include "book/query.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Read the whole book into memory, as it stands at one moment. */
static enum lw_status
copy_all(struct lw_book *copy, struct lw_book *book, struct lw_err *err)
{
	sqlite3_backup *backup;
	int code, ended;

	/* By its name: a flag for memory would hold for the file as well. */
	code = sqlite3_open_v2(":memory:", &copy->db,
	    SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL);
	if (code != SQLITE_OK)
		return store_error(copy, code, err);
	backup = sqlite3_backup_init(copy->db, "main", book->db, "main");
	if (backup == NULL)
		return store_error(copy, sqlite3_errcode(copy->db), err);
	code = sqlite3_backup_step(backup, -1);
	ended = sqlite3_backup_finish(backup);
	if (ended == SQLITE_OK && code != SQLITE_DONE)
		ended = code;
	return ended == SQLITE_OK ? LW_OK : store_error(copy, ended, err);
}

static enum lw_status
run(struct lw_book *copy, enum statement which, struct lw_err *err)
{
	struct query query;

	query_start(&query, copy, which, err);
	return query_run(&query);
}

/*
 * Write the book into a file that is there and empty. What is left out never
 * comes near the file: it is taken out in memory, and writing leaves behind
 * what was free.
 */
static enum lw_status
write_copy(struct lw_book *book, const char *path, struct lw_err *err)
{
	struct lw_book *copy = calloc(1, sizeof *copy);
	enum lw_status status = LW_OK;
	struct query query;
	char *name;

	/* "./" so that SQLite takes no name for a special one. */
	name = sqlite3_mprintf("%s%s", path[0] == '/' ? "" : "./", path);
	if (copy != NULL)
		copy->path = strdup(book->path);
	if (name == NULL || copy == NULL || copy->path == NULL)
		status = err_no_memory(err);
	if (status == LW_OK)
		status = copy_all(copy, book, err);
	if (status == LW_OK)
		status = run(copy, SQL_DELETE_HOLDS, err);
	if (status == LW_OK)
		status = run(copy, SQL_DELETE_ALL_SCREENS, err);
	if (status == LW_OK) {
		query_start(&query, copy, SQL_SAVE, err);
		query_text(&query, 1, name);
		status = query_run(&query);
	}
	sqlite3_free(name);
	lw_book_close(copy);
	return status;
}

/* The copy is made in a file that was not there, for its owner alone. */
enum lw_status
lw_book_save(struct lw_book *book, const char *path, struct lw_err *err)
{
	enum lw_status status;
	int file;

	file = open(path, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
	if (file < 0 && errno == EEXIST)
		return err_set(err, LW_CONFLICT,
		    "%.200s exists already; name a new file for the copy",
		    path);
	if (file < 0)
		return err_set(err, LW_FAILED,
		    "cannot make the copy %.200s: %s; the folder must exist "
		    "and allow writing",
		    path, strerror(errno));
	/* An odd umask may have kept its owner out. */
	(void)fchmod(file, 0600);
	status = write_copy(book, path, err);
	if (status == LW_OK && fsync(file) != 0)
		status = err_set(err, LW_FAILED,
		    "cannot finish the copy %.200s: %s; free some space and "
		    "try again",
		    path, strerror(errno));
	close(file);
	if (status != LW_OK)
		unlink(path);
	return status;
}
