/* job: power states and the ways into them, what is shown with a step, and
 * what counts as an answer. The bench and everything on it is invented. */
#include "unit/bench.h"
#include "unit/suites.h"

#include <math.h>

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

/* --- what counts as an answer ------------------------------------------ */

/* `before` are the answers that lead from deep-tree's first step there. */
static const struct {
	const char *before, *answer;
	enum lw_status status;
	const char *outcome; /* or a part of the error */
	double value;	     /* NAN: none recorded */
} answers[] = {
#define WAKE "ready"
#define DIODE "ready awake dead"
#define SUPPLY "ready none ready"
#define FUSE "ready none ready low dead"
    {WAKE, "awake", LW_OK, "awake", NAN},
    {WAKE, "AWAKE", LW_OK, "awake", NAN},
    {WAKE, " awake\n", LW_OK, "awake", NAN},
    {WAKE, "nothing", LW_OK, "none", NAN},
    {WAKE, "9", LW_OK, "awake", 9},
    {WAKE, "9 V", LW_OK, "awake", 9},
    {WAKE, "9000 mV", LW_OK, "awake", 9},
    {WAKE, "8.999", LW_OK, "none", 8.999},
    {WAKE, "8,999", LW_BAD_INPUT, "8,999", NAN},
    {WAKE, "0", LW_OK, "none", 0},
    {WAKE, "-0", LW_OK, "none", 0},
    {WAKE, "-0.2", LW_BAD_INPUT, "probes swapped", NAN},
    {WAKE, "-12 V", LW_BAD_INPUT, "really reversed", NAN},
    {WAKE, "12 A", LW_BAD_INPUT, "V", NAN},
    {WAKE, "OL", LW_BAD_INPUT, "V", NAN},
    {WAKE, "high", LW_BAD_INPUT,
	"a reading in V, or one of none, awake, cannot, differs, "
	"not-reproduced or skip",
	NAN},
    {WAKE, "", LW_BAD_INPUT, "none, awake", NAN},
    {WAKE, "   ", LW_BAD_INPUT, "none, awake", NAN},
    {WAKE, "nan", LW_BAD_INPUT, "", NAN},
    {WAKE, "1e999", LW_BAD_INPUT, "", NAN},
    {WAKE, "\xff\xfe", LW_BAD_INPUT, "UTF-8", NAN},
    {WAKE, "awake'; DROP TABLE findings; --", LW_BAD_INPUT, "", NAN},
    /* A shout into the terminal stays words. */
    {WAKE, "\x1b[2J", LW_BAD_INPUT, "\" [2J\"", NAN},
    /* A gate's outcome is none of the check's. */
    {WAKE, "ready", LW_BAD_INPUT, "none, awake", NAN},
    /* Half-open bands: the lower end is in, the upper is not. */
    {DIODE, "0.199", LW_OK, "shorted", 0.199},
    {DIODE, "0.2", LW_OK, "good", 0.2},
    {DIODE, "200 mV", LW_OK, "good", 0.2},
    {DIODE, "0.699999", LW_OK, "good", 0.699999},
    {DIODE, "0.7", LW_OK, "odd", 0.7},
    {DIODE, "700 mV", LW_OK, "odd", 0.7},
    {DIODE, "something ELSE", LW_OK, "odd", NAN},
    {DIODE, "-0.5", LW_BAD_INPUT, "left in the circuit", NAN},
    {SUPPLY, "60", LW_OK, "high", 60},
    {SUPPLY, "59.99", LW_OK, "sound", 59.99},
    {SUPPLY, "40000 mV", LW_OK, "sound", 40},
    {FUSE, "OL", LW_OK, "open", INFINITY},
    {FUSE, "open", LW_OK, "open", NAN},
    {FUSE, "4k7", LW_OK, "open", 4700},
    {FUSE, "0", LW_OK, "whole", 0},
    {FUSE, "-3", LW_BAD_INPUT, "left in the circuit", NAN},
    /* Where a band goes below zero, the sign is part of the answer. */
    {NULL, "-48", LW_OK, "reversed", -48},
    {NULL, "-5", LW_OK, "dead", -5},
    {NULL, "-0.1 V", LW_OK, "dead", -0.1},
    {NULL, "5", LW_OK, "charged", 5},
};

START_TEST(reads_answers)
{
	const char *before = answers[_i].before;
	const struct lw_finding *finding;
	const struct lw_job *job;
	int64_t number, serial;

	number =
	    bench_start(&bench, NULL, NULL, before == NULL ? "creeping" : NULL,
		before == NULL ? NULL : "deep-tree");
	if (before != NULL)
		bench_answers(&bench, number, before);
	serial = bench_get(&bench, number)->serial;
	ck_assert_msg(
	    bench_try(&bench, number, answers[_i].answer) == answers[_i].status,
	    "%s", bench.err.text);
	job = bench_get(&bench, number);
	if (answers[_i].status != LW_OK) {
		ck_assert_msg(
		    strstr(bench.err.text, answers[_i].outcome) != NULL, "%s",
		    bench.err.text);
		ck_assert_ptr_null(strpbrk(bench.err.text, "\n\x1b"));
		ck_assert_int_eq(job->serial, serial);
		return;
	}
	ck_assert_int_eq(job->serial, serial + 1);
	finding = &job->findings[job->finding_count - 1];
	ck_assert_str_eq(finding->outcome, answers[_i].outcome);
	ck_assert_int_eq(finding->has_value, !isnan(answers[_i].value));
	if (finding->has_value)
		ck_assert(finding->value == answers[_i].value);
}
END_TEST

START_TEST(refuses_what_is_huge)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "deep-tree");
	char *huge = malloc(1 << 20);

	memset(huge, '9', (1 << 20) - 1);
	huge[(1 << 20) - 1] = '\0';
	ck_assert_int_eq(bench_try(&bench, number, huge), LW_TOO_BIG);
	ck_assert_int_eq(
	    bench_say(&bench, number, -1, "ready", huge), LW_TOO_BIG);
	ck_assert_int_eq(
	    bench_say(&bench, number, -1, "ready", "\xc3("), LW_BAD_INPUT);
	huge[4000] = '\0';
	ck_assert_int_eq(bench_say(&bench, number, -1, "ready", huge), LW_OK);
	free(huge);
}
END_TEST

/* A second tap on the same button, and a screen that was left behind. */
START_TEST(refuses_a_stale_step)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "deep-tree");
	static const int64_t serials[] = {0, 1, 3, -2, INT64_MAX, INT64_MIN};
	const struct lw_job *job;
	size_t i;

	ck_assert_int_eq(bench_say(&bench, number, 1, "ready", NULL), LW_OK);
	for (i = 0; i < COUNT(serials); i++) {
		ck_assert_int_eq(
		    bench_say(&bench, number, serials[i], "awake", NULL),
		    LW_CONFLICT);
		ck_assert_int_eq(bench.err.code, LW_CONFLICT);
	}
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->serial, 2);
	ck_step(job, "wake-volts", NULL);
}
END_TEST

/* --- power states ------------------------------------------------------- */

START_TEST(asks_the_way_in_again)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "weak-tree");
	const struct lw_job *job;
	double before;

	before = bench_share(bench_get(&bench, number), "flat-pack");
	job = bench_answer(&bench, number, "48 V");
	ck_step(job, "way-isolated", "case-look");
	ck_assert_str_eq(job->say, "Not safe yet.");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_double_eq_tol(bench_share(job, "flat-pack"), before, 1e-12);
	job = bench_answer(&bench, number, "1 V");
	ck_step(job, "case-look", NULL);
	ck_assert_ptr_null(job->say);
	/* A way in that fails leaves nothing proved. */
	job = bench_answers(&bench, number, "sound not-ready");
	ck_step(job, "way-pre-charged", "supply-volts");
	ck_assert_str_eq(job->say, "Open it again.");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
}
END_TEST

START_TEST(gives_up_on_a_way_in)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "weak-tree");
	const struct lw_job *job;
	const struct lw_finding *finding;

	job = bench_answers(&bench, number, "dead sound cannot");
	/* It is the check that is put aside, not the way in. */
	ck_assert_uint_eq(job->put_aside_count, 1);
	ck_assert_str_eq(job->put_aside[0]->id, "supply-volts");
	finding = &job->findings[job->finding_count - 1];
	ck_assert_int_eq(finding->kind, LW_FINDING_CANNOT);
	ck_assert_str_eq(finding->subject, "supply-volts");
	ck_assert_str_eq(finding->outcome, "way-pre-charged");
	ck_assert_ptr_nonnull(
	    strstr(finding->outcome_title, "Connect the pack"));
	/* Nobody knows how far they came: it has to be proved again. */
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_step(job, "way-isolated", "fuse-ohms");
	job = bench_answer(&bench, number, "skip");
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_uint_eq(job->put_aside_count, 2);
}
END_TEST

/* A step whose own outcome proves the state needs no way in before it. */
START_TEST(way_in_as_a_step)
{
	int64_t number = bench_start(&bench, NULL, NULL, "creeping", NULL);
	const struct lw_job *job = bench_get(&bench, number);

	ck_step(job, "way-isolated", NULL);
	job = bench_answer(&bench, number, "0.1");
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	ck_step(job, "way-control", "grip-rest");
	job = bench_answers(&bench, number, "ready 0.5");
	ck_step(job, "way-live-wheels-free", "wheel-turn");
	/* Its answer leads the walk, whenever it was given last. */
	number = bench_start(&bench, NULL, NULL, "creeping", NULL);
	job = bench_answer(&bench, number, "-48");
	ck_assert_int_eq(job->state, LW_JOB_STOPPED);
	ck_assert_str_eq(job->say, "Still charged and reversed.");
}
END_TEST

START_TEST(state_runs_out)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "weak-tree");
	int64_t proved_s;

	bench_answer(&bench, number, "dead");
	proved_s = bench.now_s;
	bench.now_s = proved_s + LW_JOB_POWER_HOLDS_S - 1;
	ck_step(bench_get(&bench, number), "case-look", NULL);
	bench.now_s = proved_s + LW_JOB_POWER_HOLDS_S;
	ck_step(bench_get(&bench, number), "way-isolated", "case-look");
	bench.now_s = INT64_MAX;
	ck_step(bench_get(&bench, number), "way-isolated", "case-look");
	/* A clock that went back proves nothing. */
	bench.now_s = proved_s - 1;
	ck_step(bench_get(&bench, number), "way-isolated", "case-look");
	bench.now_s = INT64_MIN;
	ck_step(bench_get(&bench, number), "way-isolated", "case-look");
	/* Every answer holds it up for as long again. */
	bench.now_s = proved_s + LW_JOB_POWER_HOLDS_S - 2;
	bench_answer(&bench, number, "sound");
	bench.now_s = proved_s + LW_JOB_POWER_HOLDS_S + 30;
	ck_assert_int_eq(bench_get(&bench, number)->power, LW_POWER_ISOLATED);
}
END_TEST

/* It runs out between two findings as well, though neither is an answer. */
START_TEST(state_runs_out_unseen)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "weak-tree");

	bench_answers(&bench, number, "dead skip");
	ck_assert_int_eq(bench_get(&bench, number)->power, LW_POWER_ISOLATED);
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_step(bench_get(&bench, number), "way-isolated", "case-look");
}
END_TEST

/* While the state ran out, the step became the way in; an answer that may be
 * meant for either must not prove a state. */
START_TEST(answer_after_a_break)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "deep-tree");
	const struct lw_job *job;
	int64_t serial;

	bench_answers(&bench, number, "ready none ready low dead");
	job = bench_get(&bench, number);
	ck_step(job, "fuse-ohms", NULL);
	serial = job->serial;
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	/* "0.3" was ohms; as volts it would prove the vehicle dead. */
	ck_assert_int_eq(bench_try(&bench, number, "0.3"), LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(bench.err.text, "break"));
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_step(job, "way-isolated", "fuse-ohms");
	ck_assert_int_eq(job->serial, serial + 1);
	/* Now it is plain which one is meant. */
	job = bench_answer(&bench, number, "0.3");
	ck_step(job, "fuse-ohms", NULL);
	/* An answer to the way in alone is taken as that. */
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	job = bench_answer(&bench, number, "dead");
	ck_step(job, "fuse-ohms", NULL);
	/* An outcome of the check alone is none of the way in's. */
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	ck_assert_int_eq(bench_try(&bench, number, "whole"), LW_BAD_INPUT);
	/* Who cannot do the check may well prove it dead: asked once more. */
	ck_assert_int_eq(bench_try(&bench, number, "cannot"), LW_CONFLICT);
	ck_step(bench_get(&bench, number), "way-isolated", "fuse-ohms");
	job = bench_answer(&bench, number, "cannot");
	ck_assert_str_eq(
	    job->put_aside[job->put_aside_count - 1]->id, "fuse-ohms");
	/* ... and who cannot prove it dead is not sent on to a live check. */
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_nonnull(strstr(job->ending, "proved dead"));
	/* Taken up again, the way in is asked first. */
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_step(bench_get(&bench, number), "way-isolated", "fuse-ohms");
}
END_TEST

/* What was typed for the step before the break never lands on the one that
 * comes now, also where the step before would not have had it. */
static const struct {
	const char *before; /* answers that lead to the step */
	const char *text;
	bool sure;
} lapses[] = {
    /* At the pack's volts, never below zero; the way into isolated measures
     * volts, which may be. */
    {"dead sound ready low dead", "-41", false},
    {"dead sound ready low dead", "-41", true},
    {"dead sound ready low dead", "41", false},
    {"dead sound ready low dead", "cannot", false},
    {"dead sound ready low dead", "differs", false},
    /* At the fuse's ohms. */
    {"dead sound ready low dead 50", "-0.3", false},
    {"dead sound ready low dead 50", "-0.3", true},
    {"dead sound ready low dead 50", "0.3", false},
    /* At what is looked at, which takes no reading at all. */
    {"dead", "0.3", false},
    {"dead", "skip", false},
};

START_TEST(nothing_lands_past_a_break)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;
	size_t count;

	job = bench_answers(&bench, number, lapses[_i].before);
	ck_assert(!job->step->gate);
	count = job->finding_count;
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	ck_assert_int_eq(bench_give(&bench, number,
			     (struct lw_answer){.serial = job->serial,
				 .text = lapses[_i].text,
				 .sure = true}),
	    LW_CONFLICT);
	job = bench_get(&bench, number);
	ck_assert_uint_eq(job->finding_count, count + 1);
	ck_assert_int_eq(job->findings[count].kind, LW_FINDING_RESUME);
	ck_assert(job->step->gate);
	ck_assert_str_eq(job->step->check->id, "way-isolated");
	/* Named, it is beyond doubt; by another's name it is refused. */
	bench_answer(&bench, number, "dead");
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	job = bench_get(&bench, number);
	ck_assert_int_eq(bench_give(&bench, number,
			     (struct lw_answer){.serial = job->serial,
				 .check = job->step->then->id,
				 .text = "cannot"}),
	    LW_CONFLICT);
	ck_assert_int_eq(bench_give(&bench, number,
			     (struct lw_answer){.serial = job->serial,
				 .check = "way-isolated",
				 .text = "0.3"}),
	    LW_OK);
}
END_TEST

START_TEST(resume_notes_a_break)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "weak-tree");
	const struct lw_job *job;

	/* Nothing is proved: nothing to note. */
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	ck_assert_int_eq(bench_get(&bench, number)->serial, 1);
	bench_answer(&bench, number, "dead");
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->serial, 3);
	ck_assert_int_eq(job->findings[2].kind, LW_FINDING_RESUME);
	ck_step(job, "way-isolated", "case-look");
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	ck_assert_int_eq(bench_get(&bench, number)->serial, 3);
}
END_TEST

/* --- what is shown with a step ------------------------------------------ */

static void
same_cautions(const struct lw_job *job, const char *expected)
{
	char list[200] = "";
	size_t i;

	for (i = 0; i < job->step->caution_count; i++) {
		strcat(list, i == 0 ? "" : " ");
		strcat(list, job->step->cautions[i]->id);
	}
	ck_assert_str_eq(list, expected);
}

START_TEST(shows_cautions)
{
	int64_t number = bench_start(&bench, NULL, NULL, "creeping", NULL);
	const struct lw_job *job = bench_get(&bench, number);

	/* The symptom's, the check's and the state's; gravest first. */
	same_cautions(job, "wheels-up stored hot-parts leads");
	job = bench_answer(&bench, number, "dead");
	same_cautions(job, "moving leads");
	job = bench_answers(&bench, number, "ready rest");
	same_cautions(job, "wheels-up arcs moving");
	/* A way in shows what goes with the state it leads into. */
	number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	job = bench_answers(&bench, number, "dead sound");
	same_cautions(job, "arcs leads");
	job = bench_answer(&bench, number, "ready");
	same_cautions(job, "arcs hot-parts leads");
}
END_TEST

START_TEST(shows_points)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job = bench_get(&bench, number);

	ck_assert_str_eq(job->step->black->title, "Minus stud");
	ck_assert_str_eq(job->step->red->title, "Plus stud");
	ck_assert_uint_eq(job->step->point_count, 0);
	job = bench_answers(&bench, number, "dead sound ready low dead sound");
	ck_assert_ptr_null(job->step->black);
	ck_assert_ptr_null(job->step->red);
	ck_assert_uint_eq(job->step->point_count, 1);
	ck_assert_str_eq(job->step->points[0]->title, "Fuse ends");
}
END_TEST

START_TEST(shows_what_to_expect)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "deep-tree");
	const struct lw_job *job = bench_get(&bench, number);

	ck_assert_str_eq(job->step->expect_text, "only the controls");
	ck_assert_str_eq(job->step->expected->id, "ready");
	job = bench_answer(&bench, number, "ready");
	ck_assert_str_eq(job->step->expect_text, "at least 9 V");
	job = bench_answers(&bench, number, "awake dead");
	ck_assert_str_eq(job->step->expect_text, "0.2 V to 0.7 V");
	job = bench_answer(&bench, number, "shorted");
	ck_assert_str_eq(job->step->expect_text, "below 1 ohm");
}
END_TEST

/* --- belief ------------------------------------------------------------- */

/*
 * By hand: common 9, occasional 3, rare 1, unlisted 0.5, always 0.97, usually
 * 0.8, never 0.01; what is left of 1 shared among the outcomes that do not
 * name the cause; where none does, 0.95 for what is expected and the rest
 * shared.
 */
START_TEST(weighs_suspects)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job = bench_get(&bench, number);
	double flat = 9, fuse = 3, stud = 1, unlisted = 0.5, sum;

	sum = flat + fuse + stud + unlisted;
	ck_assert_uint_eq(job->suspect_count, 4);
	ck_assert_double_eq_tol(
	    bench_share(job, "flat-pack"), flat / sum, 1e-12);
	ck_assert_double_eq_tol(
	    bench_share(job, "unlisted"), unlisted / sum, 1e-12);
	ck_assert_str_eq(job->suspects[0].cause, "flat-pack");
	ck_assert_str_eq(job->suspects[3].cause, "unlisted");
	ck_assert_str_eq(
	    job->suspects[3].title, "something that is not in the book");
	/* dead and sound say nothing about any of them, ready neither. */
	job = bench_answers(&bench, number, "dead sound ready");
	ck_assert_double_eq_tol(
	    bench_share(job, "open-fuse"), fuse / sum, 1e-12);
	job = bench_answer(&bench, number, "low");
	flat *= 0.8;
	fuse *= 0.97;
	stud *= 0.1;
	unlisted *= 0.025;
	sum = flat + fuse + stud + unlisted;
	ck_assert_double_eq_tol(
	    bench_share(job, "flat-pack"), flat / sum, 1e-12);
	ck_assert_double_eq_tol(
	    bench_share(job, "open-fuse"), fuse / sum, 1e-12);
	ck_assert_double_eq_tol(
	    bench_share(job, "dirty-stud"), stud / sum, 1e-12);
	ck_assert_double_eq_tol(
	    bench_share(job, "unlisted"), unlisted / sum, 1e-12);
	/* A charged pack speaks against a flat one, and open-fuse: never. */
	job = bench_answers(&bench, number, "dead 50");
	flat *= 0.03;
	fuse *= 0.99;
	stud *= 0.95;
	unlisted *= 0.95;
	sum = flat + fuse + stud + unlisted;
	ck_assert_double_eq_tol(
	    bench_share(job, "flat-pack"), flat / sum, 1e-12);
	ck_assert_double_eq_tol(
	    bench_share(job, "open-fuse"), fuse / sum, 1e-12);
	ck_assert_str_eq(job->suspects[0].cause, "open-fuse");
	/* The tree says whole: certain, so first, though its share is not. */
	job = bench_answer(&bench, number, "whole");
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	ck_assert_str_eq(job->suspects[0].cause, "dirty-stud");
	fuse *= 0.01 / 0.98; /* both outcomes name it: scaled to 1 */
	flat *= 0.95;
	stud *= 0.95;
	unlisted *= 0.95;
	sum = flat + fuse + stud + unlisted;
	ck_assert_double_eq_tol(job->suspects[0].share, stud / sum, 1e-12);
	ck_assert_double_gt(
	    bench_share(job, "flat-pack"), job->suspects[0].share);
}
END_TEST

/* Causes of pattern, symptom and leaves; the greatest weight of a cause that
 * is named twice; a leaf's own word where nothing else names it. */
START_TEST(gathers_suspects)
{
	int64_t number =
	    bench_start(&bench, "bench-cart", "5", "creeping", "deep-tree");
	const struct lw_job *job = bench_get(&bench, number);
	double sum = 9 + 3 + 3 + 9 + 3 + 1 + 0.5;

	ck_assert_uint_eq(job->suspect_count, 7);
	ck_assert_double_eq_tol(bench_share(job, "flat-pack"), 9 / sum, 1e-12);
	ck_assert_double_eq_tol(bench_share(job, "open-fuse"), 3 / sum, 1e-12);
	ck_assert_double_eq_tol(bench_share(job, "dirty-stud"), 3 / sum, 1e-12);
	ck_assert_double_eq_tol(
	    bench_share(job, "sticking-grip"), 9 / sum, 1e-12);
	ck_assert_double_eq_tol(bench_share(job, "bent-shaft"), 3 / sum, 1e-12);
	ck_assert_double_eq_tol(bench_share(job, "bad-joint"), 1 / sum, 1e-12);
	number = bench_start(&bench, "bench-cart", "6", "silent", NULL);
	job = bench_get(&bench, number);
	/* open-fuse: common by the fault, rare by the symptom. */
	ck_assert_double_eq_tol(
	    bench_share(job, "open-fuse"), 9 / (9 + 3 + 0.5), 1e-12);
}
END_TEST

Suite *
suite_answers(void)
{
	Suite *suite = suite_create("answers");
	TCase *answering = tcase_create("answering");
	TCase *power = tcase_create("power");
	TCase *showing = tcase_create("showing");
	TCase *belief = tcase_create("belief");

	tcase_add_checked_fixture(answering, setup, teardown);
	tcase_set_timeout(answering, 60);
	tcase_add_loop_test(answering, reads_answers, 0, COUNT(answers));
	tcase_add_test(answering, refuses_what_is_huge);
	tcase_add_test(answering, refuses_a_stale_step);
	suite_add_tcase(suite, answering);
	tcase_add_checked_fixture(power, setup, teardown);
	tcase_set_timeout(power, 60);
	tcase_add_test(power, asks_the_way_in_again);
	tcase_add_test(power, gives_up_on_a_way_in);
	tcase_add_test(power, way_in_as_a_step);
	tcase_add_test(power, state_runs_out);
	tcase_add_test(power, state_runs_out_unseen);
	tcase_add_test(power, answer_after_a_break);
	tcase_add_loop_test(
	    power, nothing_lands_past_a_break, 0, COUNT(lapses));
	tcase_add_test(power, resume_notes_a_break);
	suite_add_tcase(suite, power);
	tcase_add_checked_fixture(showing, setup, teardown);
	tcase_set_timeout(showing, 60);
	tcase_add_test(showing, shows_cautions);
	tcase_add_test(showing, shows_points);
	tcase_add_test(showing, shows_what_to_expect);
	suite_add_tcase(suite, showing);
	tcase_add_checked_fixture(belief, setup, teardown);
	tcase_set_timeout(belief, 60);
	tcase_add_test(belief, weighs_suspects);
	tcase_add_test(belief, gathers_suspects);
	suite_add_tcase(suite, belief);
	return suite;
}
