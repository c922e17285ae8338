/* job: how one is opened, walked, taken back, closed and listed. The bench
 * and everything on it is invented. */
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

/* --- opening ----------------------------------------------------------- */

static const struct {
	const char *device, *lamp, *pattern, *symptom, *tree;
	enum lw_status status;
	const char *job_device, *job_lamp, *fault, *job_tree;
	const char *says; /* the title, or a part of the error */
} openings[] = {
    {"bench-cart", NULL, "5", NULL, NULL, LW_OK, "bench-cart", "red",
	"weak-supply", "weak-tree", "Bench cart: 5: Supply too weak"},
    {"bench-cart", "red", "blinks 5 times", NULL, NULL, LW_OK, "bench-cart",
	"red", "weak-supply", "weak-tree", "Bench cart: 5: Supply too weak"},
    {"bench-cart", NULL, "on", NULL, NULL, LW_OK, "bench-cart", "red", NULL,
	NULL, "Bench cart: on: ready to drive"},
    /* The lamp says what a word or a bare number stands for. */
    {"bench-cart", NULL, "fast", NULL, NULL, LW_OK, "bench-cart", "red",
	"bare-fault", NULL, "Bench cart: 4Hz: Fault without a tree"},
    {"bench-cart", NULL, "32", NULL, NULL, LW_OK, "bench-cart", "red",
	"deep-fault", "deep-tree", "Bench cart: 32: Deep fault"},
    {"bench-trike", "green", "32", NULL, NULL, LW_OK, "bench-trike", "green",
	"weak-supply", "weak-tree", "Bench trike: 3-2: Supply too weak"},
    {"bench-trike", "amber", "32", NULL, NULL, LW_OK, "bench-trike", "amber",
	"deep-fault", "deep-tree", "Bench trike: 32: Deep fault"},
    /* A rate told by eye is the listed one. */
    {"bench-cart", NULL, "1.8 Hz", NULL, NULL, LW_OK, "bench-cart", "red",
	"weak-supply", "weak-tree", "Bench cart: 1.8Hz: Supply too weak"},
    /* ... but of two that may be it, neither. */
    {"bench-cart", NULL, "2.2 Hz", NULL, NULL, LW_UNDECIDED, NULL, NULL, NULL,
	NULL, "2Hz (red) or 2.4Hz (red)"},
    {"bench-cart", NULL, "2.4 Hz", NULL, NULL, LW_OK, "bench-cart", "red",
	"lost-supply", NULL, "Bench cart: 2.4Hz: Supply lost"},
    {"bench-trike", "amber", "fast", NULL, NULL, LW_UNDECIDED, NULL, NULL, NULL,
	NULL, "2.5Hz"},
    {NULL, NULL, "flicker", NULL, NULL, LW_UNDECIDED, NULL, NULL, NULL, NULL,
	"2.5Hz"},
    {NULL, NULL, "44", NULL, NULL, LW_UNDECIDED, NULL, NULL, NULL, NULL,
	"44 or 4-4"},
    /* No device: the one that has it. */
    {NULL, NULL, "6", NULL, NULL, LW_OK, "bench-cart", "red", "lost-supply",
	NULL, "Bench cart: 6: Supply lost"},
    {NULL, NULL, "3-2", NULL, NULL, LW_OK, "bench-trike", "green",
	"weak-supply", "weak-tree", "Bench trike: 3-2: Supply too weak"},
    {NULL, NULL, "5", NULL, NULL, LW_UNDECIDED, NULL, NULL, NULL, NULL,
	"bench-trike"},
    {NULL, NULL, "8", NULL, NULL, LW_NOT_FOUND, NULL, NULL, NULL, NULL,
	"teach it"},
    {NULL, NULL, "8", "creeping", NULL, LW_OK, NULL, NULL, NULL, "creep-tree",
	"Creeps at rest"},
    {NULL, NULL, "banana", "creeping", NULL, LW_BAD_INPUT, NULL, NULL, NULL,
	NULL, ""},
    {"bench-trike", NULL, "on", NULL, NULL, LW_UNDECIDED, NULL, NULL, NULL,
	NULL, "on (green) or on (amber) on Bench trike"},
    /* Two lamps that mean the same leave nothing open. */
    {"bench-trike", NULL, "off", NULL, NULL, LW_OK, "bench-trike", "green",
	"bare-fault", NULL, "Bench trike: off: Fault without a tree"},
    {"bench-trike", NULL, "32", NULL, NULL, LW_UNDECIDED, NULL, NULL, NULL,
	NULL, "3-2 (green) or 32 (amber)"},
    {"bench-cart", NULL, "7", NULL, NULL, LW_NOT_FOUND, NULL, NULL, NULL, NULL,
	"6"},
    /* Which tree leads: as told, else for the fault, else for the symptom. */
    {"bench-cart", NULL, "5", "creeping", NULL, LW_OK, "bench-cart", "red",
	"weak-supply", "weak-tree", "Bench cart: 5: Supply too weak"},
    {"bench-cart", NULL, "5", NULL, "other-weak-tree", LW_OK, "bench-cart",
	"red", "weak-supply", "other-weak-tree",
	"Bench cart: 5: Supply too weak"},
    {"bench-cart", NULL, "fast", "creeping", NULL, LW_OK, "bench-cart", "red",
	"bare-fault", "creep-tree", "Bench cart: 4Hz: Fault without a tree"},
    {NULL, NULL, NULL, "silent", NULL, LW_OK, NULL, NULL, NULL,
	"other-weak-tree", "Makes no sound"},
    {NULL, NULL, NULL, "rattling", NULL, LW_OK, NULL, NULL, NULL, NULL,
	"Rattles"},
    {NULL, NULL, NULL, NULL, "deep-tree", LW_OK, NULL, NULL, NULL, "deep-tree",
	"Deep tree"},
    {"bench-cart", NULL, NULL, "silent", NULL, LW_OK, "bench-cart", NULL, NULL,
	"other-weak-tree", "Makes no sound"},
    /* What cannot be opened. */
    {NULL, NULL, NULL, NULL, NULL, LW_BAD_INPUT, NULL, NULL, NULL, NULL,
	"a pattern, a symptom or a tree"},
    {"bench-cart", NULL, NULL, NULL, NULL, LW_BAD_INPUT, NULL, NULL, NULL, NULL,
	"a pattern, a symptom or a tree"},
    {NULL, "red", "5", NULL, NULL, LW_BAD_INPUT, NULL, NULL, NULL, NULL,
	"device"},
    {"bench-cart", "blue", "5", NULL, NULL, LW_NOT_FOUND, NULL, NULL, NULL,
	NULL, "red"},
    {"bench-card", NULL, "5", NULL, NULL, LW_NOT_FOUND, NULL, NULL, NULL, NULL,
	"bench-card"},
    {NULL, NULL, NULL, "no-such", NULL, LW_NOT_FOUND, NULL, NULL, NULL, NULL,
	"no-such"},
    {NULL, NULL, NULL, NULL, "no-such", LW_NOT_FOUND, NULL, NULL, NULL, NULL,
	"no-such"},
    {"bench-cart", NULL, "5 $", NULL, NULL, LW_BAD_INPUT, NULL, NULL, NULL,
	NULL, ""},
    {"", "", "", "", "", LW_NOT_FOUND, NULL, NULL, NULL, NULL, ""},
    {"'; DROP TABLE jobs; --", NULL, "5", NULL, NULL, LW_NOT_FOUND, NULL, NULL,
	NULL, NULL, ""},
};

START_TEST(opens)
{
	const struct lw_job *job;
	struct lw_entries jobs;
	int64_t number = 0;

	ck_assert_msg(
	    bench_try_start(&bench, &number, openings[_i].device,
		openings[_i].lamp, openings[_i].pattern, openings[_i].symptom,
		openings[_i].tree) == openings[_i].status,
	    "%s", bench.err.text);
	if (openings[_i].status != LW_OK) {
		ck_assert_int_eq(bench.err.code, openings[_i].status);
		ck_assert_msg(strstr(bench.err.text, openings[_i].says) != NULL,
		    "%s", bench.err.text);
		ck_assert_int_eq(lw_job_list(bench.book, bench.arena,
				     bench.now_s, &jobs, NULL),
		    LW_OK);
		ck_assert_uint_eq(jobs.count, 0);
		return;
	}
	job = bench_get(&bench, number);
	ck_assert_pstr_eq(job->device, openings[_i].job_device);
	ck_assert_pstr_eq(job->lamp, openings[_i].job_lamp);
	ck_assert_pstr_eq(job->fault, openings[_i].fault);
	ck_assert_pstr_eq(job->symptom, openings[_i].symptom);
	ck_assert_pstr_eq(job->tree, openings[_i].job_tree);
	ck_assert_str_eq(job->title, openings[_i].says);
	ck_assert_int_eq(job->created_s, bench.now_s);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_int_eq(job->serial, (int64_t)job->finding_count);
	ck_assert_int_eq(job->state,
	    openings[_i].job_tree != NULL ? LW_JOB_OPEN : LW_JOB_UNDECIDED);
	ck_assert(!job->can_undo);
}
END_TEST

START_TEST(opens_with_several_patterns)
{
	const char *patterns[LW_JOB_PATTERNS_MAX + 1] = {"on", "6", "5"};
	struct lw_job_start start = {
	    .device = "bench-cart", .patterns = patterns, .pattern_count = 3};
	const struct lw_job *job;
	char *huge;
	int64_t number;

	ck_assert_int_eq(
	    lw_job_new(bench.book, &start, bench.now_s, &number, &bench.err),
	    LW_OK);
	job = bench_get(&bench, number);
	/* The first that means a fault; the first fault that has a tree. */
	ck_assert_str_eq(job->fault, "lost-supply");
	ck_assert_str_eq(job->tree, "weak-tree");
	ck_assert_str_eq(job->title, "Bench cart: on: ready to drive");
	ck_assert_uint_eq(job->finding_count, 4);
	ck_assert_int_eq(job->findings[1].kind, LW_FINDING_PATTERN);
	ck_assert_str_eq(job->findings[1].subject, "6");
	ck_assert_str_eq(job->findings[1].outcome_title, "Supply lost");
	ck_assert_int_eq(job->findings[3].kind, LW_FINDING_TREE);
	ck_assert_str_eq(job->findings[3].title, "Weak supply");
	/* One vehicle: what follows is read on the device of the first. */
	patterns[0] = "6";
	patterns[1] = "5";
	start.device = NULL;
	start.pattern_count = 2;
	ck_assert_int_eq(
	    lw_job_new(bench.book, &start, bench.now_s, &number, &bench.err),
	    LW_OK);
	ck_assert_str_eq(bench_get(&bench, number)->device, "bench-cart");
	start.pattern_count = COUNT(patterns);
	ck_assert_int_eq(
	    lw_job_new(bench.book, &start, bench.now_s, &number, &bench.err),
	    LW_TOO_BIG);
	huge = malloc(1 << 20);
	memset(huge, '5', (1 << 20) - 1);
	huge[(1 << 20) - 1] = '\0';
	patterns[0] = huge;
	start.pattern_count = 1;
	ck_assert_int_eq(
	    lw_job_new(bench.book, &start, bench.now_s, &number, &bench.err),
	    LW_TOO_BIG);
	start.device = huge;
	ck_assert_int_eq(
	    lw_job_new(bench.book, &start, bench.now_s, &number, &bench.err),
	    LW_NOT_FOUND);
	free(huge);
}
END_TEST

/* --- walking ----------------------------------------------------------- */

START_TEST(leads_to_a_cause)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job = bench_get(&bench, number);

	/* Nothing is proved yet: the way in comes before the check. */
	ck_step(job, "way-isolated", "case-look");
	job = bench_answer(&bench, number, "0.2 V");
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	ck_step(job, "case-look", NULL);
	job = bench_answer(&bench, number, "sound");
	ck_step(job, "way-pre-charged", "supply-volts");
	job = bench_answer(&bench, number, "ready");
	ck_assert_int_eq(job->power, LW_POWER_PRECHARGED);
	ck_step(job, "supply-volts", NULL);
	job = bench_answer(&bench, number, "12.4");
	/* Back to isolated: the other state is given up. */
	ck_step(job, "way-isolated", "pack-volts");
	ck_assert_int_eq(job->power, LW_POWER_PRECHARGED);
	job = bench_answers(&bench, number, "dead 50.1");
	ck_step(job, "fuse-ohms", NULL);
	job = bench_answer(&bench, number, "OL");
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	ck_assert_str_eq(job->cause, "open-fuse");
	ck_assert_ptr_null(job->likely);
	ck_assert_ptr_null(job->ending);
	ck_assert_str_eq(job->suspects[0].cause, "open-fuse");
	/* Its fix comes next, isolated as it is. */
	ck_asks(job, LW_JOB_FOUND, LW_JOB_FIX, NULL);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_FIX);
	ck_assert_int_eq(bench_try(&bench, number, "open"), LW_BAD_INPUT);
}
END_TEST

/* Through every step of a tree. */
START_TEST(takes_the_longest_way)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "deep-tree");
	const struct lw_job *job = bench_answers(&bench, number,
	    "ready awake dead good ready low dead whole ready still dead");

	ck_step(job, "pack-volts", NULL);
	job = bench_answer(&bench, number, "46.5");
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	ck_assert_str_eq(job->cause, "bad-joint");
	ck_assert_str_eq(job->suspects[0].cause, "bad-joint");
}
END_TEST

/* A finding carries the words that were shown, whatever the book says now. */
START_TEST(records_what_was_shown)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_finding *finding;
	const struct lw_job *job;

	bench_answers(&bench, number, "dead SOUND ready");
	ck_assert_int_eq(
	    bench_say(&bench, number, 6, " 38,5 V ", "wires warm \xe2\x9c\x93"),
	    LW_CONFLICT);
	ck_assert_int_eq(
	    bench_say(&bench, number, 5, " 38,5 V ", "wires warm \xe2\x9c\x93"),
	    LW_OK);
	ck_assert_int_eq(
	    lw_book_remove_pack(bench.book, "job-bench", &bench.err), LW_OK);
	job = bench_get(&bench, number);
	finding = &job->findings[5];
	ck_assert_int_eq(finding->serial, 6);
	ck_assert_int_eq(finding->time_s, bench.now_s);
	ck_assert_int_eq(finding->kind, LW_FINDING_CHECK);
	ck_assert_str_eq(finding->subject, "supply-volts");
	ck_assert_str_eq(finding->title, "Supply at the controller");
	ck_assert_str_eq(finding->outcome, "low");
	ck_assert_str_eq(finding->outcome_title, "too low");
	ck_assert(finding->has_value);
	ck_assert_double_eq(finding->value, 38.5);
	ck_assert_str_eq(finding->unit, "V");
	ck_assert_str_eq(finding->expected, "40 V to 60 V");
	ck_assert_str_eq(finding->words, "wires warm \xe2\x9c\x93");
	ck_assert_str_eq(job->findings[3].outcome_title, "No damage");
	ck_assert(!job->findings[3].has_value);
	/* The tree has gone with its pack; the job still shows. */
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_str_eq(job->tree, "weak-tree");
	ck_assert_ptr_nonnull(strstr(job->ending, "\"Weak supply\""));
	ck_assert_uint_eq(job->suspect_count, 1);
	ck_assert_str_eq(job->suspects[0].cause, "unlisted");
	ck_assert_double_eq(job->suspects[0].share, 1);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert(job->can_undo);
	bench_undo(&bench, number);
}
END_TEST

START_TEST(stops_and_ends)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;

	job = bench_answers(&bench, number, "dead swollen");
	ck_assert_int_eq(job->state, LW_JOB_STOPPED);
	ck_assert_str_eq(job->ending, "Get away and call for help.");
	ck_assert_str_eq(job->say, "Get away from it.");
	ck_assert_int_eq(bench_try(&bench, number, "sound"), LW_CONFLICT);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_CONFLICT);
	number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	job = bench_answers(&bench, number, "dead sound ready 48");
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_str_eq(job->ending, "It is sound now. Drive and read again.");
	ck_assert_ptr_null(job->likely);
	ck_assert_uint_eq(job->put_aside_count, 0);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_CONFLICT);
}
END_TEST

START_TEST(goes_on_without)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;
	double before;

	job = bench_answers(&bench, number, "dead sound ready");
	before = bench_share(job, "open-fuse");
	/* By the branch that the author wrote for it. */
	job = bench_answer(&bench, number, "cannot");
	ck_step(job, "way-isolated", "fuse-ohms");
	ck_assert_double_eq(bench_share(job, "open-fuse"), before);
	ck_assert_uint_eq(job->put_aside_count, 1);
	ck_assert_str_eq(job->put_aside[0]->id, "supply-volts");
	job = bench_answers(&bench, number, "dead 0.1");
	/* Not certain: something was put aside on the way. */
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_nonnull(
	    strstr(job->waits_for, "Supply at the controller"));
	ck_assert_ptr_null(job->cause);
	ck_assert_str_eq(job->likely, "dirty-stud");
	/* Taken up, it is asked again; what was answered stays answered. */
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_uint_eq(job->put_aside_count, 0);
	ck_step(job, "way-pre-charged", "supply-volts");
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_CONFLICT);
	job = bench_answers(&bench, number, "ready low dead low");
	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	ck_assert_str_eq(job->cause, "flat-pack");
	/* The take-up can be taken back like an answer. */
	bench_undo(&bench, number);
	bench_undo(&bench, number);
	bench_undo(&bench, number);
	bench_undo(&bench, number);
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_str_eq(job->likely, "dirty-stud");
}
END_TEST

START_TEST(goes_on_by_the_first_step)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;

	/* case-look has no branch for cannot: its first leads to b. */
	job = bench_answers(&bench, number, "dead skip");
	ck_step(job, "way-pre-charged", "supply-volts");
	ck_assert_int_eq(job->findings[3].kind, LW_FINDING_SKIP);
	job = bench_answers(&bench, number, "ready 12 dead 50 cannot");
	/* fuse-ohms has neither that nor a step to go on with. */
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_null(job->likely);
	ck_assert_ptr_nonnull(strstr(job->ending, "Fuse resistance"));
	ck_assert_uint_eq(job->put_aside_count, 2);
	ck_assert_str_eq(job->put_aside[0]->id, "case-look");
	ck_assert_str_eq(job->put_aside[1]->id, "fuse-ohms");
	/* A stop stays a stop, with something put aside or not. */
	number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	job = bench_answers(&bench, number, "dead skip ready 99");
	ck_assert_int_eq(job->state, LW_JOB_STOPPED);
	ck_assert_uint_eq(job->put_aside_count, 1);
}
END_TEST

START_TEST(an_end_claims_no_more_than_was_measured)
{
	int64_t number = bench_start(&bench, NULL, NULL, NULL, "creep-tree");
	const struct lw_job *job;

	/* All was done: the author's words. */
	job = bench_answers(&bench, number, "dead ready rest ready still");
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_str_eq(job->ending, "It does not creep now.");
	/* The last one was put aside: not what the author says of it. */
	number = bench_start(&bench, NULL, NULL, NULL, "creep-tree");
	job = bench_answers(&bench, number, "dead ready rest ready cannot");
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_nonnull(strstr(job->ending, "nothing is settled"));
}
END_TEST

START_TEST(works_without_a_tree)
{
	int64_t number = bench_start(&bench, NULL, NULL, "rattling", NULL);
	const struct lw_job *job = bench_get(&bench, number);

	ck_assert_uint_eq(job->suspect_count, 2);
	ck_assert_str_eq(job->suspects[0].cause, "bad-joint");
	ck_assert_int_eq(bench_try(&bench, number, "cannot"), LW_CONFLICT);
	number = bench_start(&bench, "bench-cart", "on", NULL, NULL);
	job = bench_get(&bench, number);
	ck_assert_uint_eq(job->suspect_count, 1);
	ck_assert_int_eq(job->state, LW_JOB_UNDECIDED);
	ck_assert_ptr_nonnull(strstr(job->ending, "No check in the book"));
}
END_TEST

/* --- taking back, closing ---------------------------------------------- */

START_TEST(takes_back)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;

	ck_assert_int_eq(bench_do(&bench, lw_job_undo, number), LW_NOT_FOUND);
	bench_answers(&bench, number, "dead sound");
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_step(job, "way-isolated", "case-look");
	ck_assert(job->findings[3].undone);
	ck_assert(!job->findings[2].undone);
	ck_assert_int_eq(job->findings[4].kind, LW_FINDING_UNDO);
	ck_assert_str_eq(job->findings[4].title, "Look at the case");
	ck_assert(job->can_undo);
	job = bench_undo(&bench, number);
	ck_assert(!job->can_undo);
	ck_assert_int_eq(bench_do(&bench, lw_job_undo, number), LW_NOT_FOUND);
	/* What started it stays. */
	ck_assert_str_eq(job->fault, "weak-supply");
	/* A resume is passed over. */
	bench_answer(&bench, number, "dead");
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	job = bench_undo(&bench, number);
	ck_assert(!job->can_undo);
	ck_assert(!job->findings[job->finding_count - 2].undone);
}
END_TEST

START_TEST(closes_and_reopens)
{
	int64_t number = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	const struct lw_job *job;
	char words[4002];

	bench_answers(&bench, number, "dead sound");
	memset(words, 'x', sizeof words - 1);
	words[sizeof words - 1] = '\0';
	ck_assert_int_eq(bench_end(&bench, number, false, words), LW_TOO_BIG);
	ck_assert_int_eq(
	    bench_end(&bench, number, false, "\xff"), LW_BAD_INPUT);
	words[4000] = '\0';
	ck_assert_int_eq(bench_end(&bench, number, false, words), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_CLOSED);
	ck_assert_str_eq(job->ending, words);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_ptr_null(job->say);
	ck_assert(job->can_undo);
	ck_assert_int_eq(bench_try(&bench, number, "ready"), LW_CONFLICT);
	ck_assert_ptr_nonnull(strstr(bench.err.text, "over"));
	ck_assert_int_eq(bench_end(&bench, number, false, NULL), LW_CONFLICT);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_get(&bench, number);
	ck_step(job, "way-pre-charged", "supply-volts");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	/* The closing is over: an undo takes back the answer before it. */
	job = bench_undo(&bench, number);
	ck_step(job, "way-isolated", "case-look");
	/* A closing that stands is taken back by an undo. */
	ck_assert_int_eq(bench_end(&bench, number, false, NULL), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_CLOSED);
	ck_assert_ptr_null(job->ending);
	job = bench_undo(&bench, number);
	ck_step(job, "way-isolated", "case-look");
}
END_TEST

START_TEST(closed_keeps_its_cause)
{
	int64_t number =
	    bench_start(&bench, NULL, NULL, "silent", "other-weak-tree");
	const struct lw_job *job = bench_answers(&bench, number, "dead open");

	ck_assert_int_eq(job->state, LW_JOB_FOUND);
	ck_assert_int_eq(bench_end(&bench, number, false, "new fuse"), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_CLOSED);
	ck_assert_str_eq(job->cause, "open-fuse");
	ck_assert_str_eq(job->ending, "new fuse");
}
END_TEST

START_TEST(lists)
{
	int64_t first, second, third;
	struct lw_entries jobs;

	ck_assert_int_eq(lw_job_list(bench.book, bench.arena, bench.now_s,
			     &jobs, &bench.err),
	    LW_OK);
	ck_assert_uint_eq(jobs.count, 0);
	first = bench_start(&bench, "bench-cart", "5", NULL, NULL);
	second = bench_start(&bench, NULL, NULL, "rattling", NULL);
	third = bench_start(&bench, NULL, NULL, "silent", NULL);
	bench_answers(&bench, third, "dead open");
	bench_answers(&bench, first, "dead");
	ck_assert_int_eq(bench_end(&bench, second, false, NULL), LW_OK);
	ck_assert_int_eq(lw_job_list(bench.book, bench.arena, bench.now_s,
			     &jobs, &bench.err),
	    LW_OK);
	ck_assert_uint_eq(jobs.count, 3);
	ck_assert_str_eq(jobs.items[0].detail, "closed");
	ck_assert_str_eq(jobs.items[0].title, "Rattles");
	ck_assert_int_eq(jobs.items[0].time_s, bench.now_s);
	ck_assert_str_eq(jobs.items[1].detail, "open");
	ck_assert_str_eq(jobs.items[1].kind, "job");
	ck_assert_int_eq(atoll(jobs.items[1].id), first);
	ck_assert_str_eq(jobs.items[2].detail, "found");
}
END_TEST

/* The list has the job as `state`, and so has the job. */
static void
ck_listed(int64_t number, const char *state)
{
	struct lw_entries jobs;

	ck_assert_str_eq(
	    lw_job_state_name(bench_get(&bench, number)->state), state);
	ck_assert_int_eq(lw_job_list(bench.book, bench.arena, bench.now_s,
			     &jobs, &bench.err),
	    LW_OK);
	ck_assert_str_eq(jobs.items[0].detail, state);
}

/* A job that is over is not worked out for the list: it must say the same,
 * whatever closed it, and whatever opened it again. */
START_TEST(the_list_says_what_the_job_says)
{
	int64_t number = bench_start(&bench, NULL, NULL, "silent", NULL);

	bench_answers(&bench, number, "dead open");
	ck_listed(number, "found");
	bench_end(&bench, number, false, NULL);
	ck_listed(number, "closed");
	bench_undo(&bench, number);
	ck_listed(number, "found");
	bench_undo(&bench, number);
	ck_listed(number, "open");
	bench_end(&bench, number, true, NULL);
	ck_listed(number, "given-up");
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	ck_listed(number, "open");
	bench_undo(&bench, number);
	ck_listed(number, "open");
	bench_end(&bench, number, false, NULL);
	ck_listed(number, "closed");
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	bench_end(&bench, number, true, NULL);
	ck_listed(number, "given-up");
	bench_undo(&bench, number);
	ck_listed(number, "open");
}
END_TEST

START_TEST(no_such_job)
{
	static const int64_t numbers[] = {0, -1, 2, 99, INT64_MAX, INT64_MIN};
	const struct lw_job *job = NULL;
	int64_t n;

	bench_start(&bench, "bench-cart", "5", NULL, NULL);
	n = numbers[_i];
	ck_assert_int_eq(
	    lw_job_get(bench.book, bench.arena, n, NULL, 0, &job, &bench.err),
	    LW_NOT_FOUND);
	ck_assert_ptr_null(job);
	ck_assert_int_eq(
	    bench_say(&bench, n, -1, "cannot", NULL), LW_NOT_FOUND);
	ck_assert_int_eq(bench_do(&bench, lw_job_undo, n), LW_NOT_FOUND);
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, n), LW_NOT_FOUND);
	ck_assert_int_eq(bench_end(&bench, n, false, NULL), LW_NOT_FOUND);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, n), LW_NOT_FOUND);
}
END_TEST

START_TEST(names)
{
	ck_assert_str_eq(lw_job_state_name(LW_JOB_OPEN), "open");
	ck_assert_str_eq(lw_job_state_name(LW_JOB_FOUND), "found");
	ck_assert_str_eq(lw_job_state_name(LW_JOB_UNDECIDED), "undecided");
	ck_assert_str_eq(lw_job_state_name(LW_JOB_STOPPED), "stopped");
	ck_assert_str_eq(lw_job_state_name(LW_JOB_CLOSED), "closed");
	ck_assert_str_eq(lw_job_state_name((enum lw_job_state)77), "");
	ck_assert_str_eq(lw_finding_kind_name(LW_FINDING_PATTERN), "pattern");
	ck_assert_str_eq(lw_finding_kind_name(LW_FINDING_TAKE_UP), "take-up");
	ck_assert_str_eq(lw_finding_kind_name(LW_FINDING_REOPEN), "reopen");
	ck_assert_str_eq(lw_finding_kind_name((enum lw_finding_kind)77), "");
}
END_TEST

Suite *
suite_job(void)
{
	Suite *suite = suite_create("job");
	TCase *opening = tcase_create("opening");
	TCase *walking = tcase_create("walking");
	TCase *ending = tcase_create("ending");

	tcase_add_checked_fixture(opening, setup, teardown);
	tcase_set_timeout(opening, 60);
	tcase_add_loop_test(opening, opens, 0, COUNT(openings));
	tcase_add_test(opening, opens_with_several_patterns);
	suite_add_tcase(suite, opening);
	tcase_add_checked_fixture(walking, setup, teardown);
	tcase_set_timeout(walking, 60);
	tcase_add_test(walking, leads_to_a_cause);
	tcase_add_test(walking, takes_the_longest_way);
	tcase_add_test(walking, records_what_was_shown);
	tcase_add_test(walking, stops_and_ends);
	tcase_add_test(walking, goes_on_without);
	tcase_add_test(walking, goes_on_by_the_first_step);
	tcase_add_test(walking, an_end_claims_no_more_than_was_measured);
	tcase_add_test(walking, works_without_a_tree);
	suite_add_tcase(suite, walking);
	tcase_add_checked_fixture(ending, setup, teardown);
	tcase_set_timeout(ending, 60);
	tcase_add_test(ending, takes_back);
	tcase_add_test(ending, closes_and_reopens);
	tcase_add_test(ending, closed_keeps_its_cause);
	tcase_add_test(ending, lists);
	tcase_add_test(ending, the_list_says_what_the_job_says);
	tcase_add_loop_test(ending, no_such_job, 0, 6);
	tcase_add_test(ending, names);
	suite_add_tcase(suite, ending);
	return suite;
}
