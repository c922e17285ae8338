/* Books that are struck while they are made, filled or upgraded: afterwards
 * each is as it was, or as it was to be, and can be gone on with. */
#include "crash/crash.h"
#include "crash/disk.h"

#include <sqlite3.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MOMENTS = 60 };

static int64_t
count(const char *path, const char *sql)
{
	sqlite3_stmt *statement = NULL;
	sqlite3 *db = NULL;
	int64_t answer = -1;

	if (sqlite3_open_v2(path, &db, SQLITE_OPEN_READWRITE, "unix") ==
		SQLITE_OK &&
	    sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK &&
	    sqlite3_step(statement) == SQLITE_ROW)
		answer = sqlite3_column_int64(statement, 0);
	sqlite3_finalize(statement);
	sqlite3_close(db);
	return answer;
}

static void
clear(const char *path)
{
	char journal[260];

	unlink(path);
	snprintf(journal, sizeof journal, "%s-journal", path);
	unlink(journal);
}

static enum lw_status
make(const char *path)
{
	struct lw_err err = {0};
	struct lw_book *book = NULL;
	enum lw_status status;

	status = lw_book_open(&book, NULL, path, &err);
	if (status == LW_OK)
		status = walk_fill(book, &err);
	lw_book_close(book);
	return status;
}

static void
try_making(const char *path, const struct disk_plan *plan)
{
	enum lw_status status;
	int64_t checks;

	clear(path);
	disk_begin(plan);
	status = make(path);
	if (!disk_restart())
		crash_give_up(path);
	if (status != LW_OK && !disk_struck())
		crash_fail("making: fails on a sound disk");
	if (status == LW_OK && access(path, F_OK) != 0)
		crash_fail("making: what was made is gone");
	if (!mirror_is_sound(path, "making"))
		return;
	checks = count(path, "SELECT count(*) FROM items "
			     "WHERE kind = 'check'");
	if (status == LW_OK && checks == 0)
		crash_fail("making: a pack that was put in is gone");
	/* All of a pack or nothing, and it can be put in again. */
	if (checks != 0 && checks != count(path, "SELECT count(*) FROM checks"))
		crash_fail("making: half a pack");
	if (make(path) != LW_OK &&
	    count(path, "SELECT count(*) FROM rigs") == 0)
		crash_fail("making: it cannot be gone on with");
}

static char *
load(const char *path)
{
	FILE *file = fopen(path, "rb");
	char *text = calloc(1, 1 << 20);

	if (file == NULL || text == NULL ||
	    fread(text, 1, (1 << 20) - 1, file) == 0)
		crash_give_up(path);
	fclose(file);
	return text;
}

/* What a book is brought up to. */
enum { NEWEST = 5 };

/* A book of version 1, and what stands in it. */
static int64_t
make_old(const char *path)
{
	char *sql = load(TESTS_DIR "/books/v1.sql"), *why = NULL;
	sqlite3 *db = NULL;

	clear(path);
	if (sqlite3_open_v2(path, &db,
		SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE,
		"unix") != SQLITE_OK ||
	    sqlite3_exec(db, sql, NULL, NULL, &why) != SQLITE_OK)
		crash_give_up(why);
	sqlite3_close(db);
	free(sql);
	return count(path, "SELECT count(*) FROM findings");
}

static void
try_upgrading(const char *path, const struct disk_plan *plan)
{
	struct lw_err err = {0};
	struct lw_book *book = NULL;
	int64_t findings = make_old(path), version;
	enum lw_status status;

	disk_begin(plan);
	status = lw_book_open(&book, NULL, path, &err);
	lw_book_close(book);
	if (!disk_restart())
		crash_give_up(path);
	/* Read by SQLite alone: one version or another, and all of it. */
	version = count(path, "PRAGMA user_version");
	if (version < 1 || version > NEWEST)
		crash_fail(
		    "upgrading: a book of version %lld", (long long)version);
	if (!mirror_is_sound(path, "upgrading"))
		return;
	version = count(path, "PRAGMA user_version");
	if (version != NEWEST ||
	    count(path, "SELECT count(*) FROM findings") != findings)
		crash_fail("upgrading (%s): version %lld with %lld findings",
		    lw_status_name(status), (long long)version,
		    (long long)count(path, "SELECT count(*) FROM findings"));
}

void
making_try(const char *folder)
{
	struct disk_plan plan = {.times = 1, .ops = DISK_CHANGES};
	unsigned i, moments = crash_rounds(MOMENTS), blows = 0;
	char path[240];
	uint64_t dice = 3;

	snprintf(path, sizeof path, "%s/made.db", folder);
	for (i = 0; i < moments && crash_failures() < 20; i++) {
		plan.fault = i % 3 == 0	  ? DISK_IO_ERROR
			     : i % 3 == 1 ? DISK_POWER_LOSS
					  : DISK_NO_SPACE;
		plan.ops =
		    plan.fault == DISK_NO_SPACE ? DISK_WRITE : DISK_CHANGES;
		plan.seed = crash_dice(&dice, 1u << 30);
		plan.at = 1 + crash_dice(&dice, 300);
		try_making(path, &plan);
		blows += disk_struck();
		plan.at = 1 + crash_dice(&dice, 120);
		try_upgrading(path, &plan);
		blows += disk_struck();
	}
	clear(path);
	printf("making and upgrading: %u times, %u blows\n", 2 * i, blows);
	if (blows < i)
		crash_fail("making: the blows are badly chosen");
}
