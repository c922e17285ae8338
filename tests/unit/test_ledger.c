/* book: the settings ledger. The rigs and their settings are invented. */
#include "unit/suites.h"

#include "book/jobs.h"
#include "book/store.h"
#include "unit/book.h"

#include <lampwright/rig.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, &sample_cart, 100, NULL), LW_OK);
	ck_assert_int_eq(
	    lw_rig_new(scratch.book, "cart48", NULL, 1, NULL), LW_OK);
}

static void
teardown(void)
{
	ck_assert_msg(lw_book_check(scratch.book, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	scratch_remove(&scratch);
}

static void
says(const char *part)
{
	ck_assert_msg(
	    strstr(scratch.err.text, part) != NULL, "%s", scratch.err.text);
}

/* Add to the ledger of cart48; `was` NULL: only read. */
static enum lw_status
add(int64_t time_s, const char *device, const char *setting, const char *was,
    const char *became)
{
	struct lw_setting entry = {
	    .device = device, .setting = setting, .was = was, .became = became};

	return lw_setting_add(
	    scratch.book, "cart48", &entry, time_s, NULL, &scratch.err);
}

static struct lw_settings
history(const char *device)
{
	struct lw_settings settings;

	ck_assert_msg(lw_setting_history(scratch.book, scratch.arena, "cart48",
			  device, &settings, &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	return settings;
}

static struct lw_settings
as_of(int64_t at_s)
{
	struct lw_settings settings;

	ck_assert_msg(lw_setting_as_of(scratch.book, scratch.arena, "cart48",
			  at_s, &settings, &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	return settings;
}

/* What differs between two times, as "device/setting: before > after" lines. */
static const char *
difference(int64_t from_s, int64_t to_s)
{
	static char text[4000];
	const struct lw_setting_change *changes;
	size_t count, i, used = 0;

	ck_assert_msg(
	    lw_setting_difference(scratch.book, scratch.arena, "cart48", from_s,
		to_s, &changes, &count, &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	text[0] = '\0';
	for (i = 0; i < count; i++)
		used += (size_t)snprintf(text + used, sizeof text - used,
		    "%s/%s: %s > %s\n", changes[i].device, changes[i].setting,
		    changes[i].before == NULL ? "?" : changes[i].before,
		    changes[i].after == NULL ? "?" : changes[i].after);
	return text;
}

/* --- the ledger --------------------------------------------------------- */

START_TEST(entries_come_back_in_order)
{
	struct lw_setting entry = {.device = "drive",
	    .setting = "pull-away time",
	    .was = "0.9s",
	    .became = "1.6s",
	    .why = "It jerked.\nOn the ramp."};
	struct lw_settings settings;
	int64_t job = 0, first = 0, second = 0;

	book_job_new(scratch.book, "cart48", NULL, NULL, "a job", NULL, 0, 5,
	    &job, NULL);
	entry.job = job;
	ck_assert_int_eq(lw_setting_add(scratch.book, "cart48", &entry, 100,
			     &first, &scratch.err),
	    LW_OK);
	entry.job = 0;
	entry.why = "";
	entry.was = NULL;
	entry.setting = "  Top speed ";
	entry.became = "\xC3\xA9 80 %";
	/* A clock that was set back: written later all the same. */
	ck_assert_int_eq(lw_setting_add(scratch.book, "cart48", &entry, 50,
			     &second, &scratch.err),
	    LW_OK);
	ck_assert_int_gt(second, first);
	settings = history(NULL);
	ck_assert_uint_eq(settings.count, 2);
	ck_assert_int_eq(settings.items[0].entry, first);
	ck_assert_int_eq(settings.items[0].time_s, 100);
	ck_assert_str_eq(settings.items[0].device, "drive");
	ck_assert_str_eq(settings.items[0].setting, "pull-away time");
	ck_assert_str_eq(settings.items[0].was, "0.9s");
	ck_assert_str_eq(settings.items[0].became, "1.6s");
	ck_assert_str_eq(settings.items[0].why, "It jerked.\nOn the ramp.");
	ck_assert_int_eq(settings.items[0].job, job);
	ck_assert(!settings.items[0].unexplained);
	/* Texts are kept as they are. */
	ck_assert_int_eq(settings.items[1].time_s, 50);
	ck_assert_str_eq(settings.items[1].setting, "  Top speed ");
	ck_assert_ptr_null(settings.items[1].was);
	ck_assert_str_eq(settings.items[1].became, "\xC3\xA9 80 %");
	ck_assert_ptr_null(settings.items[1].why);
	ck_assert_int_eq(settings.items[1].job, 0);
	ck_assert_int_eq(lw_setting_of_job(
			     scratch.book, scratch.arena, job, &settings, NULL),
	    LW_OK);
	ck_assert_uint_eq(settings.count, 1);
	ck_assert_int_eq(settings.items[0].entry, first);
	ck_assert_uint_eq(history("drive").count, 2);
	ck_assert_uint_eq(history("charger").count, 0);
}
END_TEST

/* A change that nobody wrote down shows in what the next one began with. */
START_TEST(what_the_ledger_cannot_explain)
{
	struct lw_settings settings;
	static const bool expected[] = {
	    false, false, true, false, false, true, true, false, false, false};
	size_t i;

	add(10, "drive", "ramp", "1", "2");
	add(20, "drive", "ramp", "2", "3");
	add(30, "drive", "ramp", "4", "5");   /* it had 3 */
	add(40, "drive", "limit", "4", "5");  /* the first of its name */
	add(50, "charger", "ramp", "9", "8"); /* of another device */
	add(60, "drive", "ramp", NULL, "7");  /* only read; it had 5 */
	add(5, "drive", "ramp", "5", "6");    /* last written was 7 */
	add(70, "drive", "ramp", "6", "6");
	add(80, "drive", "ramp", NULL, "6");  /* read as it was */
	add(90, "drive", "curve", NULL, "1"); /* the first of its name */
	settings = history(NULL);
	ck_assert_uint_eq(settings.count, COUNT(expected));
	for (i = 0; i < COUNT(expected); i++)
		ck_assert_msg(settings.items[i].unexplained == expected[i],
		    "entry %zu", i + 1);
	/* The same of one device, as of a time, and of a job. */
	settings = history("drive");
	ck_assert_uint_eq(settings.count, 9);
	ck_assert(settings.items[2].unexplained);
	ck_assert(!settings.items[3].unexplained);
	settings = as_of(35);
	ck_assert_uint_eq(settings.count, 1);
	ck_assert_str_eq(settings.items[0].became, "5");
	ck_assert(settings.items[0].unexplained);
	/* In order of writing, though the time asked for ends before it. */
	settings = as_of(5);
	ck_assert_str_eq(settings.items[0].became, "6");
	ck_assert(settings.items[0].unexplained);
}
END_TEST

START_TEST(of_a_job_with_what_came_before_it)
{
	struct lw_setting entry = {
	    .device = "drive", .setting = "ramp", .was = "3", .became = "4"};
	struct lw_settings settings;
	int64_t job = 0;

	book_job_new(
	    scratch.book, NULL, NULL, NULL, "a job", NULL, 0, 5, &job, NULL);
	entry.job = job;
	add(10, "drive", "ramp", "1", "2");
	ck_assert_int_eq(lw_setting_add(scratch.book, "cart48", &entry, 20,
			     NULL, &scratch.err),
	    LW_OK);
	add(30, "drive", "ramp", "4", "5");
	lw_setting_of_job(scratch.book, scratch.arena, job, &settings, NULL);
	ck_assert_uint_eq(settings.count, 1);
	ck_assert(settings.items[0].unexplained);
	ck_assert_str_eq(settings.items[0].became, "4");
}
END_TEST

START_TEST(as_they_stood)
{
	struct lw_settings settings;

	add(100, "drive", "ramp", "1", "2");
	add(200, "drive", "Limit", NULL, "80 %");
	add(200, "drive", "ramp", "2", "3");
	add(200, "drive", "ramp", "3", "4"); /* in the same second */
	add(150, "drive", "ramp", "4", "9"); /* the clock was set back */
	add(300, "charger", "ramp", "7", "8");
	ck_assert_uint_eq(as_of(99).count, 0);
	settings = as_of(100);
	ck_assert_uint_eq(settings.count, 1);
	ck_assert_str_eq(settings.items[0].became, "2");
	ck_assert_str_eq(as_of(149).items[0].became, "2");
	ck_assert_str_eq(as_of(150).items[0].became, "9");
	ck_assert_str_eq(as_of(199).items[0].became, "9");
	settings = as_of(200);
	ck_assert_uint_eq(settings.count, 2);
	ck_assert_str_eq(settings.items[0].setting, "Limit");
	ck_assert_str_eq(settings.items[1].setting, "ramp");
	ck_assert_str_eq(settings.items[1].became, "4");
	settings = as_of(INT64_MAX);
	ck_assert_uint_eq(settings.count, 3);
	ck_assert_str_eq(settings.items[0].device, "charger");
	ck_assert_uint_eq(as_of(INT64_MIN).count, 0);
}
END_TEST

START_TEST(between_two_times)
{
	add(100, "drive", "ramp", "1", "2");
	add(200, "drive", "ramp", "2", "3");
	add(200, "drive", "limit", NULL, "80 %"); /* only read */
	add(300, "charger", "mode", "a", "b");
	add(400, "charger", "mode", "b", "a");
	ck_assert_str_eq(difference(100, 100), "");
	/* Before its first entry a setting is what that entry says it was. */
	ck_assert_str_eq(difference(0, 100), "drive/ramp: 1 > 2\n");
	ck_assert_str_eq(difference(100, 200), "drive/limit: ? > 80 %\n"
					       "drive/ramp: 2 > 3\n");
	ck_assert_str_eq(difference(200, 300), "charger/mode: a > b\n");
	/* There and back again is no difference. */
	ck_assert_str_eq(difference(200, 400), "");
	ck_assert_str_eq(difference(0, 1000), "drive/limit: ? > 80 %\n"
					      "drive/ramp: 1 > 3\n");
	/* The list to put them back: from now to then. */
	ck_assert_str_eq(difference(1000, 0), "drive/limit: 80 % > ?\n"
					      "drive/ramp: 3 > 1\n");
	ck_assert_str_eq(difference(350, 100), "charger/mode: b > a\n"
					       "drive/limit: 80 % > ?\n"
					       "drive/ramp: 3 > 2\n");
}
END_TEST

/* The first entry is the first in time, not the first written. */
START_TEST(before_the_first_in_time)
{
	add(200, "drive", "ramp", "5", "6");
	add(100, "drive", "ramp", "1", "2");
	ck_assert_str_eq(difference(50, 150), "drive/ramp: 1 > 2\n");
	add(60, "drive", "ramp", NULL, "1");
	ck_assert_str_eq(difference(50, 150), "drive/ramp: ? > 2\n");
	/* A value that is only read again is no change. */
	add(300, "drive", "ramp", NULL, "6");
	ck_assert_str_eq(difference(250, 350), "");
}
END_TEST

/* --- against a plain model: lists, and no SQL --------------------------- */

enum { STEPS = 60, NAMES = 3, LAST_S = 40 };

struct entry {
	int64_t time_s;
	int name;
	char was[4]; /* "" only read */
	char became[4];
};

/* The last at or before at_s, or NULL. */
static const struct entry *
model_at(const struct entry *entries, int count, int name, int64_t at_s)
{
	const struct entry *best = NULL;
	int i;

	for (i = 0; i < count; i++)
		if (entries[i].name == name && entries[i].time_s <= at_s &&
		    (best == NULL || entries[i].time_s >= best->time_s))
			best = &entries[i];
	return best;
}

/* The value then; "" where it is not known. */
static const char *
model_value(const struct entry *entries, int count, int name, int64_t at_s)
{
	const struct entry *last = model_at(entries, count, name, at_s);
	const struct entry *first = NULL;
	int i;

	if (last != NULL)
		return last->became;
	for (i = 0; i < count; i++)
		if (entries[i].name == name &&
		    (first == NULL || entries[i].time_s < first->time_s))
			first = &entries[i];
	return first == NULL ? "" : first->was;
}

static void
compare(const struct entry *entries, int count, int64_t one_s, int64_t other_s)
{
	static const char *const names[NAMES] = {"a", "b", "c"};
	char expected[400] = "", line[80];
	struct lw_settings settings = as_of(one_s);
	const struct entry *entry;
	const char *before, *after;
	size_t n = 0;
	int name;

	for (name = 0; name < NAMES; name++) {
		entry = model_at(entries, count, name, one_s);
		if (entry != NULL) {
			ck_assert_uint_lt(n, settings.count);
			ck_assert_str_eq(
			    settings.items[n].setting, names[name]);
			ck_assert_str_eq(
			    settings.items[n].became, entry->became);
			ck_assert_int_eq(
			    settings.items[n].entry, entry - entries + 1);
			n++;
		}
		before = model_value(entries, count, name, one_s);
		after = model_value(entries, count, name, other_s);
		if (strcmp(before, after) == 0)
			continue;
		snprintf(line, sizeof line, "drive/%s: %s > %s\n", names[name],
		    before[0] == '\0' ? "?" : before,
		    after[0] == '\0' ? "?" : after);
		strcat(expected, line);
	}
	ck_assert_uint_eq(settings.count, n);
	ck_assert_str_eq(difference(one_s, other_s), expected);
}

START_TEST(as_a_plain_model_has_it)
{
	struct entry entries[STEPS];
	static const char *const names[NAMES] = {"a", "b", "c"};
	unsigned seed = 7;
	int i, k;

	for (i = 0; i < STEPS; i++) {
		struct entry *entry = &entries[i];

		entry->time_s = rand_r(&seed) % LAST_S;
		entry->name = rand_r(&seed) % NAMES;
		snprintf(
		    entry->was, sizeof entry->was, "%d", rand_r(&seed) % 4);
		if (rand_r(&seed) % 3 == 0)
			entry->was[0] = '\0';
		snprintf(entry->became, sizeof entry->became, "%d",
		    rand_r(&seed) % 4);
		ck_assert_int_eq(add(entry->time_s, "drive", names[entry->name],
				     entry->was[0] == '\0' ? NULL : entry->was,
				     entry->became),
		    LW_OK);
		for (k = 0; k < 6; k++)
			compare(entries, i + 1, rand_r(&seed) % LAST_S - 1,
			    rand_r(&seed) % LAST_S - 1);
	}
}
END_TEST

/* --- what is refused ---------------------------------------------------- */

START_TEST(entries_that_are_refused)
{
	struct lw_setting entry = {
	    .device = "drive", .setting = "ramp", .became = "1"};
	char text[1002];
	int64_t number = 5, job = 0;

	ck_assert_int_eq(add(1, NULL, "ramp", NULL, "1"), LW_BAD_INPUT);
	says("the name of the device is empty");
	ck_assert_int_eq(add(1, "drive", "", NULL, "1"), LW_BAD_INPUT);
	says("the name of the setting");
	ck_assert_int_eq(add(1, "drive", "ramp", NULL, NULL), LW_BAD_INPUT);
	ck_assert_int_eq(add(1, "drive", "ramp", "", "1"), LW_BAD_INPUT);
	says("the value before is empty");
	ck_assert_int_eq(add(1, "drive", "ramp", "1", " "), LW_BAD_INPUT);
	ck_assert_int_eq(add(1, "drive", "ra\nmp", "1", "2"), LW_BAD_INPUT);
	ck_assert_int_eq(add(1, "drive", "ramp", "1", "\xFF"), LW_BAD_INPUT);
	memset(text, 'x', sizeof text - 1);
	text[1001] = '\0';
	entry.why = text;
	ck_assert_int_eq(
	    lw_setting_add(scratch.book, "cart48", &entry, 1, &number, NULL),
	    LW_BAD_INPUT);
	ck_assert_int_eq(number, 0);
	entry.why = NULL;
	text[201] = '\0';
	ck_assert_int_eq(add(1, "drive", "ramp", "1", text), LW_BAD_INPUT);
	text[200] = '\0';
	ck_assert_int_eq(add(1, "drive", "ramp", "1", text), LW_OK);
	ck_assert_int_eq(lw_setting_add(scratch.book, "crat48", &entry, 1, NULL,
			     &scratch.err),
	    LW_NOT_FOUND);
	says("nearest is \"cart48\"");
	entry.job = 9;
	ck_assert_int_eq(lw_setting_add(scratch.book, "cart48", &entry, 1, NULL,
			     &scratch.err),
	    LW_NOT_FOUND);
	says("no job 9");
	/* A job on another rig. */
	lw_rig_new(scratch.book, "trike36", NULL, 1, NULL);
	book_job_new(scratch.book, "trike36", NULL, NULL, "a job", NULL, 0, 5,
	    &job, NULL);
	entry.job = job;
	ck_assert_int_eq(lw_setting_add(scratch.book, "cart48", &entry, 1, NULL,
			     &scratch.err),
	    LW_BAD_INPUT);
	says("is on the rig \"trike36\"");
	ck_assert_uint_eq(history(NULL).count, 1);
	/* A rig that was removed is read, and takes nothing new. */
	lw_rig_remove(scratch.book, "cart48", NULL);
	ck_assert_int_eq(add(2, "drive", "ramp", "1", "2"), LW_NOT_FOUND);
	says("brings it back");
	ck_assert_uint_eq(history(NULL).count, 1);
	ck_assert_uint_eq(as_of(10).count, 1);
}
END_TEST

START_TEST(names_of_devices)
{
	struct lw_rig_pair pairs[31];
	char keys[31][80];
	size_t i;

	/* Where the rig has none, any name will do. */
	ck_assert_int_eq(add(1, "the black box", "ramp", "1", "2"), LW_OK);
	pairs[0] = (struct lw_rig_pair){"device.drive", "zeta-drive"};
	pairs[1] = (struct lw_rig_pair){"device.charger", "alpha-charger"};
	lw_rig_set(scratch.book, "cart48", pairs, 2, 1, NULL);
	ck_assert_int_eq(add(2, "drive", "ramp", "1", "2"), LW_OK);
	ck_assert_int_eq(
	    add(2, "the black box", "ramp", "2", "3"), LW_NOT_FOUND);
	says("no device \"the black box\"; it has charger, drive");
	/* The device's id is not the rig's name for it. */
	ck_assert_int_eq(add(2, "zeta-drive", "ramp", "2", "3"), LW_NOT_FOUND);
	ck_assert_uint_eq(history("the black box").count, 1);
	/* As many names as a sentence holds. */
	for (i = 2; i < COUNT(keys); i++) {
		snprintf(keys[i], sizeof keys[i], "device.d%zu%058d", i, 0);
		pairs[i] = (struct lw_rig_pair){keys[i], "zeta-drive"};
	}
	ck_assert_int_eq(lw_rig_set(scratch.book, "cart48", pairs, COUNT(pairs),
			     1, &scratch.err),
	    LW_OK);
	ck_assert_int_eq(add(2, "none", "ramp", "2", "3"), LW_NOT_FOUND);
	says("it has charger, d10");
	says(", and more");
}
END_TEST

START_TEST(the_ledger_is_never_changed)
{
	static const char *const sql[] = {"UPDATE settings SET became = '9'",
	    "DELETE FROM settings",
	    "INSERT OR REPLACE INTO settings (entry, time_s, rig, device,"
	    " setting, became) VALUES (1, 1, 'cart48', 'x', 'y', 'z')",
	    "UPDATE records SET value = '9'", "DELETE FROM records",
	    "INSERT OR REPLACE INTO records (record, time_s, rig, device,"
	    " kind) VALUES (1, 1, 'cart48', 'x', 'live')",
	    "INSERT INTO records (time_s, rig, device, kind)"
	    " VALUES (1, 'cart48', 'x', 'rumour')"};
	struct lw_record record = {
	    .device = "drive", .kind = LW_RECORD_HOURS, .value = "7"};
	size_t i;

	ck_assert_int_eq(add(1, "drive", "ramp", "1", "2"), LW_OK);
	ck_assert_int_eq(
	    lw_record_add(scratch.book, "cart48", &record, 1, NULL, NULL),
	    LW_OK);
	for (i = 0; i < COUNT(sql); i++)
		ck_assert_msg(sqlite3_exec(scratch.book->db, sql[i], NULL, NULL,
				  NULL) != SQLITE_OK,
		    "%s", sql[i]);
	ck_assert_str_eq(history(NULL).items[0].became, "2");
}
END_TEST

Suite *
suite_ledger(void)
{
	Suite *suite = suite_create("ledger");
	TCase *tests = tcase_create("ledger");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 120);
	tcase_add_test(tests, entries_come_back_in_order);
	tcase_add_test(tests, what_the_ledger_cannot_explain);
	tcase_add_test(tests, of_a_job_with_what_came_before_it);
	tcase_add_test(tests, as_they_stood);
	tcase_add_test(tests, between_two_times);
	tcase_add_test(tests, before_the_first_in_time);
	tcase_add_test(tests, as_a_plain_model_has_it);
	tcase_add_test(tests, entries_that_are_refused);
	tcase_add_test(tests, names_of_devices);
	tcase_add_test(tests, the_ledger_is_never_changed);
	suite_add_tcase(suite, tests);
	return suite;
}
