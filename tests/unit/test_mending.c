/* job: from a cause to its fix, its proof and the cure; what comes where it is
 * not cured; waiting, giving up, and what a person chooses. The bench is
 * invented. */
#include "unit/bench.h"
#include "unit/suites.h"

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

/* As far as the cause "flat-pack", by the check "pack-volts"; isolated. */
static int64_t
find_flat_pack(void)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);

	bench_answers(&bench, number, "dead sound ready low dead 41V");
	return number;
}

static const struct lw_finding *
last(const struct lw_job *job)
{
	return &job->findings[job->finding_count - 1];
}

static const struct lw_excluded *
excluded(const struct lw_job *job, const char *cause)
{
	size_t i;

	for (i = 0; i < job->excluded_count; i++)
		if (strcmp(job->excluded[i].cause, cause) == 0)
			return &job->excluded[i];
	return NULL;
}

static void
ck_purpose(const struct lw_job *job, enum lw_purpose purpose)
{
	ck_assert_ptr_nonnull(job->step);
	ck_assert_str_eq(
	    lw_purpose_name(job->step->purpose), lw_purpose_name(purpose));
}

/* --- fix, proof, again ---------------------------------------------------- */

START_TEST(mends_and_proves)
{
	int64_t number = find_flat_pack();
	const struct lw_job *job = bench_get(&bench, number);

	ck_asks(job, LW_JOB_FOUND, LW_JOB_FIX, NULL);
	ck_purpose(job, LW_PURPOSE_FIX);
	ck_assert_str_eq(job->cause, "flat-pack");
	ck_assert_int_eq(job->step->check->power, LW_POWER_ISOLATED);
	ck_assert_ptr_nonnull(strstr(job->step->check->title, "Flat pack"));
	job = bench_answer(&bench, number, "begun");
	ck_asks(job, LW_JOB_FIXING, LW_JOB_FIX, NULL);
	ck_assert_int_eq(last(job)->kind, LW_FINDING_BEGUN);
	ck_assert_str_eq(last(job)->subject, "flat-pack");
	/* A fix takes long, and is done isolated: proved again after that. */
	bench.now_s += 3 * LW_JOB_POWER_HOLDS_S;
	job = bench_get(&bench, number);
	ck_asks(job, LW_JOB_FIXING, "way-isolated", LW_JOB_FIX);
	ck_purpose(job, LW_PURPOSE_FIX);
	job = bench_answers(&bench, number, "dead fixed");
	/* The check that led to it, once more. */
	ck_asks(job, LW_JOB_PROVING, "pack-volts", NULL);
	ck_purpose(job, LW_PURPOSE_PROOF);
	ck_assert_str_eq(job->cause, "flat-pack");
	job = bench_answer(&bench, number, "50.2 V");
	ck_assert_int_eq(last(job)->kind, LW_FINDING_PROVED);
	ck_assert_str_eq(last(job)->subject, "pack-volts");
	ck_assert_str_eq(last(job)->about, "flat-pack");
	ck_assert_double_eq(last(job)->value, 50.2);
	/* What it began with, once more, with the wheels free. */
	ck_asks(job, LW_JOB_PROVING, "way-live-wheels-free", LW_JOB_AGAIN);
	ck_purpose(job, LW_PURPOSE_AGAIN);
	job = bench_answer(&bench, number, "ready");
	ck_asks(job, LW_JOB_PROVING, LW_JOB_AGAIN, NULL);
	ck_assert_ptr_nonnull(
	    strstr(job->step->check->title, "Supply too weak"));
	job = bench_answer(&bench, number, "gone");
	ck_assert_int_eq(last(job)->kind, LW_FINDING_GONE);
	ck_assert_str_eq(last(job)->about, "flat-pack");
	ck_assert_int_eq(job->state, LW_JOB_CLOSED);
	ck_assert(job->cured);
	ck_assert_str_eq(job->cause, "flat-pack");
	ck_assert_ptr_null(job->step);
	ck_assert_int_eq(bench_try(&bench, number, "gone"), LW_CONFLICT);
	/* Taken back, step by step, it is as it was. */
	job = bench_undo(&bench, number);
	ck_asks(job, LW_JOB_PROVING, "way-live-wheels-free", LW_JOB_AGAIN);
	ck_assert(!job->cured);
	bench_undo(&bench, number);
	job = bench_undo(&bench, number);
	ck_asks(job, LW_JOB_PROVING, "way-isolated", "pack-volts");
	job = bench_undo(&bench, number);
	ck_asks(job, LW_JOB_FIXING, "way-isolated", LW_JOB_FIX);
	bench_undo(&bench, number);
	job = bench_undo(&bench, number);
	ck_asks(job, LW_JOB_FOUND, "way-isolated", LW_JOB_FIX);
}
END_TEST

/* The symptom says in which state it shows. */
START_TEST(tries_again_where_it_showed)
{
	const char *const file = TESTS_DIR "/unit/guarded.yaml";
	const struct lw_job *job;
	int64_t number;

	bench_close(&bench);
	bench_open(&bench);
	bench_put(&bench, &file, 1);
	number = bench_start(&bench, NULL, NULL, "lurching", NULL);
	job =
	    bench_answers(&bench, number, "right done dead loose fixed tight");
	/* On the ground, past its compulsory checks. */
	ck_asks(job, LW_JOB_PROVING, "tip-open", LW_JOB_AGAIN);
	ck_assert(job->step->compulsory);
	job = bench_answers(&bench, number, "open clear");
	ck_asks(job, LW_JOB_PROVING, "way-live-on-ground", LW_JOB_AGAIN);
	job = bench_answer(&bench, number, "ready");
	ck_asks(job, LW_JOB_PROVING, LW_JOB_AGAIN, NULL);
	ck_assert_int_eq(job->step->check->power, LW_POWER_LIVE_GROUND);
	job = bench_answer(&bench, number, "gone");
	ck_assert(job->cured);
}
END_TEST

START_TEST(proof_fails)
{
	int64_t number = find_flat_pack();
	const struct lw_job *job =
	    bench_answers(&bench, number, "begun fixed 43");

	/* Back to the fix; nothing is said against the cause. */
	ck_assert_int_eq(last(job)->kind, LW_FINDING_NOT_PROVED);
	ck_asks(job, LW_JOB_FIXING, LW_JOB_FIX, NULL);
	ck_assert_ptr_nonnull(strstr(job->ending, "not taken"));
	ck_assert_ptr_null(excluded(job, "flat-pack"));
	ck_assert_str_eq(job->cause, "flat-pack");
	job = bench_answers(&bench, number, "fixed 49");
	ck_asks(job, LW_JOB_PROVING, "way-live-wheels-free", LW_JOB_AGAIN);
	/* What reads as it should and is no proof of anything: too little. */
	ck_assert(!job->cured);
}
END_TEST

/* Fixed and proved, and something remains: it was real, and not alone. */
START_TEST(still_there_after_a_proof)
{
	int64_t number = find_flat_pack();
	const struct lw_job *job =
	    bench_answers(&bench, number, "fixed 50 ready still");
	const struct lw_excluded *out = excluded(job, "flat-pack");

	ck_assert_int_eq(last(job)->kind, LW_FINDING_STILL);
	ck_assert_ptr_nonnull(out);
	ck_assert(out->repaired);
	ck_assert_str_eq(out->title, "Flat pack");
	ck_assert_double_eq(bench_share(job, "flat-pack"), -1);
	/* The tree walks on from the answer that the proof gave. */
	ck_asks(job, LW_JOB_OPEN, "way-isolated", "fuse-ohms");
	ck_purpose(job, LW_PURPOSE_TREE);
	ck_assert_ptr_null(job->cause);
	job = bench_answers(&bench, number, "dead open");
	ck_asks(job, LW_JOB_FOUND, LW_JOB_FIX, NULL);
	ck_assert_str_eq(job->cause, "open-fuse");
	job = bench_answers(&bench, number, "fixed 0.1 ready gone");
	ck_assert(job->cured);
	ck_assert_str_eq(job->cause, "open-fuse");
	ck_assert(excluded(job, "flat-pack")->repaired);
}
END_TEST

/* The part is sound: struck, and the tree has nothing else to say. */
START_TEST(wrong_cause)
{
	int64_t number = find_flat_pack();
	const struct lw_job *job = bench_answer(&bench, number, "wrong");
	const struct lw_excluded *out = excluded(job, "flat-pack");

	ck_assert_int_eq(last(job)->kind, LW_FINDING_STRUCK);
	ck_assert_ptr_nonnull(out);
	ck_assert(!out->repaired);
	/* From the same findings it goes on. */
	ck_assert_int_eq(job->state, LW_JOB_OPEN);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_NEXT);
	ck_assert_ptr_null(job->cause);
	ck_assert_double_eq(bench_share(job, "flat-pack"), -1);
	ck_assert_uint_gt(job->next_count, 0);
	/* The check that would tell comes first among those that are left. */
	ck_assert_str_eq(job->next[0].check->id, "fuse-ohms");
	job = bench_undo(&bench, number);
	ck_assert_ptr_null(excluded(job, "flat-pack"));
	ck_assert_str_eq(job->cause, "flat-pack");
}
END_TEST

/* Not proved and still there: the fix did not help, so it was not that. */
START_TEST(still_there_without_a_proof)
{
	int64_t number = find_flat_pack();
	const struct lw_job *job;

	bench_answer(&bench, number, "fixed");
	ck_assert_int_eq(
	    bench_say(&bench, number, -1, "cannot", "no meter"), LW_OK);
	job = bench_get(&bench, number);
	/* What it began with tells as well. */
	ck_asks(job, LW_JOB_PROVING, "way-live-wheels-free", LW_JOB_AGAIN);
	job = bench_answers(&bench, number, "ready still");
	ck_assert_ptr_nonnull(excluded(job, "flat-pack"));
	ck_assert(!excluded(job, "flat-pack")->repaired);
	ck_assert_int_eq(job->state, LW_JOB_OPEN);
}
END_TEST

START_TEST(not_seen_again)
{
	int64_t number = find_flat_pack();
	const struct lw_job *job =
	    bench_answers(&bench, number, "fixed 50 ready not-reproduced");

	ck_assert_int_eq(last(job)->kind, LW_FINDING_NOT_SEEN);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert(!job->cured);
	ck_assert_str_eq(job->cause, "flat-pack");
	ck_assert_ptr_nonnull(strstr(job->ending, "proves nothing"));
	ck_assert_ptr_nonnull(job->waits_for);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_get(&bench, number);
	ck_purpose(job, LW_PURPOSE_AGAIN);
	/* It is on still. */
	job = bench_answer(&bench, number, "gone");
	ck_assert(job->cured);
}
END_TEST

/* A fix that waits for a part. */
START_TEST(fix_waits)
{
	int64_t number = find_flat_pack();
	const struct lw_job *job;

	bench_answer(&bench, number, "begun");
	ck_assert_int_eq(
	    bench_say(&bench, number, -1, "cannot", "charger comes on Tuesday"),
	    LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_null(job->step);
	ck_assert_ptr_nonnull(
	    strstr(job->waits_for, "charger comes on Tuesday"));
	ck_assert_str_eq(job->cause, "flat-pack");
	ck_assert_int_eq(bench_try(&bench, number, "fixed"), LW_CONFLICT);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_FIXING);
	ck_purpose(job, LW_PURPOSE_FIX);
}
END_TEST

/* --- after the end ---------------------------------------------------------
 */

START_TEST(comes_back_after_the_cure)
{
	int64_t number = find_flat_pack();
	const struct lw_job *job =
	    bench_answers(&bench, number, "fixed 50 ready gone");

	ck_assert_int_eq(bench_end(&bench, number, false, NULL), LW_CONFLICT);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_get(&bench, number);
	/* What was mended is mended: it goes on without it. */
	ck_assert(!job->cured);
	ck_assert_ptr_nonnull(excluded(job, "flat-pack"));
	ck_assert(excluded(job, "flat-pack")->repaired);
	ck_asks(job, LW_JOB_OPEN, "way-isolated", "fuse-ohms");
}
END_TEST

START_TEST(gives_up)
{
	int64_t number = find_flat_pack();
	const struct lw_job *job;
	struct lw_entries jobs;

	ck_assert_int_eq(bench_end(&bench, number, true, "sold"), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_GIVEN_UP);
	ck_assert(lw_job_is_over(job->state));
	ck_assert(!job->cured);
	ck_assert_str_eq(job->ending, "sold");
	ck_assert_int_eq(lw_job_list(bench.book, bench.arena, bench.now_s,
			     &jobs, &bench.err),
	    LW_OK);
	ck_assert_str_eq(jobs.items[0].detail, "given-up");
	/* Nothing is taken but what a job that is over takes. */
	ck_assert_int_eq(bench_try(&bench, number, "fixed"), LW_CONFLICT);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "fuse-ohms"),
	    LW_CONFLICT);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "open-fuse"),
	    LW_CONFLICT);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_wait, number, "x"), LW_CONFLICT);
	ck_assert_int_eq(bench_end(&bench, number, false, NULL), LW_CONFLICT);
	ck_assert_int_eq(bench_get(&bench, number)->serial, job->serial);
	job = bench_undo(&bench, number);
	ck_asks(job, LW_JOB_FOUND, "way-isolated", LW_JOB_FIX);
}
END_TEST

/* Closed while it was switched on: hands off until it is made safe. */
START_TEST(left_switched_on)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;

	bench_answers(&bench, number, "dead sound ready");
	ck_assert_int_eq(bench_end(&bench, number, true, NULL), LW_OK);
	job = bench_get(&bench, number);
	ck_assert(job->make_safe);
	ck_assert_int_eq(bench_do(&bench, lw_job_make_safe, number), LW_OK);
	job = bench_answer(&bench, number, "dead");
	ck_assert(!job->make_safe);
	ck_assert_int_eq(job->state, LW_JOB_GIVEN_UP);
}
END_TEST

/* --- waiting ----------------------------------------------------------------
 */

START_TEST(waits_and_goes_on)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;
	static const char *const none[] = {NULL, ""};
	size_t i;

	bench_answers(&bench, number, "dead sound");
	for (i = 0; i < 2; i++)
		ck_assert_int_eq(
		    bench_do_with(&bench, lw_job_wait, number, none[i]),
		    LW_BAD_INPUT);
	ck_assert_int_eq(bench_do_with(&bench, lw_job_wait, number,
			     "the programmer is on loan"),
	    LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_str_eq(job->waits_for, "the programmer is on loan");
	ck_assert_ptr_null(job->step);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert(!job->hold.held);
	ck_assert_int_eq(bench_try(&bench, number, "ready"), LW_CONFLICT);
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	job = bench_get(&bench, number);
	ck_step(job, "way-pre-charged", "supply-volts");
	/* Waiting can be taken back like an answer. */
	bench_do_with(&bench, lw_job_wait, number, "dinner");
	job = bench_undo(&bench, number);
	ck_step(job, "way-pre-charged", "supply-volts");
}
END_TEST

/* --- choosing ----------------------------------------------------------------
 */

START_TEST(picks_a_check)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;

	bench_answers(&bench, number, "dead");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "no-such-check"),
	    LW_NOT_FOUND);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "wheel-turn"), LW_OK);
	job = bench_get(&bench, number);
	ck_step(job, "way-live-wheels-free", "wheel-turn");
	ck_purpose(job, LW_PURPOSE_PICK);
	job = bench_answers(&bench, number, "ready wobbles");
	/* Then the tree goes on where it was. */
	ck_step(job, "way-isolated", "case-look");
	ck_purpose(job, LW_PURPOSE_TREE);
	/* One that was answered is asked again, and the last answer counts. */
	job = bench_answers(&bench, number, "dead sound ready low");
	ck_step(job, "way-isolated", "pack-volts");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "supply-volts"), LW_OK);
	job = bench_get(&bench, number);
	ck_step(job, "supply-volts", NULL);
	job = bench_answer(&bench, number, "sound");
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_str_eq(job->ending, "It is sound now. Drive and read again.");
	/* A pick can be put aside, and taken back. */
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "fuse-ohms"), LW_OK);
	job = bench_answer(&bench, number, "cannot");
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	job = bench_undo(&bench, number);
	ck_step(job, "way-isolated", "fuse-ohms");
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
}
END_TEST

START_TEST(supposes_a_cause)
{
	int64_t number = bench_start(&bench, NULL, NULL, "rattling", NULL);
	const struct lw_job *job;

	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "no-such-cause"),
	    LW_NOT_FOUND);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "bent-shaft"), LW_OK);
	job = bench_get(&bench, number);
	ck_asks(job, LW_JOB_FOUND, "way-isolated", LW_JOB_FIX);
	ck_assert_str_eq(job->cause, "bent-shaft");
	/* It is among the suspects from now on. */
	ck_assert_str_eq(job->suspects[0].cause, "bent-shaft");
	job = bench_answers(&bench, number, "dead begun");
	/* No check led to it, so what it began with is all there is. */
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "wheel-turn"),
	    LW_CONFLICT);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "bad-joint"),
	    LW_CONFLICT);
	job = bench_answer(&bench, number, "fixed");
	ck_asks(job, LW_JOB_PROVING, "way-live-wheels-free", LW_JOB_AGAIN);
	job = bench_answers(&bench, number, "ready still");
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert(!excluded(job, "bent-shaft")->repaired);
	ck_assert_double_eq(bench_share(job, "bent-shaft"), -1);
}
END_TEST

/* Where an answer said to stop there is nothing to choose. */
START_TEST(chooses_nothing_after_a_stop)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);

	bench_answers(&bench, number, "dead swollen");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "fuse-ohms"),
	    LW_CONFLICT);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "open-fuse"),
	    LW_CONFLICT);
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_STOPPED);
	ck_assert_ptr_null(bench_get(&bench, number)->step);
}
END_TEST

START_TEST(counts_the_time_worked)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	int64_t began_s = bench.now_s;

	bench.now_s = began_s + 99;
	bench_answer(&bench, number, "dead");
	/* A break of over a quarter of an hour is none. */
	bench.now_s = began_s + 5000;
	bench_answer(&bench, number, "dead");
	bench.now_s = began_s + 5059;
	bench_answer(&bench, number, "sound");
	ck_assert_int_eq(bench_get(&bench, number)->worked_s, 100 + 59);
}
END_TEST

Suite *
suite_mending(void)
{
	Suite *suite = suite_create("mending");
	TCase *fix = tcase_create("fix");
	TCase *end = tcase_create("end");
	TCase *choose = tcase_create("choose");

	tcase_add_checked_fixture(fix, setup, teardown);
	tcase_set_timeout(fix, 60);
	tcase_add_test(fix, mends_and_proves);
	tcase_add_test(fix, tries_again_where_it_showed);
	tcase_add_test(fix, proof_fails);
	tcase_add_test(fix, still_there_after_a_proof);
	tcase_add_test(fix, wrong_cause);
	tcase_add_test(fix, still_there_without_a_proof);
	tcase_add_test(fix, not_seen_again);
	tcase_add_test(fix, fix_waits);
	suite_add_tcase(suite, fix);
	tcase_add_checked_fixture(end, setup, teardown);
	tcase_set_timeout(end, 60);
	tcase_add_test(end, comes_back_after_the_cure);
	tcase_add_test(end, gives_up);
	tcase_add_test(end, left_switched_on);
	tcase_add_test(end, waits_and_goes_on);
	tcase_add_test(end, counts_the_time_worked);
	suite_add_tcase(suite, end);
	tcase_add_checked_fixture(choose, setup, teardown);
	tcase_set_timeout(choose, 60);
	tcase_add_test(choose, picks_a_check);
	tcase_add_test(choose, supposes_a_cause);
	tcase_add_test(choose, chooses_nothing_after_a_stop);
	suite_add_tcase(suite, choose);
	return suite;
}
