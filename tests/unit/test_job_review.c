/* job: ways past what keeps people safe that a reading of src/job found, and
 * a few sums that went wrong. Both benches are invented. */
#include "unit/bench.h"
#include "unit/suites.h"

static struct bench bench;

static void
open_on(const char *file)
{
	bench_open(&bench);
	bench_put(&bench, &file, 1);
}

static void
setup(void)
{
	open_on(TESTS_DIR "/unit/job.yaml");
}

static void
setup_guarded(void)
{
	open_on(TESTS_DIR "/unit/guarded.yaml");
}

static void
teardown(void)
{
	bench_close(&bench);
}

static void
ck_do_with(
    enum lw_status (*act)(struct lw_book *book, int64_t job, const char *text,
	const struct lw_actor *actor, struct lw_err *err),
    int64_t job, const char *text)
{
	ck_assert_msg(bench_do_with(&bench, act, job, text) == LW_OK, "%s",
	    bench.err.text);
}

/* Until wheel-watch is asked, switched on with the wheels free. */
static int64_t
go_live(void)
{
	int64_t number = bench_start(&bench, NULL, NULL, "humming", NULL);
	const struct lw_job *job;

	bench_answers(&bench, number, "ready 12V");
	job = bench_answers(&bench, number,
	    "right done dead opens open clear "
	    "ready");
	ck_assert_int_eq(job->power, LW_POWER_LIVE_FREE);
	ck_step(job, "wheel-watch", NULL);
	return number;
}

/* --- the way out of a live state ------------------------------------------ */

/* What is done first to make it safe is done to a vehicle that is on: from
 * then on it is neither live as it was, nor proved dead. */
START_TEST(live_ends_where_making_safe_begins)
{
	int64_t number = go_live();
	const struct lw_job *job;

	ck_do_with(lw_job_pick, number, "lug-look");
	ck_step(bench_get(&bench, number), "meter-tried", "lug-look");
	job = bench_answer(&bench, number, "right");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	/* What was passed on the way counts there. */
	ck_step(job, "strings-open", "lug-look");
	ck_do_with(lw_job_pick, number, "wheel-watch");
	job = bench_answers(&bench, number, "done dead");
	ck_step(job, "stop-tried", "wheel-watch");
	ck_assert(job->step->compulsory);
}
END_TEST

/* A way in that a person chose and cannot do ends the state as well. */
START_TEST(live_ends_with_a_chosen_way_in_put_aside)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;

	job = bench_answers(&bench, number, "dead sound ready");
	ck_assert_int_eq(job->power, LW_POWER_PRECHARGED);
	ck_do_with(lw_job_pick, number, "way-isolated");
	ck_step(bench_get(&bench, number), "way-isolated", NULL);
	job = bench_answer(&bench, number, "cannot");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_ptr_null(job->step);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
}
END_TEST

/* --- what compulsory checks are worth --------------------------------------
 */

/* What a fix has touched is not as it was checked. */
START_TEST(compulsory_again_after_a_fix)
{
	int64_t number = bench_start(&bench, NULL, NULL, "lurching", NULL);
	const struct lw_job *job;

	bench_answers(&bench, number, "right done dead");
	ck_do_with(lw_job_pick, number, "wheel-watch");
	job = bench_answers(&bench, number, "opens open");
	ck_step(job, "all-clear", "wheel-watch");
	ck_do_with(lw_job_suppose, number, "worn-grip");
	job = bench_answers(&bench, number, "begun fixed");
	ck_asks(job, LW_JOB_PROVING, "tip-open", LW_JOB_AGAIN);
	ck_assert(job->step->compulsory);
}
END_TEST

START_TEST(compulsory_put_aside_is_not_passed)
{
	int64_t number = bench_start(&bench, NULL, NULL, "lurching", NULL);
	const struct lw_job *job;

	bench_answers(&bench, number, "right done dead");
	ck_do_with(lw_job_pick, number, "stop-tried");
	bench_answer(&bench, number, "opens");
	ck_do_with(lw_job_pick, number, "stop-tried");
	bench_answer(&bench, number, "differs");
	ck_do_with(lw_job_pick, number, "wheel-watch");
	job = bench_get(&bench, number);
	ck_step(job, "stop-tried", "wheel-watch");
}
END_TEST

/* --- left switched on -------------------------------------------------------
 */

/* An answer that was taken back may have been true. */
START_TEST(warns_of_a_way_in_taken_back)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);

	bench_answers(&bench, number, "dead sound ready");
	bench_undo(&bench, number);
	ck_assert_int_eq(bench_end(&bench, number, true, NULL), LW_OK);
	ck_assert(bench_get(&bench, number)->make_safe);
}
END_TEST

/* It was switched on, though not as it should be. */
START_TEST(warns_of_a_way_in_that_failed)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);

	bench_answers(&bench, number, "dead sound not-ready");
	ck_assert_int_eq(bench_end(&bench, number, true, NULL), LW_OK);
	ck_assert(bench_get(&bench, number)->make_safe);
	/* One that is proved dead is let go in peace. */
	number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	bench_answers(&bench, number, "dead sound not-ready");
	ck_assert_int_eq(bench_do(&bench, lw_job_make_safe, number), LW_OK);
	bench_answer(&bench, number, "dead");
	ck_assert_int_eq(bench_end(&bench, number, true, NULL), LW_OK);
	ck_assert(!bench_get(&bench, number)->make_safe);
}
END_TEST

/* --- choosing ---------------------------------------------------------------
 */

/* A fix that was put aside keeps back no other. */
START_TEST(supposes_past_a_fix_put_aside)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;

	bench_answers(&bench, number, "dead sound ready low dead 41V");
	job = bench_answer(&bench, number, "cannot");
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_do_with(lw_job_suppose, number, "open-fuse");
	job = bench_get(&bench, number);
	ck_assert_pstr_eq(job->cause, "open-fuse");
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	/* Taken back, it waits for the first again. */
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_pstr_eq(job->cause, "flat-pack");
	/* Answers that lead to another cause lead to its fix. */
	ck_do_with(lw_job_pick, number, "pack-volts");
	job = bench_answers(&bench, number, "dead 50V 20");
	ck_assert_pstr_eq(job->cause, "open-fuse");
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
}
END_TEST

/* --- words and times ---------------------------------------------------------
 */

START_TEST(waits_once)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);

	ck_do_with(lw_job_wait, number, "rain");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_wait, number, "rain"), LW_CONFLICT);
	ck_assert_uint_eq(bench_get(&bench, number)->finding_count, 3);
}
END_TEST

/* A wait that has ended is nothing that a person sees: an undo takes back the
 * answer before it. One that lasts is taken back itself. */
START_TEST(takes_back_what_is_seen)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;

	/* Findings: pattern, tree, dead, wait. */
	bench_answer(&bench, number, "dead");
	ck_do_with(lw_job_wait, number, "rain");
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_OPEN);
	ck_assert(job->findings[3].undone);
	ck_assert(!job->findings[2].undone);
	/* Ended by going on. */
	ck_do_with(lw_job_wait, number, "rain");
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	job = bench_undo(&bench, number);
	ck_assert(job->findings[2].undone);
	ck_step(job, "way-isolated", "case-look");
	ck_assert(!job->can_undo);
	ck_assert_int_eq(bench_do(&bench, lw_job_undo, number), LW_NOT_FOUND);
	/* Ended by closing it and opening it again. */
	bench_answer(&bench, number, "dead");
	ck_do_with(lw_job_wait, number, "rain");
	ck_assert_int_eq(bench_end(&bench, number, false, NULL), LW_OK);
	/* The closing is what is seen. */
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_int_eq(bench_end(&bench, number, false, NULL), LW_OK);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_step(bench_get(&bench, number), "way-isolated", "case-look");
	bench_undo(&bench, number);
	ck_assert(!bench_get(&bench, number)->can_undo);
	/* Ended by choosing something: the choice, then the wait. */
	bench_answer(&bench, number, "dead");
	ck_do_with(lw_job_wait, number, "rain");
	ck_do_with(lw_job_pick, number, "fuse-ohms");
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_OPEN);
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_str_eq(job->waits_for, "rain");
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_OPEN);
	ck_assert(job->can_undo);
}
END_TEST

/* The sum of such times does not fit into a number. */
START_TEST(asks_at_the_ends_of_time)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	struct lw_actor actor = {"three", "three", INT64_MIN};

	bench_answer(&bench, number, "dead");
	bench.screen = "two";
	ck_assert_int_eq(bench_do(&bench, lw_job_ask, number), LW_OK);
	ck_assert_int_eq(
	    lw_job_ask(bench.book, number, &actor, &bench.err), LW_OK);
	actor.screen = "four";
	actor.now_s = INT64_MAX;
	ck_assert_int_eq(
	    lw_job_ask(bench.book, number, &actor, &bench.err), LW_CONFLICT);
}
END_TEST

Suite *
suite_job_review(void)
{
	Suite *suite = suite_create("job_review");
	TCase *plain = tcase_create("plain");
	TCase *guarded = tcase_create("guarded");

	tcase_add_checked_fixture(plain, setup, teardown);
	tcase_set_timeout(plain, 60);
	tcase_add_test(plain, live_ends_with_a_chosen_way_in_put_aside);
	tcase_add_test(plain, warns_of_a_way_in_taken_back);
	tcase_add_test(plain, warns_of_a_way_in_that_failed);
	tcase_add_test(plain, supposes_past_a_fix_put_aside);
	tcase_add_test(plain, waits_once);
	tcase_add_test(plain, takes_back_what_is_seen);
	tcase_add_test(plain, asks_at_the_ends_of_time);
	suite_add_tcase(suite, plain);
	tcase_add_checked_fixture(guarded, setup_guarded, teardown);
	tcase_set_timeout(guarded, 60);
	tcase_add_test(guarded, live_ends_where_making_safe_begins);
	tcase_add_test(guarded, compulsory_again_after_a_fix);
	tcase_add_test(guarded, compulsory_put_aside_is_not_passed);
	suite_add_tcase(suite, guarded);
	return suite;
}
