/* book: tables, statements and settings of a book, and how upgrades run. */
#include "unit/suites.h"

#include "base/asset.h"
#include "book/store.h"
#include "unit/book.h"

#include <ctype.h>
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

START_TEST(settings_hold)
{
	static const struct {
		const char *pragma;
		int value;
	} cases[] = {
	    {"PRAGMA foreign_keys", 1},
	    {"PRAGMA synchronous", 3},
	    {"PRAGMA trusted_schema", 0},
	    {"PRAGMA busy_timeout", 5000},
	    {"PRAGMA user_version", 5},
	    {"PRAGMA application_id", 0x4C414D50},
	};
	sqlite3_stmt *statement;
	size_t i;
	int on = -1;

	scratch_open(&scratch);
	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		sqlite3_prepare_v2(
		    scratch.book->db, cases[i].pragma, -1, &statement, NULL);
		ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
		ck_assert_msg(
		    sqlite3_column_int(statement, 0) == cases[i].value, "%s",
		    cases[i].pragma);
		sqlite3_finalize(statement);
	}
	sqlite3_prepare_v2(
	    scratch.book->db, "PRAGMA journal_mode", -1, &statement, NULL);
	ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
	ck_assert_str_eq(
	    (const char *)sqlite3_column_text(statement, 0), "delete");
	sqlite3_finalize(statement);
	sqlite3_db_config(scratch.book->db, SQLITE_DBCONFIG_DEFENSIVE, -1, &on);
	ck_assert_int_eq(on, 1);
	ck_assert_int_ne(sqlite3_exec(scratch.book->db,
			     "SELECT \"no such column\"", NULL, NULL, NULL),
	    SQLITE_OK);
}
END_TEST

START_TEST(every_statement_prepares)
{
	sqlite3_stmt *statement;
	const char *rest;
	int i, parameters, used;
	char mark[16];

	scratch_open(&scratch);
	for (i = 0; i < STATEMENT_COUNT; i++) {
		const char *text = statement_text((enum statement)i);

		ck_assert_msg(text != NULL, "statement %d has no text", i);
		ck_assert_msg(sqlite3_prepare_v2(scratch.book->db, text, -1,
				  &statement, &rest) == SQLITE_OK,
		    "%s: %s", text, sqlite3_errmsg(scratch.book->db));
		ck_assert_msg(*rest == '\0', "%s: more than one", text);
		/* Parameters are numbered, and none is left out. */
		parameters = sqlite3_bind_parameter_count(statement);
		for (used = 1; used <= parameters; used++) {
			snprintf(mark, sizeof mark, "?%d", used);
			ck_assert_msg(strstr(text, mark) != NULL, "%s: no %s",
			    text, mark);
		}
		sqlite3_finalize(statement);
	}
}
END_TEST

/* Whether `name` begins a line of the table's part of the schema that also
 * has a comment with a word in it. */
static bool
has_comment(const char *part, const char *end, const char *name)
{
	size_t length = strlen(name);
	const char *line = part, *next, *comment;

	while (line < end) {
		next = strchr(line, '\n');
		if (next == NULL)
			return false;
		if (line[0] == '\t' && strncmp(line + 1, name, length) == 0 &&
		    (line[length + 1] == ' ' || line[length + 1] == ',')) {
			comment = strstr(line, "-- ");
			return comment != NULL && comment + 4 < next &&
			       isalnum((unsigned char)comment[3]);
		}
		line = next + 1;
	}
	return false;
}

/* A file of src/book; the caller frees it. */
static char *
read_sql(const char *name)
{
	char path[600];
	unsigned char *data;
	size_t size;

	snprintf(path, sizeof path, "%s/../src/book/%s", TESTS_DIR, name);
	data = scratch_read(path, &size);
	data[size] = '\0';
	return (char *)data;
}

/* Whether the part of a script that makes the table has the column with a
 * comment. */
static bool
made_with_comment(const char *sql, const char *table, const char *column)
{
	char start[80];
	const char *part, *end;

	snprintf(start, sizeof start, "CREATE TABLE %s ", table);
	part = strstr(sql, start);
	if (part == NULL) {
		snprintf(start, sizeof start, "VIRTUAL TABLE %s ", table);
		part = strstr(sql, start);
	}
	if (part == NULL)
		return false;
	end = strstr(part, "\n)");
	ck_assert_ptr_nonnull(end);
	return has_comment(part, end, column);
}

/* Whether the script adds the column, with a comment on the line. */
static bool
added_with_comment(const char *sql, const char *table, const char *column)
{
	char start[160];
	const char *line, *comment, *end;

	snprintf(start, sizeof start, "\nALTER TABLE %s ADD COLUMN %s ", table,
	    column);
	line = strstr(sql, start);
	if (line == NULL)
		return false;
	end = strchr(line + 1, '\n');
	comment = strstr(line, "; -- ");
	return comment != NULL && comment < end &&
	       isalnum((unsigned char)comment[5]);
}

/* The same after a further script, which makes the table, makes it again under
 * another name, adds the column, or leaves it as it was. */
static bool
comes_with_comment(
    const char *sql, const char *table, const char *column, bool before)
{
	char wider[80], start[100];

	snprintf(wider, sizeof wider, "wider_%s", table);
	snprintf(start, sizeof start, "CREATE TABLE %s ", wider);
	if (strstr(sql, start) != NULL)
		return made_with_comment(sql, wider, column);
	return before || made_with_comment(sql, table, column) ||
	       added_with_comment(sql, table, column);
}

START_TEST(every_column_has_a_comment)
{
	static const char tables[] =
	    "SELECT m.name, t.name FROM sqlite_schema AS m"
	    " JOIN pragma_table_info(m.name) AS t"
	    " WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite_%'"
	    " AND m.name NOT GLOB '*_text_*'";
	sqlite3_stmt *statement;
	char *scripts[STORE_VERSION];
	size_t columns = 0, added = 0, i;
	char name[40];

	scripts[0] = read_sql("schema.sql");
	for (i = 1; i < STORE_VERSION; i++) {
		snprintf(name, sizeof name, "upgrade-%zu.sql", i + 1);
		scripts[i] = read_sql(name);
	}
	scratch_open(&scratch);
	ck_assert_int_eq(
	    sqlite3_prepare_v2(scratch.book->db, tables, -1, &statement, NULL),
	    SQLITE_OK);
	while (sqlite3_step(statement) == SQLITE_ROW) {
		const char *table =
		    (const char *)sqlite3_column_text(statement, 0);
		const char *column =
		    (const char *)sqlite3_column_text(statement, 1);
		bool there = made_with_comment(scripts[0], table, column);

		if (!there)
			added++;
		for (i = 1; i < STORE_VERSION; i++)
			there = comes_with_comment(
			    scripts[i], table, column, there);
		ck_assert_msg(there, "%s.%s has no comment", table, column);
		columns++;
	}
	sqlite3_finalize(statement);
	for (i = 0; i < STORE_VERSION; i++)
		free(scripts[i]);
	ck_assert_uint_gt(columns, 150);
	ck_assert_uint_gt(added, 50);
}
END_TEST

/* The test above can fail. */
START_TEST(a_missing_comment_is_noticed)
{
	static const char sql[] = "\nCREATE TABLE t (\n"
				  "\tone TEXT, -- said\n"
				  "\ttwo TEXT,\n"
				  "\tthree TEXT --\n"
				  ") STRICT;\n"
				  "ALTER TABLE t ADD COLUMN four TEXT;\n"
				  "ALTER TABLE t ADD COLUMN five TEXT; -- x\n"
				  "ALTER TABLE t ADD COLUMN six TEXT; --\n";

	ck_assert(made_with_comment(sql, "t", "one"));
	ck_assert(!made_with_comment(sql, "t", "two"));
	ck_assert(!made_with_comment(sql, "t", "three"));
	ck_assert(!made_with_comment(sql, "t", "four"));
	ck_assert(!made_with_comment(sql, "u", "one"));
	ck_assert(!added_with_comment(sql, "t", "one"));
	ck_assert(!added_with_comment(sql, "t", "four"));
	ck_assert(added_with_comment(sql, "t", "five"));
	ck_assert(!added_with_comment(sql, "t", "six"));
}
END_TEST

START_TEST(tables_are_strict)
{
	sqlite3_stmt *statement;
	int count = 0;

	scratch_open(&scratch);
	sqlite3_prepare_v2(scratch.book->db,
	    "SELECT name, strict FROM pragma_table_list"
	    " WHERE schema = 'main' AND type = 'table'"
	    " AND name NOT LIKE 'sqlite_%'",
	    -1, &statement, NULL);
	while (sqlite3_step(statement) == SQLITE_ROW) {
		ck_assert_msg(sqlite3_column_int(statement, 1) == 1, "%s",
		    (const char *)sqlite3_column_text(statement, 0));
		count++;
	}
	sqlite3_finalize(statement);
	ck_assert_int_gt(count, 25);
}
END_TEST

#define SCRIPT(name, text)                                            \
	{                                                             \
		name, (const unsigned char *)(text), sizeof(text) - 1 \
	}

/* Upgrades that are invented for this test, from version 5 to 7. */
START_TEST(upgrades_run_one_by_one)
{
	const struct asset good[] = {
	    SCRIPT("book/upgrade-6.sql",
		"ALTER TABLE book ADD COLUMN extra TEXT; -- new\n"
		"PRAGMA user_version = 6;"),
	    SCRIPT("book/upgrade-7.sql", "UPDATE book SET extra = 'seven';"
					 "PRAGMA user_version = 7;"),
	    {NULL, NULL, 0}};
	const struct asset bad[] = {good[0],
	    SCRIPT("book/upgrade-7.sql",
		"UPDATE book SET extra = 'broken';"
		"UPDATE nothing SET extra = 1; PRAGMA user_version = 7;"),
	    {NULL, NULL, 0}};
	const struct lw_pack *pack;
	bool created = true;

	scratch_open(&scratch);
	lw_book_put_pack(scratch.book, &sample_cart, 1, NULL);
	lw_book_close(scratch.book);
	/* The step that fails is taken back, the one before it stays. */
	ck_assert_int_eq(
	    store_open(&scratch.book, NULL, scratch.path, bad, 7, &scratch.err),
	    LW_CORRUPT);
	ck_assert_int_eq(
	    lw_book_open(&scratch.book, NULL, scratch.path, &scratch.err),
	    LW_NEWER);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "book version 6"));
	ck_assert_int_eq(store_open(&scratch.book, &created, scratch.path, good,
			     7, &scratch.err),
	    LW_OK);
	ck_assert(!created);
	ck_assert_int_eq(
	    lw_book_get_pack(scratch.book, scratch.arena, "cart", &pack, NULL),
	    LW_OK);
	sample_compare(&sample_cart, pack);
	lw_book_close(scratch.book);
	/* A script that is not there, and one that does not do its work. */
	ck_assert_int_eq(store_open(&scratch.book, NULL, scratch.path, good, 8,
			     &scratch.err),
	    LW_FAILED);
	ck_assert_int_eq(
	    store_open(&scratch.book, NULL, scratch.path,
		(const struct asset[]){
		    SCRIPT("book/upgrade-8.sql", "SELECT 1"), {NULL, NULL, 0}},
		8, &scratch.err),
	    LW_FAILED);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "should lead to 8"));
}
END_TEST

Suite *
suite_book_schema(void)
{
	Suite *suite = suite_create("book_schema");
	TCase *tests = tcase_create("schema");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_test(tests, settings_hold);
	tcase_add_test(tests, every_statement_prepares);
	tcase_add_test(tests, every_column_has_a_comment);
	tcase_add_test(tests, a_missing_comment_is_noticed);
	tcase_add_test(tests, tables_are_strict);
	tcase_add_test(tests, upgrades_run_one_by_one);
	suite_add_tcase(suite, tests);
	return suite;
}
