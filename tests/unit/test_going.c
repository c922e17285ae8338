/* job: what is reasoned when a job goes on: after repairs, after a cure that
 * did not last, with part of it put aside, and in a book that changed. The
 * bench is invented; numbers are worked out by hand in the comments. */
#include "unit/bench.h"
#include "unit/suites.h"

#include "book/store.h"

static struct bench bench;

static void
setup(void)
{
	const char *const file = TESTS_DIR "/unit/going.yaml";

	bench_open(&bench);
	bench_put(&bench, &file, 1);
}

static void
teardown(void)
{
	bench_close(&bench);
}

/* A job on the symptom whose tree is left at once. */
static int64_t
begin(void)
{
	int64_t number = bench_start(&bench, NULL, NULL, "many", NULL);

	ck_assert_int_eq(bench_do(&bench, lw_job_leave, number), LW_OK);
	return number;
}

/* Answer a check out of turn, on what is proved dead. */
static const struct lw_job *
pick(int64_t number, const char *check, const char *answer)
{
	const struct lw_job *job;

	ck_assert_msg(
	    bench_do_with(&bench, lw_job_pick, number, check) == LW_OK, "%s",
	    bench.err.text);
	job = bench_get(&bench, number);
	if (strcmp(job->step->check->id, "way-isolated") == 0)
		bench_answer(&bench, number, "dead");
	return bench_answer(&bench, number, answer);
}

/* Take the cause as the one, fix it, and prove it by its check. */
static const struct lw_job *
mend(int64_t number, const char *cause, const char *answers)
{
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, cause), LW_OK);
	return bench_answers(&bench, number, answers);
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

static const struct lw_next *
next(const struct lw_job *job, const char *check)
{
	size_t i;

	for (i = 0; i < job->next_count; i++)
		if (strcmp(job->next[i].check->id, check) == 0)
			return &job->next[i];
	return NULL;
}

static void
change_book(const char *sql)
{
	ck_assert_int_eq(
	    sqlite3_exec(bench.book->db, sql, NULL, NULL, NULL), SQLITE_OK);
}

static double
share_of_both(const struct lw_job *job, const char *one, const char *other)
{
	size_t i;

	for (i = 0; i < job->suspect_count; i++)
		if (job->suspects[i].also != NULL &&
		    strcmp(job->suspects[i].cause, one) == 0 &&
		    strcmp(job->suspects[i].also, other) == 0)
			return job->suspects[i].share;
	return 0;
}

/* --- contradictions ------------------------------------------------------ */

/*
 * Five parts with a weight of 3, one of 1, the unlisted 0.5, of 16.5. Each part
 * found sound: (12 + 1) * .97 + 3 * .03 + .475 of 16.5, so .798 by itself and
 * .325 five times over; together (.97^5 + 15 * .03 * .97^4 + .5 * .95^5) / 16.5
 * = .0996: 1.7 bits. But the sixth makes all five as likely as .859.
 */
START_TEST(putting_out_one_by_one_is_no_contradiction)
{
	static const char *const checks[] = {
	    "look-1", "look-2", "look-3", "look-4", "look-5"};
	int64_t number = begin();
	const struct lw_job *job = NULL;
	size_t i;

	for (i = 0; i < sizeof checks / sizeof checks[0]; i++)
		job = pick(number, checks[i], "good");
	ck_assert_double_eq_tol(job->conflict_bits, 1.70, 0.01);
	ck_assert_ptr_null(job->conflict);
	ck_assert_ptr_null(job->repeat);
	ck_assert(!job->pairs);
	ck_assert_str_eq(job->suspects[0].cause, "m6");
	/* Two that are spoilt are one: no single part makes both likely. */
	pick(number, "look-2", "bad");
	job = pick(number, "look-3", "bad");
	ck_assert_ptr_nonnull(job->conflict);
	ck_assert(job->pairs);
	ck_assert_double_gt(share_of_both(job, "m2", "m3"), 0.3);
}
END_TEST

/* --- after a repair ------------------------------------------------------ */

/* Three checks were spoilt by the first part; after its repair the trouble is
 * still there, and the second and the third are spoilt. What the first one
 * explains is not held against the two. */
START_TEST(two_more_after_a_repair)
{
	int64_t number = begin();
	const struct lw_job *job;

	pick(number, "first-two", "bad");
	pick(number, "only-first", "bad");
	pick(number, "only-first-too", "bad");
	pick(number, "look-1", "bad");
	job = mend(number, "m1", "fixed good ready still");
	ck_assert(excluded(job, "m1")->repaired);
	pick(number, "look-2", "bad");
	job = pick(number, "look-3", "bad");
	ck_assert(job->pairs);
	ck_assert_double_gt(share_of_both(job, "m2", "m3"), 0.3);
}
END_TEST

/* The first part explains that trying the first two went wrong: done again, it
 * tells whether it is the second. */
START_TEST(asks_again_after_a_repair)
{
	int64_t number = begin();
	const struct lw_job *job;

	job = pick(number, "first-two", "bad");
	ck_assert_ptr_null(next(job, "first-two"));
	pick(number, "look-3", "good");
	pick(number, "look-1", "bad");
	job = mend(number, "m1", "fixed good ready still");
	ck_assert_ptr_nonnull(next(job, "first-two"));
	ck_assert_ptr_nonnull(strstr(next(job, "first-two")->why,
	    "once more, since its answer no longer tells; "));
	/* What was sound then still is, and what is known now is known. */
	ck_assert_ptr_null(next(job, "look-3"));
	ck_assert_ptr_null(next(job, "look-1"));
	job = pick(number, "first-two", "good");
	ck_assert_ptr_null(next(job, "first-two"));
	ck_assert_double_lt(bench_share(job, "m2"), 0.05);
	/* Taken back, it is asked again. */
	job = bench_undo(&bench, number);
	job = bench_undo(&bench, number);
	ck_assert_ptr_nonnull(next(job, "first-two"));
}
END_TEST

/* A repair whose own proof fails later, and one that a person takes up. */
START_TEST(what_was_repaired_comes_back)
{
	int64_t number = begin();
	const struct lw_job *job;

	pick(number, "look-1", "bad");
	job = mend(number, "m1", "fixed good ready still");
	ck_assert_double_lt(bench_share(job, "m1"), 0);
	/* That the first two go wrong may be the second. */
	job = pick(number, "first-two", "bad");
	ck_assert_ptr_nonnull(excluded(job, "m1"));
	ck_assert_str_eq(job->suspects[0].cause, "m2");
	job = pick(number, "look-1", "bad");
	ck_assert_ptr_null(excluded(job, "m1"));
	ck_assert_double_gt(bench_share(job, "m1"), 0.5);
	job = bench_undo(&bench, number);
	ck_assert(excluded(job, "m1")->repaired);
	bench_undo(&bench, number);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "m1"), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	ck_assert_ptr_null(excluded(job, "m1"));
	ck_assert_double_gt(bench_share(job, "m1"), 0);
	job = bench_undo(&bench, number);
	ck_assert_ptr_nonnull(excluded(job, "m1"));
}
END_TEST

/* What a person called sound, and takes up after all. */
START_TEST(what_was_struck_comes_back)
{
	int64_t number = begin();
	const struct lw_job *job;

	pick(number, "look-1", "bad");
	job = mend(number, "m1", "wrong");
	ck_assert_str_eq(excluded(job, "m1")->reason, "found sound");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "m1"), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_ptr_null(excluded(job, "m1"));
	ck_assert_str_eq(job->suspects[0].cause, "m1");
}
END_TEST

START_TEST(says_that_it_came_back)
{
	int64_t number = begin();
	const struct lw_job *job;

	pick(number, "look-1", "bad");
	job = mend(number, "m1", "fixed good ready gone");
	ck_assert(job->cured);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_get(&bench, number);
	ck_assert(!job->cured);
	ck_assert_str_eq(excluded(job, "m1")->reason,
	    "fixed, it was gone, and it came back");
	ck_assert_int_eq(job->state, LW_JOB_OPEN);
}
END_TEST

/* Two repairs in one job, each proved: both explain what was found before. */
START_TEST(two_repairs)
{
	int64_t number = begin();
	const struct lw_job *job;

	pick(number, "first-two", "bad");
	pick(number, "look-1", "bad");
	job = mend(number, "m1", "fixed good ready still");
	pick(number, "look-3", "bad");
	job = mend(number, "m3", "fixed good ready still");
	ck_assert_uint_eq(job->excluded_count, 2);
	ck_assert(excluded(job, "m1")->repaired);
	ck_assert(excluded(job, "m3")->repaired);
	/* Three parts of weight 3 are left, of which nothing is known. */
	ck_assert_double_eq_tol(
	    bench_share(job, "m4"), bench_share(job, "m5"), 1e-12);
	ck_assert_double_gt(bench_share(job, "m4"), 0.2);
	ck_assert_double_lt(bench_share(job, "unlisted"), 0.1);
}
END_TEST

/* --- put aside ----------------------------------------------------------- */

/* Who cannot prove it dead is told so, where no tree leads as well. */
START_TEST(says_that_it_is_not_dead)
{
	int64_t number = begin();
	const struct lw_job *job = bench_get(&bench, number);
	int most = 20;

	while (job->step != NULL && most-- > 0) {
		ck_assert_str_eq(job->step->check->id, "way-isolated");
		job = bench_answer(&bench, number, "cannot");
	}
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_nonnull(strstr(job->ending, "proved dead"));
	ck_assert_ptr_nonnull(job->waits_for);
	ck_assert_ptr_null(next(job, "turn-it"));
}
END_TEST

/* A check that tells nothing is nothing to wait for. */
START_TEST(does_not_wait_for_nothing)
{
	int64_t number = begin();
	const struct lw_job *job;
	int most = 20;

	job = pick(number, "aside", "skip");
	ck_assert_uint_eq(job->put_aside_count, 1);
	while (job->step != NULL && most-- > 0)
		job = bench_answer(&bench, number,
		    strcmp(job->step->check->id, "way-isolated") == 0 ? "dead"
		    : job->step->gate				      ? "ready"
								      : "good");
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
}
END_TEST

/* --- a book that changed ------------------------------------------------- */

START_TEST(leaves_a_tree_that_is_gone)
{
	int64_t number = bench_start(&bench, NULL, NULL, "many", NULL);
	const struct lw_job *job;

	change_book("DELETE FROM items WHERE id = 'many-tree'");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert(job->can_leave);
	ck_assert_int_eq(bench_do(&bench, lw_job_leave, number), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_OPEN);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_NEXT);
}
END_TEST

/* An answer that is none any more says nothing, and is asked for again; one
 * to a check that has left is left out. */
START_TEST(answers_that_are_none_any_more)
{
	int64_t number = begin();
	const struct lw_job *job;

	pick(number, "look-1", "bad");
	job = pick(number, "look-2", "good");
	ck_assert_ptr_null(next(job, "look-1"));
	change_book("UPDATE outcomes SET id = 'rotten' WHERE id = 'bad';"
		    "DELETE FROM items WHERE id = 'look-2'");
	job = bench_get(&bench, number);
	ck_assert_ptr_nonnull(next(job, "look-1"));
	ck_assert_double_eq_tol(bench_share(job, "m1"), 3 / 16.5, 1e-12);
	ck_assert_double_eq_tol(bench_share(job, "m2"), 3 / 16.5, 1e-12);
}
END_TEST

/* Minutes that no pack may say, of checks, ways and fixes. */
START_TEST(minutes_that_are_none)
{
	static const char *const wrong[] = {"-5", "9e999", "-9e999", "0"};
	int64_t number = begin();
	const struct lw_job *job;
	char sql[200];
	size_t i;

	for (i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
		snprintf(sql, sizeof sql,
		    "UPDATE checks SET minutes = %s;"
		    "UPDATE causes SET minutes = %s",
		    wrong[i], wrong[i]);
		change_book(sql);
		job = bench_get(&bench, number);
		ck_assert_uint_ge(job->next_count, 1);
	}
}
END_TEST

/* A tree that leads to nothing, and checks without outcomes. */
START_TEST(rows_that_are_gone)
{
	int64_t number = bench_start(&bench, NULL, NULL, "many", NULL);
	const struct lw_job *job;
	struct lw_entries jobs;

	change_book("UPDATE tree_branches SET target = NULL");
	job = bench_answers(&bench, number, "dead bad");
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "m1"), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	job = bench_undo(&bench, number);
	change_book("UPDATE tree_branches SET kind = 'stop'");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_STOPPED);
	ck_assert_ptr_nonnull(job->ending);
	/* Every outcome stops. */
	number = begin();
	change_book("UPDATE outcomes SET stops = 1");
	bench_get(&bench, number);
	change_book("PRAGMA foreign_keys = OFF; DELETE FROM outcomes");
	job = bench_get(&bench, number);
	ck_assert_double_eq_tol(bench_share(job, "m1"), 3 / 16.5, 1e-12);
	ck_assert_uint_eq(job->next_count, 0);
	ck_assert_int_eq(lw_job_list(bench.book, bench.arena, bench.now_s,
			     &jobs, &bench.err),
	    LW_OK);
}
END_TEST

/* --- trees of it --------------------------------------------------------- */

/* Asked now and then while a tree is worked out: somebody takes a pack out. */
static bool
take_out(void *what)
{
	(void)what;
	change_book("DELETE FROM items WHERE kind = 'check' AND"
		    " id <> 'way-isolated'");
	return false;
}

START_TEST(a_book_that_changes_under_a_plan)
{
	const struct lw_plan_for plan = {.what = "many"};
	const struct lw_plan_limits limits = {.stop = take_out};
	struct lw_doc *doc = NULL;

	ck_assert_int_eq(lw_plan_save(&doc, bench.book, &plan, "Through many",
			     &limits, bench.now_s, &bench.err),
	    LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(bench.err.text, "has changed"));
	ck_assert_ptr_null(doc);
}
END_TEST

/* A way in that speaks of a cause is left out; that is no matter of tools. */
START_TEST(says_what_a_plan_leaves_out)
{
	const struct lw_plan_for plan = {.what = "many"};
	struct lw_doc *doc = NULL;
	size_t length;
	char *text;

	change_book("INSERT INTO outcome_speaks SELECT o.item, o.seq, 0, 'm1',"
		    " 'always' FROM outcomes AS o JOIN items AS i"
		    " ON i.number = o.item WHERE i.id = 'way-isolated'"
		    " AND o.id = 'charged'");
	ck_assert_int_eq(
	    lw_plan_book(&doc, bench.book, &plan, NULL, &bench.err), LW_OK);
	ck_assert_int_eq(lw_doc_json(&text, &length, doc, &bench.err), LW_OK);
	ck_assert_ptr_nonnull(strstr(text, "Ways into a power state"));
	ck_assert_ptr_null(strstr(text, "tool is not at hand"));
	free(text);
	lw_doc_free(doc);
}
END_TEST

Suite *
suite_going(void)
{
	Suite *suite = suite_create("going");
	TCase *all = tcase_create("going");

	tcase_add_checked_fixture(all, setup, teardown);
	tcase_set_timeout(all, 60);
	tcase_add_test(all, putting_out_one_by_one_is_no_contradiction);
	tcase_add_test(all, two_more_after_a_repair);
	tcase_add_test(all, asks_again_after_a_repair);
	tcase_add_test(all, what_was_repaired_comes_back);
	tcase_add_test(all, what_was_struck_comes_back);
	tcase_add_test(all, says_that_it_came_back);
	tcase_add_test(all, two_repairs);
	tcase_add_test(all, says_that_it_is_not_dead);
	tcase_add_test(all, does_not_wait_for_nothing);
	tcase_add_test(all, leaves_a_tree_that_is_gone);
	tcase_add_test(all, answers_that_are_none_any_more);
	tcase_add_test(all, minutes_that_are_none);
	tcase_add_test(all, rows_that_are_gone);
	tcase_add_test(all, a_book_that_changes_under_a_plan);
	tcase_add_test(all, says_what_a_plan_leaves_out);
	suite_add_tcase(suite, all);
	return suite;
}
