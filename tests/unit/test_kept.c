/* job: what was concluded from an answer stays, though a pack is read in
 * again without the check, with another one of that id, or not at all. Both
 * benches are invented. */
#include "unit/bench.h"
#include "unit/suites.h"

#include "base/arena.h"

static struct bench bench;
static struct lw_pack changed; /* to be put in: see begin_change */

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

static int64_t
start(const char *symptom)
{
	return bench_start(&bench, NULL, NULL, symptom, NULL);
}

static void
pick(int64_t number, const char *check)
{
	ck_assert_msg(
	    bench_do_with(&bench, lw_job_pick, number, check) == LW_OK, "%s",
	    bench.err.text);
}

/* --- packs that change -----------------------------------------------------
 */

/* The pack as it is in the book, whose checks may then be changed. */
static void
begin_change(const char *name)
{
	const struct lw_pack *pack;
	struct lw_check *checks;

	ck_assert_int_eq(
	    lw_book_get_pack(bench.book, bench.arena, name, &pack, &bench.err),
	    LW_OK);
	changed = *pack;
	checks = arena_array(
	    bench.arena, pack->check_count + 1, sizeof(struct lw_check));
	memcpy(checks, pack->checks, pack->check_count * sizeof *checks);
	changed.checks = checks;
}

static struct lw_check *
check_of(const char *id)
{
	struct lw_check *checks = (struct lw_check *)(uintptr_t)changed.checks;
	size_t i;

	for (i = 0; i < changed.check_count; i++)
		if (strcmp(checks[i].id, id) == 0)
			return &checks[i];
	ck_abort_msg("no check %s", id);
	return NULL;
}

static void
drop(const char *id)
{
	*check_of(id) = changed.checks[changed.check_count - 1];
	changed.check_count--;
}

static struct lw_outcome *
outcome_of(const char *id, const char *outcome)
{
	struct lw_check *check = check_of(id);
	struct lw_outcome *list;
	size_t i;

	list = arena_array(
	    bench.arena, check->outcome_count, sizeof(struct lw_outcome));
	memcpy(list, check->outcomes, check->outcome_count * sizeof *list);
	check->outcomes = list;
	for (i = 0; i < check->outcome_count; i++)
		if (strcmp(list[i].id, outcome) == 0)
			return &list[i];
	ck_abort_msg("no outcome %s", outcome);
	return NULL;
}

static void
end_change(void)
{
	ck_assert_msg(lw_book_put_pack(bench.book, &changed, ++bench.now_s,
			  &bench.err) == LW_OK,
	    "%s", bench.err.text);
}

static void
remove_pack(const char *name)
{
	ck_assert_int_eq(
	    lw_book_remove_pack(bench.book, name, &bench.err), LW_OK);
}

/* --- stops ------------------------------------------------------------------
 */

static void
ck_stopped(int64_t number, const char *ending, const char *say)
{
	const struct lw_job *job = bench_get(&bench, number);

	ck_assert_int_eq(job->state, LW_JOB_STOPPED);
	ck_assert_ptr_null(job->step);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_ptr_nonnull(job->ending);
	ck_assert_msg(strstr(job->ending, ending) != NULL, "%s", job->ending);
	if (say != NULL)
		ck_assert_pstr_eq(job->say, say);
}

START_TEST(stop_of_an_outcome)
{
	int64_t number = start("humming");
	const struct lw_job *job;

	pick(number, "lug-look");
	bench_answers(&bench, number, "right done dead smokes");
	ck_stopped(number, "it smokes", "Get away from it.");
	/* The outcome no longer stops. */
	begin_change("guarded-bench");
	outcome_of("lug-look", "smokes")->stops = false;
	end_change();
	ck_stopped(number, "it smokes", "Get away from it.");
	begin_change("guarded-bench");
	drop("lug-look");
	end_change();
	ck_stopped(number, "it smokes", "Get away from it.");
	remove_pack("guarded-bench");
	ck_stopped(number, "it smokes", "Get away from it.");
	ck_assert_int_eq(bench_do_with(&bench, lw_job_pick, number, "lug-look"),
	    LW_CONFLICT);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_CONFLICT);
	ck_assert_int_eq(bench_end(&bench, number, true, NULL), LW_OK);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_stopped(number, "it smokes", "Get away from it.");
	/* Taken back, it is gone. */
	job = bench_undo(&bench, number);
	ck_assert_int_ne(job->state, LW_JOB_STOPPED);
}
END_TEST

START_TEST(stop_of_the_tree)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;

	bench_answers(&bench, number, "dead sound ready");
	job = bench_answer(&bench, number, "68");
	ck_assert_int_eq(job->state, LW_JOB_STOPPED);
	/* The way back to isolated says nothing of the stop. */
	ck_assert_int_eq(bench_do(&bench, lw_job_make_safe, number), LW_OK);
	bench_answer(&bench, number, "dead");
	remove_pack("job-bench");
	ck_stopped(number, "Leave it off.", NULL);
	/* The way back, then the answer. The stop comes first. */
	bench_undo(&bench, number);
	ck_stopped(number, "Leave it off.", NULL);
	job = bench_undo(&bench, number);
	ck_assert_int_ne(job->state, LW_JOB_STOPPED);
}
END_TEST

/* A step that was put aside may end a tree as well. */
START_TEST(stop_of_what_was_put_aside)
{
	int64_t number;
	struct lw_tree *trees;
	struct lw_step *steps;
	struct lw_branch branches[3];

	begin_change("job-bench");
	trees = arena_array(
	    bench.arena, changed.tree_count, sizeof(struct lw_tree));
	memcpy(trees, changed.trees, changed.tree_count * sizeof *trees);
	changed.trees = trees;
	steps = arena_array(
	    bench.arena, trees[0].step_count, sizeof(struct lw_step));
	memcpy(steps, trees[0].steps, trees[0].step_count * sizeof *steps);
	trees[0].steps = steps;
	ck_assert_str_eq(steps[0].check, "case-look");
	ck_assert_uint_eq(steps[0].branch_count, 2);
	memcpy(branches, steps[0].branches, 2 * sizeof *branches);
	branches[2] = (struct lw_branch){
	    "cannot", LW_BRANCH_STOP, "Not without a look.", {0}};
	steps[0].branches = branches;
	steps[0].branch_count = 3;
	end_change();
	number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	bench_answers(&bench, number, "dead cannot");
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_STOPPED);
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	remove_pack("job-bench");
	ck_stopped(number, "Not without a look.", NULL);
}
END_TEST

/* --- what was lost, and what was not passed ---------------------------------
 */

START_TEST(unproved_stays_unproved)
{
	int64_t number = start("lurching");
	const struct lw_job *job;

	job = bench_answers(&bench, number, "right done dead sparks");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	begin_change("guarded-bench");
	outcome_of("lug-look", "sparks")->unproves = false;
	outcome_of("lug-look", "sparks")->say = "Never mind.";
	end_change();
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_str_eq(job->say, "It is not dead.");
	ck_step(job, "meter-tried", "bus-volts");
}
END_TEST

/* No pack proves or passes anything after the fact. */
START_TEST(nothing_is_proved_later)
{
	int64_t number = start("lurching");
	const struct lw_job *job;

	job = bench_answers(&bench, number, "right done dead tight sticks");
	ck_step(job, "stop-tried", "bus-volts");
	begin_change("guarded-bench");
	outcome_of("stop-tried", "sticks")->expected = true;
	end_change();
	ck_step(bench_get(&bench, number), "stop-tried", "bus-volts");
	/* What passed and would no longer is to be passed again. */
	job = bench_answer(&bench, number, "opens");
	ck_step(job, "way-pre-charged", "bus-volts");
	begin_change("guarded-bench");
	outcome_of("stop-tried", "opens")->expected = false;
	end_change();
	ck_step(bench_get(&bench, number), "stop-tried", "bus-volts");
	number = start("lurching");
	bench_answers(&bench, number, "right done charged");
	begin_change("guarded-bench");
	outcome_of("way-isolated", "charged")->enters = LW_POWER_ISOLATED;
	end_change();
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_str_ne(job->step->check->id, "lug-look");
}
END_TEST

/* Who could not prove it dead is not sent on because the pack has another
 * way in now. */
START_TEST(not_dead_stays_not_dead)
{
	int64_t number = start("humming");
	const struct lw_job *job;

	bench_answers(&bench, number, "ready sound cannot");
	pick(number, "key-volts");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_nonnull(strstr(job->ending, "proved dead"));
	begin_change("guarded-bench");
	check_of("way-isolated")->after.count = 0;
	check_of("way-isolated")->id = "another-way";
	end_change();
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_null(job->step);
	ck_assert_ptr_nonnull(strstr(job->ending, "proved dead"));
}
END_TEST

/* --- left switched on --------------------------------------------------------
 */

START_TEST(left_on_stays_left_on)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);

	bench_answers(&bench, number, "dead sound ready");
	bench_undo(&bench, number);
	ck_assert_int_eq(bench_end(&bench, number, true, NULL), LW_OK);
	ck_assert(bench_get(&bench, number)->make_safe);
	remove_pack("job-bench");
	ck_assert(bench_get(&bench, number)->make_safe);
}
END_TEST

/* Nobody knows how far they came who gave up at a way in. */
START_TEST(warns_of_a_way_in_given_up)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);

	bench_answers(&bench, number, "dead sound cannot");
	ck_assert_int_eq(bench_end(&bench, number, true, NULL), LW_OK);
	ck_assert(bench_get(&bench, number)->make_safe);
}
END_TEST

/* Nothing was switched on before what is compulsory had passed. */
START_TEST(no_warning_before_the_way_in)
{
	int64_t number = start("lurching");

	bench_answers(&bench, number, "right done dead tight cannot");
	ck_assert_int_eq(bench_end(&bench, number, true, NULL), LW_OK);
	ck_assert(!bench_get(&bench, number)->make_safe);
}
END_TEST

/* --- no way back
 * -------------------------------------------------------------- */

START_TEST(no_way_back)
{
	const char *const file = TESTS_DIR "/unit/guarded.yaml";
	int64_t number = start("lurching");
	const struct lw_job *job;

	job =
	    bench_answers(&bench, number, "right done dead tight opens ready");
	ck_step(job, "bus-volts", NULL);
	ck_assert_int_eq(bench_do(&bench, lw_job_make_safe, number), LW_OK);
	begin_change("guarded-bench");
	drop("way-isolated");
	end_change();
	/* No live step instead. */
	job = bench_get(&bench, number);
	ck_assert_ptr_null(job->step);
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_ptr_nonnull(strstr(job->ending, "maker's instructions"));
	ck_assert(job->make_safe);
	ck_assert_int_eq(bench_try(&bench, number, "40"), LW_CONFLICT);
	/* A compulsory check of it alone is missing. */
	bench_put(&bench, &file, 1);
	ck_assert_int_eq(
	    bench_get(&bench, number)->step->purpose, LW_PURPOSE_SAFE);
	begin_change("guarded-bench");
	drop("meter-tried");
	end_change();
	job = bench_get(&bench, number);
	ck_assert_ptr_null(job->step);
	ck_assert_ptr_nonnull(strstr(job->ending, "maker's instructions"));
	/* What waits or is over stays so, with the same words. */
	ck_assert_int_eq(bench_end(&bench, number, true, "sold"), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_GIVEN_UP);
	ck_assert_ptr_nonnull(strstr(job->ending, "maker's instructions"));
	ck_assert(job->make_safe);
	bench_put(&bench, &file, 1);
	job = bench_answers(&bench, number, "right done dead");
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	ck_assert_str_eq(job->ending, "sold");
}
END_TEST

Suite *
suite_kept(void)
{
	Suite *suite = suite_create("kept");
	TCase *plain = tcase_create("plain");
	TCase *guarded = tcase_create("guarded");

	tcase_add_checked_fixture(plain, setup, teardown);
	tcase_set_timeout(plain, 60);
	tcase_add_test(plain, stop_of_the_tree);
	tcase_add_test(plain, stop_of_what_was_put_aside);
	tcase_add_test(plain, left_on_stays_left_on);
	tcase_add_test(plain, warns_of_a_way_in_given_up);
	suite_add_tcase(suite, plain);
	tcase_add_checked_fixture(guarded, setup_guarded, teardown);
	tcase_set_timeout(guarded, 60);
	tcase_add_test(guarded, stop_of_an_outcome);
	tcase_add_test(guarded, unproved_stays_unproved);
	tcase_add_test(guarded, nothing_is_proved_later);
	tcase_add_test(guarded, not_dead_stays_not_dead);
	tcase_add_test(guarded, no_warning_before_the_way_in);
	tcase_add_test(guarded, no_way_back);
	suite_add_tcase(suite, guarded);
	return suite;
}
