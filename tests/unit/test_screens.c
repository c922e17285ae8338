/* book: paired screens come, are seen, run out and make room. All of them are
 * invented. */
#include "unit/screens.h"
#include "unit/suites.h"

#include "book/store.h"

#include <time.h>

static struct bench bench;

static void
setup(void)
{
	bench_setup(&bench);
}

static void
teardown(void)
{
	bench_close(&bench);
}

static void
see(const char *with, int64_t now_s)
{
	ck_assert_msg(
	    lw_screen_seen(bench.book, with, now_s, &bench.err) == LW_OK, "%s",
	    bench.err.text);
}

static int64_t
changes(void)
{
	int64_t change;

	ck_assert_int_eq(lw_book_change(bench.book, &change, NULL), LW_OK);
	return change;
}

START_TEST(pairs)
{
	const struct lw_screen *screen;

	ck_assert_uint_eq(list_at(&bench, 1000).count, 0);
	ck_assert_ptr_null(get(&bench, key('a'), 1000));
	ck_assert_int_eq(pair_at(&bench, key('a'), "phone 3f", 1000), 1);
	ck_assert_int_eq(pair_at(&bench, key('b'), "computer 04", 1010), 2);
	screen = get(&bench, key('a'), 1020);
	ck_assert_ptr_nonnull(screen);
	ck_assert_int_eq(screen->number, 1);
	ck_assert_str_eq(screen->key, key('a'));
	ck_assert_str_eq(screen->name, "phone 3f");
	ck_assert_str_eq(screen->agent, "Invented browser");
	ck_assert_int_eq(screen->since_s, 1000);
	ck_assert_int_eq(screen->last_s, 1000);
	ck_assert_int_eq(screen->until_s, 1000 + SCREENS_HOLDS_S);
	ck_assert_ptr_null(get(&bench, key('c'), 1020));
	ck_assert_ptr_null(get(&bench, "", 1020));
	/* Paired is paired, by the same cookie only once. */
	ck_assert_int_eq(lw_screen_pair(&(int64_t){0}, bench.book, key('a'),
			     "again", "", 1030, &bench.err),
	    LW_CONFLICT);
	ck_assert_str_eq(get(&bench, key('a'), 1030)->name, "phone 3f");
	ck_assert_int_eq(lw_book_check(bench.book, &bench.err), LW_OK);
}
END_TEST

START_TEST(refuses_keys_and_names)
{
	static const char *const keys[] = {"", "a", "0123456789abcdef",
	    "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcde",
	    "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef0",
	    "0123456789ABCDEF0123456789abcdef0123456789abcdef0123456789abcdef",
	    "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdeg",
	    " 123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"};
	static const char *const names[] = {
	    "", " ", "   ", "\t\r\n", "\x01\x7f ", "\xC2\x85", "\xE2\x80\xAE"};
	int64_t number = 5, before = changes();
	size_t i;

	for (i = 0; i < sizeof keys / sizeof keys[0]; i++) {
		ck_assert_msg(lw_screen_pair(&number, bench.book, keys[i], "x",
				  "", 1, &bench.err) == LW_BAD_INPUT,
		    "\"%s\"", keys[i]);
		ck_assert_int_eq(number, 0);
		ck_assert_ptr_null(get(&bench, keys[i], 1));
		see(keys[i], 1);
	}
	for (i = 0; i < sizeof names / sizeof names[0]; i++)
		ck_assert_msg(lw_screen_pair(&number, bench.book, key('a'),
				  names[i], "", 1, &bench.err) == LW_BAD_INPUT,
		    "name %zu", i);
	ck_assert_int_eq(changes(), before);
}
END_TEST

#define TEN "0123456789"
#define FIFTY TEN TEN TEN TEN TEN
#define TEN_TWOS                                   \
	"\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4" \
	"\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4"
#define TEN_THREES                                                     \
	"\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC" \
	"\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC"

START_TEST(tidies_texts)
{
	static const struct {
		const char *given, *kept;
	} names[] = {
	    {"  bench phone ", "bench phone"},
	    {FIFTY, TEN TEN TEN TEN},
	    /* A job takes a name of 64 bytes: 32 twos, 21 threes. */
	    {TEN_TWOS TEN_TWOS TEN_TWOS TEN_TWOS,
		TEN_TWOS TEN_TWOS TEN_TWOS "\xC3\xA4\xC3\xA4"},
	    {TEN_THREES TEN_THREES TEN_THREES,
		TEN_THREES TEN_THREES "\xE2\x82\xAC"},
	    /* Cut behind a blank, it does not end with one. */
	    {TEN TEN TEN "012345678 x", TEN TEN TEN "012345678"},
	    {"red\x1b[31m\x07", "red [31m"},
	    {"two\r\nlines", "two  lines"},
	    {"c1\xC2\x9B"
	     "31m",
		"c1 31m"},
	    {"turned\xE2\x80\xAE"
	     "back",
		"turned back"},
	    {"mark\xD8\x9Cmark", "mark mark"},
	    {"odd\xFF\xC3", "odd??"},
	    {"<b>&amp;'\"", "<b>&amp;'\""},
	};
	char agent[260];
	const struct lw_screen *screen;
	int64_t number;
	size_t i;

	for (i = 0; i < sizeof names / sizeof names[0]; i++) {
		pair_at(&bench, key((char)('a' + i)), names[i].given, 1);
		screen = get(&bench, key((char)('a' + i)), 1);
		ck_assert_str_eq(screen->name, names[i].kept);
	}
	/* 199 bytes, and a character of two that goes past the end. */
	memset(agent, 'x', 199);
	strcpy(agent + 199, "\xC3\xA4\xC3\xA4");
	ck_assert_int_eq(lw_screen_pair(&number, bench.book, key('y'), "y",
			     agent, 1, &bench.err),
	    LW_OK);
	agent[199] = '\0';
	ck_assert_str_eq(get(&bench, key('y'), 1)->agent, agent);
	ck_assert_int_eq(lw_screen_pair(&number, bench.book, key('z'), "z", "",
			     1, &bench.err),
	    LW_OK);
	ck_assert_str_eq(get(&bench, key('z'), 1)->agent, "");
}
END_TEST

START_TEST(gives_no_number_again)
{
	pair_at(&bench, key('a'), "a", 1);
	ck_assert_int_eq(pair_at(&bench, key('b'), "b", 1), 2);
	ck_assert_int_eq(lw_screen_remove(bench.book, 2, NULL), LW_OK);
	ck_assert_int_eq(pair_at(&bench, key('b'), "b", 1), 3);
	ck_assert_int_eq(
	    lw_screen_remove_all(&(size_t){0}, bench.book, 0, NULL), LW_OK);
	lw_book_close(bench.book);
	ck_assert_int_eq(
	    lw_book_open(&bench.book, NULL, bench.path, NULL), LW_OK);
	ck_assert_int_eq(pair_at(&bench, key('a'), "a", 1), 4);
}
END_TEST

START_TEST(ends_by_itself)
{
	const int64_t end_s = 1000 + SCREENS_HOLDS_S;

	pair_at(&bench, key('a'), "a", 1000);
	/* Being seen makes it no longer. */
	see(key('a'), end_s - 1);
	ck_assert_ptr_nonnull(get(&bench, key('a'), end_s - 1));
	ck_assert_ptr_null(get(&bench, key('a'), end_s));
	ck_assert_uint_eq(list_at(&bench, end_s - 1).count, 1);
	ck_assert_uint_eq(list_at(&bench, end_s).count, 0);
	/* Nobody swept yet: a clock that is set back has it there again, */
	ck_assert_ptr_nonnull(get(&bench, key('a'), 2000));
	/* and after that, not. */
	see(key('a'), end_s);
	ck_assert_ptr_null(get(&bench, key('a'), 2000));
	ck_assert_uint_eq(list_at(&bench, 2000).count, 0);
	/* Pairing sweeps too; the same cookie may then come again. */
	ck_assert_int_eq(pair_at(&bench, key('b'), "b", 1000), 2);
	ck_assert_int_eq(pair_at(&bench, key('b'), "b", end_s), 3);
	ck_assert_uint_eq(list_at(&bench, end_s).count, 1);
	/* A clock set back to before the pairing ends nothing. */
	ck_assert_ptr_nonnull(get(&bench, key('b'), 5));
	see(key('b'), 5);
	ck_assert_ptr_nonnull(get(&bench, key('b'), end_s + 1));
	/* Neither do times at the ends of all numbers. */
	pair_at(&bench, key('c'), "c", INT64_MAX - 5);
	ck_assert_ptr_nonnull(get(&bench, key('c'), INT64_MAX - 1));
	see(key('c'), INT64_MIN);
	ck_assert_ptr_nonnull(get(&bench, key('c'), INT64_MIN));
}
END_TEST

START_TEST(is_seen_once_a_minute)
{
	int64_t before;

	pair_at(&bench, key('a'), "a", 1000);
	before = changes();
	see(key('a'), 1000);
	see(key('a'), 1059);
	see(key('b'), 1059);
	ck_assert_int_eq(changes(), before);
	ck_assert_int_eq(get(&bench, key('a'), 1059)->last_s, 1000);
	see(key('a'), 1060);
	see(key('a'), 1061);
	see(key('a'), 1119);
	ck_assert_int_eq(changes(), before + 1);
	ck_assert_int_eq(get(&bench, key('a'), 1119)->last_s, 1060);
	see(key('a'), 1120);
	ck_assert_int_eq(changes(), before + 2);
	/* A clock set back is followed, and again once a minute. */
	see(key('a'), 500);
	see(key('a'), 559);
	ck_assert_int_eq(changes(), before + 3);
	ck_assert_int_eq(get(&bench, key('a'), 559)->last_s, 500);
	see(key('b'), 9999);
	ck_assert_int_eq(changes(), before + 3);
	ck_assert_ptr_null(get(&bench, key('b'), 9999));
}
END_TEST

/* A pack may be read in meanwhile, which can take long. */
START_TEST(being_seen_waits_for_nobody)
{
	struct timespec from, until;
	sqlite3_stmt *timeout;
	sqlite3 *other;

	pair_at(&bench, key('a'), "a", 1000);
	ck_assert_int_eq(sqlite3_open(bench.book->path, &other), SQLITE_OK);
	ck_assert_int_eq(
	    sqlite3_exec(other, "BEGIN IMMEDIATE", NULL, NULL, NULL),
	    SQLITE_OK);
	clock_gettime(CLOCK_MONOTONIC, &from);
	ck_assert_int_eq(
	    lw_screen_seen(bench.book, key('a'), 2000, &bench.err), LW_FAILED);
	clock_gettime(CLOCK_MONOTONIC, &until);
	ck_assert_int_lt(until.tv_sec - from.tv_sec, 4);
	ck_assert_int_eq(get(&bench, key('a'), 2000)->last_s, 1000);
	sqlite3_close(other);
	see(key('a'), 2000);
	ck_assert_int_eq(get(&bench, key('a'), 2000)->last_s, 2000);
	/* All else does wait, as before: 5 s. */
	ck_assert_int_eq(sqlite3_prepare_v2(bench.book->db,
			     "PRAGMA busy_timeout", -1, &timeout, NULL),
	    SQLITE_OK);
	ck_assert_int_eq(sqlite3_step(timeout), SQLITE_ROW);
	ck_assert_int_eq(sqlite3_column_int(timeout, 0), 5000);
	sqlite3_finalize(timeout);
}
END_TEST

START_TEST(lists_the_last_seen_first)
{
	struct lw_screens screens;

	pair_at(&bench, key('a'), "a", 1000);
	pair_at(&bench, key('b'), "b", 1000);
	pair_at(&bench, key('c'), "c", 900);
	screens = list_at(&bench, 1000);
	ck_assert_uint_eq(screens.count, 3);
	ck_assert_str_eq(screens.items[0].name, "b");
	ck_assert_str_eq(screens.items[1].name, "a");
	ck_assert_str_eq(screens.items[2].name, "c");
	see(key('c'), 1001);
	screens = list_at(&bench, 1001);
	ck_assert_str_eq(screens.items[0].name, "c");
	ck_assert_str_eq(screens.items[2].name, "a");
}
END_TEST

/* The one seen longest ago makes room, not the one paired longest ago. */
START_TEST(makes_room)
{
	char keys[66][65];
	int i;

	for (i = 0; i < 66; i++)
		snprintf(keys[i], sizeof keys[0], "%064x", i + 1);
	for (i = 0; i < 64; i++)
		ck_assert_int_eq(
		    pair_at(&bench, keys[i], "x", 1000 + i), i + 1);
	see(keys[0], 2000);
	ck_assert_uint_eq(list_at(&bench, 2000).count, 64);
	ck_assert_int_eq(pair_at(&bench, keys[64], "x", 2001), 65);
	ck_assert_uint_eq(list_at(&bench, 2001).count, 64);
	ck_assert_ptr_null(get(&bench, keys[1], 2001));
	ck_assert_ptr_nonnull(get(&bench, keys[0], 2001));
	ck_assert_ptr_nonnull(get(&bench, keys[2], 2001));
	/* Where one is over, nobody has to go. */
	ck_assert_int_eq(
	    pair_at(&bench, keys[65], "x", 1002 + SCREENS_HOLDS_S), 66);
	ck_assert_ptr_null(get(&bench, keys[2], 1002 + SCREENS_HOLDS_S));
	ck_assert_ptr_nonnull(get(&bench, keys[3], 1002 + SCREENS_HOLDS_S));
}
END_TEST

Suite *
suite_screens(void)
{
	Suite *suite = suite_create("screens");
	TCase *tests = tcase_create("screens");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_add_test(tests, pairs);
	tcase_add_test(tests, refuses_keys_and_names);
	tcase_add_test(tests, tidies_texts);
	tcase_add_test(tests, gives_no_number_again);
	tcase_add_test(tests, ends_by_itself);
	tcase_add_test(tests, is_seen_once_a_minute);
	tcase_add_test(tests, being_seen_waits_for_nobody);
	tcase_add_test(tests, lists_the_last_seen_first);
	tcase_add_test(tests, makes_room);
	suite_add_tcase(suite, tests);
	return suite;
}
