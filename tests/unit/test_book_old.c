/* book: every kept old file opens, upgraded, with all that was in it.
 * tests/books/vN.sql are those files, as text; tests/books/dump.sh made them.
 */
#include "unit/suites.h"

#include "book/jobs.h"
#include "book/store.h"
#include "job/findings.h"
#include "job/repair.h"
#include "unit/book.h"

#include <lampwright/rig.h>
#include <lampwright/screen.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

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

/* Make the book of that version from its text. */
static void
make_version(int version)
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
	sqlite3_exec(db, "PRAGMA synchronous = OFF", NULL, NULL, NULL);
	ck_assert_msg(
	    sqlite3_exec(db, (const char *)sql, NULL, NULL, &why) == SQLITE_OK,
	    "%s: %s", path, why);
	sqlite3_close(db);
	free(sql);
}

/* Run SQL on it before the library has seen it. */
static void
meddle(const char *sql)
{
	char *why = NULL;
	sqlite3 *db;

	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	ck_assert_msg(
	    sqlite3_exec(db, sql, NULL, NULL, &why) == SQLITE_OK, "%s", why);
	sqlite3_close(db);
}

static void
open_version(int version)
{
	make_version(version);
	scratch_open(&scratch);
}

/* All that a query gives, as one text; the caller frees it. */
static char *
all_rows(sqlite3 *db, const char *sql)
{
	sqlite3_str *text = sqlite3_str_new(db);
	sqlite3_stmt *statement;
	int i;

	ck_assert_int_eq(
	    sqlite3_prepare_v2(db, sql, -1, &statement, NULL), SQLITE_OK);
	while (sqlite3_step(statement) == SQLITE_ROW) {
		for (i = 0; i < sqlite3_column_count(statement); i++)
			sqlite3_str_appendf(
			    text, "%Q,", sqlite3_column_text(statement, i));
		sqlite3_str_appendall(text, "\n");
	}
	sqlite3_finalize(statement);
	return sqlite3_str_finish(text);
}

/* Fail with the first line in which two texts differ: they may be long. */
static void
same_rows(const char *one, const char *other)
{
	size_t at = 0, line = 0;

	for (; one[at] == other[at] && one[at] != '\0'; at++)
		if (one[at] == '\n')
			line = at + 1;
	ck_assert_msg(one[at] == other[at], "%.300s\nis not\n%.300s",
	    one + line, other + line);
}

/* The sample pack as an old version could keep it. */
static const struct lw_pack *
cart_of_version(int version)
{
	static const struct lw_instruction steps[] = {
	    {.text = "Set the meter to volts dc."},
	    {.text = "Touch both studs."}};
	static struct lw_fault faults[2];
	static struct lw_symptom symptoms[2];
	static struct lw_cause causes[3];
	static struct lw_check checks[2];
	static struct lw_outcome outcomes[2][3];
	static struct lw_caution cautions[2];
	static struct lw_pack cart;
	size_t i, k;

	cart = sample_cart;
	if (version >= 5)
		return &cart;
	cart.tree_count--; /* the last is a walk-through */
	if (version == 4)
		return &cart;
	memcpy(causes, cart.causes, sizeof causes);
	causes[0].minutes = 0;
	cart.causes = causes;
	if (version > 1)
		return &cart;
	memcpy(faults, cart.faults, sizeof faults);
	memcpy(symptoms, cart.symptoms, sizeof symptoms);
	memcpy(checks, cart.checks, sizeof checks);
	memcpy(cautions, cart.cautions, sizeof cautions);
	faults[0].again = symptoms[0].again = LW_POWER_UNKNOWN;
	causes[0].tools = causes[0].damages = NULL;
	checks[0].steps.items = steps;
	checks[0].steps.count = 2;
	checks[0].after.count = 0;
	checks[1].only.count = 0;
	for (i = 0; i < 2; i++) {
		ck_assert_uint_le(checks[i].outcome_count, 3);
		for (k = 0; k < checks[i].outcome_count; k++) {
			outcomes[i][k] = checks[i].outcomes[k];
			outcomes[i][k].unproves = outcomes[i][k].stops = false;
		}
		checks[i].outcomes = outcomes[i];
	}
	cautions[0].only.count = 0;
	cautions[0].from_volts = cautions[0].from_joules = 0;
	cart.faults = faults;
	cart.symptoms = symptoms;
	cart.checks = checks;
	cart.cautions = cautions;
	return &cart;
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
	lw_book_notes(scratch.book, scratch.arena, "cause", NULL, &notes, NULL);
	ck_assert_uint_eq(notes.count, 1);
	ck_assert_str_eq(notes.items[0].id, "2");
	lw_book_notes(
	    scratch.book, scratch.arena, "pattern", NULL, &notes, NULL);
	ck_assert_uint_eq(notes.count, 1);
	ck_assert_str_eq(notes.items[0].id, "1");
	ck_assert_str_eq(notes.items[0].subject, "zeta-drive 5");
	ck_assert_str_eq(notes.items[0].detail,
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

/* From version 2 on. */
static void
check_screens(void)
{
	struct lw_screens screens;
	int64_t number = 0;

	ck_assert_int_eq(lw_screen_list(&screens, scratch.book, scratch.arena,
			     1700001000, NULL),
	    LW_OK);
	ck_assert_uint_eq(screens.count, 1);
	ck_assert_int_eq(screens.items[0].number, 4);
	ck_assert_str_eq(screens.items[0].key,
	    "5e1f0c77a0d94b3286cc1d2e90ab47f35e1f0c77a0d94b3286cc1d2e90ab47f3");
	ck_assert_str_eq(screens.items[0].name, "phone 3f");
	ck_assert_str_eq(
	    screens.items[0].agent, "Invented browser 1.0 (Mobile)");
	ck_assert_int_eq(screens.items[0].until_s, 1707777000);
	ck_assert_int_eq(lw_screen_pair(&number, scratch.book,
			     "00000000000000000000000000000000"
			     "00000000000000000000000000000000",
			     "computer 04", "", 1700001000, NULL),
	    LW_OK);
	ck_assert_int_eq(number, 5);
}

static void
check_rig(void)
{
	const struct lw_setting_change *changes;
	const struct book_job *job;
	const struct lw_rig *rig;
	struct lw_settings settings;
	struct lw_records records;
	struct book_hold hold;
	struct lw_entries notes;
	size_t count;

	ck_assert_int_eq(
	    lw_rig_get(scratch.book, scratch.arena, "cart48", &rig, NULL),
	    LW_OK);
	ck_assert(rig->in_hand && !rig->removed);
	ck_assert_str_eq(rig->title, "Market garden cart");
	ck_assert_str_eq(lw_rig_fact(rig, "pack.full"), "58.8 V");
	ck_assert_str_eq(lw_rig_fact(rig, "device.drive"), "zeta-drive");
	ck_assert_uint_eq(rig->tool_count, 2);
	ck_assert_str_eq(rig->points[0].words, "grey 8-way plug, pin 3, red");
	lw_rig_get(scratch.book, scratch.arena, "trike36", &rig, NULL);
	ck_assert(rig->removed);
	ck_assert_int_eq(lw_setting_history(scratch.book, scratch.arena,
			     "cart48", NULL, &settings, NULL),
	    LW_OK);
	ck_assert_uint_eq(settings.count, 3);
	ck_assert(settings.items[2].unexplained);
	ck_assert_int_eq(settings.items[1].job, 2);
	lw_setting_difference(scratch.book, scratch.arena, "cart48", 1700001000,
	    1800000000, &changes, &count, NULL);
	ck_assert_uint_eq(count, 2);
	ck_assert_str_eq(changes[0].before, "0.9 s");
	ck_assert_str_eq(changes[0].after, "2 s");
	ck_assert_int_eq(lw_record_list(scratch.book, scratch.arena, NULL, 2,
			     &records, NULL),
	    LW_OK);
	ck_assert_uint_eq(records.count, 1);
	ck_assert_int_eq(records.items[0].count, 3);
	ck_assert_int_eq(
	    book_job_load(scratch.book, scratch.arena, 2, &job, NULL), LW_OK);
	ck_assert_str_eq(job->rig, "cart48");
	ck_assert_str_eq(job->findings[1].ask, "What does the meter read?");
	ck_assert_str_eq(job->findings[2].about, "fuse-open");
	ck_assert_int_eq(job->findings[1].power, LW_POWER_UNKNOWN);
	ck_assert_int_eq(job->findings[1].leads, LW_POWER_ISOLATED);
	ck_assert(!job->findings[1].passed);
	ck_assert_str_eq(job->findings[1].stop, "You answered low: stop here.");
	ck_assert_str_eq(job->findings[1].say, "Leave it off.");
	ck_assert_ptr_null(job->findings[2].stop);
	book_hold_get(scratch.book, scratch.arena, "rig cart48", &hold, NULL);
	ck_assert(hold.held);
	ck_assert_str_eq(hold.asker_name, "computer a1");
	lw_book_notes(
	    scratch.book, scratch.arena, "rig", "cart48", &notes, NULL);
	ck_assert_uint_eq(notes.count, 1);
	ck_assert_str_eq(notes.items[0].title, "Market garden cart");
}

/* From version 3 on. */
static void
check_values(void)
{
	const struct lw_pack *pack;
	const struct book_job *job;

	ck_assert_int_eq(lw_book_get_pack(scratch.book, scratch.arena, "gauges",
			     &pack, NULL),
	    LW_OK);
	sample_compare(&sample_gauges, pack);
	ck_assert_int_eq(
	    book_job_load(scratch.book, scratch.arena, 3, &job, NULL), LW_OK);
	ck_assert_uint_eq(job->finding_count, 3);
	ck_assert_int_eq(job->findings[1].kind, LW_FINDING_VALUE);
	ck_assert_str_eq(job->findings[1].subject, "cells");
	ck_assert(job->findings[2].step == 0.01);
	ck_assert(job->findings[2].spread == 0.5);
	ck_assert_str_eq(job->findings[2].also, "band");
}

/* From version 4 on. */
static void
check_learnt(void)
{
	struct lw_setting_wishes wishes;
	const struct book_cure *cures;
	const struct book_job *job;
	const struct lw_tree *tree;
	struct lw_learnts learnt;
	const char *pack;
	size_t count;

	ck_assert_int_eq(lw_book_learnt(scratch.book, scratch.arena, NULL,
			     &learnt, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(learnt.count, 1);
	ck_assert_str_eq(learnt.items[0].began, "supply-low");
	ck_assert_str_eq(learnt.items[0].title, "Main fuse open");
	ck_assert_int_eq(learnt.items[0].last_s, 1700003000);
	book_cures(&cures, &count, scratch.book, scratch.arena, "zeta-drive",
	    "supply-low", NULL, 0, NULL);
	ck_assert_uint_eq(count, 1);
	ck_assert_uint_eq(cures[0].here, 1);
	book_job_load(scratch.book, scratch.arena, 4, &job, NULL);
	ck_assert_int_eq(job->findings[2].kind, LW_FINDING_LEAVE);
	ck_assert_int_eq(lw_setting_wishes(scratch.book, scratch.arena,
			     "cart48", &wishes, &scratch.err),
	    LW_OK);
	ck_assert_uint_eq(wishes.count, 1);
	ck_assert_int_eq(wishes.items[0].wish, 1);
	ck_assert_str_eq(wishes.items[0].value, "60 %");
	ck_assert_str_eq(wishes.items[0].last, "80 %");
	lw_book_pack_of(
	    scratch.book, scratch.arena, "tree", "own-way", &pack, NULL);
	ck_assert_str_eq(pack, "own");
	ck_assert_int_eq(
	    lw_book_tree(scratch.book, scratch.arena, "own-way", &tree, NULL),
	    LW_OK);
	ck_assert_uint_eq(tree->steps[0].branch_count, 2);
	ck_assert_int_eq(
	    lw_book_keep_tree(scratch.book, tree, 1, &scratch.err), LW_OK);
}

/* From version 5 on. */
static void
check_known(void)
{
	const struct lw_pack *pack;
	struct lw_entries walks;

	ck_assert_int_eq(
	    lw_book_get_pack(scratch.book, scratch.arena, "known", &pack, NULL),
	    LW_OK);
	sample_compare(&sample_known, pack);
	ck_assert_int_eq(
	    lw_book_walks(scratch.book, scratch.arena, &walks, NULL), LW_OK);
	ck_assert_uint_eq(walks.count, 1);
	ck_assert_str_eq(walks.items[0].id, "round");
	ck_assert_str_eq(walks.items[0].detail, "Before it is switched on.");
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
	sample_compare(cart_of_version(_i), pack);
	check_own();
	check_job();
	if (_i >= 2) {
		check_rig();
		check_screens();
	}
	if (_i >= 3)
		check_values();
	if (_i >= 4)
		check_learnt();
	if (_i >= 5)
		check_known();
	ck_assert_int_eq(lw_book_find(scratch.book, scratch.arena,
			     "cafe connector", 5, &hits, NULL),
	    LW_OK);
	ck_assert_str_eq(hits.items[0].kind, "note");
	/* And it can be worked with. */
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 1, NULL), LW_OK);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_gauges, 1, NULL), LW_OK);
	ck_assert_int_eq(lw_book_get_pack(scratch.book, scratch.arena, "gauges",
			     &pack, NULL),
	    LW_OK);
	sample_compare(&sample_gauges, pack);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
}
END_TEST

/* A new book and an upgraded one have the same tables, indexes and
 * triggers. */
START_TEST(an_old_book_ends_with_the_new_schema)
{
	static const char schema[] =
	    "SELECT type, name, tbl_name, sql FROM sqlite_schema"
	    " ORDER BY type, name";
	struct scratch fresh;
	char *old, *new;

	open_version(_i);
	scratch_make(&fresh);
	scratch_open(&fresh);
	old = all_rows(scratch.book->db, schema);
	new = all_rows(fresh.book->db, schema);
	same_rows(old, new);
	sqlite3_free(old);
	sqlite3_free(new);
	scratch_remove(&fresh);
}
END_TEST

/* Notes are made again in a wider table: they keep their numbers, and a
 * number that was given once is not given again. */
START_TEST(notes_keep_their_numbers)
{
	struct lw_entries notes;
	int64_t note = 0;

	make_version(1);
	meddle("INSERT INTO notes (note, subject_kind, subject, words, made_s)"
	       " VALUES (40, 'cause', 'fuse-open', 'gone', 1);"
	       "DELETE FROM notes WHERE note = 40");
	scratch_open(&scratch);
	ck_assert_int_eq(lw_book_add_note(scratch.book, "cause", "fuse-open",
			     "new", 2, &note, NULL),
	    LW_OK);
	ck_assert_int_eq(note, 41);
	lw_book_notes(scratch.book, scratch.arena, NULL, NULL, &notes, NULL);
	ck_assert_uint_eq(notes.count, 3);
	ck_assert_str_eq(notes.items[0].id, "2");
	ck_assert_str_eq(notes.items[1].id, "1");
	ck_assert_str_eq(notes.items[2].id, "41");
	ck_assert_int_eq(lw_book_remove_note(scratch.book, 41, NULL), LW_OK);
	scratch_reopen(&scratch);
	lw_book_add_note(
	    scratch.book, "cause", "fuse-open", "newer", 3, &note, NULL);
	ck_assert_int_eq(note, 42);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
}
END_TEST

/* Items are made again in a wider table: they keep their numbers, and what
 * hangs on them still goes with them. */
START_TEST(items_keep_their_numbers)
{
	static const char items[] =
	    "SELECT number, kind, id, pack, seq, title, source, made_s"
	    " FROM items ORDER BY number";
	static const char hanging[] =
	    "SELECT count(*) FROM outcome_speaks"
	    " UNION ALL SELECT count(*) FROM tree_branches WHERE item NOT IN"
	    " (SELECT number FROM items WHERE pack = 'own')"
	    " UNION ALL SELECT count(*) FROM codes";
	char *before, *now;
	sqlite3 *db;

	make_version(_i);
	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	before = all_rows(db, items);
	ck_assert_ptr_nonnull(strstr(before, "'supply-volts'"));
	sqlite3_close(db);
	scratch_open(&scratch);
	now = all_rows(scratch.book->db, items);
	same_rows(now, before);
	sqlite3_free(now);
	sqlite3_free(before);
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "cart", NULL), LW_OK);
	lw_book_remove_device(scratch.book, "my-drive", NULL);
	now = all_rows(scratch.book->db, hanging);
	ck_assert_str_eq(now, "'0',\n'0',\n'0',\n");
	sqlite3_free(now);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
}
END_TEST

/* A book that never had a note, and one that had and has none. */
START_TEST(notes_of_books_without_any)
{
	int64_t note = 0;

	make_version(1);
	meddle("DELETE FROM notes; DELETE FROM note_text;"
	       "DELETE FROM sqlite_sequence WHERE name = 'notes'");
	scratch_open(&scratch);
	lw_book_add_note(
	    scratch.book, "cause", "fuse-open", "one", 3, &note, NULL);
	ck_assert_int_eq(note, 1);
	lw_book_close(scratch.book);
	scratch.book = NULL;
	unlink(scratch.path);
	make_version(1);
	meddle("DELETE FROM notes; DELETE FROM note_text");
	scratch_open(&scratch);
	lw_book_add_note(
	    scratch.book, "cause", "fuse-open", "three", 3, &note, NULL);
	ck_assert_int_eq(note, 3);
}
END_TEST

/* Nothing of jobs and findings changes, and their numbers go on. */
START_TEST(jobs_survive_unchanged)
{
	static const char jobs[] =
	    "SELECT job, created_s, device, lamp, title FROM jobs ORDER BY job";
	static const char findings[] =
	    "SELECT job, serial, time_s, kind, subject, title, outcome,"
	    " outcome_title, value, unit, expected, words FROM findings"
	    " ORDER BY job, serial";
	char *job_rows, *finding_rows, *now;
	sqlite3 *db;
	const struct book_job *job;
	int64_t number = 0;

	make_version(1);
	meddle("INSERT INTO jobs (job, created_s, title) VALUES (30, 5, 'x');"
	       "DELETE FROM jobs WHERE job = 30;"
	       "INSERT INTO jobs (job, created_s, title) VALUES (20, 5, 'y')");
	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	job_rows = all_rows(db, jobs);
	finding_rows = all_rows(db, findings);
	sqlite3_close(db);
	ck_assert_ptr_nonnull(strstr(finding_rows, "'flickered'"));
	scratch_open(&scratch);
	now = all_rows(scratch.book->db, jobs);
	same_rows(now, job_rows);
	sqlite3_free(now);
	now = all_rows(scratch.book->db, findings);
	same_rows(now, finding_rows);
	sqlite3_free(now);
	now = all_rows(scratch.book->db,
	    "SELECT 1 FROM jobs, findings WHERE rig IS NOT NULL"
	    " OR ask IS NOT NULL OR about IS NOT NULL");
	ck_assert(now == NULL || now[0] == '\0');
	sqlite3_free(now);
	sqlite3_free(job_rows);
	sqlite3_free(finding_rows);
	ck_assert_int_eq(
	    book_job_load(scratch.book, scratch.arena, 1, &job, NULL), LW_OK);
	ck_assert_ptr_null(job->rig);
	ck_assert_ptr_null(job->findings[1].ask);
	ck_assert_int_eq(book_job_new(scratch.book, NULL, NULL, NULL, "z", NULL,
			     0, 9, &number, NULL),
	    LW_OK);
	ck_assert_int_eq(number, 31);
}
END_TEST

/* What comes in between takes the whole step back. */
START_TEST(an_upgrade_that_fails_leaves_the_old_book)
{
	sqlite3 *db;
	char *rows;

	make_version(1);
	/* The name that the upgrade needs for the wider table. */
	meddle("CREATE TABLE wider_notes (note)");
	ck_assert_int_ne(
	    lw_book_open(&scratch.book, NULL, scratch.path, &scratch.err),
	    LW_OK);
	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	rows = all_rows(db, "PRAGMA user_version");
	ck_assert_str_eq(rows, "'1',\n");
	sqlite3_free(rows);
	rows =
	    all_rows(db, "SELECT name FROM sqlite_schema WHERE name = 'rigs'");
	ck_assert(rows == NULL || rows[0] == '\0');
	sqlite3_free(rows);
	sqlite3_close(db);
	meddle("DROP TABLE wider_notes");
	scratch_open(&scratch);
	check_own();
}
END_TEST

/* --- what old jobs came to ------------------------------------------------ */

/* Jobs of 40 findings drawn by chance: what was found to be gone, undos,
 * waits, closing and opening again, and others, as books of version 3 have
 * them. */
static void
draw_jobs(int jobs)
{
	static const int kinds[] = {
	    4, 6, 8, 9, 9, 9, 9, 10, 11, 14, 17, 21, 21, 23, 24, 25, 26};
	static const char *const causes[] = {"fuse-open", "pack-empty"};
	sqlite3 *db;
	char *sql;
	unsigned seed = 7;
	int job, serial, kind;

	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	sqlite3_exec(db, "BEGIN", NULL, NULL, NULL);
	for (job = 10; job < 10 + jobs; job++) {
		sql = sqlite3_mprintf("INSERT INTO jobs (job, created_s,"
				      " device, title) VALUES (%d, 1, %Q, 'x')",
		    job, job % 3 == 0 ? NULL : "zeta-drive");
		ck_assert_int_eq(
		    sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
		sqlite3_free(sql);
		for (serial = 1; serial <= 40; serial++) {
			seed = seed * 1664525u + 1013904223u;
			kind = serial == 1   ? 1
			       : serial == 2 ? 2
					     : kinds[(seed >> 16) % 17];
			sql = sqlite3_mprintf(
			    "INSERT INTO findings (job, serial, time_s, kind,"
			    " subject, outcome, about) VALUES"
			    " (%d, %d, %d, %d, 's%d', %Q, %Q)",
			    job, serial, job + serial, kind, job % 5,
			    serial == 1 && job % 2 == 0 ? "supply-low" : NULL,
			    causes[(seed >> 8) % 2]);
			ck_assert_int_eq(
			    sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
			sqlite3_free(sql);
		}
	}
	sqlite3_exec(db, "COMMIT", NULL, NULL, NULL);
	sqlite3_close(db);
}

/* The finding that a job is cured by, as jobs replay their findings. */
static const struct lw_finding *
find_gone(const struct book_job *job, const char **fault, const char **symptom)
{
	const struct lw_finding *gone = NULL;
	struct findings findings;
	struct repair repair;
	size_t i;

	findings_settle(
	    &findings, scratch.arena, job->findings, job->finding_count, NULL);
	repair_find(&repair, scratch.arena, &findings, NULL);
	for (i = 0; i < findings.count; i++) {
		if (findings.items[i].kind == LW_FINDING_REOPEN)
			gone = NULL;
		if (findings.items[i].kind == LW_FINDING_GONE &&
		    !findings.items[i].undone)
			gone = &findings.items[i];
	}
	ck_assert(repair.cured == (gone != NULL));
	findings_began(fault, symptom, &findings);
	return gone;
}

START_TEST(what_old_jobs_came_to)
{
	enum { JOBS = 300 };
	const struct lw_finding *gone;
	const struct book_job *job;
	const char *fault, *symptom;
	char *now, *expected, sql[200];
	int number, cured = 0;

	make_version(3);
	draw_jobs(JOBS);
	scratch_open(&scratch);
	for (number = 10; number < 10 + JOBS; number++) {
		book_job_load(scratch.book, scratch.arena, number, &job, NULL);
		gone = find_gone(job, &fault, &symptom);
		snprintf(sql, sizeof sql,
		    "SELECT cause, device, fault, symptom, time_s FROM cures"
		    " WHERE job = %d",
		    number);
		now = all_rows(scratch.book->db, sql);
		expected = gone == NULL
			       ? NULL
			       : sqlite3_mprintf("%Q,%Q,%Q,%Q,'%lld',\n",
				     gone->about, job->device, fault, symptom,
				     (long long)gone->time_s);
		same_rows(
		    now == NULL ? "" : now, expected == NULL ? "" : expected);
		cured += gone != NULL;
		sqlite3_free(now);
		sqlite3_free(expected);
	}
	/* Both happen often. */
	ck_assert_int_gt(cured, 60);
	ck_assert_int_lt(cured, 240);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
}
END_TEST

Suite *
suite_book_old(void)
{
	Suite *suite = suite_create("book_old");
	TCase *tests = tcase_create("old");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 60);
	tcase_add_loop_test(
	    tests, an_old_book_opens_whole, 1, STORE_VERSION + 1);
	tcase_add_loop_test(
	    tests, an_old_book_ends_with_the_new_schema, 1, STORE_VERSION + 1);
	tcase_add_test(tests, notes_keep_their_numbers);
	tcase_add_loop_test(tests, items_keep_their_numbers, 1, STORE_VERSION);
	tcase_add_test(tests, notes_of_books_without_any);
	tcase_add_test(tests, jobs_survive_unchanged);
	tcase_add_test(tests, an_upgrade_that_fails_leaves_the_old_book);
	tcase_add_test(tests, what_old_jobs_came_to);
	suite_add_tcase(suite, tests);
	return suite;
}
