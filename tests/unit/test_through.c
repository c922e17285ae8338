/* job: walk-throughs, whose steps are taken in order, each until it passes.
 * The bench is invented. */
#include "unit/bench.h"
#include "unit/suites.h"

#include "book/store.h"

static struct bench bench;

static void
setup(void)
{
	const char *const file = TESTS_DIR "/unit/through.yaml";

	bench_open(&bench);
	bench_put(&bench, &file, 1);
}

static void
teardown(void)
{
	bench_close(&bench);
}

static int64_t
begin(const char *walk)
{
	return bench_start(&bench, NULL, NULL, NULL, walk);
}

/* How far it has come: the step that comes, of how many, and how many passed;
 * nothing is suspected nor advised. */
static void
is_at(const struct lw_job *job, size_t step, size_t steps, size_t passed)
{
	ck_assert_ptr_nonnull(job->walk);
	ck_assert_uint_eq(job->walk->step, step);
	ck_assert_uint_eq(job->walk->steps, steps);
	ck_assert_uint_eq(job->walk->passed, passed);
	ck_assert_uint_eq(job->suspect_count, 0);
	ck_assert_uint_eq(job->next_count, 0);
	ck_assert_uint_eq(job->fix_count, 0);
	ck_assert_ptr_null(job->advice);
	ck_assert_ptr_null(job->conflict);
	ck_assert(!job->can_leave);
}

static void
says(const char *text, const char *part)
{
	ck_assert_ptr_nonnull(text);
	ck_assert_msg(strstr(text, part) != NULL, "%s: no \"%s\"", text, part);
}

static void
change_book(const char *sql)
{
	char *why = NULL;

	ck_assert_msg(
	    sqlite3_exec(bench.book->db, sql, NULL, NULL, &why) == SQLITE_OK,
	    "%s", why);
}

static void
ends(const struct lw_job *job, enum lw_job_state state, const char *part)
{
	ck_assert_str_eq(
	    lw_job_state_name(job->state), lw_job_state_name(state));
	ck_assert_ptr_null(job->step);
	says(job->ending, part);
}

/* --- through ------------------------------------------------------------- */

START_TEST(every_step_passes)
{
	const struct lw_job *job;
	int64_t number;

	bench_rig(&bench, "cart48", "motor=separately-excited");
	number = begin("round");
	job = bench_get(&bench, number);
	ck_step(job, "way-isolated", "polarity");
	is_at(job, 1, 4, 0);
	ck_assert_str_eq(job->title, "Once round");
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_TREE);
	ck_step(bench_answer(&bench, number, "dead"), "polarity", NULL);
	job = bench_answer(&bench, number, "right");
	ck_step(job, "field", NULL);
	is_at(job, 2, 4, 1);
	job = bench_answer(&bench, number, "2.00 ohm");
	ck_step(job, "throttle-rest", NULL);
	/* It was passed just now, so it is not asked once more on the way. */
	job = bench_answer(&bench, number, "springs");
	ck_step(job, "way-live", "turns");
	is_at(job, 4, 4, 3);
	ck_assert_ptr_null(job->walk->failed);
	ck_step(bench_answer(&bench, number, "ready"), "turns", NULL);
	job = bench_answer(&bench, number, "forwards");
	ends(job, LW_JOB_PASSED, "It may be driven, slowly.");
	is_at(job, 0, 4, 4);
	ck_assert(job->walk->complete);
	ck_assert(job->make_safe);
	ck_assert(!job->cured);
	ck_assert_uint_eq(job->put_aside_count, 0);
	/* The way back, as in any job. */
	ck_assert_int_eq(bench_do(&bench, lw_job_make_safe, number), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_str_eq(job->step->check->id, "way-isolated");
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_SAFE);
	job = bench_answer(&bench, number, "dead");
	ends(job, LW_JOB_PASSED, "It may be driven, slowly.");
	ck_assert(!job->make_safe);
	ck_assert_int_eq(bench_end(&bench, number, false, "Driven."), LW_OK);
	job = bench_get(&bench, number);
	ends(job, LW_JOB_CLOSED, "Driven.");
	ck_assert(job->walk->complete);
	ck_assert(!job->make_safe);
}
END_TEST

START_TEST(what_is_wrong_is_put_right)
{
	const struct lw_job *job;
	int64_t number = begin("short-round");

	bench_answer(&bench, number, "dead");
	job = bench_answer(&bench, number, "wrong");
	ck_step(job, "polarity", NULL);
	is_at(job, 1, 2, 0);
	ck_assert_ptr_nonnull(job->walk->failed);
	ck_assert_str_eq(job->walk->failed->outcome, "wrong");
	ck_assert_str_eq(job->walk->failed->say, "Connect nothing.");
	/* Common and always before rare and sometimes; never is none. */
	ck_assert_uint_eq(job->walk->point_count, 2);
	ck_assert_str_eq(job->walk->points[0].cause->id, "crossed");
	ck_assert_str_eq(job->walk->points[0].word, "always");
	ck_assert_str_eq(job->walk->points[0].cause->fix, "Swap the leads.");
	ck_assert_str_eq(job->walk->points[1].cause->id, "loose");
	/* Still not: it is asked once more. */
	ck_step(bench_answer(&bench, number, "wrong"), "polarity", NULL);
	job = bench_answer(&bench, number, "right");
	ck_step(job, "throttle-rest", NULL);
	is_at(job, 2, 2, 1);
	ck_assert_ptr_null(job->walk->failed);
	job = bench_answer(&bench, number, "springs");
	ends(job, LW_JOB_PASSED, "It looks well.");
	/* What it gave at first stays. */
	ck_assert_str_eq(job->findings[2].outcome, "wrong");
	ck_assert(!job->findings[2].undone);
}
END_TEST

/* Before it is switched on again, what was passed before the repair is asked
 * once more; as after any fix. */
START_TEST(what_was_put_right_is_proved_anew)
{
	const struct lw_job *job;
	int64_t number = begin("round");

	bench_answers(&bench, number, "dead right 2.00ohm springs");
	ck_step(bench_get(&bench, number), "way-live", "turns");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "polarity"), LW_OK);
	job = bench_answer(&bench, number, "wrong");
	ck_step(job, "polarity", NULL);
	is_at(job, 1, 4, 2);
	job = bench_answer(&bench, number, "right");
	ck_step(job, "throttle-rest", "turns");
	ck_assert(job->step->compulsory);
	job = bench_answer(&bench, number, "stays");
	ck_assert_str_eq(job->step->check->id, "throttle-rest");
	is_at(job, 3, 4, 2);
	ck_assert_str_eq(job->walk->failed->subject, "throttle-rest");
	ck_assert_str_eq(job->walk->points[0].cause->id, "stuck");
	job = bench_answer(&bench, number, "springs");
	ck_step(job, "way-live", "turns");
	/* Wrong in a live state: asked again there, unless it is made safe. */
	job = bench_answers(&bench, number, "ready backwards");
	ck_step(job, "turns", NULL);
	ck_assert_str_eq(job->walk->points[0].cause->id, "swapped");
	ck_assert_int_eq(bench_do(&bench, lw_job_make_safe, number), LW_OK);
	ck_assert_int_eq(
	    bench_get(&bench, number)->step->purpose, LW_PURPOSE_SAFE);
	job = bench_answer(&bench, number, "dead");
	ck_step(job, "throttle-rest", "turns");
	ck_assert_str_eq(job->walk->failed->subject, "turns");
	job = bench_answers(&bench, number, "springs ready forwards");
	ends(job, LW_JOB_PASSED, "It may be driven");
}
END_TEST

START_TEST(steps_go_by_the_rig)
{
	const struct lw_job *job;
	int64_t number = begin("round");

	/* Unknown is the dangerous value: every step is asked. */
	is_at(bench_get(&bench, number), 1, 4, 0);
	ck_assert_uint_eq(bench_get(&bench, number)->walk->left_out, 0);
	bench_rig(&bench, "trike36", "motor=series");
	number = begin("round");
	job = bench_get(&bench, number);
	is_at(job, 1, 3, 0);
	ck_assert_uint_eq(job->walk->left_out, 1);
	job = bench_answers(&bench, number, "dead right");
	ck_step(job, "throttle-rest", NULL);
	is_at(job, 2, 3, 1);
	job = bench_get(&bench, begin("brushless-round"));
	ends(job, LW_JOB_UNDECIDED, "is for this vehicle");
	is_at(job, 0, 0, 0);
	ck_assert(!job->walk->complete);
}
END_TEST

START_TEST(what_cannot_be_done_is_named)
{
	static const char *const asides[] = {
	    "cannot", "skip", "differs", "not-reproduced"};
	const struct lw_job *job;
	int64_t number = begin("round");

	bench_answers(&bench, number, "dead right");
	ck_assert_int_eq(
	    bench_say(&bench, number, -1, asides[_i], "no meter"), LW_OK);
	job = bench_get(&bench, number);
	ck_step(job, "throttle-rest", NULL);
	ck_assert_ptr_null(job->walk->failed);
	is_at(job, 3, 4, 1);
	ck_assert_uint_eq(job->walk->aside, 1);
	job = bench_answers(&bench, number, "springs ready forwards");
	ends(job, LW_JOB_WAITING, "Not done: Field winding. 3 of 4 steps");
	ck_assert_ptr_null(strstr(job->ending, "driven"));
	ck_assert_str_eq(job->waits_for, "Field winding: no meter");
	ck_assert(!job->walk->complete);
	ck_assert(job->make_safe);
	ck_assert_uint_eq(job->put_aside_count, 1);
	/* Closed like that, it is not complete either. */
	ck_assert_int_eq(bench_end(&bench, number, false, NULL), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_CLOSED);
	ck_assert(!job->walk->complete);
	ck_assert_uint_eq(job->put_aside_count, 1);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ends(bench_get(&bench, number), LW_JOB_WAITING, "Not done: ");
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_step(bench_get(&bench, number), "way-isolated", "field");
	job = bench_answers(&bench, number, "dead 2.00ohm");
	ends(job, LW_JOB_PASSED, "It may be driven");
	is_at(job, 0, 4, 4);
}
END_TEST

/* What is put aside was wrong, as far as it is known. */
START_TEST(what_was_wrong_is_said)
{
	int64_t number = begin("short-round");

	bench_answers(&bench, number, "dead wrong cannot springs");
	ends(bench_get(&bench, number), LW_JOB_WAITING,
	    "Not done: Pack polarity (it gave: the wrong way round). 1 of 2");
	/* Not where that was taken back. */
	number = begin("short-round");
	bench_answers(&bench, number, "dead wrong");
	bench_undo(&bench, number);
	bench_answers(&bench, number, "dead cannot springs");
	ends(bench_get(&bench, number), LW_JOB_WAITING,
	    "Not done: Pack polarity. 1 of 2");
}
END_TEST

START_TEST(a_stop_ends_it)
{
	const struct lw_job *job;
	int64_t number = begin("short-round");

	job = bench_answers(&bench, number, "dead hot");
	ends(job, LW_JOB_STOPPED, "stop here");
	ck_assert(!job->walk->complete);
	job = bench_undo(&bench, number);
	ck_step(job, "way-isolated", "polarity");
}
END_TEST

START_TEST(answers_are_taken_back)
{
	const struct lw_job *job;
	int64_t number = begin("short-round");

	bench_answers(&bench, number, "dead wrong right springs");
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_PASSED);
	job = bench_undo(&bench, number);
	ck_step(job, "way-isolated", "throttle-rest");
	is_at(job, 2, 2, 1);
	/* Back to where the first step was wrong. */
	job = bench_undo(&bench, number);
	is_at(job, 1, 2, 0);
	ck_assert_str_eq(job->walk->failed->outcome, "wrong");
	job = bench_undo(&bench, number);
	ck_assert_ptr_null(job->walk->failed);
	job = bench_answers(&bench, number, "dead right springs");
	ck_assert_int_eq(job->state, LW_JOB_PASSED);
	/* One that passed may be asked again, and then it counts. */
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "polarity"), LW_OK);
	job = bench_answer(&bench, number, "wrong");
	ck_step(job, "polarity", NULL);
	is_at(job, 1, 2, 1);
	ck_assert(!job->walk->complete);
}
END_TEST

/* It moves by itself: off with it, and not on again before that is seen to. */
START_TEST(it_moves_by_itself)
{
	const struct lw_job *job;
	int64_t number = begin("round");

	bench_answers(&bench, number, "dead right 2.00ohm springs moves");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_SAFE);
	job = bench_answer(&bench, number, "dead");
	ends(job, LW_JOB_WAITING, "Not done: Way round it turns");
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_step(bench_get(&bench, number), "throttle-rest", "turns");
}
END_TEST

START_TEST(nothing_is_switched_on_after_it_moved)
{
	const struct lw_job *job;
	int64_t number = begin("live-round");

	bench_answers(&bench, number, "dead springs moves dead");
	job = bench_get(&bench, number);
	ends(job, LW_JOB_WAITING, "It did something by itself");
	ck_assert_ptr_null(strstr(job->ending, "pick"));
	ck_assert_uint_eq(job->put_aside_count, 1);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_step(bench_get(&bench, number), "throttle-rest", "turns");
}
END_TEST

/* It cannot be proved dead: no step that needs power is asked. */
START_TEST(it_cannot_be_proved_dead)
{
	int64_t number = begin("round");

	ck_step(
	    bench_answer(&bench, number, "cannot"), "way-isolated", "field");
	bench_answers(&bench, number, "cannot cannot");
	ends(bench_get(&bench, number), LW_JOB_WAITING, "proved dead");
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_step(bench_get(&bench, number), "way-isolated", "polarity");
}
END_TEST

START_TEST(too_close_to_call_is_not_passed)
{
	const char *const rig = TESTS_DIR "/../kb/rig.yaml";
	const struct lw_job *job;
	int64_t number = begin("round");

	/* What the usual meter is off by. */
	bench_put(&bench, &rig, 1);
	bench_answers(&bench, number, "dead right");
	/* 0.9 % and two counts of 0.01 are 0.03 ohm either way, and more with
	 * both as standard uncertainties: 1.01 may be below 1. */
	ck_assert_int_eq(bench_try(&bench, number, "1.01 ohm"), LW_UNDECIDED);
	says(bench.err.text, "if it stays, it counts as \"too low\"");
	ck_assert_int_eq(
	    bench_give(&bench, number,
		(struct lw_answer){
		    .serial = -1, .text = "1.01 ohm", .sure = true}),
	    LW_OK);
	job = bench_get(&bench, number);
	ck_step(job, "field", NULL);
	ck_assert_str_eq(job->walk->failed->outcome, "low");
	ck_assert_str_eq(job->walk->failed->also, "sound");
	ck_step(
	    bench_answer(&bench, number, "1.50 ohm"), "throttle-rest", NULL);
}
END_TEST

START_TEST(it_goes_on_after_a_break)
{
	int64_t number = begin("short-round");

	bench_answers(&bench, number, "dead right");
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	ck_step(bench_get(&bench, number), "way-isolated", "throttle-rest");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_wait, number, "daylight"), LW_OK);
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_WAITING);
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	bench_answers(&bench, number, "dead springs");
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_PASSED);
}
END_TEST

/* --- what it is not ------------------------------------------------------ */

START_TEST(it_looks_for_no_cause)
{
	int64_t number = begin("short-round"), other;

	bench_answers(&bench, number, "dead wrong");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "crossed"),
	    LW_CONFLICT);
	says(bench.err.text, "is a walk-through");
	ck_assert_int_eq(bench_do(&bench, lw_job_leave, number), LW_CONFLICT);
	says(bench.err.text, "is a walk-through");
	ck_assert_int_eq(bench_try_start(&bench, &other, NULL, NULL, NULL,
			     "stands", "round"),
	    LW_BAD_INPUT);
	says(bench.err.text, "\"Once round\" is a walk-through");
	/* Nor does it lead a job on a symptom, whatever its rows say. */
	change_book("INSERT INTO tree_symptoms SELECT number, 0, 'stands'"
		    " FROM items WHERE id = 'round'");
	other = bench_start(&bench, NULL, NULL, "stands", NULL);
	ck_assert_ptr_null(bench_get(&bench, other)->tree);
	ck_assert_ptr_null(bench_get(&bench, other)->walk);
}
END_TEST

START_TEST(they_are_listed)
{
	struct lw_entries walks;

	ck_assert_int_eq(
	    lw_book_walks(bench.book, bench.arena, &walks, NULL), LW_OK);
	ck_assert_uint_eq(walks.count, 4);
	ck_assert_str_eq(walks.items[0].id, "round");
	ck_assert_str_eq(walks.items[0].detail,
	    "Before it is switched on for the first time.");
	ck_assert_str_eq(walks.items[2].title, "Looking once");
	ck_assert_int_eq(
	    lw_book_remove_pack(bench.book, "rounds", NULL), LW_OK);
	lw_book_walks(bench.book, bench.arena, &walks, NULL);
	ck_assert_uint_eq(walks.count, 0);
}
END_TEST

/* --- in a book that changed, or is damaged ------------------------------- */

START_TEST(its_steps_are_gone)
{
	const struct lw_job *job;
	int64_t number = begin("short-round");

	bench_answers(&bench, number, "dead right springs");
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_PASSED);
	/* None passed of none is nothing to go by. */
	change_book("DELETE FROM tree_steps");
	job = bench_get(&bench, number);
	ends(job, LW_JOB_UNDECIDED, "is for this vehicle");
	ck_assert(!job->walk->complete);
}
END_TEST

START_TEST(its_checks_are_odd)
{
	const struct lw_job *job;
	int64_t number = begin("short-round");

	bench_answers(&bench, number, "dead right");
	/* What was expected is so no more. */
	change_book("UPDATE outcomes SET expected = 0 WHERE id = 'right'");
	job = bench_get(&bench, number);
	ck_step(job, "polarity", NULL);
	is_at(job, 1, 2, 0);
	ck_assert_str_eq(job->walk->failed->outcome, "right");
	/* It can never pass then, and is put aside. */
	ck_step(bench_answer(&bench, number, "right"), "polarity", NULL);
	bench_answers(&bench, number, "skip springs");
	ends(bench_get(&bench, number), LW_JOB_WAITING, "Pack polarity");
	change_book("UPDATE tree_steps SET check_id = NULL"
		    " WHERE check_id = 'polarity'");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	says(job->ending, "leads nowhere from here");
	change_book("UPDATE tree_steps SET only_on = 'motor= =x strings'");
	job = bench_get(&bench, number);
	ck_assert(!job->walk->complete);
}
END_TEST

START_TEST(its_words_are_gone)
{
	int64_t number = begin("short-round");

	bench_answers(&bench, number, "dead right springs");
	change_book("UPDATE trees SET passed = NULL");
	ends(bench_get(&bench, number), LW_JOB_PASSED, "Every step passed.");
	/* A check that left the book has passed all the same. */
	change_book("DELETE FROM items WHERE id = 'polarity'");
	ends(bench_get(&bench, number), LW_JOB_PASSED, "Every step passed.");
	change_book("DELETE FROM items WHERE kind = 'tree'");
	ends(bench_get(&bench, number), LW_JOB_UNDECIDED,
	    "no longer in the book");
	ck_assert_ptr_null(bench_get(&bench, number)->walk);
}
END_TEST

/* A tree that leads becomes a walk-through, and the other way round. */
START_TEST(it_changes_its_kind)
{
	int64_t number = begin("short-round");

	bench_answers(&bench, number, "dead wrong");
	change_book("UPDATE trees SET walk = 0");
	ck_assert_ptr_null(bench_get(&bench, number)->walk);
	ck_assert_int_eq(bench_do(&bench, lw_job_leave, number), LW_OK);
	change_book("UPDATE trees SET walk = 1");
	ck_assert_ptr_null(bench_get(&bench, number)->walk);
	number = begin("short-round");
	change_book("UPDATE trees SET walk = 0");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "loose"), LW_OK);
	change_book("UPDATE trees SET walk = 1");
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_FOUND);
}
END_TEST

Suite *
suite_through(void)
{
	Suite *suite = suite_create("through");
	TCase *tests = tcase_create("through");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_add_test(tests, every_step_passes);
	tcase_add_test(tests, what_is_wrong_is_put_right);
	tcase_add_test(tests, what_was_put_right_is_proved_anew);
	tcase_add_test(tests, steps_go_by_the_rig);
	tcase_add_loop_test(tests, what_cannot_be_done_is_named, 0, 4);
	tcase_add_test(tests, what_was_wrong_is_said);
	tcase_add_test(tests, a_stop_ends_it);
	tcase_add_test(tests, answers_are_taken_back);
	tcase_add_test(tests, it_moves_by_itself);
	tcase_add_test(tests, nothing_is_switched_on_after_it_moved);
	tcase_add_test(tests, it_cannot_be_proved_dead);
	tcase_add_test(tests, too_close_to_call_is_not_passed);
	tcase_add_test(tests, it_goes_on_after_a_break);
	tcase_add_test(tests, it_looks_for_no_cause);
	tcase_add_test(tests, they_are_listed);
	tcase_add_test(tests, its_steps_are_gone);
	tcase_add_test(tests, its_checks_are_odd);
	tcase_add_test(tests, its_words_are_gone);
	tcase_add_test(tests, it_changes_its_kind);
	suite_add_tcase(suite, tests);
	return suite;
}
