/* The book that nothing happens to, and its comparison with the one that was
 * struck. Rows are read with SQLite itself, not with the library. */
#include "crash/crash.h"

#include <sqlite3.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* All that a builder may lose, a query a table. */
static const char *const tables[] = {
    "SELECT 'book', * FROM book",
    "SELECT 'job', * FROM jobs ORDER BY job",
    "SELECT 'finding', * FROM findings ORDER BY job, serial",
    "SELECT 'hold', * FROM holds ORDER BY vehicle",
    "SELECT 'rig', * FROM rigs ORDER BY rig",
    "SELECT 'fact', * FROM rig_facts ORDER BY rig, key",
    "SELECT 'setting', * FROM settings ORDER BY entry",
    "SELECT 'wish', * FROM setting_wishes ORDER BY wish",
    "SELECT 'cure', * FROM cures ORDER BY cure",
    "SELECT 'forget', * FROM forgets ORDER BY device",
    "SELECT 'record', * FROM records ORDER BY record",
    "SELECT 'note', * FROM notes ORDER BY note",
    "SELECT 'noted', rowid, words FROM note_text ORDER BY rowid",
    "SELECT 'item', kind, id FROM items ORDER BY kind, id",
};

/* What must never be, a query that gives what is wrong. */
static const char *const wrongs[] = {
    "SELECT 'held for a job that is not there: ' || vehicle FROM holds "
    "WHERE job NOT IN (SELECT job FROM jobs)",
    "SELECT 'held for a job of another vehicle: ' || vehicle FROM holds "
    "JOIN jobs USING (job) WHERE vehicle <> "
    "CASE WHEN rig IS NULL THEN 'job ' || job ELSE 'rig ' || rig END",
    "SELECT 'held by nobody: ' || vehicle FROM holds "
    "WHERE screen = '' OR name = ''",
    "SELECT 'asked for by its holder: ' || vehicle FROM holds "
    "WHERE asker = screen",
    "SELECT 'asked for by half: ' || vehicle FROM holds "
    "WHERE (asker IS NULL) <> (asker_name IS NULL) "
    "OR (asker IS NULL) <> (asked_s IS NULL)",
    "SELECT 'a job without findings: ' || job FROM jobs "
    "WHERE job NOT IN (SELECT job FROM findings)",
    "SELECT 'findings with a hole: ' || job FROM findings GROUP BY job "
    "HAVING max(serial) <> count(*) OR min(serial) <> 1",
    "SELECT 'cured, and nothing is gone: ' || job FROM cures WHERE job NOT IN "
    "(SELECT job FROM findings WHERE kind = 21)",
    "SELECT 'half an answer: ' || job || ' ' || serial FROM findings "
    "WHERE kind = 4 AND (subject IS NULL OR outcome IS NULL)",
};

static sqlite3 *
open_plainly(const char *path)
{
	sqlite3 *db = NULL;

	if (sqlite3_open_v2(path, &db, SQLITE_OPEN_READWRITE, "unix") !=
	    SQLITE_OK)
		crash_give_up(path);
	sqlite3_busy_timeout(db, 5000);
	return db;
}

static void
add_rows(sqlite3_str *text, sqlite3 *db, const char *sql)
{
	sqlite3_stmt *statement = NULL;
	int i, code;

	if (sqlite3_prepare_v2(db, sql, -1, &statement, NULL) != SQLITE_OK)
		crash_give_up(sqlite3_errmsg(db));
	while ((code = sqlite3_step(statement)) == SQLITE_ROW) {
		for (i = 0; i < sqlite3_column_count(statement); i++) {
			const char *value =
			    (const char *)sqlite3_column_text(statement, i);

			sqlite3_str_appendf(
			    text, "%s|", value == NULL ? "(none)" : value);
		}
		sqlite3_str_appendchar(text, 1, '\n');
	}
	sqlite3_finalize(statement);
	if (code != SQLITE_DONE)
		crash_give_up(sqlite3_errmsg(db));
}

/* The caller frees it with sqlite3_free. */
static char *
dump(const char *path)
{
	sqlite3 *db = open_plainly(path);
	sqlite3_str *text = sqlite3_str_new(db);
	char *out;
	size_t i;

	for (i = 0; i < sizeof tables / sizeof tables[0]; i++)
		add_rows(text, db, tables[i]);
	out = sqlite3_str_finish(text);
	sqlite3_close(db);
	if (out == NULL)
		crash_give_up("no memory");
	return out;
}

bool
mirror_is_sound(const char *path, const char *what)
{
	struct lw_err err = {0};
	struct lw_book *book = NULL;
	sqlite3 *db;
	sqlite3_str *text;
	char *found;
	enum lw_status status;
	bool sound = true;
	size_t i;

	/* The library goes first: it has to bring the file back. */
	status = lw_book_open(&book, NULL, path, &err);
	if (status == LW_OK)
		status = lw_book_check(book, &err);
	lw_book_close(book);
	if (status != LW_OK) {
		crash_fail("%s: the book is not sound: %s", what, err.text);
		return false;
	}
	db = open_plainly(path);
	text = sqlite3_str_new(db);
	for (i = 0; i < sizeof wrongs / sizeof wrongs[0]; i++)
		add_rows(text, db, wrongs[i]);
	found = sqlite3_str_finish(text);
	if (found != NULL) {
		crash_fail("%s: %s", what, found);
		sound = false;
	}
	sqlite3_free(found);
	sqlite3_close(db);
	return sound;
}

/* The first line in which two dumps differ. */
static void
tell_difference(const char *what, const char *struck, const char *mirror)
{
	const char *line = struck, *other = mirror;
	size_t i;

	for (i = 0; struck[i] != '\0' && struck[i] == mirror[i]; i++)
		if (struck[i] == '\n') {
			line = &struck[i + 1];
			other = &mirror[i + 1];
		}
	crash_fail("%s: the struck book has\n    %.*s\nwhere there should be"
		   "\n    %.*s",
	    what, (int)strcspn(line, "\n"), line, (int)strcspn(other, "\n"),
	    other);
}

static void
fill(const char *path)
{
	struct lw_err err = {0};
	struct lw_book *book;

	unlink(path);
	if (lw_book_open(&book, NULL, path, &err) != LW_OK ||
	    walk_fill(book, &err) != LW_OK)
		crash_give_up(err.text);
	lw_book_close(book);
}

static void
copy(const char *from, const char *to)
{
	FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
	char block[65536];
	size_t size;

	if (in == NULL || out == NULL)
		crash_give_up("a book cannot be copied");
	while ((size = fread(block, 1, sizeof block, in)) > 0)
		if (fwrite(block, 1, size, out) != size)
			crash_give_up("a book cannot be copied");
	fclose(in);
	if (fclose(out) != 0)
		crash_give_up("a book cannot be copied");
}

void
mirror_begin(struct mirror *mirror, const char *folder, const char *what)
{
	char filled[240];
	struct lw_err err = {0};

	memset(mirror, 0, sizeof *mirror);
	mirror->what = what;
	snprintf(filled, sizeof filled, "%s/filled.db", folder);
	snprintf(mirror->struck, sizeof mirror->struck, "%s/struck.db", folder);
	snprintf(mirror->path, sizeof mirror->path, "%s/mirror.db", folder);
	if (access(filled, F_OK) != 0)
		fill(filled);
	copy(filled, mirror->struck);
	copy(filled, mirror->path);
	if (lw_book_open(&mirror->book, NULL, mirror->path, &err) != LW_OK)
		crash_give_up(err.text);
}

void
mirror_end(struct mirror *mirror)
{
	char journal[260];

	lw_book_close(mirror->book);
	unlink(mirror->path);
	unlink(mirror->struck);
	/* One that had no more than begun stays until the next change. */
	snprintf(journal, sizeof journal, "%s-journal", mirror->struck);
	unlink(journal);
}

static enum lw_status
follow(struct mirror *mirror, uint64_t seed, uint32_t number)
{
	struct lw_err err = {0};
	struct walk_report report;

	report = walk_call(mirror->book, seed, number, &err);
	if (walk_broke((enum lw_status)report.status))
		crash_fail(
		    "%s: call %lu of walk %llu fails on a sound disk: %s",
		    mirror->what, (unsigned long)number,
		    (unsigned long long)seed, err.text);
	return (enum lw_status)report.status;
}

/* Whether what was acknowledged is there, by serial alone. */
static bool
has_serials(const struct mirror *mirror, uint32_t from, uint32_t told,
    const struct walk_report *reports)
{
	sqlite3 *db = open_plainly(mirror->struck);
	sqlite3_stmt *statement = NULL;
	bool there = true;
	uint32_t i;

	if (sqlite3_prepare_v2(db,
		"SELECT coalesce(max(serial), 0) FROM findings WHERE job = ?1",
		-1, &statement, NULL) != SQLITE_OK)
		crash_give_up(sqlite3_errmsg(db));
	for (i = from; i < told && there; i++) {
		const struct walk_report *report = &reports[i - from];

		sqlite3_bind_int64(statement, 1, report->job);
		if (sqlite3_step(statement) != SQLITE_ROW)
			crash_give_up(sqlite3_errmsg(db));
		there = sqlite3_column_int64(statement, 0) >= report->serial;
		if (!there)
			crash_fail("%s: finding %lld of job %lld was "
				   "acknowledged and is lost",
			    mirror->what, (long long)report->serial,
			    (long long)report->job);
		sqlite3_reset(statement);
	}
	sqlite3_finalize(statement);
	sqlite3_close(db);
	return there;
}

bool
mirror_compare(struct mirror *mirror, uint64_t seed, uint32_t from,
    uint32_t told, const struct walk_report *reports, uint32_t *common)
{
	char *struck, *expected;
	enum lw_status status;
	bool same;
	uint32_t i;

	if (!mirror_is_sound(mirror->struck, mirror->what) ||
	    !has_serials(mirror, from, told, reports))
		return false;
	for (i = from; i < told; i++) {
		status = follow(mirror, seed, i);
		if ((int32_t)status != reports[i - from].status) {
			crash_fail("%s: call %lu of walk %llu gave %s, and %s "
				   "in the mirror",
			    mirror->what, (unsigned long)i,
			    (unsigned long long)seed,
			    lw_status_name(
				(enum lw_status)reports[i - from].status),
			    lw_status_name(status));
			return false;
		}
	}
	*common = told;
	struck = dump(mirror->struck);
	expected = dump(mirror->path);
	same = strcmp(struck, expected) == 0;
	if (!same) {
		/* The call that was under way may have come through. */
		sqlite3_free(expected);
		(void)follow(mirror, seed, told);
		*common = told + 1;
		expected = dump(mirror->path);
		same = strcmp(struck, expected) == 0;
	}
	if (!same)
		tell_difference(mirror->what, struck, expected);
	sqlite3_free(struck);
	sqlite3_free(expected);
	return same;
}
