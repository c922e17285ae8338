/* book: jobs and their findings, which are only ever added to. */
#include "unit/suites.h"

#include "book/jobs.h"
#include "book/store.h"
#include "unit/book.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static struct scratch scratch;

static void
setup(void)
{
	scratch_make(&scratch);
	scratch_open(&scratch);
}

static void
teardown(void)
{
	ck_assert_msg(lw_book_check(scratch.book, &scratch.err) == LW_OK, "%s",
	    scratch.err.text);
	scratch_remove(&scratch);
}

static const struct lw_finding pattern = {
    .kind = LW_FINDING_PATTERN, .subject = "5", .title = "5 flashes"};
static const struct lw_finding reading = {.kind = LW_FINDING_CHECK,
    .subject = "supply-volts",
    .title = "Voltage",
    .outcome = "low",
    .outcome_title = "too low",
    .has_value = true,
    .value = 12.4,
    .unit = "V",
    .expected = "40 V to 60 V",
    .words = "flickered",
    .ask = "What does the meter read?",
    .about = "fuse-open",
    .power = LW_POWER_PRECHARGED,
    .leads = LW_POWER_ISOLATED,
    .passed = true,
    .stop = "Stop here.",
    .say = "Leave it off.",
    .step = 0.1,
    .spread = 0.25,
    .also = "band"};
static const struct lw_finding cannot = {
    .kind = LW_FINDING_CANNOT, .subject = "look-at-fuse"};

static int64_t
new_job(const char *title, int64_t now_s)
{
	int64_t job = 0;

	ck_assert_msg(
	    book_job_new(scratch.book, NULL, "zeta-drive", NULL, title,
		&pattern, 1, now_s, &job, &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	return job;
}

/* One finding, and nothing about who holds the vehicle. */
static enum lw_status
append(struct lw_book *book, int64_t job, int64_t after,
    const struct lw_finding *finding, int64_t now_s)
{
	return book_job_append(
	    book, job, after, finding, 1, NULL, NULL, now_s, &scratch.err);
}

static const struct book_job *
load(int64_t job)
{
	const struct book_job *loaded;

	ck_assert_msg(book_job_load(scratch.book, scratch.arena, job, &loaded,
			  &scratch.err) == LW_OK,
	    "%s", scratch.err.text);
	return loaded;
}

START_TEST(a_job_comes_back_as_it_was)
{
	struct lw_finding open_line = reading;
	const struct book_job *job;
	int64_t number = new_job("a job", 10);

	open_line.value = INFINITY;
	open_line.unit = "ohm";
	ck_assert_int_eq(append(scratch.book, number, 1, &reading, 11), LW_OK);
	ck_assert_int_eq(append(scratch.book, number, 2, &cannot, 12), LW_OK);
	ck_assert_int_eq(
	    append(scratch.book, number, 3, &open_line, 13), LW_OK);
	scratch_reopen(&scratch);
	job = load(number);
	ck_assert_int_eq(job->job, number);
	ck_assert_int_eq(job->created_s, 10);
	ck_assert_str_eq(job->device, "zeta-drive");
	ck_assert_ptr_null(job->lamp);
	ck_assert_str_eq(job->title, "a job");
	ck_assert_uint_eq(job->finding_count, 4);
	ck_assert_int_eq(job->findings[0].serial, 1);
	ck_assert_int_eq(job->findings[0].kind, LW_FINDING_PATTERN);
	ck_assert_str_eq(job->findings[0].subject, "5");
	ck_assert(!job->findings[0].has_value);
	ck_assert_ptr_null(job->findings[0].outcome);
	ck_assert_int_eq(job->findings[1].serial, 2);
	ck_assert_int_eq(job->findings[1].time_s, 11);
	ck_assert_str_eq(job->findings[1].title, "Voltage");
	ck_assert_str_eq(job->findings[1].outcome, "low");
	ck_assert_str_eq(job->findings[1].outcome_title, "too low");
	ck_assert(job->findings[1].has_value);
	ck_assert(job->findings[1].value == 12.4);
	ck_assert_str_eq(job->findings[1].unit, "V");
	ck_assert_str_eq(job->findings[1].expected, "40 V to 60 V");
	ck_assert_str_eq(job->findings[1].words, "flickered");
	ck_assert_str_eq(job->findings[1].ask, "What does the meter read?");
	ck_assert_str_eq(job->findings[1].about, "fuse-open");
	ck_assert_int_eq(job->findings[1].power, LW_POWER_PRECHARGED);
	ck_assert_int_eq(job->findings[1].leads, LW_POWER_ISOLATED);
	ck_assert(job->findings[1].passed);
	ck_assert_str_eq(job->findings[1].stop, "Stop here.");
	ck_assert_str_eq(job->findings[1].say, "Leave it off.");
	ck_assert(job->findings[1].step == 0.1);
	ck_assert(job->findings[1].spread == 0.25);
	ck_assert_str_eq(job->findings[1].also, "band");
	ck_assert(job->findings[0].step == 0 && job->findings[0].spread == 0);
	ck_assert_ptr_null(job->findings[0].also);
	ck_assert_int_eq(job->findings[0].power, LW_POWER_UNKNOWN);
	ck_assert(!job->findings[0].passed);
	ck_assert_ptr_null(job->findings[0].stop);
	ck_assert_ptr_null(job->findings[0].ask);
	ck_assert_ptr_null(job->findings[0].about);
	ck_assert_ptr_null(job->rig);
	ck_assert(!job->findings[1].undone);
	ck_assert_int_eq(job->findings[2].kind, LW_FINDING_CANNOT);
	ck_assert(job->findings[3].has_value);
	ck_assert(isinf(job->findings[3].value));
	ck_assert(job->findings[3].value > 0);
}
END_TEST

START_TEST(stale_appends_are_refused)
{
	struct lw_book *other;
	int64_t job = new_job("a job", 10), before, after;

	/* Two screens have seen finding 1; the first to answer has it. */
	ck_assert_int_eq(lw_book_open(&other, NULL, scratch.path, NULL), LW_OK);
	ck_assert_int_eq(append(other, job, 1, &reading, 11), LW_OK);
	lw_book_change(scratch.book, &before, NULL);
	ck_assert_int_eq(
	    append(scratch.book, job, 1, &cannot, 12), LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "is 2, not 1"));
	lw_book_change(scratch.book, &after, NULL);
	ck_assert_int_eq(before, after);
	ck_assert_uint_eq(load(job)->finding_count, 2);
	ck_assert_int_eq(
	    append(scratch.book, job, 5, &cannot, 12), LW_CONFLICT);
	ck_assert_int_eq(append(scratch.book, job, 2, &cannot, 12), LW_OK);
	lw_book_close(other);
}
END_TEST

/* Children append to one job as fast as they can; none is lost or doubled. */
START_TEST(many_append_at_once)
{
	enum { CHILDREN = 4, EACH = 10 };
	const struct book_job *loaded;
	int64_t job = new_job("a job", 10);
	int i, state;
	size_t n;

	lw_book_close(scratch.book);
	scratch.book = NULL;
	for (i = 0; i < CHILDREN; i++) {
		if (fork() == 0) {
			int64_t after = 1;
			int done = 0;

			if (lw_book_open(&scratch.book, NULL, scratch.path,
				NULL) != LW_OK)
				_exit(2);
			while (done < EACH) {
				enum lw_status status = append(
				    scratch.book, job, after, &cannot, i + 20);

				if (status != LW_OK && status != LW_CONFLICT)
					_exit(3);
				done += status == LW_OK;
				after++;
			}
			lw_book_close(scratch.book);
			_exit(0);
		}
	}
	for (i = 0; i < CHILDREN; i++) {
		ck_assert_int_gt(wait(&state), 0);
		ck_assert(WIFEXITED(state));
		ck_assert_int_eq(WEXITSTATUS(state), 0);
	}
	scratch_open(&scratch);
	loaded = load(job);
	ck_assert_uint_eq(loaded->finding_count, 1 + CHILDREN * EACH);
	for (n = 0; n < loaded->finding_count; n++)
		ck_assert_int_eq(loaded->findings[n].serial, (int64_t)n + 1);
}
END_TEST

START_TEST(findings_are_never_changed)
{
	static const char *const sql[] = {"UPDATE findings SET subject = '6'",
	    "DELETE FROM findings", "DELETE FROM jobs",
	    "INSERT INTO findings (job, serial, time_s, kind)"
	    " VALUES (1, 4, 1, 1)",
	    "INSERT INTO findings (job, serial, time_s, kind)"
	    " VALUES (1, 0, 1, 1)",
	    "INSERT OR REPLACE INTO findings (job, serial, time_s, kind)"
	    " VALUES (1, 1, 1, 2)",
	    "INSERT INTO findings (job, serial, time_s, kind)"
	    " VALUES (9, 1, 1, 1)"};
	size_t i;

	ck_assert_int_eq(new_job("a job", 10), 1);
	for (i = 0; i < sizeof sql / sizeof sql[0]; i++)
		ck_assert_msg(sqlite3_exec(scratch.book->db, sql[i], NULL, NULL,
				  NULL) != SQLITE_OK,
		    "%s", sql[i]);
	ck_assert_str_eq(load(1)->findings[0].subject, "5");
}
END_TEST

START_TEST(what_is_no_job)
{
	struct lw_finding bad = reading;
	const struct book_job *loaded;
	int64_t job = 7;

	ck_assert_int_eq(book_job_load(scratch.book, scratch.arena, 3, &loaded,
			     &scratch.err),
	    LW_NOT_FOUND);
	ck_assert_ptr_null(loaded);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "job list"));
	ck_assert_int_eq(append(scratch.book, 3, 0, &reading, 1), LW_NOT_FOUND);
	/* A finding that cannot be kept takes its job back. */
	bad.value = NAN;
	ck_assert_int_eq(book_job_new(scratch.book, NULL, NULL, NULL, "bad",
			     &bad, 1, 1, &job, NULL),
	    LW_BAD_INPUT);
	ck_assert_int_eq(job, 0);
	ck_assert_int_eq(
	    book_job_load(scratch.book, scratch.arena, 1, &loaded, NULL),
	    LW_NOT_FOUND);
}
END_TEST

START_TEST(the_last_touched_comes_first)
{
	struct lw_entries jobs;
	int64_t one, two, three;

	ck_assert_int_eq(
	    book_job_list(scratch.book, scratch.arena, &jobs, NULL), LW_OK);
	ck_assert_uint_eq(jobs.count, 0);
	one = new_job("one", 10);
	two = new_job("two", 20);
	ck_assert_int_eq(book_job_new(scratch.book, "cart48", NULL, NULL,
			     "three", NULL, 0, 25, &three, NULL),
	    LW_OK);
	append(scratch.book, one, 1, &reading, 30);
	ck_assert_int_eq(
	    book_job_list(scratch.book, scratch.arena, &jobs, NULL), LW_OK);
	ck_assert_uint_eq(jobs.count, 3);
	ck_assert_str_eq(jobs.items[0].title, "one");
	ck_assert_str_eq(jobs.items[0].kind, "job");
	ck_assert_str_eq(jobs.items[0].id, "1");
	ck_assert_int_eq(jobs.items[0].time_s, 30);
	ck_assert_str_eq(jobs.items[0].subject, "");
	ck_assert_str_eq(jobs.items[1].title, "three");
	ck_assert_str_eq(jobs.items[1].subject, "cart48");
	ck_assert_str_eq(load(three)->rig, "cart48");
	ck_assert_str_eq(jobs.items[2].title, "two");
	ck_assert_int_eq(two, 2);
}
END_TEST

START_TEST(notes_on_a_job)
{
	struct lw_entries notes;

	new_job("the long one", 10);
	ck_assert_int_eq(lw_book_add_note(scratch.book, "job", "01",
			     "It rained.", 11, NULL, NULL),
	    LW_OK);
	lw_book_notes(scratch.book, scratch.arena, "job", "1", &notes, NULL);
	ck_assert_uint_eq(notes.count, 1);
	ck_assert_str_eq(notes.items[0].title, "the long one");
}
END_TEST

START_TEST(several_findings_at_once)
{
	struct lw_finding two[2] = {reading, cannot};
	int64_t job = new_job("a job", 10), before, after;

	ck_assert_int_eq(
	    book_job_append(scratch.book, job, 1, two, 2, NULL, NULL, 11, NULL),
	    LW_OK);
	ck_assert_uint_eq(load(job)->finding_count, 3);
	ck_assert_int_eq(load(job)->findings[2].serial, 3);
	ck_assert_int_eq(load(job)->findings[2].kind, LW_FINDING_CANNOT);
	/* All or none. */
	two[1] = reading;
	two[1].value = NAN;
	lw_book_change(scratch.book, &before, NULL);
	ck_assert_int_eq(
	    book_job_append(scratch.book, job, 3, two, 2, NULL, NULL, 12, NULL),
	    LW_BAD_INPUT);
	lw_book_change(scratch.book, &after, NULL);
	ck_assert_int_eq(before, after);
	ck_assert_uint_eq(load(job)->finding_count, 3);
	/* None at all is fine, and stale all the same. */
	ck_assert_int_eq(
	    book_job_append(scratch.book, job, 3, NULL, 0, NULL, NULL, 13, NULL),
	    LW_OK);
	ck_assert_int_eq(
	    book_job_append(scratch.book, job, 2, NULL, 0, NULL, NULL, 13, NULL),
	    LW_CONFLICT);
}
END_TEST

/* --- holds -------------------------------------------------------------- */

static struct book_hold
held(void)
{
	struct book_hold hold;

	ck_assert_int_eq(book_hold_get(scratch.book, scratch.arena, "job 1",
			     &hold, &scratch.err),
	    LW_OK);
	return hold;
}

/* The next hold in place of `seen`, after the last finding, with `count` of
 * a finding. */
static enum lw_status
change(const struct book_hold *seen, const struct book_hold *next, size_t count)
{
	struct book_hold_change hold = {"job 1", *seen, *next};

	return book_job_append(scratch.book, 1, (int64_t)load(1)->finding_count,
	    &cannot, count, &hold, NULL, 50, &scratch.err);
}

static const struct book_hold nobody;

START_TEST(a_hold_comes_back_as_it_was)
{
	struct book_hold hold = {
	    true, 1, "s1", "phone 3f", 20, 21, NULL, NULL, 0};
	struct book_hold now;

	ck_assert_int_eq(new_job("a job", 10), 1);
	ck_assert(!held().held);
	ck_assert_int_eq(change(&nobody, &hold, 0), LW_OK);
	scratch_reopen(&scratch);
	now = held();
	ck_assert(now.held);
	ck_assert_int_eq(now.job, 1);
	ck_assert_str_eq(now.screen, "s1");
	ck_assert_str_eq(now.name, "phone 3f");
	ck_assert_int_eq(now.since_s, 20);
	ck_assert_int_eq(now.last_s, 21);
	ck_assert_ptr_null(now.asker);
	ck_assert_ptr_null(now.asker_name);
	hold.asker = "s2";
	hold.asker_name = "computer a1";
	hold.asked_s = 30;
	ck_assert_int_eq(change(&now, &hold, 0), LW_OK);
	now = held();
	ck_assert_str_eq(now.asker, "s2");
	ck_assert_str_eq(now.asker_name, "computer a1");
	ck_assert_int_eq(now.asked_s, 30);
	/* Another vehicle is another row. */
	book_hold_get(scratch.book, scratch.arena, "job 2", &now, NULL);
	ck_assert(!now.held);
	now = held();
	ck_assert_int_eq(change(&now, &nobody, 0), LW_OK);
	ck_assert(!held().held);
	/* Gone already. */
	ck_assert_int_eq(change(&now, &nobody, 0), LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(scratch.err.text, "let go"));
}
END_TEST

START_TEST(a_hold_that_has_changed_is_left_alone)
{
	const struct book_hold mine = {
	    true, 1, "s1", "phone 3f", 20, 20, "s2", "computer a1", 30};
	struct book_hold seen, next;
	size_t i;

	ck_assert_int_eq(new_job("a job", 10), 1);
	ck_assert_int_eq(new_job("another", 10), 2);
	ck_assert_int_eq(change(&nobody, &mine, 0), LW_OK);
	for (i = 0; i < 6; i++) {
		seen = mine;
		next = mine;
		next.screen = "s3";
		switch (i) {
		case 0:
			seen.held = false;
			break;
		case 1:
			seen.screen = "s3";
			break;
		case 2:
			seen.job = 2;
			break;
		case 3:
			seen.asker = NULL;
			break;
		case 4:
			seen.asker = "s4";
			break;
		default:
			/* It has done something since. */
			seen.last_s = 19;
			break;
		}
		ck_assert_msg(
		    change(&seen, &next, 1) == LW_CONFLICT, "case %zu", i);
		ck_assert_ptr_nonnull(strstr(scratch.err.text, "phone 3f"));
		/* The finding that came with it is not there either. */
		ck_assert_uint_eq(load(1)->finding_count, 1);
		ck_assert_str_eq(held().screen, "s1");
	}
	/* The holder itself may have been quicker than it saw. */
	seen = next = mine;
	seen.last_s = 19;
	next.last_s = 40;
	ck_assert_int_eq(change(&seen, &next, 1), LW_OK);
	ck_assert_int_eq(held().last_s, 40);
	ck_assert_uint_eq(load(1)->finding_count, 2);
	/* A finding that cannot be kept takes the hold back. */
	seen = next = held();
	next.last_s = 41;
	ck_assert_int_eq(
	    book_job_append(scratch.book, 1, 2,
		&(struct lw_finding){
		    .kind = LW_FINDING_CHECK, .has_value = true, .value = NAN},
		1, &(struct book_hold_change){"job 1", seen, next}, NULL, 60, NULL),
	    LW_BAD_INPUT);
	ck_assert_int_eq(held().last_s, 40);
	/* And a stale serial leaves both alone. */
	ck_assert_int_eq(
	    book_job_append(scratch.book, 1, 1, &cannot, 1,
		&(struct book_hold_change){"job 1", seen, next}, NULL, 60, NULL),
	    LW_CONFLICT);
	ck_assert_int_eq(held().last_s, 40);
}
END_TEST

/* Children take a free vehicle at once: one of them has it. */
START_TEST(many_take_at_once)
{
	enum { CHILDREN = 6, ROUNDS = 8 };
	char names[CHILDREN][16];
	struct book_hold now;
	int i, state, round, won;

	ck_assert_int_eq(new_job("a job", 10), 1);
	for (round = 0; round < ROUNDS; round++) {
		lw_book_close(scratch.book);
		scratch.book = NULL;
		for (i = 0; i < CHILDREN; i++) {
			snprintf(names[i], sizeof names[i], "s%d", i);
			if (fork() == 0) {
				struct book_hold next = {true, 1, names[i],
				    names[i], 20, 20, NULL, NULL, 0};
				struct book_hold_change taken = {
				    "job 1", nobody, next};
				enum lw_status status;

				if (lw_book_open(&scratch.book, NULL,
					scratch.path, NULL) != LW_OK)
					_exit(2);
				status = book_job_append(scratch.book, 1, 1,
				    NULL, 0, &taken, NULL, 20, NULL);
				lw_book_close(scratch.book);
				_exit(status == LW_OK	      ? 0
				      : status == LW_CONFLICT ? 1
							      : 3);
			}
		}
		won = 0;
		for (i = 0; i < CHILDREN; i++) {
			ck_assert_int_gt(wait(&state), 0);
			ck_assert(WIFEXITED(state));
			ck_assert_int_le(WEXITSTATUS(state), 1);
			won += WEXITSTATUS(state) == 0;
		}
		ck_assert_int_eq(won, 1);
		scratch_open(&scratch);
		now = held();
		ck_assert(now.held);
		ck_assert_int_eq(change(&now, &nobody, 0), LW_OK);
	}
}
END_TEST

Suite *
suite_book_jobs(void)
{
	Suite *suite = suite_create("book_jobs");
	TCase *tests = tcase_create("jobs");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_set_timeout(tests, 120);
	tcase_add_test(tests, a_job_comes_back_as_it_was);
	tcase_add_test(tests, stale_appends_are_refused);
	tcase_add_test(tests, many_append_at_once);
	tcase_add_test(tests, findings_are_never_changed);
	tcase_add_test(tests, what_is_no_job);
	tcase_add_test(tests, the_last_touched_comes_first);
	tcase_add_test(tests, notes_on_a_job);
	tcase_add_test(tests, several_findings_at_once);
	tcase_add_test(tests, a_hold_comes_back_as_it_was);
	tcase_add_test(tests, a_hold_that_has_changed_is_left_alone);
	tcase_add_test(tests, many_take_at_once);
	suite_add_tcase(suite, tests);
	return suite;
}
