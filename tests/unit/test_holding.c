/* job: one screen holds a vehicle, others look on, ask for it, and get it.
 * The bench and everything on it is invented. */
#include "unit/bench.h"
#include "unit/suites.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

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

static int64_t
start(void)
{
	return bench_start(&bench, "bench-cart", "5", NULL, NULL);
}

/* The calls that follow are this screen's. */
static void
as(const char *screen)
{
	bench.screen = screen;
}

/* Who holds it, as everybody sees it: one screen or none. */
static void
ck_holder(int64_t number, const char *holder)
{
	static const char *const screens[] = {"one", "two", "three", NULL};
	const struct lw_job *job;
	size_t i;

	for (i = 0; i < COUNT(screens); i++) {
		job = bench_see(&bench, number, screens[i]);
		ck_assert_int_eq(job->hold.held, holder != NULL);
		ck_assert_pstr_eq(job->hold.screen, holder);
		ck_assert_pstr_eq(job->hold.name, holder);
		ck_assert_int_eq(
		    job->hold.mine, holder != NULL && screens[i] != NULL &&
					strcmp(holder, screens[i]) == 0);
	}
}

/* Nothing this screen tries changes anything, and each refusal says who
 * holds the vehicle. */
static void
ck_refused(int64_t number, const char *holder)
{
	static enum lw_status (*const calls[])(struct lw_book * book,
	    int64_t job, const struct lw_actor *actor, struct lw_err *err) = {
	    lw_job_undo, lw_job_reopen, lw_job_make_safe, lw_job_take};
	const struct lw_job *before = bench_see(&bench, number, NULL), *after;
	size_t i;

	for (i = 0; i < COUNT(calls); i++) {
		ck_assert_int_eq(
		    bench_do(&bench, calls[i], number), LW_CONFLICT);
		ck_assert_ptr_nonnull(strstr(bench.err.text, holder));
	}
	ck_assert_int_eq(bench_try(&bench, number, "sound"), LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(bench.err.text, holder));
	ck_assert_int_eq(bench_try(&bench, number, "cannot"), LW_CONFLICT);
	ck_assert_int_eq(bench_try(&bench, number, "no answer"), LW_CONFLICT);
	ck_assert_int_eq(bench_end(&bench, number, true, "x"), LW_CONFLICT);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_wait, number, "x"), LW_CONFLICT);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "fuse-ohms"),
	    LW_CONFLICT);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "open-fuse"),
	    LW_CONFLICT);
	ck_assert_int_eq(bench_hand(&bench, number, false), LW_CONFLICT);
	ck_assert_int_eq(bench_hand(&bench, number, true), LW_CONFLICT);
	/* These do nothing, and say so by doing nothing. */
	ck_assert_int_eq(bench_do(&bench, lw_job_release, number), LW_OK);
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	after = bench_see(&bench, number, NULL);
	ck_assert_int_eq(after->serial, before->serial);
	ck_assert_int_eq(after->state, before->state);
	ck_assert_int_eq(after->power, before->power);
	ck_assert_str_eq(after->hold.screen, before->hold.screen);
	ck_assert_pstr_eq(after->hold.asker, before->hold.asker);
	ck_assert_int_eq(after->hold.since_s, before->hold.since_s);
	ck_assert_int_eq(after->hold.until_s, before->hold.until_s);
}

START_TEST(first_to_act_holds)
{
	int64_t number = start(), began_s;
	const struct lw_job *job = bench_get(&bench, number);

	/* Looking takes nothing. */
	ck_holder(number, NULL);
	ck_assert(job->hold.free);
	as("two");
	bench_answer(&bench, number, "dead");
	began_s = bench.now_s;
	ck_holder(number, "two");
	job = bench_get(&bench, number);
	ck_assert(job->hold.free);
	ck_assert_int_eq(job->hold.job, number);
	ck_assert_int_eq(job->hold.since_s, began_s);
	ck_assert_int_eq(job->hold.until_s, began_s + LW_JOB_POWER_HOLDS_S);
	/* It took nothing over, so nothing says so. */
	ck_assert_int_eq(job->serial, 3);
	as("one");
	job = bench_get(&bench, number);
	ck_assert(!job->hold.free);
	ck_assert(!job->hold.i_ask);
	/* Who looks on sees what is proved. */
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	ck_step(job, "case-look", NULL);
	ck_refused(number, "two");
	as("two");
	bench_answer(&bench, number, "sound");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->hold.since_s, began_s);
	ck_assert_int_eq(job->hold.until_s, bench.now_s + LW_JOB_POWER_HOLDS_S);
}
END_TEST

START_TEST(asks_and_is_given)
{
	int64_t number = start(), serial;
	const struct lw_job *job;

	as("two");
	ck_assert_int_eq(bench_do(&bench, lw_job_ask, number), LW_CONFLICT);
	as("one");
	bench_answer(&bench, number, "dead");
	ck_assert_int_eq(bench_do(&bench, lw_job_ask, number), LW_CONFLICT);
	ck_assert_int_eq(bench_hand(&bench, number, false), LW_CONFLICT);
	as("two");
	ck_assert_int_eq(bench_do(&bench, lw_job_ask, number), LW_OK);
	job = bench_get(&bench, number);
	ck_assert(job->hold.i_ask);
	ck_assert_str_eq(job->hold.asker, "two");
	ck_holder(number, "one");
	as("three");
	ck_assert_int_eq(bench_do(&bench, lw_job_ask, number), LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(bench.err.text, "two"));
	ck_refused(number, "one");
	/* Asking changes nothing of the work. */
	as("one");
	job = bench_get(&bench, number);
	serial = job->serial;
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	ck_assert_str_eq(job->hold.asker_name, "two");
	ck_assert(!job->hold.i_ask);
	ck_assert_int_eq(bench_hand(&bench, number, false), LW_OK);
	ck_holder(number, "two");
	job = bench_get(&bench, number);
	ck_assert_ptr_null(job->hold.asker);
	ck_assert_int_eq(job->serial, serial + 1);
	ck_assert_int_eq(job->findings[serial].kind, LW_FINDING_TAKE);
	/* What the other saw proved is not what this one sees. */
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_step(job, "way-isolated", "case-look");
	ck_refused(number, "two");
	as("two");
	job = bench_answers(&bench, number, "dead sound");
	ck_step(job, "way-pre-charged", "supply-volts");
}
END_TEST

START_TEST(keeps_it)
{
	int64_t number = start();
	const struct lw_job *job;

	bench_answer(&bench, number, "dead");
	as("two");
	bench_do(&bench, lw_job_ask, number);
	as("one");
	ck_assert_int_eq(bench_hand(&bench, number, true), LW_OK);
	job = bench_get(&bench, number);
	ck_holder(number, "one");
	ck_assert_ptr_null(job->hold.asker);
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	ck_assert_int_eq(job->hold.until_s, bench.now_s + LW_JOB_POWER_HOLDS_S);
	/* A word was given, so waiting does not help. */
	bench.now_s += LW_JOB_ASKED_S;
	as("two");
	ck_refused(number, "one");
}
END_TEST

START_TEST(takes_after_a_minute_without_a_word)
{
	int64_t number = start(), asked_s;
	const struct lw_job *job;

	bench_answers(&bench, number, "dead sound ready");
	as("two");
	ck_assert_int_eq(bench_do(&bench, lw_job_take, number), LW_CONFLICT);
	ck_assert_int_eq(bench_do(&bench, lw_job_ask, number), LW_OK);
	asked_s = bench.now_s;
	/* Asking twice does not begin again. */
	bench.now_s = asked_s + LW_JOB_ASKED_S - 3;
	ck_assert_int_eq(bench_do(&bench, lw_job_ask, number), LW_OK);
	ck_assert_int_eq(bench_do(&bench, lw_job_take, number), LW_CONFLICT);
	ck_assert(!bench_get(&bench, number)->hold.free);
	/* The sixtieth second: who asked may, and only who asked. */
	as("three");
	ck_assert_int_eq(bench_do(&bench, lw_job_take, number), LW_CONFLICT);
	as("two");
	ck_assert(bench_get(&bench, number)->hold.free);
	/* It has to be taken: an answer alone does not take it. */
	ck_assert_int_eq(bench_try(&bench, number, "low"), LW_CONFLICT);
	ck_assert_int_eq(bench_do(&bench, lw_job_take, number), LW_OK);
	ck_holder(number, "two");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_step(job, "way-pre-charged", "supply-volts");
	as("one");
	ck_assert_int_eq(bench_get(&bench, number)->power, LW_POWER_UNKNOWN);
	ck_refused(number, "two");
	/* Taken already: nothing more is noted. */
	as("two");
	ck_assert_int_eq(bench_do(&bench, lw_job_take, number), LW_OK);
	ck_assert_int_eq(bench_get(&bench, number)->serial, job->serial);
}
END_TEST

START_TEST(lapses)
{
	int64_t number = start(), acted_s;
	const struct lw_job *job;

	bench_answer(&bench, number, "dead");
	acted_s = bench.now_s;
	bench.now_s = acted_s + LW_JOB_POWER_HOLDS_S - 2;
	as("two");
	ck_assert_int_eq(bench_do(&bench, lw_job_take, number), LW_CONFLICT);
	ck_holder(number, "one");
	bench.now_s = acted_s + LW_JOB_POWER_HOLDS_S;
	ck_holder(number, NULL);
	job = bench_get(&bench, number);
	ck_assert(job->hold.free);
	ck_step(job, "way-isolated", "case-look");
	/* The next one to act has it, and that is noted. */
	job = bench_answer(&bench, number, "dead");
	ck_holder(number, "two");
	ck_assert_int_eq(
	    job->findings[job->finding_count - 2].kind, LW_FINDING_TAKE);
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	ck_step(job, "case-look", NULL);
	as("one");
	ck_refused(number, "two");
	/* A clock that was set back does not free it. */
	bench.now_s = acted_s - 5000;
	ck_holder(number, "two");
	ck_refused(number, "two");
}
END_TEST

/* An answer to a step that was shown while another held the vehicle is not
 * an answer to what is asked now. */
START_TEST(old_answers_after_taking)
{
	int64_t number = start();
	const struct lw_job *job;

	bench_answers(&bench, number, "dead sound ready low dead sound");
	ck_step(bench_get(&bench, number), "fuse-ohms", NULL);
	ck_assert_int_eq(bench_do(&bench, lw_job_release, number), LW_OK);
	ck_holder(number, NULL);
	as("two");
	job = bench_get(&bench, number);
	ck_step(job, "way-isolated", "fuse-ohms");
	/* 0.3 was ohms for the other; as volts it would prove it dead. */
	ck_assert_int_eq(
	    bench_say(&bench, number, job->serial, "0.3", NULL), LW_CONFLICT);
	ck_assert_int_eq(bench_get(&bench, number)->power, LW_POWER_UNKNOWN);
	job = bench_answer(&bench, number, "0.3");
	ck_step(job, "fuse-ohms", NULL);
}
END_TEST

START_TEST(lets_go)
{
	int64_t number = start();
	const struct lw_job *job;

	bench_answer(&bench, number, "dead");
	ck_assert_int_eq(bench_do(&bench, lw_job_release, number), LW_OK);
	ck_holder(number, NULL);
	ck_assert_int_eq(bench_do(&bench, lw_job_release, number), LW_OK);
	/* Also who let it go has to prove it again: others may have been. */
	job = bench_get(&bench, number);
	ck_step(job, "way-isolated", "case-look");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	job = bench_answer(&bench, number, "dead");
	ck_holder(number, "one");
	ck_step(job, "case-look", NULL);
	/* Waiting and closing let it go too. */
	bench_do_with(&bench, lw_job_wait, number, "rain");
	ck_holder(number, NULL);
	as("three");
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	ck_holder(number, "three");
	ck_assert_int_eq(bench_end(&bench, number, false, NULL), LW_OK);
	ck_holder(number, NULL);
	as("two");
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_holder(number, "two");
}
END_TEST

/* One vehicle, two jobs: what is proved for one is not for the other. */
START_TEST(one_vehicle_for_two_jobs)
{
	int64_t first, second;
	const struct lw_job *job;

	bench_rig(&bench, "cart48", "device.drive=bench-cart");
	first = start();
	second = start();
	bench_answers(&bench, first, "dead sound ready");
	ck_holder(first, "one");
	ck_holder(second, "one");
	job = bench_get(&bench, second);
	ck_assert_int_eq(job->hold.job, first);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	as("two");
	ck_assert_int_eq(bench_try(&bench, second, "dead"), LW_CONFLICT);
	/* The holder goes on with the other job. */
	as("one");
	job = bench_answer(&bench, second, "dead");
	ck_assert_int_eq(job->hold.job, second);
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	job = bench_get(&bench, first);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_step(job, "way-pre-charged", "supply-volts");
	/* ... and back: nothing stands from before. */
	job = bench_answer(&bench, first, "ready");
	ck_assert_int_eq(job->power, LW_POWER_PRECHARGED);
	ck_assert_int_eq(bench_get(&bench, second)->power, LW_POWER_UNKNOWN);
	/* Another vehicle is free. */
	bench_rig(&bench, "trike36", "device.drive=bench-cart");
	as("two");
	job = bench_answer(&bench, start(), "dead");
	ck_assert(job->hold.mine);
	ck_holder(first, "one");
}
END_TEST

START_TEST(odd_screens)
{
	static const struct lw_actor odd[] = {
	    {NULL, "x", 1700009000},
	    {"", "x", 1700009000},
	    {"x", NULL, 1700009000},
	    {"x", "", 1700009000},
	    {"a\nb", "x", 1700009000},
	    {"x", "\x1b[2J", 1700009000},
	    {"\xff", "x", 1700009000},
	    {"x",
		"0123456789012345678901234567890123456789"
		"0123456789012345678901234",
		1700009000},
	};
	const struct lw_answer answer = {.serial = -1, .text = "dead"};
	int64_t number = start();
	const struct lw_actor *actor = &odd[_i];

	ck_assert_int_eq(
	    lw_job_answer(bench.book, number, actor, &answer, &bench.err),
	    LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_job_undo(bench.book, number, actor, &bench.err), LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_job_take(bench.book, number, actor, &bench.err), LW_BAD_INPUT);
	ck_assert_int_eq(
	    lw_job_ask(bench.book, number, actor, &bench.err), LW_BAD_INPUT);
	ck_assert_int_eq(bench_get(&bench, number)->serial, 2);
	ck_holder(number, NULL);
}
END_TEST

/* Two handles on one book, as two processes have them: who comes second is
 * refused, however the two looked before. */
START_TEST(two_at_the_same_moment)
{
	struct lw_book *other;
	struct lw_answer answer = {.serial = 2, .text = "dead"};
	struct lw_actor actor = {"two", "two", 0};
	int64_t number = start();

	ck_assert_int_eq(
	    lw_book_open(&other, NULL, bench.path, &bench.err), LW_OK);
	ck_assert_int_eq(bench_get(&bench, number)->serial, 2);
	actor.now_s = bench.now_s + 1;
	ck_assert_int_eq(
	    lw_job_answer(other, number, &actor, &answer, &bench.err), LW_OK);
	ck_assert_int_eq(
	    bench_say(&bench, number, 2, "dead", NULL), LW_CONFLICT);
	ck_holder(number, "two");
	ck_assert_int_eq(bench_get(&bench, number)->serial, 3);
	lw_book_close(other);
}
END_TEST

Suite *
suite_holding(void)
{
	Suite *suite = suite_create("holding");
	TCase *screens = tcase_create("screens");

	tcase_add_checked_fixture(screens, setup, teardown);
	tcase_set_timeout(screens, 60);
	tcase_add_test(screens, first_to_act_holds);
	tcase_add_test(screens, asks_and_is_given);
	tcase_add_test(screens, keeps_it);
	tcase_add_test(screens, takes_after_a_minute_without_a_word);
	tcase_add_test(screens, lapses);
	tcase_add_test(screens, old_answers_after_taking);
	tcase_add_test(screens, lets_go);
	tcase_add_test(screens, one_vehicle_for_two_jobs);
	tcase_add_loop_test(screens, odd_screens, 0, 8);
	tcase_add_test(screens, two_at_the_same_moment);
	suite_add_tcase(suite, screens);
	return suite;
}
