/* book: what a screen that is sent away leaves behind, what a copy of the book
 * leaves out, and whom its files are for. All of it is invented. */
#include "unit/screens.h"
#include "unit/suites.h"

#include "book/store.h"
#include "unit/doc.h"

static struct bench bench;
static char copy_path[300];

static void
setup(void)
{
	bench_setup(&bench);
	snprintf(copy_path, sizeof copy_path, "%s/copy.db", bench.dir);
}

static void
teardown(void)
{
	unlink(copy_path);
	bench_close(&bench);
}

/* Straight to the book. */
static void
run_sql(const char *sql)
{
	char *why = NULL;

	ck_assert_msg(
	    sqlite3_exec(bench.book->db, sql, NULL, NULL, &why) == SQLITE_OK,
	    "%s", why);
}

static int
mode_of(const char *path)
{
	struct stat info;

	ck_assert_msg(stat(path, &info) == 0, "there is no %s", path);
	return (int)(info.st_mode & 07777);
}

/* What the bench's job is held by, as one that looks on sees it. */
static const struct lw_hold *
hold_of(int64_t job)
{
	return &bench_see(&bench, job, NULL)->hold;
}

/* Two jobs without a rig, so two vehicles: `a` holds the first, which `b`
 * asks for, and `b` holds the second, which `a` asks for. */
static void
hold_both(int64_t jobs[2])
{
	int i;

	for (i = 0; i < 2; i++)
		jobs[i] = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	for (i = 0; i < 2; i++) {
		bench.screen = key(i == 0 ? 'a' : 'b');
		bench_answer(&bench, jobs[i], "dead");
		bench.screen = key(i == 0 ? 'b' : 'a');
		ck_assert_int_eq(bench_do(&bench, lw_job_ask, jobs[i]), LW_OK);
	}
}

START_TEST(leaves_its_vehicles)
{
	int64_t jobs[2];

	pair_at(&bench, key('a'), "a", bench.now_s);
	pair_at(&bench, key('b'), "b", bench.now_s);
	hold_both(jobs);
	ck_assert_str_eq(hold_of(jobs[0])->screen, key('a'));
	ck_assert_str_eq(hold_of(jobs[1])->asker, key('a'));
	ck_assert_int_eq(
	    bench_see(&bench, jobs[0], key('a'))->power, LW_POWER_ISOLATED);
	ck_assert_int_eq(lw_screen_remove(bench.book, 1, &bench.err), LW_OK);
	ck_assert_ptr_null(get(&bench, key('a'), bench.now_s));
	ck_assert_ptr_nonnull(get(&bench, key('b'), bench.now_s));
	/* It holds nothing and asks for nothing; the other keeps its own. */
	ck_assert(!hold_of(jobs[0])->held);
	ck_assert_str_eq(hold_of(jobs[1])->screen, key('b'));
	ck_assert_ptr_null(hold_of(jobs[1])->asker);
	/* Whoever goes on proves anew that it is safe. */
	bench.screen = key('b');
	ck_assert_int_eq(bench_get(&bench, jobs[0])->power, LW_POWER_UNKNOWN);
	ck_step(bench_get(&bench, jobs[0]), "way-isolated", "case-look");
	ck_step(bench_answer(&bench, jobs[0], "dead"), "case-look", NULL);
	ck_assert_str_eq(hold_of(jobs[0])->screen, key('b'));
	ck_assert_int_eq(lw_book_check(bench.book, &bench.err), LW_OK);
	/* Numbers of nobody. */
	ck_assert_int_eq(
	    lw_screen_remove(bench.book, 1, &bench.err), LW_NOT_FOUND);
	ck_assert_ptr_nonnull(strstr(bench.err.text, "no screen 1;"));
	ck_assert_int_eq(lw_screen_remove(bench.book, 0, NULL), LW_NOT_FOUND);
	ck_assert_int_eq(lw_screen_remove(bench.book, -2, NULL), LW_NOT_FOUND);
	ck_assert_ptr_nonnull(get(&bench, key('b'), bench.now_s));
}
END_TEST

START_TEST(all_but_one_leave)
{
	int64_t jobs[2];
	size_t removed = 9;

	pair_at(&bench, key('a'), "a", bench.now_s);
	pair_at(&bench, key('b'), "b", bench.now_s);
	pair_at(&bench, key('c'), "c", bench.now_s);
	hold_both(jobs);
	ck_assert_int_eq(
	    lw_screen_remove_all(&removed, bench.book, 2, NULL), LW_OK);
	ck_assert_uint_eq(removed, 2);
	ck_assert_uint_eq(list_at(&bench, bench.now_s).count, 1);
	ck_assert_ptr_nonnull(get(&bench, key('b'), bench.now_s));
	ck_assert(!hold_of(jobs[0])->held);
	ck_assert_str_eq(hold_of(jobs[1])->screen, key('b'));
	ck_assert_ptr_null(hold_of(jobs[1])->asker);
	ck_assert_int_eq(
	    lw_screen_remove_all(&removed, bench.book, 0, NULL), LW_OK);
	ck_assert_uint_eq(removed, 1);
	ck_assert(!hold_of(jobs[1])->held);
	ck_assert_int_eq(
	    lw_screen_remove_all(&removed, bench.book, 0, NULL), LW_OK);
	ck_assert_uint_eq(removed, 0);
}
END_TEST

/* A screen that is not paired, as one without the network, holds on. */
START_TEST(others_hold_on)
{
	int64_t jobs[2], removed_job;

	pair_at(&bench, key('c'), "c", bench.now_s);
	hold_both(jobs);
	removed_job = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	bench.screen = key('c');
	bench_answer(&bench, removed_job, "dead");
	/* Its time is over: who pairs next sweeps it out with all it held. */
	pair_at(&bench, key('d'), "d", bench.now_s + SCREENS_HOLDS_S);
	ck_assert(!hold_of(removed_job)->held);
	ck_assert_str_eq(hold_of(jobs[0])->screen, key('a'));
	ck_assert_str_eq(hold_of(jobs[0])->asker, key('b'));
}
END_TEST

/* All of it or nothing. */
START_TEST(leaves_at_once_or_not)
{
	int64_t jobs[2];

	pair_at(&bench, key('a'), "a", bench.now_s);
	hold_both(jobs);
	run_sql("CREATE TEMP TRIGGER stuck BEFORE DELETE ON screens"
		" BEGIN SELECT raise(ABORT, 'stuck'); END");
	ck_assert_int_eq(
	    lw_screen_remove(bench.book, 1, &bench.err), LW_FAILED);
	ck_assert_str_eq(hold_of(jobs[0])->screen, key('a'));
	ck_assert_str_eq(hold_of(jobs[1])->asker, key('a'));
	ck_assert_ptr_nonnull(get(&bench, key('a'), bench.now_s));
}
END_TEST

/* Whether the bytes of a text stand anywhere in a file. */
static bool
file_has(const char *path, const char *text)
{
	size_t size, length = strlen(text), i;
	unsigned char *bytes = scratch_read(path, &size);
	bool found = false;

	for (i = 0; !found && i + length <= size; i++)
		found = memcmp(bytes + i, text, length) == 0;
	free(bytes);
	return found;
}

/* By the size of a page: a copy is made of every book there may be. */
START_TEST(a_copy_opens_no_door)
{
	static const char *const sizes[] = {"PRAGMA page_size = 512",
	    "PRAGMA page_size = 4096", "PRAGMA page_size = 65536"};
	struct lw_book *copy = NULL;
	int64_t jobs[2];

	run_sql(sizes[_i]);
	run_sql("VACUUM");
	pair_at(&bench, key('a'), "phone 3f", bench.now_s);
	pair_at(&bench, key('b'), "computer 04", bench.now_s);
	hold_both(jobs);
	ck_assert_int_eq(
	    lw_book_save(bench.book, copy_path, &bench.err), LW_OK);
	/* The book itself keeps them. */
	ck_assert_uint_eq(list_at(&bench, bench.now_s).count, 2);
	ck_assert_str_eq(hold_of(jobs[0])->screen, key('a'));
	ck_assert(file_has(bench.path, key('a')));
	ck_assert(!file_has(copy_path, key('a')));
	ck_assert(!file_has(copy_path, key('b')));
	ck_assert(!file_has(copy_path, "computer 04"));
	ck_assert_int_eq(lw_book_open(&copy, NULL, copy_path, NULL), LW_OK);
	ck_assert_msg(
	    lw_book_check(copy, &bench.err) == LW_OK, "%s", bench.err.text);
	lw_book_close(bench.book);
	bench.book = copy;
	ck_assert_uint_eq(list_at(&bench, bench.now_s).count, 0);
	ck_assert(!hold_of(jobs[0])->held);
	ck_assert_int_eq(
	    bench_see(&bench, jobs[1], key('b'))->power, LW_POWER_UNKNOWN);
	/* Nor does a number come again in it. */
	ck_assert_int_eq(pair_at(&bench, key('c'), "c", bench.now_s), 3);
}
END_TEST

/* A book is its owner's alone whatever the umask says, and so is what SQLite
 * puts beside it. */
START_TEST(files_are_the_owners)
{
	static const mode_t masks[] = {0, 022, 0777};
	char path[300], journal[320];
	struct lw_book *book = NULL;
	mode_t before = umask(masks[_i]);

	snprintf(path, sizeof path, "%s/own.db", bench.dir);
	snprintf(journal, sizeof journal, "%s-journal", path);
	ck_assert_msg(lw_book_open(&book, NULL, path, &bench.err) == LW_OK,
	    "%s", bench.err.text);
	ck_assert_int_eq(mode_of(path), 0600);
	ck_assert_int_eq(store_begin_write(book, NULL), LW_OK);
	ck_assert_int_eq(
	    sqlite3_exec(book->db, "UPDATE book SET change = change + 1", NULL,
		NULL, NULL),
	    SQLITE_OK);
	ck_assert_int_eq(mode_of(journal), 0600);
	ck_assert_int_eq(store_end_write(book, LW_OK, NULL), LW_OK);
	ck_assert_int_eq(lw_book_save(book, copy_path, &bench.err), LW_OK);
	ck_assert_int_eq(mode_of(copy_path), 0600);
	umask(before);
	lw_book_close(book);
	unlink(path);
}
END_TEST

START_TEST(the_check_notices_odd_rows)
{
	static const char *const odd[] = {
	    "UPDATE screens SET key = upper(key)",
	    "UPDATE screens SET key = substr(key, 2)",
	    "UPDATE screens SET until_s = since_s - 1",
	    "UPDATE screens SET number = 0",
	};

	pair_at(&bench, key('k'), "k", 1000);
	ck_assert_int_eq(lw_book_check(bench.book, &bench.err), LW_OK);
	run_sql("PRAGMA ignore_check_constraints = ON");
	run_sql(odd[_i]);
	run_sql("PRAGMA ignore_check_constraints = OFF");
	ck_assert_int_eq(lw_book_check(bench.book, &bench.err), LW_CORRUPT);
	ck_assert_ptr_nonnull(strstr(bench.err.text, "screens"));
}
END_TEST

START_TEST(the_document)
{
	int64_t jobs[2];
	int i;

	ck_assert_int_eq(
	    lw_view_screens(&doc, bench.book, bench.now_s, 0, NULL), LW_OK);
	has_keys("", "shape screens others");
	ck_assert_uint_eq(count("screens"), 0);
	ck_assert(!is_true("others"));
	lw_doc_free(doc);
	pair_at(&bench, key('a'), "phone 3f", 1700000000);
	ck_assert_int_eq(lw_screen_pair(&(int64_t){0}, bench.book, key('b'),
			     "computer 04", "", 1700000061, NULL),
	    LW_OK);
	for (i = 0; i < 2; i++) {
		bench.screen = key('a');
		jobs[i] = bench_start(&bench, "bench-cart", "5", NULL, NULL);
		bench_answer(&bench, jobs[i], "dead");
		if (i == 0)
			bench_rig(&bench, "cart48", "");
	}
	ck_assert_int_eq(
	    lw_view_screens(&doc, bench.book, bench.now_s, 2, NULL), LW_OK);
	ck_assert_uint_eq(count("screens"), 2);
	has_keys("screens.0",
	    "screen name agent since since_time last last_time until "
	    "until_time own holds");
	ck_assert_int_eq(number("screens.0.screen"), 2);
	ck_assert_str_eq(text("screens.0.name"), "computer 04");
	is_null("screens.0.agent");
	ck_assert(is_true("screens.0.own"));
	ck_assert_uint_eq(count("screens.0.holds"), 0);
	ck_assert(!is_true("screens.1.own"));
	ck_assert_str_eq(text("screens.1.agent"), "Invented browser");
	ck_assert_int_eq(number("screens.1.since_time"), 1700000000);
	ck_assert_int_eq(number("screens.1.until_time"), 1707776000);
	ck_assert_str_eq(text("screens.1.since"), "2023-11-14 22:13");
	ck_assert_uint_eq(count("screens.1.holds"), 2);
	has_keys("screens.1.holds.0", "job title rig rig_title");
	ck_assert_int_eq(number("screens.1.holds.0.job"), jobs[0]);
	is_null("screens.1.holds.0.rig");
	is_null("screens.1.holds.0.rig_title");
	ck_assert_int_eq(number("screens.1.holds.1.job"), jobs[1]);
	ck_assert_str_eq(text("screens.1.holds.1.rig"), "cart48");
	ck_assert_str_eq(text("screens.1.holds.1.rig_title"), "cart48");
	ck_assert(is_true("others"));
	lw_doc_free(doc);
	/* A hold that ran out is none; one that is left is no other. */
	ck_assert_int_eq(lw_screen_remove(bench.book, 2, NULL), LW_OK);
	ck_assert_int_eq(
	    lw_view_screens(&doc, bench.book, bench.now_s + 3600, 1, NULL),
	    LW_OK);
	ck_assert_uint_eq(count("screens.0.holds"), 0);
	ck_assert(!is_true("others"));
	lw_doc_free(doc);
}
END_TEST

Suite *
suite_screens_away(void)
{
	Suite *suite = suite_create("screens_away");
	TCase *tests = tcase_create("screens_away");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_add_test(tests, leaves_its_vehicles);
	tcase_add_test(tests, all_but_one_leave);
	tcase_add_test(tests, others_hold_on);
	tcase_add_test(tests, leaves_at_once_or_not);
	tcase_add_loop_test(tests, a_copy_opens_no_door, 0, 3);
	tcase_add_loop_test(tests, files_are_the_owners, 0, 3);
	tcase_add_loop_test(tests, the_check_notices_odd_rows, 0, 4);
	tcase_add_test(tests, the_document);
	suite_add_tcase(suite, tests);
	return suite;
}
