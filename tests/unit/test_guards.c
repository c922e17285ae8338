/* job: compulsory checks before a way in, rules by rig, and the way back to
 * isolated from wherever a job is. The bench is invented. */
#include "unit/bench.h"
#include "unit/suites.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct bench bench;

static void
setup(void)
{
	const char *const file = TESTS_DIR "/unit/guarded.yaml";

	bench_open(&bench);
	bench_put(&bench, &file, 1);
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

/* On the way to `then`, at part N of M. */
#define ck_part(job, check_id, then_id, is_compulsory, n, m)                \
	do {                                                                \
		const struct lw_job *part_ = (job);                         \
		ck_step(part_, check_id, then_id);                          \
		ck_assert_int_eq(part_->step->compulsory, (is_compulsory)); \
		ck_assert_uint_eq(part_->step->part, (n));                  \
		ck_assert_uint_eq(part_->step->parts, (m));                 \
	} while (0)

/* --- compulsory checks --------------------------------------------------- */

START_TEST(asks_them_one_by_one)
{
	int64_t number = start("lurching");
	const struct lw_job *job = bench_get(&bench, number);

	/* Before the way into isolated nothing is proved yet. */
	ck_part(job, "meter-tried", "lug-look", true, 1, 3);
	ck_assert_int_eq(job->step->into, LW_POWER_ISOLATED);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	job = bench_answer(&bench, number, "9.1 V");
	ck_part(job, "strings-open", "lug-look", true, 2, 3);
	job = bench_answer(&bench, number, "done");
	ck_part(job, "way-isolated", "lug-look", false, 3, 3);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	job = bench_answer(&bench, number, "0.4");
	ck_assert_int_eq(job->power, LW_POWER_ISOLATED);
	ck_step(job, "lug-look", NULL);
	ck_assert(!job->step->compulsory);
	ck_assert_uint_eq(job->step->parts, 0);
	job = bench_answer(&bench, number, "tight");
	ck_part(job, "stop-tried", "bus-volts", true, 1, 2);
	ck_assert_int_eq(job->step->into, LW_POWER_PRECHARGED);
	job = bench_answer(&bench, number, "opens");
	ck_part(job, "way-pre-charged", "bus-volts", false, 2, 2);
	job = bench_answers(&bench, number, "ready sound");
	/* They are done isolated, so that is proved first. */
	ck_part(job, "meter-tried", "wheel-watch", true, 1, 3);
	job = bench_answers(&bench, number, "right done dead");
	ck_part(job, "stop-tried", "wheel-watch", true, 1, 4);
	job = bench_answer(&bench, number, "opens");
	ck_part(job, "tip-open", "wheel-watch", true, 2, 4);
	job = bench_answers(&bench, number, "OL clear");
	ck_part(job, "way-live-wheels-free", "wheel-watch", false, 4, 4);
	job = bench_answer(&bench, number, "ready");
	ck_step(job, "wheel-watch", NULL);
	ck_assert_int_eq(job->power, LW_POWER_LIVE_FREE);
}
END_TEST

/* What does not give what is expected is asked again, as long as it takes. */
START_TEST(does_not_pass_what_fails)
{
	int64_t number = start("lurching");
	const struct lw_job *job;
	int i;

	for (i = 0; i < 3; i++) {
		job = bench_answer(&bench, number, "7 V");
		ck_part(job, "meter-tried", "lug-look", true, 1, 3);
		ck_assert_str_eq(job->say, "Take another meter.");
	}
	job = bench_answers(&bench, number, "right not-done");
	ck_part(job, "strings-open", "lug-look", true, 2, 3);
	/* A welded contactor keeps the way in shut. */
	job = bench_answers(&bench, number,
	    "done dead tight opens ready sound right done dead opens");
	ck_part(job, "tip-open", "wheel-watch", true, 2, 4);
	job = bench_answer(&bench, number, "0.2");
	ck_part(job, "tip-open", "wheel-watch", true, 2, 4);
	ck_assert_str_eq(job->say, "Leave it off.");
	/* One that passed, and then did not, is not passed. */
	job = bench_answers(&bench, number, "open");
	ck_part(job, "all-clear", "wheel-watch", true, 3, 4);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "stop-tried"), LW_OK);
	job = bench_answer(&bench, number, "sticks");
	ck_part(job, "stop-tried", "wheel-watch", true, 1, 4);
}
END_TEST

/* Each has to be fresh: a state that changed or was lost, a break. */
START_TEST(asks_them_freshly)
{
	int64_t number = start("lurching");
	const struct lw_job *job;

	bench_answers(&bench, number, "right done");
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	job = bench_get(&bench, number);
	ck_part(job, "meter-tried", "lug-look", true, 1, 3);
	/* An answer that could be meant for the way in that was shown is not
	 * taken for the meter's: "dead" is none of that check's. */
	ck_assert_int_eq(bench_try(&bench, number, "dead"), LW_BAD_INPUT);
	ck_assert_int_eq(bench_try(&bench, number, "9"), LW_CONFLICT);
	job = bench_answers(&bench, number, "9 done dead tight opens");
	ck_part(job, "way-pre-charged", "bus-volts", false, 2, 2);
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	job = bench_get(&bench, number);
	ck_part(job, "meter-tried", "bus-volts", true, 1, 3);
	job = bench_answers(&bench, number, "right done dead opens ready");
	ck_step(job, "bus-volts", NULL);
	/* The clock was set back: nothing is fresh. */
	bench.now_s -= 3;
	job = bench_get(&bench, number);
	ck_part(job, "meter-tried", "bus-volts", true, 1, 3);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	bench.now_s += 3;
	/* An undo takes the answer back, and with it all that is proved. */
	bench_answer(&bench, number, "sound");
	job = bench_undo(&bench, number);
	ck_part(job, "meter-tried", "bus-volts", true, 1, 3);
}
END_TEST

/* A way in that failed leaves nothing passed either. */
START_TEST(asks_them_again_after_a_failed_way_in)
{
	int64_t number = start("lurching");
	const struct lw_job *job;

	bench_answers(&bench, number, "right done dead tight opens");
	job = bench_answer(&bench, number, "not-ready");
	ck_part(job, "meter-tried", "bus-volts", true, 1, 3);
	job = bench_answers(&bench, number, "right done dead");
	ck_part(job, "stop-tried", "bus-volts", true, 1, 2);
}
END_TEST

/* What an answer shows may take back what was proved, or stop it all. */
START_TEST(answers_that_unprove_or_stop)
{
	int64_t number = start("lurching");
	const struct lw_job *job;

	bench_answers(&bench, number, "right done dead");
	job = bench_answer(&bench, number, "sparks");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_str_eq(job->say, "It is not dead.");
	ck_part(job, "meter-tried", "bus-volts", true, 1, 3);
	/* Picked in a job that has no such step, it stops that as well. */
	number = start("humming");
	bench_do_with(&bench, lw_job_pick, number, "lug-look");
	job = bench_answers(&bench, number, "right done dead smokes");
	ck_assert_int_eq(job->state, LW_JOB_STOPPED);
	ck_assert_ptr_null(job->step);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_ptr_nonnull(strstr(job->ending, "it smokes"));
	ck_assert_str_eq(job->say, "Get away from it.");
	ck_assert_int_eq(bench_do_with(&bench, lw_job_pick, number, "lug-ohms"),
	    LW_CONFLICT);
	job = bench_undo(&bench, number);
	ck_part(job, "meter-tried", "lug-look", true, 1, 3);
}
END_TEST

/* A compulsory check that cannot be done keeps the state shut. */
START_TEST(cannot_do_a_compulsory_check)
{
	int64_t number = start("lurching");
	const struct lw_job *job;
	const struct lw_finding *finding;

	bench_answers(&bench, number, "right done dead tight");
	ck_assert_int_eq(
	    bench_say(&bench, number, -1, "cannot", "no ladder"), LW_OK);
	job = bench_get(&bench, number);
	finding = &job->findings[job->finding_count - 1];
	ck_assert_int_eq(finding->kind, LW_FINDING_CANNOT);
	ck_assert_str_eq(finding->subject, "bus-volts");
	ck_assert_str_eq(finding->outcome, "stop-tried");
	ck_assert_str_eq(job->put_aside[0]->id, "bus-volts");
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	/* Where it is the way into isolated, nothing is switched on at all. */
	number = start("humming");
	job = bench_get(&bench, number);
	ck_step(job, "way-control", "key-volts");
	job = bench_answers(&bench, number, "ready sound");
	ck_part(job, "meter-tried", "lug-ohms", true, 1, 3);
	job = bench_answer(&bench, number, "cannot");
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "wheel-watch"), LW_OK);
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_null(job->step);
	ck_assert_ptr_nonnull(strstr(job->ending, "proved dead"));
	/* Taken up, it is proved first. */
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	job = bench_get(&bench, number);
	ck_part(job, "meter-tried", "wheel-watch", true, 1, 3);
}
END_TEST

/* --- rules by rig -------------------------------------------------------- */

static void
same_texts(const char *const *texts, size_t count, const char *expected)
{
	char list[400] = "";
	size_t i;

	for (i = 0; i < count; i++) {
		ck_assert_uint_lt(
		    strlen(list) + strlen(texts[i]) + 2, sizeof list);
		strcat(list, i == 0 ? "" : "|");
		strcat(list, texts[i]);
	}
	ck_assert_str_eq(list, expected);
}

static void
same_cautions(const struct lw_job *job, const char *expected)
{
	const char *ids[20];
	size_t i;

	ck_assert_uint_le(job->step->caution_count, COUNT(ids));
	for (i = 0; i < job->step->caution_count; i++)
		ids[i] = job->step->cautions[i]->id;
	same_texts(ids, job->step->caution_count, expected);
}

/* What each rig is asked and shown: into isolated, and on the way on. */
static const struct {
	const char *facts;
	const char *compulsory; /* before the way into isolated */
	const char *todo;	/* the way into isolated */
	const char *dead;	/* its cautions */
	const char *live;	/* those of the way in with the wheels free */
	bool tips;		/* the contactor is tried */
} rigs[] = {
    /* Unknown is the dangerous value, with a rig or without. */
    {NULL, "strings-open",
	"Open everything.|Open each string.|"
	"Unplug the charger.|Measure.",
	"stored|cells|leads", "arcs|races|wound", true},
    {"", "strings-open",
	"Open everything.|Open each string.|"
	"Unplug the charger.|Measure.",
	"stored|cells|leads", "arcs|races|wound", true},
    {"motor=series,strings=several,pack.kind=nmc,charger=on-board,"
     "contactor=yes,pack.full=84 V,bus.capacitor=10 mF",
	"strings-open",
	"Open everything.|Open each string.|"
	"Unplug the charger.|Measure.",
	"stored|cells|leads", "arcs|races|wound", true},
    {"motor=permanent-magnet,strings=one,charger=none,contactor=no,"
     "pack.full=42 V,bus.capacitor=4.7 mF",
	/* 4.7 mF at 42 V: 4.1 J. */
	"way-isolated", "Open everything.|Measure.", "leads", "arcs", false},
    {"motor=separately-excited,strings=one,pack.kind=lfp,contactor=no,"
     "pack.full=58.8 V,bus.capacitor=10 mF",
	/* 10 mF at 58.8 V: 17.3 J; several strings hold where one does not. */
	"way-isolated", "Open everything.|Unplug the charger.|Measure.",
	"stored|leads", "arcs|wound", false},
    /* The volts are known, the capacitors are not. */
    {"motor=brushless,strings=several,pack.kind=lead,contactor=yes,"
     "pack.full=58.8 V",
	"strings-open",
	"Open everything.|Open each string.|Unplug the charger.|Measure.",
	"stored|leads", "arcs", true},
};

START_TEST(goes_by_the_rig)
{
	const struct lw_job *job;
	bool several = strcmp(rigs[_i].compulsory, "strings-open") == 0;
	int64_t number;

	if (rigs[_i].facts != NULL)
		bench_rig(&bench, "cart48", rigs[_i].facts);
	number = start("humming");
	ck_assert_pstr_eq(bench_get(&bench, number)->rig_name,
	    rigs[_i].facts != NULL ? "cart48" : NULL);
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_pick, number, "wheel-watch"), LW_OK);
	job = bench_answer(&bench, number, "right");
	ck_part(job, rigs[_i].compulsory, "wheel-watch", several, 2,
	    several ? 3 : 2);
	if (several)
		job = bench_answer(&bench, number, "done");
	same_texts(job->step->instructions, job->step->instruction_count,
	    rigs[_i].todo);
	same_cautions(job, rigs[_i].dead);
	job = bench_answers(&bench, number, "dead opens");
	if (rigs[_i].tips) {
		ck_part(job, "tip-open", "wheel-watch", true, 2, 4);
		job = bench_answer(&bench, number, "open");
	}
	job = bench_answer(&bench, number, "clear");
	ck_assert_str_eq(job->step->check->id, "way-live-wheels-free");
	same_cautions(job, rigs[_i].live);
}
END_TEST

START_TEST(warns_by_volts_and_reference)
{
	static const struct {
		const char *facts, *cautions;
	} cases[] = {
	    {"", "arcs|many-volts|frame"},
	    {"reference=floating,pack.full=59.9 V", "arcs"},
	    {"reference=frame,pack.full=60 V", "arcs|many-volts|frame"},
	    {"reference=floating", "arcs|many-volts"},
	};
	const struct lw_job *job;
	int64_t number;

	bench_rig(&bench, "cart48", cases[_i].facts);
	number = start("lurching");
	job = bench_answers(&bench, number, "right done dead tight opens");
	ck_step(job, "way-pre-charged", "bus-volts");
	same_cautions(job, cases[_i].cautions);
	ck_assert_uint_gt(job->step->figure_count, 0);
	/* In the state itself they stand already. */
	job = bench_answer(&bench, number, "ready");
	ck_step(job, "bus-volts", NULL);
	ck_assert(job->step->standing[0]);
	ck_assert_str_eq(
	    job->step->cautions[job->step->caution_count - 1]->id, "leads");
	ck_assert(!job->step->standing[job->step->caution_count - 1]);
}
END_TEST

/* What becomes known of the rig counts from then on. */
START_TEST(facts_that_change_under_a_job)
{
	struct lw_rig_pair pair = {"strings", "one"};
	const struct lw_job *job;
	int64_t number;

	bench_rig(&bench, "cart48", "tools=meter");
	number = start("humming");
	bench_do_with(&bench, lw_job_pick, number, "lug-ohms");
	bench_answer(&bench, number, "right");
	ck_assert_int_eq(lw_rig_set(bench.book, "cart48", &pair, 1,
			     ++bench.now_s, &bench.err),
	    LW_OK);
	job = bench_get(&bench, number);
	ck_part(job, "way-isolated", "lug-ohms", false, 2, 2);
	job = bench_answer(&bench, number, "dead");
	ck_step(job, "lug-ohms", NULL);
	same_texts(
	    job->step->missing, job->step->missing_count, "milliohm meter");
}
END_TEST

static void
learn(const char *key, const char *value)
{
	struct lw_rig_pair pair = {key, value};

	ck_assert_msg(lw_rig_set(bench.book, "cart48", &pair, 1, ++bench.now_s,
			  &bench.err) == LW_OK,
	    "%s", bench.err.text);
}

/* What turns out to be compulsory was not passed on the way in: the state is
 * no longer proved. */
START_TEST(facts_that_change_under_a_state)
{
	const struct lw_job *job;
	int64_t number;

	bench_rig(&bench, "cart48", "strings=one,contactor=no");
	number = start("humming");
	bench_do_with(&bench, lw_job_pick, number, "lug-ohms");
	job = bench_answers(&bench, number, "right dead");
	ck_step(job, "lug-ohms", NULL);
	learn("strings", "several");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_assert_uint_eq(job->remark_count, 1);
	ck_assert_ptr_nonnull(strstr(job->remarks[0], "has changed"));
	ck_part(job, "meter-tried", "lug-ohms", true, 1, 3);
	/* An answer that was typed for the check before is refused. */
	ck_assert_int_eq(bench_try(&bench, number, "0.4"), LW_CONFLICT);
	job = bench_answers(&bench, number, "9 done dead");
	ck_step(job, "lug-ohms", NULL);
	/* It is the same with power on. */
	bench_do_with(&bench, lw_job_pick, number, "wheel-watch");
	job = bench_answers(&bench, number, "opens clear ready");
	ck_step(job, "wheel-watch", NULL);
	ck_assert_int_eq(job->power, LW_POWER_LIVE_FREE);
	/* What asks for no more, leaves it as it is. */
	learn("motor", "series");
	learn("strings", "one");
	ck_step(bench_get(&bench, number), "wheel-watch", NULL);
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	/* Nor is what was passed while it was not isolated after all. */
	job = bench_answers(&bench, number, "9 dead opens clear");
	ck_step(job, "way-live-wheels-free", "wheel-watch");
	learn("strings", "several");
	job = bench_get(&bench, number);
	ck_part(job, "meter-tried", "wheel-watch", true, 1, 3);
	learn("strings", "one");
	ck_step(
	    bench_get(&bench, number), "way-live-wheels-free", "wheel-watch");
	bench_answer(&bench, number, "ready");
	learn("contactor", "unknown");
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->power, LW_POWER_UNKNOWN);
	ck_part(job, "meter-tried", "wheel-watch", true, 1, 2);
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	job = bench_answers(&bench, number, "9 dead opens");
	ck_part(job, "tip-open", "wheel-watch", true, 2, 4);
}
END_TEST

/* --- the way back to isolated -------------------------------------------- */

/* Answers that lead there from the start of lurching, and how that is. */
static const struct {
	const char *answers;
	enum lw_job_state state;
	enum lw_power power;
} places[] = {
    {NULL, LW_JOB_OPEN, LW_POWER_UNKNOWN},
    {"right", LW_JOB_OPEN, LW_POWER_UNKNOWN},
    {"right done charged", LW_JOB_OPEN, LW_POWER_UNKNOWN},
#define BUS "right done dead tight opens ready"
    {BUS, LW_JOB_OPEN, LW_POWER_PRECHARGED},
    {BUS " high", LW_JOB_STOPPED, LW_POWER_PRECHARGED},
    {BUS " not-reproduced", LW_JOB_OPEN, LW_POWER_PRECHARGED},
#define FREE BUS " sound right done dead opens open clear ready"
    {FREE, LW_JOB_OPEN, LW_POWER_LIVE_FREE},
    {FREE " jerks", LW_JOB_FOUND, LW_POWER_LIVE_FREE},
#define GROUND FREE " smooth right done dead open clear ready"
    {GROUND, LW_JOB_OPEN, LW_POWER_LIVE_GROUND},
    {GROUND " evenly", LW_JOB_UNDECIDED, LW_POWER_LIVE_GROUND},
    {GROUND " cannot", LW_JOB_WAITING, LW_POWER_LIVE_GROUND},
    {"right done dead loose begun", LW_JOB_FIXING, LW_POWER_ISOLATED},
};

/* By the answers that are expected, and by nothing but the way back. */
static void
goes_back(int64_t number)
{
	const struct lw_job *job;
	int steps;

	ck_assert_msg(bench_do(&bench, lw_job_make_safe, number) == LW_OK, "%s",
	    bench.err.text);
	job = bench_get(&bench, number);
	ck_assert_ptr_nonnull(job->step);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_SAFE);
	for (steps = 0; job->power != LW_POWER_ISOLATED; steps++) {
		ck_assert_int_lt(steps, 3);
		ck_assert_ptr_nonnull(job->step);
		ck_assert_int_eq(job->step->purpose, LW_PURPOSE_SAFE);
		ck_assert_int_eq(job->step->into, LW_POWER_ISOLATED);
		job = bench_answer(&bench, number, job->step->expected->id);
	}
	ck_assert(!job->make_safe);
	ck_assert(job->step == NULL || job->step->purpose != LW_PURPOSE_SAFE);
	/* There it is already. */
	ck_assert_int_eq(
	    bench_do(&bench, lw_job_make_safe, number), LW_CONFLICT);
}

START_TEST(makes_safe_from_anywhere)
{
	int64_t number = start("lurching");
	const struct lw_job *job = bench_get(&bench, number);

	if (places[_i].answers != NULL)
		job = bench_answers(&bench, number, places[_i].answers);
	ck_assert_str_eq(
	    lw_job_state_name(job->state), lw_job_state_name(places[_i].state));
	ck_assert_int_eq(job->power, places[_i].power);
	if (job->power == LW_POWER_ISOLATED)
		bench.now_s += LW_JOB_POWER_HOLDS_S;
	goes_back(number);
	/* The rest is as it was. */
	ck_assert_str_eq(lw_job_state_name(bench_get(&bench, number)->state),
	    lw_job_state_name(places[_i].state));
	/* Over, or waiting, and not proved: the way back is open still. */
	ck_assert_int_eq(bench_end(&bench, number, true, NULL), LW_OK);
	ck_assert_ptr_null(bench_get(&bench, number)->step);
	goes_back(number);
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_GIVEN_UP);
	ck_assert_int_eq(bench_do(&bench, lw_job_reopen, number), LW_OK);
	if (places[_i].state == LW_JOB_STOPPED)
		return;
	ck_assert_int_eq(
	    bench_do_with(&bench, lw_job_wait, number, "rain"), LW_OK);
	goes_back(number);
	ck_assert_int_eq(bench_get(&bench, number)->state, LW_JOB_WAITING);
	ck_assert_str_eq(bench_get(&bench, number)->waits_for, "rain");
}
END_TEST

/* Until it is proved it comes before all else; asking twice is asking once. */
START_TEST(keeps_asking_the_way_back)
{
	int64_t number = start("lurching");
	const struct lw_job *job;
	int64_t serial;

	bench_answers(&bench, number, BUS);
	ck_assert_int_eq(bench_do(&bench, lw_job_make_safe, number), LW_OK);
	serial = bench_get(&bench, number)->serial;
	ck_assert_int_eq(bench_do(&bench, lw_job_make_safe, number), LW_OK);
	ck_assert_int_eq(bench_get(&bench, number)->serial, serial);
	job = bench_answers(&bench, number, "right done charged");
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_SAFE);
	ck_assert_str_eq(job->say, "Not safe yet.");
	/* Nor does a break, or an undo, make it forget. */
	bench.now_s += LW_JOB_POWER_HOLDS_S;
	job = bench_get(&bench, number);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_SAFE);
	ck_assert_str_eq(job->step->check->id, "meter-tried");
	ck_assert_int_eq(bench_do(&bench, lw_job_resume, number), LW_OK);
	job = bench_undo(&bench, number);
	ck_assert_int_eq(job->step->purpose, LW_PURPOSE_SAFE);
	/* It cannot be done: nothing else is asked instead. */
	ck_assert_int_eq(
	    bench_say(&bench, number, -1, "cannot", "the meter is broken"),
	    LW_OK);
	job = bench_get(&bench, number);
	ck_assert_ptr_null(job->step);
	ck_assert_int_eq(job->state, LW_JOB_WAITING);
	ck_assert_ptr_nonnull(strstr(job->waits_for, "the meter is broken"));
	ck_assert_ptr_nonnull(strstr(job->ending, "away from it"));
	ck_assert(job->make_safe);
	/* Asked for again, it is asked again. */
	goes_back(number);
	ck_step(bench_get(&bench, number), "stop-tried", "bus-volts");
}
END_TEST

Suite *
suite_guards(void)
{
	Suite *suite = suite_create("guards");
	TCase *compulsory = tcase_create("compulsory");
	TCase *rules = tcase_create("rules");
	TCase *back = tcase_create("back");

	tcase_add_checked_fixture(compulsory, setup, teardown);
	tcase_set_timeout(compulsory, 60);
	tcase_add_test(compulsory, asks_them_one_by_one);
	tcase_add_test(compulsory, does_not_pass_what_fails);
	tcase_add_test(compulsory, asks_them_freshly);
	tcase_add_test(compulsory, asks_them_again_after_a_failed_way_in);
	tcase_add_test(compulsory, answers_that_unprove_or_stop);
	tcase_add_test(compulsory, cannot_do_a_compulsory_check);
	suite_add_tcase(suite, compulsory);
	tcase_add_checked_fixture(rules, setup, teardown);
	tcase_set_timeout(rules, 60);
	tcase_add_loop_test(rules, goes_by_the_rig, 0, COUNT(rigs));
	tcase_add_loop_test(rules, warns_by_volts_and_reference, 0, 4);
	tcase_add_test(rules, facts_that_change_under_a_job);
	tcase_add_test(rules, facts_that_change_under_a_state);
	suite_add_tcase(suite, rules);
	tcase_add_checked_fixture(back, setup, teardown);
	tcase_set_timeout(back, 60);
	tcase_add_loop_test(back, makes_safe_from_anywhere, 0, COUNT(places));
	tcase_add_test(back, keeps_asking_the_way_back);
	suite_add_tcase(suite, back);
	return suite;
}
