/* book: the file itself. Made, opened, refused, checked, copied. What is in it
 * is left to test_book_schema.c. */
#include "unit/suites.h"

#include "base/near.h"
#include "book/jobs.h"
#include "book/nearest.h"
#include "book/query.h"
#include "unit/book.h"

#include <fcntl.h>
#include <lampwright/rig.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
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

/* Run SQL behind the library's back. */
static void
meddle(const char *sql)
{
	sqlite3 *db;
	char *why = NULL;

	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	ck_assert_msg(
	    sqlite3_exec(db, sql, NULL, NULL, &why) == SQLITE_OK, "%s", why);
	sqlite3_close(db);
}

static enum lw_status
try_open(void)
{
	enum lw_status status =
	    lw_book_open(&scratch.book, NULL, scratch.path, &scratch.err);

	ck_assert((status == LW_OK) == (scratch.book != NULL));
	return status;
}

START_TEST(a_missing_book_is_made)
{
	struct stat info;
	bool created = false;

	ck_assert_int_eq(
	    lw_book_open(&scratch.book, &created, scratch.path, &scratch.err),
	    LW_OK);
	ck_assert(created);
	ck_assert_int_eq(stat(scratch.path, &info), 0);
	ck_assert_int_eq(info.st_mode & 0777, 0600);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
	lw_book_close(scratch.book);
	ck_assert_int_eq(
	    lw_book_open(&scratch.book, &created, scratch.path, &scratch.err),
	    LW_OK);
	ck_assert(!created);
	lw_book_close(NULL);
}
END_TEST

START_TEST(what_is_no_book_is_left_alone)
{
	static const char text[] = "Dear diary, the cart would not go today.\n";
	static const char header[] = "SQLite format 3";
	unsigned char *data, *after;
	size_t size, after_size, i;
	struct {
		const char *what;
		size_t size;
		int filler;
	} cases[] = {
	    {"one byte", 1, 'x'},
	    {"a short text", sizeof text - 1, 0},
	    {"long zeros", 8192, '\0'},
	    {"long noise", 8192, 0xA5},
	    {"only a header", 100, -1},
	};

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		data = calloc(1, cases[i].size);
		ck_assert_ptr_nonnull(data);
		if (cases[i].filler >= 0)
			memset(data, cases[i].filler, cases[i].size);
		if (cases[i].filler < 0)
			memcpy(data, header, sizeof header);
		if (i == 1)
			memcpy(data, text, sizeof text - 1);
		scratch_write(scratch.path, data, cases[i].size);
		ck_assert_msg(try_open() == LW_CORRUPT, "%s: %s", cases[i].what,
		    scratch.err.text);
		ck_assert_msg(strstr(scratch.err.text, "book") != NULL,
		    "%s: %s", cases[i].what, scratch.err.text);
		after = scratch_read(scratch.path, &after_size);
		ck_assert_uint_eq(after_size, cases[i].size);
		ck_assert_int_eq(memcmp(data, after, after_size), 0);
		free(data);
		free(after);
	}
	unlink(scratch.path);
	meddle("CREATE TABLE recipes (name TEXT)");
	data = scratch_read(scratch.path, &size);
	ck_assert_int_eq(try_open(), LW_CORRUPT);
	ck_assert_ptr_nonnull(
	    strstr(scratch.err.text, "is not a Lampwright book"));
	after = scratch_read(scratch.path, &after_size);
	ck_assert_uint_eq(after_size, size);
	ck_assert_int_eq(memcmp(data, after, size), 0);
	free(data);
	free(after);
}
END_TEST

/* What a kill between making the file and filling it leaves behind. */
START_TEST(an_empty_file_becomes_a_book)
{
	bool created = false;

	scratch_write(scratch.path, "", 0);
	ck_assert_int_eq(
	    lw_book_open(&scratch.book, &created, scratch.path, &scratch.err),
	    LW_OK);
	ck_assert(created);
}
END_TEST

START_TEST(other_places_are_refused)
{
	char path[400];
	int here;

	ck_assert_int_eq(
	    lw_book_open(&scratch.book, NULL, scratch.folder, &scratch.err),
	    LW_CORRUPT);
	ck_assert_int_eq(
	    lw_book_open(&scratch.book, NULL, "/dev/zero", &scratch.err),
	    LW_CORRUPT);
	ck_assert_int_eq(
	    lw_book_open(&scratch.book, NULL, "", &scratch.err), LW_BAD_INPUT);
	snprintf(path, sizeof path, "%s/none/book.db", scratch.folder);
	ck_assert_int_eq(
	    lw_book_open(&scratch.book, NULL, path, &scratch.err), LW_FAILED);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "folder"));
	ck_assert_ptr_null(scratch.book);
	/* Names that mean something to SQLite are names of files here. */
	here = open(".", O_RDONLY | O_DIRECTORY);
	ck_assert_int_ge(here, 0);
	ck_assert_int_eq(chdir(scratch.folder), 0);
	ck_assert_int_eq(
	    lw_book_open(&scratch.book, NULL, ":memory:", &scratch.err), LW_OK);
	ck_assert_int_eq(access(":memory:", F_OK), 0);
	ck_assert_int_eq(fchdir(here), 0);
	close(here);
}
END_TEST

START_TEST(a_read_only_folder_says_so)
{
	if (geteuid() == 0)
		return; /* nothing is read-only to root */
	ck_assert_int_eq(chmod(scratch.folder, 0500), 0);
	ck_assert_int_eq(try_open(), LW_FAILED);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "folder"));
	ck_assert_int_eq(chmod(scratch.folder, 0700), 0);
	scratch_open(&scratch);
	ck_assert_int_eq(chmod(scratch.folder, 0500), 0);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 1, &scratch.err),
	    LW_FAILED);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "folder"));
	ck_assert_int_eq(chmod(scratch.folder, 0700), 0);
}
END_TEST

START_TEST(a_book_that_may_only_be_read)
{
	struct lw_entries packs;

	scratch_open(&scratch);
	sqlite3_exec(
	    scratch.book->db, "PRAGMA query_only = ON", NULL, NULL, NULL);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 1, &scratch.err),
	    LW_FAILED);
	ck_assert_ptr_nonnull(
	    strstr(scratch.err.text, "can be read but not changed"));
	ck_assert_int_eq(lw_book_list_packs(
			     scratch.book, scratch.arena, &packs, &scratch.err),
	    LW_OK);
}
END_TEST

START_TEST(a_newer_book_is_left_alone)
{
	unsigned char *before, *after;
	size_t size, after_size;

	scratch_open(&scratch);
	lw_book_close(scratch.book);
	meddle("PRAGMA user_version = 6");
	before = scratch_read(scratch.path, &size);
	ck_assert_int_eq(try_open(), LW_NEWER);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "newer version"));
	after = scratch_read(scratch.path, &after_size);
	ck_assert_uint_eq(after_size, size);
	ck_assert_int_eq(memcmp(before, after, size), 0);
	free(before);
	free(after);
}
END_TEST

START_TEST(a_cut_book_is_damaged)
{
	unsigned char *data;
	size_t size;

	scratch_open(&scratch);
	lw_book_put_pack(scratch.book, &sample_cart, 1, NULL);
	lw_book_close(scratch.book);
	data = scratch_read(scratch.path, &size);
	ck_assert_int_eq(truncate(scratch.path, (off_t)(size / 2)), 0);
	ck_assert_int_eq(try_open(), LW_CORRUPT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "damaged"));
	free(data);
}
END_TEST

/* A rig with something in every table. */
static void
make_rig(void)
{
	const struct lw_rig_pair pairs[] = {
	    {"motor", "series"}, {"device.drive", "zeta-drive"}};
	const struct lw_setting setting = {
	    .device = "drive", .setting = "ramp", .was = "1", .became = "2"};
	const struct lw_record record = {
	    .device = "drive", .kind = LW_RECORD_HOURS, .value = "7"};
	struct book_hold_change hold = {.vehicle = "rig cart48",
	    .next = {.held = true, .screen = "s", .name = "phone 3f"}};

	lw_rig_new(scratch.book, "cart48", NULL, 1, NULL);
	lw_rig_set(scratch.book, "cart48", pairs, 2, 1, NULL);
	lw_rig_set_point(scratch.book, "cart48", "plus-stud", "red", 1, NULL);
	lw_rig_use(scratch.book, "cart48", NULL);
	lw_setting_add(scratch.book, "cart48", &setting, 1, NULL, NULL);
	lw_record_add(scratch.book, "cart48", &record, 1, NULL, NULL);
	ck_assert_int_eq(book_job_new(scratch.book, "cart48", NULL, NULL, "one",
			     NULL, 0, 1, &hold.next.job, NULL),
	    LW_OK);
	ck_assert_int_eq(book_job_append(scratch.book, hold.next.job, 0, NULL,
			     0, &hold, NULL, 1, &scratch.err),
	    LW_OK);
}

static void
read_rig(void)
{
	const struct lw_setting_change *changes;
	const struct lw_rig_point *points;
	const struct book_job *job;
	const struct lw_rig *rig;
	struct lw_settings settings;
	struct lw_records records;
	struct lw_entries entries;
	struct book_hold hold;
	size_t count;

	lw_rig_list(scratch.book, scratch.arena, &entries, NULL);
	lw_rig_get(scratch.book, scratch.arena, "cart48", &rig, NULL);
	lw_rig_points(
	    scratch.book, scratch.arena, "cart48", &points, &count, NULL);
	lw_setting_history(
	    scratch.book, scratch.arena, "cart48", NULL, &settings, NULL);
	lw_setting_difference(scratch.book, scratch.arena, "cart48", 0, 9,
	    &changes, &count, NULL);
	lw_record_list(
	    scratch.book, scratch.arena, "cart48", 0, &records, NULL);
	book_job_list(scratch.book, scratch.arena, &entries, NULL);
	book_job_load(scratch.book, scratch.arena, 1, &job, NULL);
	book_hold_get(scratch.book, scratch.arena, "rig cart48", &hold, NULL);
}

/* Read all there is; how it ends does not matter, as long as it does. */
static void
read_all(void)
{
	struct lw_entries entries;
	const struct lw_pack *pack;
	size_t i;

	if (try_open() != LW_OK)
		return;
	if (lw_book_list_packs(scratch.book, scratch.arena, &entries, NULL) ==
	    LW_OK)
		for (i = 0; i < entries.count; i++)
			lw_book_get_pack(scratch.book, scratch.arena,
			    entries.items[i].id, &pack, NULL);
	lw_book_get_pack(scratch.book, scratch.arena, "own", &pack, NULL);
	lw_book_find(
	    scratch.book, scratch.arena, "pack fuse", 10, &entries, NULL);
	lw_book_notes(scratch.book, scratch.arena, NULL, NULL, &entries, NULL);
	read_rig();
	lw_book_check(scratch.book, NULL);
	lw_book_put_pack(scratch.book, &sample_other, 1, NULL);
	lw_book_close(scratch.book);
	scratch.book = NULL;
}

START_TEST(damage_crashes_nothing)
{
	unsigned char *data, *bad;
	size_t size, at, i, step;

	scratch_open(&scratch);
	lw_book_put_pack(scratch.book, &sample_cart, 1, NULL);
	make_rig();
	lw_book_close(scratch.book);
	scratch.book = NULL;
	data = scratch_read(scratch.path, &size);
	bad = malloc(size);
	ck_assert_ptr_nonnull(bad);
	step = getenv("LAMPWRIGHT_SHORT") == NULL ? 1 : 7;
	/* A blot on each page in turn, once at its head and once inside. */
	for (i = 0; i < size / 4096; i += step) {
		memcpy(bad, data, size);
		at = i * 4096 + (i % 2 == 0 ? 3 : 2100 + i);
		if (at < 100)
			at = 100;
		memset(bad + at, i % 3 == 0 ? 0xFF : (int)i, 24);
		scratch_write(scratch.path, bad, size);
		read_all();
	}
	free(data);
	free(bad);
}
END_TEST

START_TEST(missing_tables_are_damage)
{
	struct lw_entries entries;

	scratch_open(&scratch);
	lw_book_close(scratch.book);
	meddle("DROP TABLE findings; DROP TABLE faults");
	scratch_open(&scratch);
	ck_assert_int_eq(lw_book_list(scratch.book, scratch.arena, "fault",
			     &entries, &scratch.err),
	    LW_CORRUPT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "no such table"));
}
END_TEST

/* Children make the same book at once; each ends well, one made it. */
START_TEST(several_make_it_at_once)
{
	enum { CHILDREN = 6, ROUNDS = 5 };
	pid_t children[CHILDREN];
	int i, round, state, made;

	for (round = 0; round < ROUNDS; round++) {
		made = 0;
		for (i = 0; i < CHILDREN; i++) {
			children[i] = fork();
			ck_assert_int_ge(children[i], 0);
			if (children[i] == 0) {
				struct lw_book *book;
				bool created = false;

				if (lw_book_open(&book, &created, scratch.path,
					NULL) != LW_OK)
					_exit(2);
				lw_book_close(book);
				_exit(created ? 1 : 0);
			}
		}
		for (i = 0; i < CHILDREN; i++) {
			ck_assert_int_eq(
			    waitpid(children[i], &state, 0), children[i]);
			ck_assert(WIFEXITED(state));
			ck_assert_int_le(WEXITSTATUS(state), 1);
			made += WEXITSTATUS(state);
		}
		ck_assert_int_eq(made, 1);
		scratch_open(&scratch);
		ck_assert_int_eq(
		    lw_book_check(scratch.book, &scratch.err), LW_OK);
		lw_book_close(scratch.book);
		scratch.book = NULL;
		unlink(scratch.path);
	}
}
END_TEST

START_TEST(another_program_holds_it)
{
	sqlite3 *db;

	scratch_open(&scratch);
	sqlite3_busy_timeout(scratch.book->db, 20);
	sqlite3_open(scratch.path, &db);
	ck_assert_int_eq(
	    sqlite3_exec(db, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 1, &scratch.err),
	    LW_FAILED);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "another program"));
	sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
	sqlite3_close(db);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 1, &scratch.err),
	    LW_OK);
}
END_TEST

/* A cap on the pages stands for a full disk. */
START_TEST(a_full_disk_changes_nothing)
{
	const struct lw_pack *pack;
	struct lw_pack grown = sample_other;
	struct lw_fault faults[400];
	char ids[400][16];
	int64_t before, after;
	size_t i;

	for (i = 0; i < 400; i++) {
		snprintf(ids[i], sizeof ids[i], "fault-%zu", i);
		faults[i] = sample_other.faults[0];
		faults[i].id = ids[i];
	}
	grown.faults = faults;
	grown.fault_count = 400;
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_other, 1, NULL), LW_OK);
	sqlite3_exec(scratch.book->db, "PRAGMA max_page_count = 1", NULL, NULL,
	    NULL); /* no less than there are */
	lw_book_change(scratch.book, &before, NULL);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &grown, 2, &scratch.err), LW_FAILED);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "disk is full"));
	lw_book_change(scratch.book, &after, NULL);
	ck_assert_int_eq(before, after);
	ck_assert_int_eq(
	    lw_book_get_pack(scratch.book, scratch.arena, "other", &pack, NULL),
	    LW_OK);
	sample_compare(&sample_other, pack);
	ck_assert_int_eq(lw_book_check(scratch.book, &scratch.err), LW_OK);
	sqlite3_exec(scratch.book->db, "PRAGMA max_page_count = 1000000", NULL,
	    NULL, NULL);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &grown, 2, NULL), LW_OK);
}
END_TEST

START_TEST(changes_are_counted)
{
	struct lw_book *other;
	int64_t one, two, three;
	enum lw_status status;

	scratch_open(&scratch);
	lw_book_change(scratch.book, &one, NULL);
	status = lw_book_open(&other, NULL, scratch.path, NULL);
	ck_assert_int_eq(status, LW_OK);
	ck_assert_int_eq(
	    lw_book_put_pack(other, &sample_other, 1, NULL), LW_OK);
	lw_book_close(other);
	lw_book_change(scratch.book, &two, NULL);
	ck_assert_int_ne(one, two);
	/* What fails is no change, and closing forgets nothing. */
	ck_assert_int_eq(
	    lw_book_remove_pack(scratch.book, "none", NULL), LW_NOT_FOUND);
	scratch_reopen(&scratch);
	lw_book_change(scratch.book, &three, NULL);
	ck_assert_int_eq(two, three);
}
END_TEST

START_TEST(a_copy_is_whole_and_new)
{
	const struct lw_pack *pack;
	struct lw_book *copy;
	struct stat info;
	char path[400];

	snprintf(path, sizeof path, "%s/copy.db", scratch.folder);
	scratch_open(&scratch);
	lw_book_put_pack(scratch.book, &sample_cart, 1, NULL);
	ck_assert_int_eq(lw_book_save(scratch.book, path, &scratch.err), LW_OK);
	ck_assert_int_eq(stat(path, &info), 0);
	ck_assert_int_eq(info.st_mode & 0777, 0600);
	ck_assert_int_eq(
	    lw_book_save(scratch.book, path, &scratch.err), LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "exists already"));
	ck_assert_int_eq(lw_book_open(&copy, NULL, path, NULL), LW_OK);
	ck_assert_int_eq(lw_book_check(copy, &scratch.err), LW_OK);
	ck_assert_int_eq(
	    lw_book_get_pack(copy, scratch.arena, "cart", &pack, NULL), LW_OK);
	sample_compare(&sample_cart, pack);
	lw_book_close(copy);
	snprintf(path, sizeof path, "%s/none/copy.db", scratch.folder);
	ck_assert_int_eq(
	    lw_book_save(scratch.book, path, &scratch.err), LW_FAILED);
}
END_TEST

/* A copy that fails leaves no half of it behind. */
START_TEST(a_failed_copy_leaves_nothing)
{
	char path[400];

	snprintf(path, sizeof path, "%s/copy.db", scratch.folder);
	scratch_open(&scratch);
	ck_assert_int_eq(store_begin_write(scratch.book, NULL), LW_OK);
	ck_assert_int_ne(lw_book_save(scratch.book, path, &scratch.err), LW_OK);
	ck_assert_int_ne(access(path, F_OK), 0);
	store_end_write(scratch.book, LW_OK, NULL);
}
END_TEST

START_TEST(the_check_finds)
{
	static const struct {
		const char *sql;
		const char *says;
	} cases[] = {
	    {"DROP TRIGGER findings_remain;"
	     "DELETE FROM findings WHERE serial = 1",
		"finding is missing in job 1"},
	    {"DELETE FROM item_text WHERE rowid ="
	     " (SELECT number FROM items WHERE id = 'pack-empty')",
		"index lacks the cause pack-empty"},
	    {"INSERT INTO item_text (rowid, title) VALUES (9999, 'ghost')",
		"unknown item, 9999"},
	    {"DELETE FROM note_text", "index lacks note 1"},
	    {"INSERT INTO note_text (rowid, words) VALUES (77, 'ghost')",
		"unknown note, 77"},
	    {"DELETE FROM devices", "leads nowhere in"},
	    {"INSERT INTO holds (vehicle, job, screen, name, since_s, last_s)"
	     " VALUES ('job 7', 7, 's', 'phone', 1, 1)",
		"no job is behind the hold of job 7"},
	    {"INSERT INTO holds (vehicle, job, screen, name, since_s, last_s)"
	     " VALUES ('job 2', 1, 's', 'phone', 1, 1)",
		"no vehicle behind the hold of job 2"},
	    {"INSERT INTO holds (vehicle, job, screen, name, since_s, last_s)"
	     " VALUES ('rig trike36', 1, 's', 'phone', 1, 1)",
		"no vehicle behind the hold of rig trike36"},
	    {"UPDATE book SET rig = 'trike36'",
		"no rig behind the one in hand, trike36"},
	    {"UPDATE rigs SET removed = 1",
		"no rig behind the one in hand, cart48"},
	};
	unsigned char *sound;
	size_t size, i;

	scratch_open(&scratch);
	lw_book_put_pack(scratch.book, &sample_cart, 1, NULL);
	lw_book_add_note(
	    scratch.book, "cause", "pack-empty", "again", 1, NULL, NULL);
	lw_book_close(scratch.book);
	scratch.book = NULL;
	meddle("INSERT INTO jobs (created_s, title) VALUES (1, 'one');"
	       "INSERT INTO findings (job, serial, time_s, kind)"
	       " VALUES (1, 1, 1, 1), (1, 2, 1, 4);"
	       "INSERT INTO rigs VALUES ('cart48', 'The cart', 0, 1);"
	       "UPDATE book SET rig = 'cart48';"
	       "INSERT INTO holds (vehicle, job, screen, name, since_s,"
	       " last_s) VALUES ('job 1', 1, 's', 'phone', 1, 1),"
	       " ('rig cart48', 1, 's', 'phone', 1, 1)");
	sound = scratch_read(scratch.path, &size);
	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		scratch_write(scratch.path, sound, size);
		scratch_open(&scratch);
		ck_assert_int_eq(
		    lw_book_check(scratch.book, &scratch.err), LW_OK);
		lw_book_close(scratch.book);
		scratch.book = NULL;
		meddle(cases[i].sql);
		scratch_open(&scratch);
		ck_assert_msg(
		    lw_book_check(scratch.book, &scratch.err) == LW_CORRUPT,
		    "%s", cases[i].sql);
		ck_assert_msg(strstr(scratch.err.text, cases[i].says) != NULL,
		    "%s: %s", cases[i].sql, scratch.err.text);
		lw_book_close(scratch.book);
		scratch.book = NULL;
	}
	free(sound);
}
END_TEST

/* Levenshtein 1966 for kitten and sitting; optimal string alignment of "ca"
 * and "abc" is 3 (Boytsov 2011, where the unrestricted distance is 2). */
START_TEST(distances)
{
	static const struct {
		const char *one, *other;
		unsigned distance;
	} cases[] = {
	    {"", "", 0},
	    {"", "abc", 3},
	    {"kitten", "sitting", 3},
	    {"ca", "abc", 3},
	    {"teh", "the", 1},
	    {"supply-low", "suply-low", 1},
	    {"flaw", "lawn", 2},
	};
	char long_one[200], name[NEAREST_NAME_MAX];
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		ck_assert_uint_eq(near_distance(cases[i].one, cases[i].other),
		    cases[i].distance);
		ck_assert_uint_eq(near_distance(cases[i].other, cases[i].one),
		    cases[i].distance);
	}
	memset(long_one, 'x', sizeof long_one - 1);
	long_one[sizeof long_one - 1] = '\0';
	ck_assert_uint_eq(near_distance(long_one, ""), 64);
	ck_assert_uint_lt(
	    strlen(nearest_name(name, long_one)), NEAREST_NAME_MAX);
	ck_assert_str_eq(nearest_name(name, "a\xFF\nb"), "a??b");
}
END_TEST

Suite *
suite_book(void)
{
	Suite *suite = suite_create("book");
	TCase *tests = tcase_create("file");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 120);
	tcase_add_test(tests, a_missing_book_is_made);
	tcase_add_test(tests, what_is_no_book_is_left_alone);
	tcase_add_test(tests, an_empty_file_becomes_a_book);
	tcase_add_test(tests, other_places_are_refused);
	tcase_add_test(tests, a_read_only_folder_says_so);
	tcase_add_test(tests, a_book_that_may_only_be_read);
	tcase_add_test(tests, a_newer_book_is_left_alone);
	tcase_add_test(tests, a_cut_book_is_damaged);
	tcase_add_test(tests, damage_crashes_nothing);
	tcase_add_test(tests, missing_tables_are_damage);
	tcase_add_test(tests, several_make_it_at_once);
	tcase_add_test(tests, another_program_holds_it);
	tcase_add_test(tests, a_full_disk_changes_nothing);
	tcase_add_test(tests, changes_are_counted);
	tcase_add_test(tests, a_copy_is_whole_and_new);
	tcase_add_test(tests, a_failed_copy_leaves_nothing);
	tcase_add_test(tests, the_check_finds);
	tcase_add_test(tests, distances);
	suite_add_tcase(suite, tests);
	return suite;
}
