/* job: bands that hang on the vehicle, readings that are too close to call,
 * and values that are asked for. The bench is invented; what is judged on it
 * is not: sources stand beside. */
#include "unit/bench.h"
#include "unit/suites.h"

#include "book/store.h"
#include "job/bands.h"

#include <stdio.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct bench bench;

static void
setup(void)
{
	const char *const file = TESTS_DIR "/unit/metered.yaml";

	bench_open(&bench);
	bench_put(&bench, &file, 1);
}

static void
teardown(void)
{
	bench_close(&bench);
}

static int64_t
start_at(const char *check)
{
	int64_t job = bench_start(&bench, NULL, NULL, "stands", NULL);

	ck_assert_msg(bench_do_with(&bench, lw_job_pick, job, check) == LW_OK,
	    "%s", bench.err.text);
	bench_answer(&bench, job, "0.0");
	ck_step(bench_get(&bench, job), check, NULL);
	return job;
}

static const struct lw_finding *
last_of(int64_t job)
{
	const struct lw_job *now = bench_get(&bench, job);

	return &now->findings[now->finding_count - 1];
}

/* --- the meter's accuracy --------------------------------------------------
 */

/*
 * A limit of 0.200 V and a meter of 0.5 % + 2 counts; 470 ohm 5 % and one of
 * 0.9 % + 1 count. In band where y + U is within, by ISO 14253-1; U by GUM
 * 4.3.7 and NIST TN 1297, section 6, worked out by hand.
 */
static const struct {
	const char *check, *typed;
	const char *outcome; /* NULL: too close to call */
} readings[] = {
    {"lug-drop", "0.185", "sound"},
    {"lug-drop", "0.198", NULL},
    {"lug-drop", "0.202", NULL},
    {"lug-drop", "0.210", "high"},
    {"lug-drop", "210 mV", "high"},
    /* What is typed with few digits is known no better. */
    {"lug-drop", "0.2", NULL},
    {"lug-drop", "0.20", NULL},
    {"resistor-ohms", "440.0", "low"},
    {"resistor-ohms", "448.0", NULL},
    {"resistor-ohms", "455.0", "sound"},
    {"resistor-ohms", "493.0", NULL},
    {"resistor-ohms", "500.0", "high"},
    {"resistor-ohms", "OL", "high"},
};

START_TEST(judges_by_the_meter)
{
	bench_rig(&bench, "cart48", "fill.resistor=470 ohm 5%");
	{
		int64_t job = start_at(readings[_i].check);
		int64_t serial = bench_get(&bench, job)->serial;

		if (readings[_i].outcome != NULL) {
			bench_answer(&bench, job, readings[_i].typed);
			ck_assert_str_eq(
			    last_of(job)->outcome, readings[_i].outcome);
			ck_assert_ptr_null(last_of(job)->also);
			return;
		}
		ck_assert_int_eq(
		    bench_try(&bench, job, readings[_i].typed), LW_UNDECIDED);
		ck_assert_ptr_nonnull(strstr(bench.err.text, "too close to"));
		ck_assert_ptr_nonnull(strstr(bench.err.text, "the usual"));
		ck_assert_int_eq(bench_get(&bench, job)->serial, serial);
	}
}
END_TEST

/* A finer range would settle it; the sentence says which. */
START_TEST(says_what_settles_it)
{
	int64_t job = start_at("lug-drop");

	ck_assert_int_eq(bench_try(&bench, job, "0.18"), LW_UNDECIDED);
	ck_assert_msg(strstr(bench.err.text, "steps of 0.001 V") != NULL, "%s",
	    bench.err.text);
	ck_assert_int_eq(bench_try(&bench, job, "0.180"), LW_OK);
	job = start_at("lug-drop");
	ck_assert_int_eq(bench_try(&bench, job, "0.2000"), LW_UNDECIDED);
	ck_assert_msg(strstr(bench.err.text, "right on the line") != NULL, "%s",
	    bench.err.text);
}
END_TEST

START_TEST(keeps_what_is_insisted_on)
{
	int64_t job = start_at("lug-drop");
	const struct lw_finding *finding;

	ck_assert_int_eq(bench_give(&bench, job,
			     (struct lw_answer){
				 .serial = -1, .text = "0.198", .sure = true}),
	    LW_OK);
	finding = last_of(job);
	ck_assert_int_eq(finding->kind, LW_FINDING_CHECK);
	ck_assert_str_eq(finding->outcome, "sound");
	ck_assert_str_eq(finding->also, "high");
	ck_assert_double_eq_tol(finding->value, 0.198, 1e-15);
	ck_assert_double_eq_tol(finding->step, 0.001, 1e-15);
	/* 2 / sqrt 3 (0.005 * 0.198 + 0.002) */
	ck_assert_double_eq_tol(finding->spread, 0.0034526, 1e-7);
	/* It speaks for both, so that neither is out. */
	ck_assert_double_gt(bench_share(bench_get(&bench, job), "loose"), 0.05);
}
END_TEST

/* What lets somebody put a hand in is never taken from a doubtful reading. */
START_TEST(never_proves_dead_by_a_doubt)
{
	int64_t job = bench_start(&bench, NULL, NULL, "stands", NULL);

	ck_step(bench_get(&bench, job), "prove-dead", "lug-drop");
	ck_assert_int_eq(bench_try(&bench, job, "4.99"), LW_UNDECIDED);
	ck_assert_ptr_nonnull(
	    strstr(bench.err.text, "counts as \"still charged\""));
	ck_assert_int_eq(
	    bench_give(&bench, job,
		(struct lw_answer){.serial = -1, .text = "4.99", .sure = true}),
	    LW_OK);
	ck_assert_str_eq(last_of(job)->outcome, "charged");
	ck_assert_int_eq(bench_get(&bench, job)->power, LW_POWER_UNKNOWN);
	bench_answer(&bench, job, "0.4");
	ck_assert_int_eq(bench_get(&bench, job)->power, LW_POWER_ISOLATED);
}
END_TEST

/* A compulsory check that was answered by a doubt before is asked again. */
START_TEST(never_passes_by_a_doubt)
{
	int64_t job = start_at("lug-drop");

	ck_assert_int_eq(bench_give(&bench, job,
			     (struct lw_answer){
				 .serial = -1, .text = "0.198", .sure = true}),
	    LW_OK);
	ck_assert(!last_of(job)->passed);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, job, "control-look"), LW_OK);
	ck_step(bench_get(&bench, job), "lug-drop", "control-look");
	ck_assert(bench_get(&bench, job)->step->compulsory);
	/* There it counts as what does not let anybody on. */
	ck_assert_int_eq(bench_give(&bench, job,
			     (struct lw_answer){
				 .serial = -1, .text = "0.198", .sure = true}),
	    LW_OK);
	ck_assert_str_eq(last_of(job)->outcome, "high");
	ck_assert_ptr_nonnull(bench_get(&bench, job)->step);
	ck_assert_str_ne(
	    bench_get(&bench, job)->step->check->id, "way-control");
}
END_TEST

START_TEST(takes_the_meter_of_the_rig)
{
	int64_t job;

	bench_rig(&bench, "cart48", "meter.volts=0.05% + 1");
	job = start_at("lug-drop");
	ck_assert_str_eq(
	    bench_get(&bench, job)->step->accuracy, "0.05 % + 1 count");
	ck_assert(!bench_get(&bench, job)->step->usual_accuracy);
	bench_answer(&bench, job, "0.198");
	ck_assert_str_eq(last_of(job)->outcome, "sound");
}
END_TEST

/* --- what is known of the vehicle ------------------------------------------
 */

START_TEST(works_the_band_out)
{
	const struct lw_job_step *step;
	int64_t job;

	bench_rig(&bench, "cart48", "pack.cells=24,pack.kind=lead");
	job = start_at("pack-at-rest");
	step = bench_get(&bench, job)->step;
	/* 24 times 1.95 V and 2.45 V. */
	ck_assert_str_eq(step->expect_text, "46.8 V to 58.8 V");
	ck_assert_double_eq_tol(step->bands[1].from, 46.8, 1e-9);
	ck_assert_double_eq_tol(step->bands[1].below, 58.8, 1e-9);
	ck_assert(!step->wide);
	ck_assert_ptr_null(step->asks);
	ck_assert_ptr_nonnull(strstr(step->expect_why, "Cells in series 24"));
	bench_answer(&bench, job, "45.2");
	ck_assert_str_eq(last_of(job)->outcome, "low");
	ck_assert_str_eq(last_of(job)->expected, "46.8 V to 58.8 V");
}
END_TEST

/* The tolerance is the maker's leave: the band has it on both sides. */
START_TEST(takes_tolerance_outwards)
{
	const struct lw_job_step *step;
	int64_t job;

	bench_rig(&bench, "cart48", "fill.resistor=470 ohm 10%");
	job = start_at("resistor-ohms");
	step = bench_get(&bench, job)->step;
	ck_assert_str_eq(step->expect_text, "423 ohm to 517 ohm");
	ck_assert(!step->wide);
}
END_TEST

START_TEST(asks_for_what_is_not_known)
{
	const struct lw_job *now;
	struct lw_actor actor;
	int64_t job;

	bench_rig(&bench, "cart48", "");
	job = start_at("pack-at-rest");
	now = bench_get(&bench, job);
	ck_assert(now->step->wide);
	ck_assert_str_eq(now->step->asks->id, "pack.cells");
	/* Whatever it reads, nobody can tell. */
	ck_assert_int_eq(bench_try(&bench, job, "50.00"), LW_UNDECIDED);
	ck_assert_ptr_nonnull(strstr(bench.err.text, "Cells in series"));
	actor = bench_actor(&bench);
	ck_assert_int_eq(lw_job_value(bench.book, job, "pack.cells", "24",
			     &actor, &bench.err),
	    LW_OK);
	now = bench_get(&bench, job);
	/* What is below every kind of cell is low, whichever it is. */
	ck_assert_str_eq(now->step->asks->id, "pack.kind");
	ck_assert_str_eq(lw_rig_fact(now->rig, "pack.cells"), "24");
	actor = bench_actor(&bench);
	ck_assert_int_eq(lw_job_value(bench.book, job, "pack.kind", NULL,
			     &actor, &bench.err),
	    LW_OK);
	now = bench_get(&bench, job);
	/* Once: what it feeds is asked for next, and then no more. */
	ck_assert_str_eq(now->step->asks->id, "pack.full");
	actor = bench_actor(&bench);
	ck_assert_int_eq(lw_job_value(bench.book, job, "pack.full", "unknown",
			     &actor, &bench.err),
	    LW_OK);
	now = bench_get(&bench, job);
	ck_assert_ptr_null(now->step->asks);
	ck_assert(now->step->wide);
	ck_assert_ptr_null(lw_rig_fact(now->rig, "pack.kind"));
	/* Between what any kind allows it is clear all the same. */
	bench_answer(&bench, job, "45.20");
	ck_assert_str_eq(last_of(job)->outcome, "low");
}
END_TEST

/* One of what was said is wrong, and which it is nobody knows: 24 x 2.45 V is
 * 58.8 V. */
START_TEST(takes_no_side_in_a_contradiction)
{
	const struct lw_job_step *step;
	int64_t job;

	bench_rig(
	    &bench, "cart48", "pack.cells=24,pack.kind=lead,pack.full=39.2 V");
	job = start_at("pack-at-rest");
	step = bench_get(&bench, job)->step;
	ck_assert(step->wide);
	ck_assert_ptr_nonnull(step->asks);
	ck_assert_int_eq(bench_try(&bench, job, "50.00"), LW_UNDECIDED);
	ck_assert_ptr_nonnull(strstr(bench.err.text,
	    "Highest voltage (what was said of it contradicts)"));
	/* Whichever is right. */
	bench_answer(&bench, job, "60.00");
	ck_assert_str_eq(last_of(job)->outcome, "high");
}
END_TEST

/* Values in whatever unit their pack gives them: 10 mF x (58.8 V)^2 / 2 is
 * 17.3 J; 1 kohm x 10 mF x ln(58.8 / 5) is 24.6 s. */
START_TEST(figures_in_any_unit)
{
	const struct lw_job_step *step;
	int64_t job;

	bench_rig(&bench, "cart48",
	    "pack.full=58.8 V,bus.capacitor=10000 uF,bleed.resistor=1 kohm");
	job = bench_start(&bench, NULL, NULL, "stands", NULL);
	step = bench_get(&bench, job)->step;
	ck_assert_str_eq(step->check->id, "prove-dead");
	ck_assert_uint_eq(step->figure_count, 3);
	ck_assert_msg(strstr(step->figures[1], "store 17.3 J") != NULL, "%s",
	    step->figures[1]);
	ck_assert_msg(strstr(step->figures[2], "about 25 seconds") != NULL,
	    "%s", step->figures[2]);
}
END_TEST

START_TEST(keeps_what_cannot_be_judged)
{
	int64_t job = start_at("pack-at-rest");

	ck_assert_int_eq(bench_give(&bench, job,
			     (struct lw_answer){
				 .serial = -1, .text = "50.00", .sure = true}),
	    LW_OK);
	ck_assert_int_eq(last_of(job)->kind, LW_FINDING_DIFFERS);
	ck_assert(last_of(job)->has_value);
	ck_assert_double_eq_tol(last_of(job)->value, 50, 1e-12);
}
END_TEST

/* Without a rig what is said is kept with the job. */
START_TEST(knows_what_was_said_in_the_job)
{
	const char *const said[][2] = {
	    {"pack.cells", "23"}, {"pack.cells", "24"}, {"pack.kind", "lead"}};
	const struct lw_job *now;
	struct lw_actor actor;
	int64_t job = start_at("pack-at-rest"), serial;
	size_t i;

	for (i = 0; i < COUNT(said); i++) {
		actor = bench_actor(&bench);
		ck_assert_msg(lw_job_value(bench.book, job, said[i][0],
				  said[i][1], &actor, &bench.err) == LW_OK,
		    "%s", bench.err.text);
	}
	now = bench_get(&bench, job);
	ck_assert_ptr_null(now->rig);
	ck_assert_str_eq(now->step->expect_text, "46.8 V to 58.8 V");
	ck_assert_int_eq(now->power, LW_POWER_ISOLATED);
	serial = now->serial;
	/* An undo takes the answer back, not what was said. */
	bench_answer(&bench, job, "45.2");
	bench_undo(&bench, job);
	now = bench_get(&bench, job);
	ck_assert_int_eq(now->serial, serial + 2);
	ck_assert_str_eq(now->step->check->id, "prove-dead");
	bench_answer(&bench, job, "0.0");
	ck_assert_str_eq(
	    bench_get(&bench, job)->step->expect_text, "46.8 V to 58.8 V");
}
END_TEST

/* What is said renews no power state; nobody has to stand there for it. */
START_TEST(renews_nothing_by_what_is_said)
{
	int64_t job = start_at("pack-at-rest");
	struct lw_actor actor;

	bench.now_s += LW_JOB_POWER_HOLDS_S - 60;
	actor = bench_actor(&bench);
	ck_assert_int_eq(lw_job_value(bench.book, job, "pack.cells", "24",
			     &actor, &bench.err),
	    LW_OK);
	ck_assert_int_eq(bench_get(&bench, job)->power, LW_POWER_ISOLATED);
	bench.now_s += 120;
	ck_assert_int_eq(bench_get(&bench, job)->power, LW_POWER_UNKNOWN);
	ck_step(bench_get(&bench, job), "prove-dead", "pack-at-rest");
}
END_TEST

START_TEST(refuses_what_cannot_be_said)
{
	static const struct {
		const char *key, *text, *part;
		enum lw_status status;
	} said[] = {
	    {"pack.cels", "24", "pack.cells", LW_BAD_INPUT},
	    {"pack.cells", "400", "40", LW_BAD_INPUT},
	    {"pack.cells", "24 V", "V", LW_BAD_INPUT},
	    {"fill.resistor", "-470", "", LW_BAD_INPUT},
	    {"fill.resistor", "470 ohm 120%", "100 %", LW_BAD_INPUT},
	    {"pack.kind", "wood", "lead", LW_BAD_INPUT},
	    {"meter.volts", "good", "%", LW_BAD_INPUT},
	};
	struct lw_actor actor;
	int64_t job = start_at("pack-at-rest"), serial;
	size_t i;

	serial = bench_get(&bench, job)->serial;
	for (i = 0; i < COUNT(said); i++) {
		actor = bench_actor(&bench);
		ck_assert_msg(
		    lw_job_value(bench.book, job, said[i].key, said[i].text,
			&actor, &bench.err) == said[i].status,
		    "%s: %s", said[i].key, bench.err.text);
		ck_assert_msg(strstr(bench.err.text, said[i].part) != NULL,
		    "%s", bench.err.text);
	}
	ck_assert_int_eq(bench_get(&bench, job)->serial, serial);
	ck_assert_int_eq(bench_end(&bench, job, false, NULL), LW_OK);
	actor = bench_actor(&bench);
	ck_assert_int_eq(lw_job_value(bench.book, job, "pack.cells", "24",
			     &actor, &bench.err),
	    LW_CONFLICT);
}
END_TEST

/* Of a book that is newer, or damaged: nothing can be known of the value. */
START_TEST(a_unit_that_there_is_not)
{
	const struct lw_job_step *step;
	int64_t job;

	bench_rig(&bench, "cart48", "pack.cells=24,pack.kind=lead");
	ck_assert_int_eq(
	    sqlite3_exec(bench.book->db,
		"UPDATE pack_values SET unit = 'cubit'", NULL, NULL, NULL),
	    SQLITE_OK);
	job = start_at("pack-at-rest");
	step = bench_get(&bench, job)->step;
	ck_assert_str_eq(step->expect_text,
	    "in band (not known in numbers for this vehicle)");
	ck_assert_int_ne(bench_try(&bench, job, "45.2"), LW_OK);
}
END_TEST

static bool
asked_and_counted(const void *context, const char *key)
{
	(void)key;
	**(unsigned *const *)context += 1;
	return true;
}

/* Each is worked out from the next, which it names over and over; all were
 * asked for. */
START_TEST(looks_no_further_than_it_is_worth)
{
	enum { TIMES = 150 };
	char worked[3][TIMES * 2 + 1];
	const char *const ids[] = {"a", "b", "c", "d"};
	struct lw_value values[4];
	struct lw_rig_value items[4];
	struct lw_rig rig = {.values = items, .value_count = 4};
	const struct lw_rig_value *const lacks[] = {&items[0]};
	const struct bands bands = {.lacks = lacks, .lack_count = 1};
	unsigned count = 0, *counter = &count;
	size_t i, k;

	memset(values, 0, sizeof values);
	memset(items, 0, sizeof items);
	for (i = 0; i < 4; i++) {
		values[i].id = ids[i];
		items[i].value = &values[i];
		if (i == 3)
			continue;
		for (k = 0; k < TIMES; k++)
			sprintf(worked[i] + k * 2, "%s+", ids[i + 1]);
		values[i].worked = worked[i];
	}
	ck_assert_ptr_null(
	    bands_ask(&bands, &rig, asked_and_counted, &counter));
	ck_assert_uint_ge(count, 4);
	ck_assert_uint_le(count, 2000);
}
END_TEST

Suite *
suite_metered(void)
{
	Suite *suite = suite_create("metered");
	TCase *meter = tcase_create("by the meter");
	TCase *vehicle = tcase_create("by the vehicle");

	tcase_add_checked_fixture(meter, setup, teardown);
	tcase_add_loop_test(meter, judges_by_the_meter, 0, COUNT(readings));
	tcase_add_test(meter, says_what_settles_it);
	tcase_add_test(meter, keeps_what_is_insisted_on);
	tcase_add_test(meter, never_proves_dead_by_a_doubt);
	tcase_add_test(meter, never_passes_by_a_doubt);
	tcase_add_test(meter, takes_the_meter_of_the_rig);
	suite_add_tcase(suite, meter);
	tcase_add_checked_fixture(vehicle, setup, teardown);
	tcase_add_test(vehicle, works_the_band_out);
	tcase_add_test(vehicle, takes_tolerance_outwards);
	tcase_add_test(vehicle, asks_for_what_is_not_known);
	tcase_add_test(vehicle, takes_no_side_in_a_contradiction);
	tcase_add_test(vehicle, figures_in_any_unit);
	tcase_add_test(vehicle, keeps_what_cannot_be_judged);
	tcase_add_test(vehicle, knows_what_was_said_in_the_job);
	tcase_add_test(vehicle, renews_nothing_by_what_is_said);
	tcase_add_test(vehicle, refuses_what_cannot_be_said);
	tcase_add_test(vehicle, a_unit_that_there_is_not);
	tcase_add_test(vehicle, looks_no_further_than_it_is_worth);
	suite_add_tcase(suite, vehicle);
	return suite;
}
