/* job: what findings say of the causes, which check comes next, fixes, two
 * faults at once, and what is learnt. The bench is invented; the numbers are
 * worked out by hand in the comments. */
#include "unit/bench.h"
#include "unit/suites.h"

#include <math.h>

static struct bench bench;

static void
setup(void)
{
	const char *const file = TESTS_DIR "/unit/reasoned.yaml";

	bench_open(&bench);
	bench_put(&bench, &file, 1);
}

static void
teardown(void)
{
	bench_close(&bench);
}

static const struct lw_suspect *
suspect(const struct lw_job *job, const char *cause, const char *also)
{
	size_t i;

	for (i = 0; i < job->suspect_count; i++)
		if (strcmp(job->suspects[i].cause, cause) == 0 &&
		    (also == NULL
			    ? job->suspects[i].also == NULL
			    : job->suspects[i].also != NULL &&
				  strcmp(job->suspects[i].also, also) == 0))
			return &job->suspects[i];
	return NULL;
}

static bool
lists(const struct lw_next *list, size_t count, const char *check)
{
	size_t i;

	for (i = 0; i < count; i++)
		if (strcmp(list[i].check->id, check) == 0)
			return true;
	return false;
}

/* What the engine asks for, be it still on the way in. */
static const char *
asks_for(const struct lw_job *job)
{
	ck_assert_ptr_nonnull(job->step);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_NEXT);
	return job->step->then != NULL ? job->step->then->id
				       : job->step->check->id;
}

/* --- the next check ------------------------------------------------------ */

START_TEST(leads_without_a_tree)
{
	int64_t number = bench_start(&bench, NULL, NULL, "will-not-go", NULL);
	const struct lw_job *job = bench_get(&bench, number);
	size_t i;

	ck_assert_int_eq(job->state, LW_JOB_OPEN);
	/* It tells the likeliest from all others, and isolated comes first
	 * anyway. */
	ck_assert_str_eq(asks_for(job), "fuse-look");
	ck_assert_ptr_nonnull(job->step->why);
	ck_assert_ptr_nonnull(
	    strstr(job->step->why, "splits the two leading causes; 2 min; "
				   "5 min more to change to isolated"));
	ck_assert_uint_ge(job->next_count, 3);
	ck_assert_str_eq(job->next[0].check->id, "fuse-look");
	ck_assert_double_eq(job->next[0].setup_minutes, 5);
	/* The wheel tells about as much, live: it waits for the safer one. */
	ck_assert(lists(job->next, job->next_count, "wheel-watch"));
	for (i = 0; i < job->next_count; i++)
		if (strcmp(job->next[i].check->id, "wheel-watch") == 0) {
			ck_assert_ptr_nonnull(job->next[i].yields);
			ck_assert_str_eq(job->next[i].yields->id, "fuse-look");
		}
	ck_assert(!job->can_leave);
	job = bench_answer(&bench, number, "dead");
	ck_assert_str_eq(asks_for(job), "fuse-look");
	ck_assert_ptr_null(job->step->then);
	ck_assert_ptr_nonnull(
	    strstr(job->step->why, "no change of power state"));
}
END_TEST

/*
 * fuse 9, relay 3, grip 1, unlisted 0.5, of 13.5. "whole": fuse 0.03, relay
 * and grip 0.97, unlisted 0.95: .27, 2.91, .97, .475 of 4.625. What it did to
 * the odds of the fuse: .03 over the mean of the others, (2.91 + .97 + .475) /
 * 4.5.
 */
START_TEST(says_why)
{
	int64_t number = bench_start(&bench, NULL, NULL, "will-not-go", NULL);
	const struct lw_job *job = bench_answers(&bench, number, "dead whole");
	const struct lw_suspect *fuse = suspect(job, "fuse-gone", NULL);

	ck_assert_double_eq_tol(fuse->share, 0.27 / 4.625, 1e-12);
	ck_assert_double_eq_tol(fuse->began, 9 / 13.5, 1e-12);
	ck_assert_double_eq_tol(
	    suspect(job, "relay-stuck", NULL)->share, 2.91 / 4.625, 1e-12);
	ck_assert_double_eq_tol(
	    suspect(job, "unlisted", NULL)->share, 0.475 / 4.625, 1e-12);
	ck_assert_uint_eq(fuse->why_count, 1);
	ck_assert_double_eq_tol(
	    fuse->whys[0].factor, 0.03 / (4.355 / 4.5), 1e-12);
	ck_assert_str_eq(fuse->whys[0].text,
	    "Look at the fuse: whole, speaks against it, x0.031");
	/* An undo is exact. */
	job = bench_undo(&bench, number);
	ck_assert_double_eq_tol(
	    suspect(job, "fuse-gone", NULL)->share, 9 / 13.5, 1e-15);
	ck_assert_uint_eq(suspect(job, "fuse-gone", NULL)->why_count, 0);
}
END_TEST

START_TEST(skips_and_picks)
{
	int64_t number = bench_start(&bench, NULL, NULL, "will-not-go", NULL);
	const struct lw_job *job = bench_answers(&bench, number, "dead skip");

	ck_assert_uint_eq(job->put_aside_count, 1);
	ck_assert_str_eq(job->put_aside[0]->id, "fuse-look");
	ck_assert(!lists(job->next, job->next_count, "fuse-look"));
	/* It changes no share. */
	ck_assert_double_eq_tol(
	    suspect(job, "fuse-gone", NULL)->share, 9 / 13.5, 1e-15);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "relay-listen"), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_PICK);
	/* Taken up, it comes first again once what was picked is done. */
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_answers(&bench, number, "ready clicks");
	ck_assert_uint_eq(job->put_aside_count, 0);
	ck_assert_str_eq(job->next[0].check->id, "fuse-look");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "fuse-look"), LW_OK);
	job = bench_answers(&bench, number, "dead not-reproduced");
	ck_assert_uint_eq(job->put_aside_count, 1);
}
END_TEST

START_TEST(waits_for_a_tool)
{
	const struct lw_job *job;
	int64_t number;

	bench_rig(&bench, "barrow", "tools=meter");
	number = bench_start(&bench, NULL, NULL, "will-not-go", NULL);
	job = bench_answers(&bench, number, "dead whole");
	ck_assert(!lists(job->next, job->next_count, "grip-read"));
	ck_assert_uint_eq(job->deferred_count, 1);
	ck_assert_str_eq(job->deferred[0].check->id, "grip-read");
	ck_assert_uint_eq(job->deferred[0].missing_count, 1);
	ck_assert_str_eq(job->deferred[0].missing[0], "programmer");
}
END_TEST

/* --- fixes --------------------------------------------------------------- */

/* Burnt: the fuse is all but certain, and an hour of work; nothing else that
 * could be asked changes that. */
START_TEST(fixes_first)
{
	int64_t number = bench_start(&bench, NULL, NULL, "will-not-go", NULL);
	const struct lw_job *job = bench_answers(&bench, number, "dead burnt");

	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert(job->fix_first);
	ck_assert_ptr_nonnull(job->advice);
	ck_assert_str_eq(job->ending, job->advice);
	ck_assert_uint_ge(job->fix_count, 1);
	ck_assert_str_eq(job->fixes[0].cause, "fuse-gone");
	ck_assert_double_eq(job->fixes[0].minutes, 60);
	ck_assert_double_le(job->fix_minutes, job->check_minutes);
	/* A check may still be picked. */
	ck_assert_uint_ge(job->next_count, 1);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "fuse-gone"), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	ck_assert_uint_ge(job->next_count, 3);
}
END_TEST

/* A proved repair that leaves the trouble: what was found before is explained
 * by the fuse, and says nothing more of the others; without that "burnt" would
 * speak for what is not in the book. */
START_TEST(goes_on_after_a_repair)
{
	int64_t number = bench_start(&bench, NULL, NULL, "will-not-go", NULL);
	const struct lw_job *job = bench_answers(&bench, number, "dead burnt");
	double relay, grip;

	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "fuse-gone"), LW_OK);
	job = bench_answers(&bench, number, "fixed whole");
	ck_assert_int_eq(job->state, LW_JOB_PROVING);
	job = bench_answers(&bench, number, "ready still");
	ck_assert_ptr_null(suspect(job, "fuse-gone", NULL));
	ck_assert_uint_eq(job->excluded_count, 1);
	ck_assert(job->excluded[0].repaired);
	/* Done again it was whole, which relay and grip give alike. */
	relay = suspect(job, "relay-stuck", NULL)->share;
	grip = suspect(job, "grip-worn", NULL)->share;
	ck_assert_double_eq_tol(relay / grip, 3, 1e-9);
	ck_assert_double_gt(relay, suspect(job, "unlisted", NULL)->share);
	ck_assert_int_eq(job->state, LW_JOB_OPEN);
}
END_TEST

/* --- two at once --------------------------------------------------------- */

/* Burnt and silent: each speaks for another cause, and no single one makes
 * both likely. */
START_TEST(finds_two_at_once)
{
	int64_t number = bench_start(&bench, NULL, NULL, "will-not-go", NULL);
	const struct lw_job *job = bench_answers(&bench, number, "dead burnt");

	ck_assert(!job->pairs);
	ck_assert_ptr_null(job->conflict);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "relay-listen"), LW_OK);
	job = bench_answers(&bench, number, "ready silent");
	ck_assert(job->pairs);
	ck_assert_ptr_nonnull(suspect(job, "fuse-gone", "relay-stuck"));
	/* .03 * .97 and .2 * .97 are what single ones give. */
	ck_assert_double_gt(suspect(job, "fuse-gone", "relay-stuck")->share,
	    suspect(job, "relay-stuck", NULL)->share);
}
END_TEST

/* Still and burnt, then whole and turning: they cannot all be right. */
START_TEST(says_what_contradicts)
{
	int64_t number = bench_start(&bench, NULL, NULL, "will-not-go", NULL);
	const struct lw_job *job = bench_answers(&bench, number, "dead whole");

	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "wheel-watch"), LW_OK);
	job = bench_answers(&bench, number, "ready still");
	ck_assert_double_gt(job->conflict_bits, 1);
	ck_assert_ptr_nonnull(job->conflict);
	ck_assert_ptr_nonnull(job->repeat);
	ck_assert(strcmp(job->repeat->subject, "wheel-watch") == 0 ||
		  strcmp(job->repeat->subject, "fuse-look") == 0);
	/* The other answer settles it. */
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "wheel-watch"), LW_OK);
	job = bench_answer(&bench, number, "turns");
	ck_assert_ptr_null(job->conflict);
	ck_assert(!job->pairs);
}
END_TEST

/* --- leaving a tree ------------------------------------------------------ */

START_TEST(leaves_a_tree)
{
	int64_t number = bench_start(&bench, NULL, NULL, "hums", "hum-tree");
	const struct lw_job *job = bench_get(&bench, number);

	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_TREE);
	ck_assert(job->can_leave);
	ck_assert_int_eq(bench_do(&bench, lw_job_leave, number), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_ptr_nonnull(job->step);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_NEXT);
	ck_assert(!job->can_leave);
	ck_assert_int_eq(bench_do(&bench, lw_job_leave, number), LW_CONFLICT);
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_TREE);
	/* Without a tree there is none to leave. */
	number = bench_start(&bench, NULL, NULL, "will-not-go", NULL);
	ck_assert_int_eq(bench_do(&bench, lw_job_leave, number), LW_CONFLICT);
}
END_TEST

/* --- learning ------------------------------------------------------------ */

static void
cure(const char *device, const char *pattern, const char *cause)
{
	int64_t number = bench_start(&bench, device, pattern, NULL, NULL);
	const struct lw_job *job;

	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, cause), LW_OK);
	job = bench_answers(&bench, number, "dead fixed ready gone");
	ck_assert_int_eq(job->state, LW_JOB_CLOSED);
	ck_assert(job->cured);
}

/*
 * Shares to begin with: 9, 3, 1 and 0.5 of 13.5. Three relays and a fuse on the
 * barrow, of a weight of 10: (10 p + n) / 14. A fuse on the sledge comes
 * first: (10 p + n) / 11.
 */
START_TEST(learns_from_what_was_proved)
{
	const struct lw_job *job;
	const struct lw_suspect *relay;
	double prior;
	int64_t number;

	cure("bench-barrow", "2", "relay-stuck");
	cure("bench-barrow", "2", "relay-stuck");
	cure("bench-barrow", "2", "fuse-gone");
	cure("bench-barrow", "2", "relay-stuck");
	cure("bench-sledge", "3", "fuse-gone");
	number = bench_start(&bench, "bench-barrow", "2", NULL, NULL);
	job = bench_get(&bench, number);
	relay = suspect(job, "relay-stuck", NULL);
	ck_assert_uint_eq(relay->here, 3);
	ck_assert_uint_eq(relay->cases, 4);
	ck_assert_str_eq(relay->counted, "3 of 4 times here, 0 of 1 elsewhere");
	prior = 10 * (3 / 13.5) / 11;
	ck_assert_double_eq_tol(relay->began, (10 * prior + 3) / 14, 1e-12);
	prior = (10 * (9 / 13.5) + 1) / 11;
	ck_assert_double_eq_tol(suspect(job, "fuse-gone", NULL)->began,
	    (10 * prior + 1) / 14, 1e-12);
	/* Counting may begin anew; the jobs stay. */
	ck_assert_int_eq(lw_book_forget(bench.book, "bench-barrow",
			     ++bench.now_s, &bench.err),
	    LW_OK);
	job = bench_get(&bench, number);
	ck_assert_uint_eq(suspect(job, "relay-stuck", NULL)->cases, 0);
	ck_assert_uint_eq(suspect(job, "fuse-gone", NULL)->elsewhere, 1);
}
END_TEST

/* What is taken back or comes back does not count. */
START_TEST(counts_what_stands)
{
	const struct lw_job *job;
	int64_t number, other;

	number = bench_start(&bench, "bench-barrow", "2", NULL, NULL);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "relay-stuck"),
	    LW_OK);
	bench_answers(&bench, number, "dead fixed ready gone");
	other = bench_start(&bench, "bench-barrow", "2", NULL, NULL);
	job = bench_get(&bench, other);
	ck_assert_uint_eq(suspect(job, "relay-stuck", NULL)->here, 1);
	/* It is no case of its own. */
	job = bench_get(&bench, number);
	ck_assert_uint_eq(suspect(job, "relay-stuck", NULL)->here, 0);
	bench_undo(&bench, number);
	job = bench_get(&bench, other);
	ck_assert_uint_eq(suspect(job, "relay-stuck", NULL)->here, 0);
	bench_answers(&bench, number, "ready gone");
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_get(&bench, other);
	ck_assert_uint_eq(suspect(job, "relay-stuck", NULL)->here, 0);
}
END_TEST

Suite *
suite_reasoning(void)
{
	Suite *suite = suite_create("reasoning");
	TCase *all = tcase_create("reasoning");

	tcase_add_checked_fixture(all, setup, teardown);
	tcase_set_timeout(all, 60);
	tcase_add_test(all, leads_without_a_tree);
	tcase_add_test(all, says_why);
	tcase_add_test(all, skips_and_picks);
	tcase_add_test(all, waits_for_a_tool);
	tcase_add_test(all, fixes_first);
	tcase_add_test(all, goes_on_after_a_repair);
	tcase_add_test(all, finds_two_at_once);
	tcase_add_test(all, says_what_contradicts);
	tcase_add_test(all, leaves_a_tree);
	tcase_add_test(all, learns_from_what_was_proved);
	tcase_add_test(all, counts_what_stands);
	suite_add_tcase(suite, all);
	return suite;
}
