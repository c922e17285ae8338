/* book: what vehicles say about themselves, and days of the calendar. The rigs
 * are invented. */
#include "unit/suites.h"

#include "book/jobs.h"
#include "unit/book.h"

#include <lampwright/rig.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
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

/* --- records ------------------------------------------------------------ */

static enum lw_status
record(enum lw_record_kind kind, const char *subject, const char *value)
{
	struct lw_record said = {.device = "drive",
	    .kind = kind,
	    .subject = subject,
	    .value = value};

	return lw_record_add(
	    scratch.book, "cart48", &said, 10, NULL, &scratch.err);
}

START_TEST(records_come_back_in_order_of_time)
{
	struct lw_record said = {.device = "drive",
	    .kind = LW_RECORD_FAULT,
	    .subject = "2-3",
	    .has_count = true,
	    .count = 4,
	    .words = "after rain"};
	struct lw_records records;
	int64_t job = 0, number = 0;

	book_job_new(scratch.book, "cart48", NULL, NULL, "a job", NULL, 0, 5,
	    &job, NULL);
	said.job = job;
	ck_assert_int_eq(lw_record_add(scratch.book, "cart48", &said, 30,
			     &number, &scratch.err),
	    LW_OK);
	ck_assert_int_eq(number, 1);
	ck_assert_int_eq(record(LW_RECORD_HOURS, NULL, "1234.5"), LW_OK);
	ck_assert_int_eq(record(LW_RECORD_FIRMWARE, "", "4.2b"), LW_OK);
	ck_assert_int_eq(record(LW_RECORD_LIVE, "pack", "51.2 V"), LW_OK);
	ck_assert_int_eq(lw_record_list(scratch.book, scratch.arena, "cart48",
			     0, &records, NULL),
	    LW_OK);
	ck_assert_uint_eq(records.count, 4);
	ck_assert_int_eq(records.items[0].record, 2);
	ck_assert_int_eq(records.items[0].kind, LW_RECORD_HOURS);
	ck_assert_str_eq(records.items[0].value, "1234.5");
	ck_assert_ptr_null(records.items[0].subject);
	ck_assert(!records.items[0].has_count);
	ck_assert_int_eq(records.items[1].kind, LW_RECORD_FIRMWARE);
	ck_assert_ptr_null(records.items[1].subject);
	ck_assert_str_eq(records.items[2].subject, "pack");
	ck_assert_int_eq(records.items[3].kind, LW_RECORD_FAULT);
	ck_assert_int_eq(records.items[3].time_s, 30);
	ck_assert_str_eq(records.items[3].device, "drive");
	ck_assert_str_eq(records.items[3].subject, "2-3");
	ck_assert_ptr_null(records.items[3].value);
	ck_assert(records.items[3].has_count);
	ck_assert_int_eq(records.items[3].count, 4);
	ck_assert_str_eq(records.items[3].words, "after rain");
	ck_assert_int_eq(records.items[3].job, job);
	lw_record_list(scratch.book, scratch.arena, NULL, job, &records, NULL);
	ck_assert_uint_eq(records.count, 1);
	ck_assert_int_eq(records.items[0].record, 1);
	ck_assert_int_eq(lw_record_list(scratch.book, scratch.arena, "crat48",
			     0, &records, NULL),
	    LW_NOT_FOUND);
}
END_TEST

START_TEST(records_that_are_refused)
{
	struct lw_record said = {.device = "drive",
	    .kind = LW_RECORD_HOURS,
	    .value = "3",
	    .has_count = true};
	struct lw_records records;

	ck_assert_int_eq(record(LW_RECORD_HOURS, NULL, NULL), LW_BAD_INPUT);
	ck_assert_int_eq(record(LW_RECORD_HOURS, NULL, "many"), LW_BAD_INPUT);
	says("for running hours");
	ck_assert_int_eq(record(LW_RECORD_HOURS, NULL, "-3"), LW_BAD_INPUT);
	says("never below zero");
	ck_assert_int_eq(record(LW_RECORD_HOURS, NULL, "3,200"), LW_BAD_INPUT);
	ck_assert_int_eq(record(LW_RECORD_FIRMWARE, NULL, ""), LW_BAD_INPUT);
	ck_assert_int_eq(record(LW_RECORD_FAULT, NULL, "x"), LW_BAD_INPUT);
	says("the fault is empty");
	ck_assert_int_eq(record(LW_RECORD_LIVE, "pack", NULL), LW_BAD_INPUT);
	ck_assert_int_eq(record(LW_RECORD_LIVE, NULL, "5 V"), LW_BAD_INPUT);
	ck_assert_int_eq(record(LW_RECORD_LIVE, "a\nb", "5 V"), LW_BAD_INPUT);
	ck_assert_int_eq(
	    record((enum lw_record_kind)0, "pack", "5 V"), LW_BAD_INPUT);
	ck_assert_int_eq(
	    record((enum lw_record_kind)9, "pack", "5 V"), LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_record_add(scratch.book, "cart48", &said, 1, NULL, &scratch.err),
	    LW_BAD_INPUT);
	says("only a logged fault is counted");
	said.kind = LW_RECORD_FAULT;
	said.subject = "2-3";
	said.count = -1;
	ck_assert_int_eq(
	    lw_record_add(scratch.book, "cart48", &said, 1, NULL, &scratch.err),
	    LW_BAD_INPUT);
	said.count = 0;
	said.job = 7;
	ck_assert_int_eq(
	    lw_record_add(scratch.book, "cart48", &said, 1, NULL, &scratch.err),
	    LW_NOT_FOUND);
	said.job = 0;
	ck_assert_int_eq(
	    lw_record_add(scratch.book, "crat48", &said, 1, NULL, &scratch.err),
	    LW_NOT_FOUND);
	lw_record_list(
	    scratch.book, scratch.arena, "cart48", 0, &records, NULL);
	ck_assert_uint_eq(records.count, 0);
	ck_assert_int_eq(
	    lw_record_add(scratch.book, "cart48", &said, 1, NULL, &scratch.err),
	    LW_OK);
}
END_TEST

START_TEST(kinds_of_records)
{
	enum lw_record_kind kind;
	int i;

	for (i = LW_RECORD_HOURS; i <= LW_RECORD_LIVE; i++) {
		kind = (enum lw_record_kind)0;
		ck_assert_int_eq(
		    lw_record_kind_parse(&kind,
			lw_record_kind_name((enum lw_record_kind)i), NULL),
		    LW_OK);
		ck_assert_int_eq(kind, i);
	}
	ck_assert_str_eq(lw_record_kind_name(LW_RECORD_FAULT), "fault");
	ck_assert_int_eq(
	    lw_record_kind_parse(&kind, "Hours", &scratch.err), LW_BAD_INPUT);
	says("hours, firmware, fault or live");
}
END_TEST

/* --- days --------------------------------------------------------------- */

/* Figures by `date -u -d "DAY 23:59:59" +%s` of GNU coreutils 9.1. */
START_TEST(the_end_of_a_day)
{
	static const struct {
		const char *day;
		int64_t time_s;
	} good[] = {
	    {"1970-01-01", 86399},
	    {"1972-02-29", 68255999},
	    {"2000-02-29", 951868799},
	    {"2026-11-25", 1795651199},
	    {"2038-01-19", 2147558399},
	    {"9999-12-31", 253402300799},
	};
	static const char *const bad[] = {"", "2026", "2026-11", "2026-11-5",
	    "2026-1-05", "26-11-25", "2026-11-25 ", " 2026-11-25",
	    "2026-11-25T00:00", "2026/11/25", "25-11-2026", "2026-00-10",
	    "2026-13-01", "2026-11-00", "2026-11-31", "2026-02-29",
	    "1900-02-29", "2100-02-29", "1969-12-31", "0000-00-00",
	    "10000-01-01", "-026-11-25", "+026-11-25", "2026-11-2x",
	    ("2026\xE2\x80\x93"
	     "11-25"),
	    "yesterday\x1B"};
	int64_t time_s;
	size_t i;

	for (i = 0; i < COUNT(good); i++) {
		ck_assert_int_eq(lw_day_end(&time_s, good[i].day, NULL), LW_OK);
		ck_assert_int_eq(time_s, good[i].time_s);
	}
	for (i = 0; i < COUNT(bad); i++) {
		ck_assert_msg(
		    lw_day_end(&time_s, bad[i], &scratch.err) == LW_BAD_INPUT,
		    "%s", bad[i]);
		says("2026-11-25");
		ck_assert_ptr_null(strchr(scratch.err.text, '\x1B'));
	}
}
END_TEST

/* Every day there is, as the C library's calendar has it; and none besides. */
START_TEST(every_day_there_is)
{
	char day[40];
	struct tm tm;
	time_t now;
	int64_t time_s, step = getenv("LAMPWRIGHT_SHORT") == NULL ? 1 : 97;
	int64_t n;

	for (n = 0; n < 2932897; n += step) {
		now = (time_t)(n * 86400);
		ck_assert_ptr_nonnull(gmtime_r(&now, &tm));
		snprintf(day, sizeof day, "%04d-%02d-%02d", tm.tm_year + 1900,
		    tm.tm_mon + 1, tm.tm_mday);
		if (lw_day_end(&time_s, day, NULL) != LW_OK ||
		    time_s != n * 86400 + 86399)
			ck_abort_msg("%s", day);
	}
	for (tm.tm_year = 1970; tm.tm_year < 2105; tm.tm_year++)
		for (n = 1, time_s = 0; n <= 12; n++) {
			int date, ok = 0;

			for (date = 0; date < 40; date++) {
				snprintf(day, sizeof day, "%04d-%02d-%02d",
				    tm.tm_year, (int)n, date);
				ok += lw_day_end(&time_s, day, NULL) == LW_OK;
			}
			ck_assert_int_ge(ok, 28);
			ck_assert_int_le(ok, 31);
		}
}
END_TEST

Suite *
suite_records(void)
{
	Suite *suite = suite_create("records");
	TCase *tests = tcase_create("records");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 120);
	tcase_add_test(tests, records_come_back_in_order_of_time);
	tcase_add_test(tests, records_that_are_refused);
	tcase_add_test(tests, kinds_of_records);
	tcase_add_test(tests, the_end_of_a_day);
	tcase_add_test(tests, every_day_there_is);
	suite_add_tcase(suite, tests);
	return suite;
}
