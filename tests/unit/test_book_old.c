/* book: every kept old file opens, upgraded, with all that was in it.
 * tests/books/vN.sql are those files, as text; tests/books/dump.sh made them.
 */
#include "unit/suites.h"

#include "book/jobs.h"
#include "book/store.h"
#include "unit/book.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
}

static void
teardown(void)
{
	scratch_remove(&scratch);
}

/* Make the book of that version from its text, and open it. */
static void
open_version(int version)
{
	unsigned char *sql;
	char path[1024];
	char *why = NULL;
	sqlite3 *db;
	size_t size;

	snprintf(path, sizeof path, "%s/books/v%d.sql", TESTS_DIR, version);
	sql = scratch_read(path, &size);
	sql[size] = '\0';
	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	ck_assert_msg(
	    sqlite3_exec(db, (const char *)sql, NULL, NULL, &why) == SQLITE_OK,
	    "%s: %s", path, why);
	sqlite3_close(db);
	free(sql);
	scratch_open(&scratch);
}

static void
check_own(void)
{
	const struct lw_device *device;
	struct lw_pack_state state;
	struct lw_entries notes;

	ck_assert_int_eq(lw_book_device(scratch.book, scratch.arena, "my-drive",
			     &device, NULL),
	    LW_OK);
	ck_assert(device->own);
	ck_assert_int_eq(device->lamps[0].coding, LW_CODING_DIGITS);
	ck_assert_uint_eq(device->code_count, 2);
	ck_assert_str_eq(device->codes[0].pattern, "3-2");
	ck_assert_str_eq(device->codes[0].meaning, "throttle at the stop");
	ck_assert_str_eq(device->codes[1].fault, "supply-low");
	lw_book_device(
	    scratch.book, scratch.arena, "zeta-drive", &device, NULL);
	ck_assert_str_eq(device->codes[0].meaning, "only when wet");
	ck_assert(device->codes[0].own);
	lw_book_notes(scratch.book, scratch.arena, NULL, NULL, &notes, NULL);
	ck_assert_uint_eq(notes.count, 2);
	ck_assert_str_eq(notes.items[1].subject, "zeta-drive 5");
	ck_assert_str_eq(notes.items[1].detail,
	    "Dry the connector first; caf\xC3\xA9 side.\nIt's the 'grey' "
	    "one.");
	ck_assert_int_eq(lw_book_pack_state(
			     scratch.book, scratch.arena, "gone", &state, NULL),
	    LW_OK);
	ck_assert(state.shipped && state.removed);
}

static void
check_job(void)
{
	const struct book_job *job;

	ck_assert_int_eq(
	    book_job_load(scratch.book, scratch.arena, 1, &job, NULL), LW_OK);
	ck_assert_str_eq(job->title, "zeta-drive: 5");
	ck_assert_str_eq(job->lamp, "status");
	ck_assert_uint_eq(job->finding_count, 3);
	ck_assert_int_eq(job->findings[0].kind, LW_FINDING_PATTERN);
	ck_assert(job->findings[1].value == 12.4);
	ck_assert_str_eq(job->findings[1].words, "flickered");
	ck_assert(isinf(job->findings[2].value));
}

START_TEST(an_old_book_opens_whole)
{
	const struct lw_pack *pack;
	struct lw_entries hits;

	open_version(_i);
	ck_assert_msg(lw_book_check(scratch.book, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	ck_assert_int_eq(
	    lw_book_get_pack(scratch.book, scratch.arena, "cart", &pack, NULL),
	    LW_OK);
	sample_compare(&sample_cart, pack);
	check_own();
	check_job();
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "cafe connector", 5, &hits, NULL),
	    LW_OK);
	ck_assert_str_eq(hits.items[0].kind, "note");
	/* And it can be worked with. */
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 1, NULL), LW_OK);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
}
END_TEST

/* A new book and an upgraded one have the same tables. */
START_TEST(an_old_book_ends_with_the_new_schema)
{
	char sql[700];
	sqlite3_stmt *statement;
	struct scratch fresh;

	open_version(_i);
	scratch_make(&fresh);
	scratch_open(&fresh);
	snprintf(sql, sizeof sql, "ATTACH '%s' AS fresh", fresh.path);
	ck_assert_int_eq(
	    sqlite3_exec(scratch.book->db, sql, NULL, NULL, NULL), SQLITE_OK);
	ck_assert_int_eq(
	    sqlite3_prepare_v2(scratch.book->db,
		"SELECT m.name, t.name FROM fresh.sqlite_schema AS m"
		" JOIN pragma_table_info(m.name, 'fresh') AS t"
		" EXCEPT SELECT m.name, t.name FROM main.sqlite_schema AS m"
		" JOIN pragma_table_info(m.name, 'main') AS t",
		-1, &statement, NULL),
	    SQLITE_OK);
	while (sqlite3_step(statement) == SQLITE_ROW)
		ck_abort_msg("lacks %s.%s",
		    (const char *)sqlite3_column_text(statement, 0),
		    (const char *)sqlite3_column_text(statement, 1));
	sqlite3_finalize(statement);
	scratch_remove(&fresh);
}
END_TEST

Suite *
suite_book_old(void)
{
	Suite *suite = suite_create("book_old");
	TCase *tests = tcase_create("old");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_add_loop_test(
	    tests, an_old_book_opens_whole, 1, STORE_VERSION + 1);
	tcase_add_loop_test(
	    tests, an_old_book_ends_with_the_new_schema, 1, STORE_VERSION + 1);
	suite_add_tcase(suite, tests);
	return suite;
}
