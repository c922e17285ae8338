/* job: what cannot be done, is not as described, did not show itself or
 * cannot be read; and books, rigs and clocks that change under a job. The
 * bench and everything on it is invented. */
#include "unit/bench.h"
#include "unit/suites.h"

#include "book/jobs.h"

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

static const struct lw_finding *
last(const struct lw_job *job)
{
	return &job->findings[job->finding_count - 1];
}

/* Until supply-volts is asked, with the pack connected. */
static int64_t
start(void)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);

	bench_answers(&bench, number, "dead sound ready");
	return number;
}

/* --- put aside, with words -------------------------------------------------
 */

static const struct {
	const char *answer;
	enum lw_finding_kind kind;
} asides[] = {
    {"cannot", LW_FINDING_CANNOT},
    {"Differs", LW_FINDING_DIFFERS},
    {" not-reproduced ", LW_FINDING_NOT_SEEN},
    {"skip", LW_FINDING_SKIP},
};

START_TEST(puts_aside_with_words)
{
	int64_t number = start();
	const struct lw_job *job;
	double before = bench_share(bench_get(&bench, number), "flat-pack");

	ck_assert_int_eq(bench_say(&bench, number, -1, asides[_i].answer,
			     "no clamp meter here"),
	    LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(last(job)->kind, asides[_i].kind);
	ck_assert_str_eq(last(job)->subject, "supply-volts");
	ck_assert_str_eq(last(job)->title, "Supply at the controller");
	ck_assert_str_eq(last(job)->ask, "What does the meter read?");
	ck_assert_str_eq(last(job)->words, "no clamp meter here");
	ck_assert(!last(job)->has_value);
	/* No way in was at fault. */
	ck_assert_ptr_null(last(job)->outcome);
	ck_assert_int_eq(job->power, LW_POWER_PRECHARGED);
	/* It changes no belief, and the tree leads on. */
	ck_assert_double_eq(bench_share(job, "flat-pack"), before);
	ck_step(job, "way-isolated", "fuse-ohms");
	ck_assert_uint_eq(job->put_aside_count, 1);
	job = bench_answers(&bench, number, "dead 0.1");
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_str_eq(job->likely, "dirty-stud");
	ck_assert_ptr_nonnull(
	    strstr(job->waits_for, "Supply at the controller"));
	ck_assert_ptr_nonnull(strstr(job->waits_for, "no clamp meter here"));
	/* Taken up and answered, it is settled. */
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_answers(&bench, number, "ready low dead sound");
	ck_assert_str_eq(job->cause, "dirty-stud");
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
}
END_TEST

/* An answer in place of the aside, without taking it up: by a pick. */
START_TEST(picks_what_was_put_aside)
{
	int64_t number = start();
	const struct lw_job *job;

	bench_answers(&bench, number, "cannot dead 0.1");
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "supply-volts"), LW_OK);
	job = bench_answers(&bench, number, "ready 41");
	ck_assert_uint_eq(job->put_aside_count, 0);
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_str_eq(job->ending, "It is sound now. Drive and read again.");
}
END_TEST

/* --- readings ---------------------------------------------------------------
 */

/* In which step: the supply's volts, or the fuse's ohms. */
static const struct {
	bool ohms;
	const char *text;
	bool sure;
	enum lw_status status;
	enum lw_finding_kind kind;
	const char *says; /* outcome, or part of the refusal */
	double value;
} readings[] = {
    {false, "-38.5", false, LW_BAD_INPUT, 0, "probes swapped", 0},
    {false, "-38.5", true, LW_OK, LW_FINDING_DIFFERS, NULL, -38.5},
    {false, "-0.001 V", true, LW_OK, LW_FINDING_DIFFERS, NULL, -0.001},
    /* 54.6 V when full: far above it may be, and is asked about. */
    {false, "54.6", false, LW_OK, LW_FINDING_CHECK, "sound", 54.6},
    {false, "68.2", false, LW_OK, LW_FINDING_CHECK, "high", 68.2},
    {false, "69", false, LW_BAD_INPUT, 0, "54.6 V", 0},
    {false, "69", true, LW_OK, LW_FINDING_CHECK, "high", 69},
    {false, "-69", false, LW_BAD_INPUT, 0, "", 0},
    /* No vehicle of 24 to 120 V has so much. */
    {false, "480 V", false, LW_BAD_INPUT, 0, "cannot be", 0},
    {false, "480 V", true, LW_BAD_INPUT, 0, "cannot be", 0},
    {false, "-480 V", true, LW_BAD_INPUT, 0, "cannot be", 0},
    {false, "48000 V", true, LW_BAD_INPUT, 0, "cannot be", 0},
    {false, "1e300", true, LW_BAD_INPUT, 0, "", 0},
    {false, "48,000", true, LW_BAD_INPUT, 0, "", 0},
    {false, "48 A", true, LW_BAD_INPUT, 0, "V", 0},
    {false, "OL", true, LW_BAD_INPUT, 0, "", 0},
    /* Ohms below zero are a voltage that was left in the circuit. */
    {true, "-2", false, LW_BAD_INPUT, 0, "prove it dead", 0},
    {true, "-2", true, LW_BAD_INPUT, 0, "prove it dead", 0},
    {true, "4M7", false, LW_OK, LW_FINDING_CHECK, "open", 4.7e6},
    {true, "OL", true, LW_OK, LW_FINDING_CHECK, "open", INFINITY},
};

START_TEST(readings_in_doubt)
{
	const struct lw_job *job;
	int64_t number, serial;
	double flat;

	bench_rig(&bench, "cart48", "pack.full=54.6 V,device.drive=bench-cart");
	number = start();
	if (readings[_i].ohms)
		bench_answers(&bench, number, "low dead sound");
	job = bench_get(&bench, number);
	serial = job->serial;
	flat = bench_share(job, "flat-pack");
	ck_assert_msg(
	    bench_give(&bench, number,
		(struct lw_answer){.serial = serial,
		    .check = readings[_i].ohms ? "fuse-ohms" : "supply-volts",
		    .text = readings[_i].text,
		    .sure = readings[_i].sure}) == readings[_i].status,
	    "%s", bench.err.text);
	job = bench_get(&bench, number);
	if (readings[_i].status != LW_OK) {
		ck_assert_msg(strstr(bench.err.text, readings[_i].says) != NULL,
		    "%s", bench.err.text);
		ck_assert_int_eq(job->serial, serial);
		return;
	}
	ck_assert_int_eq(last(job)->kind, readings[_i].kind);
	ck_assert_pstr_eq(last(job)->outcome, readings[_i].says);
	ck_assert(last(job)->has_value);
	ck_assert(last(job)->value == readings[_i].value);
	ck_assert_str_eq(last(job)->unit, readings[_i].ohms ? "ohm" : "V");
	/* A negative one is neither made positive nor judged as a low one. */
	if (readings[_i].kind == LW_FINDING_DIFFERS) {
		ck_assert_double_eq(bench_share(job, "flat-pack"), flat);
		ck_assert_str_eq(job->put_aside[0]->id, "supply-volts");
	}
}
END_TEST

/* What is printed on a part is no reading of the vehicle: a fuse for 500 V fits
 * a pack of 54.6 V. */
START_TEST(labels_are_no_readings)
{
	static const char text[] =
	    "pack: label\ntitle: Label\nchecks:\n"
	    "  - {id: label-volts, title: Volts on the fuse, ask: Which volts?,"
	    " power: isolated, minutes: 1, unit: V, outcomes: ["
	    "{id: few, title: too few, below: 60 V, speaks: [open-fuse: "
	    "rarely]},"
	    " {id: enough, title: enough, from: 60 V, expected: yes}]}\n";
	const struct lw_pack_text file = {"label.yaml", text, sizeof text - 1};
	const struct lw_pack *pack = NULL;
	struct lw_problems problems;
	const struct lw_job *job;
	int64_t number;

	bench_rig(&bench, "cart48", "pack.full=54.6 V,device.drive=bench-cart");
	ck_assert_int_eq(lw_pack_read(bench.arena, &file, 1, bench.book, &pack,
			     &problems, &bench.err),
	    LW_OK);
	ck_assert_msg(problems.count == 0, "%s",
	    problems.count > 0 ? problems.items[0].text : "");
	ck_assert_int_eq(
	    lw_book_put_pack(bench.book, pack, bench.now_s, &bench.err), LW_OK);
	number = start();
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "label-volts"), LW_OK);
	bench_answer(&bench, number, "dead");
	job = bench_answer(&bench, number, "500 V");
	ck_assert_str_eq(last(job)->outcome, "enough");
	ck_assert(last(job)->value == 500);
}
END_TEST

/* What a vehicle does not have is not asked for, and nothing is left undone by
 * it: the end is as certain as where it was answered. */
START_TEST(what_there_is_none_of_is_not_asked)
{
	static const char text[] =
	    "pack: other\ntitle: Other\nsymptoms:\n"
	    "  - {id: dim, title: Dim, causes: [flat-pack, open-fuse]}\n"
	    "checks:\n"
	    "  - {id: small-volts, title: Small battery, ask: Volts?,"
	    " power: isolated, minutes: 1, unit: V, only: [auxiliary=yes],"
	    " outcomes: ["
	    "{id: few, title: few, below: 12 V, speaks: [flat-pack: always]},"
	    " {id: enough, title: enough, from: 12 V, expected: yes}]}\n"
	    "  - {id: glow, title: Glow, ask: Does it glow?, power: isolated,"
	    " minutes: 1, outcomes: ["
	    "{id: dark, title: dark, speaks: [open-fuse: always]},"
	    " {id: glows, title: it glows, expected: yes}]}\n"
	    "trees:\n"
	    "  - {id: dim, title: Dim, symptoms: [dim], steps: ["
	    "{id: one, check: small-volts, next: {few: {cause: flat-pack},"
	    " enough: {step: two}, cannot: {step: two}}},"
	    " {id: two, check: glow, next: {dark: {cause: open-fuse},"
	    " glows: {unsure: All is well.}, cannot: {unsure: Look.}}}]}\n";
	static const struct {
		const char *fact;
		const char *asked;
	} rows[] = {
	    {"auxiliary=no", "glow"},
	    {"auxiliary=yes", "small-volts"},
	    {"auxiliary=unknown", "small-volts"},
	};
	const struct lw_pack_text file = {"other.yaml", text, sizeof text - 1};
	const struct lw_pack *pack = NULL;
	struct lw_problems problems;
	const struct lw_job *job;
	int64_t number;
	size_t i;

	ck_assert_int_eq(lw_pack_read(bench.arena, &file, 1, bench.book, &pack,
			     &problems, &bench.err),
	    LW_OK);
	ck_assert_msg(problems.count == 0, "%s",
	    problems.count > 0 ? problems.items[0].text : "");
	ck_assert_int_eq(
	    lw_book_put_pack(bench.book, pack, bench.now_s, &bench.err), LW_OK);
	bench_rig(&bench, "cart48", rows[_i].fact);
	number = 0;
	ck_assert_int_eq(
	    lw_job_new(bench.book,
		&(struct lw_job_start){.rig = "cart48", .symptom = "dim"},
		++bench.now_s, &number, &bench.err),
	    LW_OK);
	job = bench_answer(&bench, number, "dead");
	ck_assert_str_eq(job->step->check->id, rows[_i].asked);
	if (_i > 0)
		return;
	job = bench_answer(&bench, number, "dark");
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	ck_assert_str_eq(job->cause, "open-fuse");
	/* Nor where no tree leads. */
	bench_undo(&bench, number);
	ck_assert_int_eq(bench_do(&bench, lw_job_leave, number), LW_OK);
	job = bench_get(&bench, number);
	for (i = 0; i < job->next_count; i++)
		ck_assert_str_ne(job->next[i].check->id, "small-volts");
	ck_assert_uint_gt(job->next_count, 0);
}
END_TEST

/* --- a book, a rig and a clock that change under a job -----------------------
 */

/* The pack without one of its checks, as a later version has it. */
static void
put_without(const char *check)
{
	const struct lw_pack *pack;
	struct lw_pack other;
	struct lw_check checks[40];
	size_t i;

	ck_assert_int_eq(lw_book_get_pack(bench.book, bench.arena, "job-bench",
			     &pack, &bench.err),
	    LW_OK);
	other = *pack;
	other.checks = checks;
	other.check_count = 0;
	ck_assert_uint_le(pack->check_count, COUNT(checks));
	for (i = 0; i < pack->check_count; i++)
		if (strcmp(pack->checks[i].id, check) != 0)
			checks[other.check_count++] = pack->checks[i];
	ck_assert_uint_lt(other.check_count, pack->check_count);
	ck_assert_msg(lw_book_put_pack(bench.book, &other, ++bench.now_s,
			  &bench.err) == LW_OK,
	    "%s", bench.err.text);
}

START_TEST(check_in_use_goes)
{
	const char *const file = TESTS_DIR "/unit/job.yaml";
	int64_t number = start(), serial;
	const struct lw_job *job;

	serial = bench_get(&bench, number)->serial;
	put_without("supply-volts");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_ptr_null(job->step);
	ck_assert_ptr_nonnull(strstr(job->ending, "no longer in the book"));
	/* What was proved stands; the answer is refused, and nothing lost. */
	ck_assert_int_eq(job->power, LW_POWER_PRECHARGED);
	ck_assert(job->make_safe);
	ck_assert_int_eq(
	    bench_say(&bench, number, serial, "38.5", NULL), LW_CONFLICT);
	ck_assert_int_eq(bench_get(&bench, number)->serial, serial);
	bench_put(&bench, &file, 1);
	job = bench_answer(&bench, number, "38.5");
	/* Answered, it keeps the text that was shown. */
	put_without("supply-volts");
	job = bench_get(&bench, number);
	ck_assert_str_eq(last(job)->title, "Supply at the controller");
	ck_assert_str_eq(last(job)->ask, "What does the meter read?");
	ck_assert_str_eq(last(job)->outcome_title, "too low");
	ck_assert_str_eq(last(job)->expected, "40 V to 60 V");
	ck_assert_double_eq(last(job)->value, 38.5);
	/* The tree still knows where its answer leads. */
	ck_step(job, "way-isolated", "pack-volts");
}
END_TEST

/* The way in itself goes: what it proved is no longer proved. */
START_TEST(way_in_goes)
{
	int64_t number = start();
	const struct lw_job *job;

	put_without("way-pre-charged");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_ptr_nonnull(
	    strstr(job->ending, "\"Supply at the controller\""));
	ck_assert(job->make_safe);
	ck_assert_int_eq(bench_do(&bench, lw_job_make_safe, number), LW_OK);
	job = bench_answer(&bench, number, "dead");
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	/* Without the way back, the state cannot be had. */
	put_without("way-isolated");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_ptr_null(job->step);
}
END_TEST

static bool
remarks(const struct lw_job *job, const char *part)
{
	size_t i;

	for (i = 0; i < job->remark_count; i++)
		if (strstr(job->remarks[i], part) != NULL)
			return true;
	return false;
}

START_TEST(rig_goes)
{
	const struct lw_finding found[] = {
	    {.kind = LW_FINDING_SYMPTOM, .subject = "creeping", .title = "C"},
	    {.kind = LW_FINDING_TREE, .subject = "creep-tree", .title = "T"},
	};
	const struct lw_job *job;
	int64_t number;

	bench_rig(&bench, "cart48", "device.drive=bench-cart,tools=meter");
	number = start();
	ck_assert_str_eq(bench_get(&bench, number)->rig_name, "cart48");
	ck_assert(!remarks(bench_get(&bench, number), "rig"));
	ck_assert_int_eq(
	    lw_rig_remove(bench.book, "cart48", &bench.err), LW_OK);
	job = bench_get(&bench, number);
	ck_assert(remarks(job, "\"cart48\" was taken out"));
	ck_assert_ptr_nonnull(job->rig);
	ck_assert(job->rig->removed);
	ck_step(job, "supply-volts", NULL);
	job = bench_answer(&bench, number, "low");
	ck_step(job, "way-isolated", "pack-volts");
	/* One that the book never had: the most dangerous kind counts. */
	ck_assert_int_eq(
	    book_job_new(bench.book, "gone-cart", NULL, NULL, "title", found,
		COUNT(found), ++bench.now_s, &number, &bench.err),
	    LW_OK);
	job = bench_get(&bench, number);
	ck_assert(remarks(job, "\"gone-cart\""));
	ck_assert_ptr_null(job->rig);
	ck_assert_str_eq(job->rig_name, "gone-cart");
	job = bench_answer(&bench, number, "dead");
	ck_step(job, "way-control", "grip-rest");
}
END_TEST

START_TEST(clock_set_back)
{
	int64_t number = start(), then_s = bench.now_s;
	const struct lw_job *job;

	bench.now_s = then_s - 3600;
	job = bench_get(&bench, number);
	ck_assert(remarks(job, "set back"));
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_step(job, "way-pre-charged", "supply-volts");
	/* It goes on by the clock that there is now. */
	job = bench_answer(&bench, number, "ready");
	ck_assert_int_eq(job->power, LW_POWER_PRECHARGED);
	ck_assert(!remarks(job, "set back"));
	ck_assert_int_eq(last(job)->time_s, bench.now_s);
	job = bench_answer(&bench, number, "41");
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	/* And forward again: that is a break, too. */
	bench.now_s = then_s;
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_int_ge(job->worked_s, 0);
	/* At the ends of time. */
	bench.now_s = INT64_MIN;
	ck_assert(remarks(bench_get(&bench, number), "set back"));
	bench.now_s = INT64_MAX;
	ck_assert_int_eq(bench_get(&bench, number)->power, LW_POWER_UNKNOWN);
}
END_TEST

START_TEST(forged_ids)
{
	static const char *const forged[] = {"", "=fix", "=safe", "x",
	    "'; DROP TABLE findings; --", "\xff\xfe", "way-isolated "};
	int64_t number = start(), serial = bench_get(&bench, number)->serial;
	size_t i;

	for (i = 0; i < COUNT(forged); i++) {
		ck_assert_int_eq(
		    bench_give(&bench, number,
			(struct lw_answer){
			    .serial = -1, .check = forged[i], .text = "41"}),
		    LW_CONFLICT);
		ck_assert_int_eq(
		    bench_do_with(&bench, lw_job_pick, number, forged[i]),
		    LW_NOT_FOUND);
		ck_assert_int_eq(
		    bench_do_with(&bench, lw_job_suppose, number, forged[i]),
		    LW_NOT_FOUND);
		ck_assert_ptr_null(strpbrk(bench.err.text, "\n\x1b"));
	}
	ck_assert_int_eq(bench_get(&bench, number)->serial, serial);
	/* The unlisted suspect is no cause to be taken as one. */
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_suppose, number, "unlisted"),
	    LW_NOT_FOUND);
}
END_TEST

/* --- jobs as they were before rigs, fixes and holds
 * --------------------------- */

#define CHECK(ID, OUTCOME)                                            \
	{                                                             \
		.kind = LW_FINDING_CHECK, .subject = ID, .title = ID, \
		.outcome = OUTCOME, .outcome_title = OUTCOME          \
	}
#define BEGUN                                                    \
	{.kind = LW_FINDING_PATTERN,                             \
	    .subject = "5",                                      \
	    .title = "5",                                        \
	    .outcome = "weak-supply"},                           \
	{                                                        \
		.kind = LW_FINDING_TREE, .subject = "weak-tree", \
		.title = "Weak supply"                           \
	}

START_TEST(jobs_of_before)
{
	const struct lw_finding open[] = {BEGUN, CHECK("way-isolated", "dead"),
	    CHECK("case-look", "sound"), CHECK("way-pre-charged", "ready")};
	const struct lw_finding found[] = {BEGUN, CHECK("way-isolated", "dead"),
	    CHECK("case-look", "sound"), CHECK("way-pre-charged", "ready"),
	    CHECK("supply-volts", "low"), CHECK("way-isolated", "dead"),
	    CHECK("pack-volts", "low"),
	    {.kind = LW_FINDING_CLOSE, .words = "charged it"}};
	const struct lw_finding aside[] = {
	    BEGUN, {.kind = LW_FINDING_CANNOT,
		       .subject = "case-look",
		       .title = "L",
		       .outcome = "way-isolated"}};
	const struct lw_job *job;
	int64_t number;

	ck_assert_int_eq(
	    book_job_new(bench.book, NULL, "bench-cart", "red", "old", open,
		COUNT(open), bench.now_s, &number, &bench.err),
	    LW_OK);
	job = bench_get(&bench, number);
	/* Nobody holds it, so nothing is proved. */
	ck_assert(!job->hold.held);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_step(job, "way-pre-charged", "supply-volts");
	job = bench_answers(&bench, number, "ready 12 dead 41 begun fixed 50");
	ck_asks(job, LW_JOB_PROVING, "way-live-wheels-free", LW_JOB_AGAIN);

	ck_assert_int_eq(
	    book_job_new(bench.book, NULL, "bench-cart", "red", "old", found,
		COUNT(found), bench.now_s, &number, &bench.err),
	    LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_CLOSED);
	ck_assert(!job->cured);
	ck_assert_str_eq(job->cause, "flat-pack");
	ck_assert_str_eq(job->ending, "charged it");
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_asks(bench_get(&bench, number), LW_JOB_FOUND, "way-isolated",
	    LW_JOB_FIX);

	ck_assert_int_eq(
	    book_job_new(bench.book, NULL, NULL, NULL, "old", aside,
		COUNT(aside), bench.now_s, &number, &bench.err),
	    LW_OK);
	job = bench_get(&bench, number);
	/* It could not be proved dead then, so nothing is switched on. */
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_null(job->step);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_step(bench_get(&bench, number), "way-isolated", "case-look");
}
END_TEST

Suite *
suite_doubts(void)
{
	Suite *suite = suite_create("doubts");
	TCase *answers = tcase_create("answers");
	TCase *changes = tcase_create("changes");

	tcase_add_checked_fixture(answers, setup, teardown);
	tcase_set_timeout(answers, 60);
	tcase_add_loop_test(answers, puts_aside_with_words, 0, COUNT(asides));
	tcase_add_test(answers, picks_what_was_put_aside);
	tcase_add_loop_test(answers, readings_in_doubt, 0, COUNT(readings));
	tcase_add_test(answers, labels_are_no_readings);
	tcase_add_loop_test(answers, what_there_is_none_of_is_not_asked, 0, 3);
	suite_add_tcase(suite, answers);
	tcase_add_checked_fixture(changes, setup, teardown);
	tcase_set_timeout(changes, 60);
	tcase_add_test(changes, check_in_use_goes);
	tcase_add_test(changes, way_in_goes);
	tcase_add_test(changes, rig_goes);
	tcase_add_test(changes, clock_set_back);
	tcase_add_test(changes, forged_ids);
	tcase_add_test(changes, jobs_of_before);
	suite_add_tcase(suite, changes);
	return suite;
}
