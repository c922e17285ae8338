/* job: what has to hold on every way through every job, tried on random walks
 * with a fixed seed: over two invented benches and over the packs that ship,
 * with several screens, rigs with random facts, and a clock that jumps. What
 * is true is the test's own account (account.c); what has to hold of it
 * stands in watch.c. */
#include "unit/bench.h"
#include "unit/suites.h"
#include "unit/watch.h"

#include "book/jobs.h"
#include "book/store.h"

#include <glob.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Calls that do something, in each of three books: 27,000 in all. */
enum {
	STEPS = 9000,
	STEPS_BRIEF = 700,
	STEPS_SHORT = 500,
	MOVES = 400,
	JOBS = 2,
	RIGS = 3
};

/* One finding, as it was seen first. */
struct seen {
	int64_t time_s;
	enum lw_finding_kind kind;
	char subject[40], outcome[40];
	bool undone;
};

struct walker {
	struct account account;
	struct account_hold own; /* where it has no rig */
	struct seen seen[MOVES * 3];
	char before[WATCH_MEMORY]; /* as it was before the last answer */
	bool whole;		   /* what comes next as well */
	bool remembers;
	bool cured; /* which others learn from */
};

static struct bench bench;
static struct account_book known;
static struct lw_arena *known_arena;
static struct account_rig rigs[RIGS]; /* the first one: no rig */
static struct account_hold holds[RIGS];
static struct walker walkers[JOBS];
static uint64_t seed;
static int steps;
static const char *named; /* the check that an answer says it is for */

static unsigned
dice(unsigned sides)
{
	seed = seed * 6364136223846793005u + 1442695040888963407u;
	return (unsigned)((seed >> 33) % sides);
}

/* Under valgrind every step takes fifty times as long. */
static int
steps_to_do(void)
{
	const char *preload = getenv("LD_PRELOAD");

	if (getenv("LAMPWRIGHT_WALKS_SHORT") != NULL)
		return STEPS_BRIEF;
	return getenv("LAMPWRIGHT_SHORT") != NULL ||
		       (preload != NULL && strstr(preload, "vgpreload") != NULL)
		   ? STEPS_SHORT
		   : STEPS;
}

/* --- the rigs --------------------------------------------------------------
 */

static const struct {
	const char *key;
	const char *values[5];
} facts[] = {
    {"motor", {"series", "separately-excited", "permanent-magnet", "brushless",
		  "unknown"}},
    {"reference", {"floating", "frame", "unknown", "unknown", "unknown"}},
    {"charger", {"on-board", "off-board", "none", "unknown", "unknown"}},
    {"pack.kind", {"lead", "lfp", "nmc", "unknown", "unknown"}},
    {"pack.full", {"42 V", "54.6 V", "84 V", "116 V", "unknown"}},
    {"bus.capacitor", {"1 mF", "10 mF", "47 mF", "unknown", "unknown"}},
    {"contactor", {"yes", "no", "yes", "unknown", "unknown"}},
    {"precharge", {"yes", "no", "yes", "unknown", "unknown"}},
    {"dcdc", {"yes", "no", "yes", "unknown", "unknown"}},
    {"auxiliary", {"yes", "no", "no", "unknown", "unknown"}},
    {"strings", {"one", "several", "one", "unknown", "unknown"}},
    {"tools", {"multimeter", "multimeter, torch, stands", "meter", "torch",
		  "unknown"}},
};

static void
learn(struct account_rig *rig)
{
	size_t fact = dice(COUNT(facts));
	struct lw_rig_pair pair = {
	    facts[fact].key, facts[fact].values[dice(5)]};

	ck_assert_msg(lw_rig_set(bench.book, rig->name, &pair, 1, ++bench.now_s,
			  &bench.err) == LW_OK,
	    "%s=%s: %s", pair.key, pair.value, bench.err.text);
	account_learn(rig, pair.key, pair.value);
}

static void
make_rigs(void)
{
	static const char *const names[RIGS] = {NULL, "cart48", "trike36"};
	size_t i;

	memset(rigs, 0, sizeof rigs);
	for (i = 0; i < RIGS; i++) {
		rigs[i].name = names[i];
		holds[i] = (struct account_hold){.screen = -1, .asker = -1};
		if (names[i] != NULL)
			ck_assert_int_eq(lw_rig_new(bench.book, names[i], NULL,
					     bench.now_s, &bench.err),
			    LW_OK);
	}
	/* Of the first one nothing is known for a while. */
	for (i = 0; i < 12; i++)
		learn(&rigs[2]);
}

/* --- looking -----------------------------------------------------------------
 */

static void
copy_text(char *to, size_t size, const char *from)
{
	snprintf(to, size, "%s", from == NULL ? "" : from);
}

/* What was there stays as it was, and the rest is taken into account. */
static void
take_in(struct walker *walker, const struct lw_job *job)
{
	struct account *account = &walker->account;
	char subject[40], outcome[40];
	size_t i;

	ck_assert_uint_ge(job->finding_count, account->finding_count);
	ck_assert_uint_lt(job->finding_count, COUNT(walker->seen));
	ck_assert_int_eq(job->serial, (int64_t)job->finding_count);
	for (i = 0; i < job->finding_count; i++) {
		const struct lw_finding *finding = &job->findings[i];
		struct seen *seen = &walker->seen[i];

		copy_text(subject, sizeof subject, finding->subject);
		copy_text(outcome, sizeof outcome, finding->outcome);
		ck_assert_int_eq(finding->serial, (int64_t)i + 1);
		if (i >= account->finding_count) {
			seen->time_s = finding->time_s;
			seen->kind = finding->kind;
			memcpy(seen->subject, subject, sizeof subject);
			memcpy(seen->outcome, outcome, sizeof outcome);
			seen->undone = finding->undone;
			account_note(account, &known, finding);
			continue;
		}
		ck_assert_int_eq(seen->time_s, finding->time_s);
		ck_assert_int_eq(seen->kind, finding->kind);
		ck_assert_str_eq(seen->subject, subject);
		ck_assert_str_eq(seen->outcome, outcome);
		/* What is taken back is never put back. */
		ck_assert(!seen->undone || finding->undone);
		seen->undone = finding->undone;
	}
}

static const struct lw_job *
look(struct walker *walker, int screen)
{
	const struct lw_job *job = bench_see(&bench, walker->account.job,
	    screen < 0 ? NULL : account_screens[screen]);

	take_in(walker, job);
	watch_job(job, &walker->account, &known, screen, bench.now_s);
	return job;
}

/* --- doing -------------------------------------------------------------------
 */

enum act {
	ACT_ANSWER,
	ACT_UNDO,
	ACT_RESUME,
	ACT_CLOSE,
	ACT_REOPEN,
	ACT_WAIT,
	ACT_MAKE_SAFE,
	ACT_PICK,
	ACT_SUPPOSE,
	ACT_LEAVE,
	ACT_TAKE,
	ACT_ASK,
	ACT_HAND,
	ACT_KEEP,
	ACT_RELEASE
};

static enum lw_status
call(enum act act, int64_t job, const char *text)
{
	switch (act) {
	case ACT_ANSWER:
		return bench_give(&bench, job,
		    (struct lw_answer){.serial = -1,
			.check = named,
			.text = text,
			.sure = true});
	case ACT_UNDO:
		return bench_do(&bench, lw_job_undo, job);
	case ACT_RESUME:
		return bench_do(&bench, lw_job_resume, job);
	case ACT_CLOSE:
		return bench_end(&bench, job, dice(2) == 0, "enough");
	case ACT_REOPEN:
		return bench_do(&bench, lw_job_reopen, job);
	case ACT_WAIT:
		return bench_do_with(&bench, lw_job_wait, job, "rain");
	case ACT_MAKE_SAFE:
		return bench_do(&bench, lw_job_make_safe, job);
	case ACT_PICK:
		return bench_do_with(&bench, lw_job_pick, job, text);
	case ACT_SUPPOSE:
		return bench_do_with(&bench, lw_job_suppose, job, text);
	case ACT_LEAVE:
		return bench_do(&bench, lw_job_leave, job);
	case ACT_TAKE:
		return bench_do(&bench, lw_job_take, job);
	case ACT_ASK:
		return bench_do(&bench, lw_job_ask, job);
	case ACT_HAND:
		return bench_hand(&bench, job, false);
	case ACT_KEEP:
		return bench_hand(&bench, job, true);
	case ACT_RELEASE:
		return bench_do(&bench, lw_job_release, job);
	}
	return LW_FAILED;
}

/* Passing the vehicle on: what the contract says of it, by the account.
 * Gives the status it has to have, and the hold as it is afterwards. */
static enum lw_status
pass_on(struct account_hold *hold, enum act act, int64_t job, int screen,
    int64_t now_s)
{
	bool held = account_is_held(hold, now_s);
	bool mine = held && hold->screen == screen;
	bool asked = hold->asker == screen;

	switch (act) {
	case ACT_TAKE:
		if (held && !mine &&
		    !(asked && now_s - hold->asked_s >= LW_JOB_ASKED_S))
			return LW_CONFLICT;
		if (mine && hold->job == job)
			return LW_OK;
		*hold = (struct account_hold){screen, job, now_s, -1, 0};
		return LW_OK;
	case ACT_ASK:
		if (!held || mine)
			return LW_CONFLICT;
		if (hold->asker >= 0 && now_s >= hold->asked_s &&
		    (asked || now_s - hold->asked_s < LW_JOB_POWER_HOLDS_S))
			return asked ? LW_OK : LW_CONFLICT;
		hold->asker = screen;
		hold->asked_s = now_s;
		return LW_OK;
	case ACT_HAND:
		if (!mine || hold->asker < 0)
			return LW_CONFLICT;
		*hold = (struct account_hold){hold->asker, job, now_s, -1, 0};
		return LW_OK;
	case ACT_KEEP:
		if (!mine || hold->asker < 0)
			return LW_CONFLICT;
		hold->last_s = now_s;
		hold->asker = -1;
		return LW_OK;
	default:
		if (hold->screen == screen)
			hold->screen = -1;
		return LW_OK;
	}
}

/* The hold after a screen did something that was noted. */
static void
acted(struct account_hold *hold, enum act act, int64_t job, int screen,
    int64_t now_s)
{
	bool goes_on = account_is_held(hold, now_s) && hold->screen == screen;

	if (!goes_on)
		hold->asker = -1;
	hold->screen = act == ACT_CLOSE || act == ACT_WAIT ? -1 : screen;
	hold->job = job;
	hold->last_s = now_s;
}

/* How it is, for an undo. */
static void
remember(struct walker *walker, const struct lw_job *job)
{
	walker->whole = walker->account.power == LW_POWER_UNKNOWN;
	watch_remember(walker->before, job, walker->whole);
}

/* A screen does something; gives how the job stands then. */
static const struct lw_job *
act(struct walker *walker, int screen, enum act act, const char *text,
    enum lw_status *status)
{
	struct account *account = &walker->account;
	struct account_hold *hold = account->hold;
	size_t before = account->finding_count;
	int64_t now_s = bench.now_s + 1;
	bool others = account_is_others(hold, screen, now_s);
	enum lw_power power = account_power(account, &known, screen, now_s);
	struct account_hold next = *hold;
	const struct lw_job *job;
	enum lw_status expected;

	steps++;
	bench.screen = account_screens[screen];
	*status = call(act, account->job, text);
	ck_assert_int_eq(bench.now_s, now_s);
	if (*status != LW_OK)
		ck_assert_int_eq(*status, (int)bench.err.code);
	job = bench_see(&bench, account->job, bench.screen);
	if (act >= ACT_TAKE) {
		expected = pass_on(&next, act, account->job, screen, now_s);
		ck_assert_msg(
		    *status == expected, "%d: %s", (int)act, bench.err.text);
		*hold = next;
	} else if (others) {
		/* Who does not hold the vehicle changes nothing. */
		ck_assert_int_eq(
		    *status, act == ACT_RESUME ? LW_OK : LW_CONFLICT);
		ck_assert_uint_eq(job->finding_count, before);
	} else if (job->finding_count > before) {
		acted(hold, act, account->job, screen, now_s);
	}
	if (act == ACT_MAKE_SAFE && !others)
		ck_assert_int_eq(
		    *status == LW_CONFLICT, power == LW_POWER_ISOLATED);
	/* A refusal notes at most that there was a break. */
	if (*status != LW_OK && job->finding_count > before) {
		ck_assert_int_eq(act, ACT_ANSWER);
		ck_assert_int_eq(*status, LW_CONFLICT);
		ck_assert_int_eq(job->findings[job->finding_count - 1].kind,
		    LW_FINDING_RESUME);
	}
	take_in(walker, job);
	watch_job(job, account, &known, screen, bench.now_s);
	/* Somebody looks on. */
	if (dice(6) == 0)
		look(walker, (int)dice(ACCOUNT_SCREENS + 1) - 1);
	return job;
}

/* An answer that is this outcome: its id, or a reading well within its band,
 * where the band is sure on the vehicle. */
static void
say_outcome(char *text, size_t size, const struct lw_job_step *step,
    const struct lw_outcome *outcome)
{
	const struct lw_job_band *band = NULL;
	double value;

	snprintf(text, size, "%s", outcome->id);
	if (step->bands != NULL)
		band = &step->bands[outcome - step->check->outcomes];
	if (band == NULL || !band->is_band || !band->sure || dice(2) == 0)
		return;
	if (band->has_from && band->has_below)
		value = (band->from + band->below) / 2;
	else if (band->has_from)
		value = band->from + (band->from > 0 ? band->from / 10 : 1);
	else
		value = band->below > 0 ? band->below / 2 : band->below - 1;
	/* Enough digits that none of them matters. */
	snprintf(text, size, "%.4f %s", value, step->check->unit);
}

/* After many tries somebody gets on: what is expected, where something is. */
static const struct lw_outcome *
choose(const struct lw_check *check, bool get_on)
{
	size_t i;

	for (i = 0; get_on && i < check->outcome_count; i++)
		if (check->outcomes[i].expected)
			return &check->outcomes[i];
	return &check->outcomes[dice((unsigned)check->outcome_count)];
}

/* Answer the step that the screen sees. */
static const struct lw_job *
answer(struct walker *walker, const struct lw_job *job, int screen, bool get_on)
{
	const struct lw_check *check = job->step->check;
	const struct lw_outcome *outcome = choose(check, get_on);
	struct account *account = &walker->account;
	size_t before = account->finding_count;
	const struct lw_finding *last;
	bool fresh, jumps, others, closed;
	enum lw_status status;
	char text[80];

	say_outcome(text, sizeof text, job->step, outcome);
	remember(walker, job);
	others = account_is_others(account->hold, screen, bench.now_s + 1);
	/* Whether the step is the one that was shown before any break. */
	fresh = account_is_fresh(account, &known, screen, bench.now_s + 1);
	jumps = account_is_fresh(account, &known, screen, bench.now_s) != fresh;
	if (jumps || dice(2) == 0)
		named = check->id;
	closed = lw_job_is_over(job->state) && !job->cured;
	job = act(walker, screen, ACT_ANSWER, text, &status);
	/* What an undo takes back in a closed job is the closing. */
	walker->remembers = status == LW_OK && !closed;
	if (status != LW_OK) {
		ck_assert_msg(others || jumps || (!fresh && named == NULL),
		    "%s to %s in job %d, with %s, named %s: %s", text,
		    check->id, (int)account->job, lw_power_name(account->power),
		    named != NULL ? named : "-", bench.err.text);
		named = NULL;
		return job;
	}
	named = NULL;
	last = &job->findings[job->finding_count - 1];
	ck_assert_uint_gt(job->finding_count, before);
	ck_assert_uint_le(job->finding_count, before + 2);
	if (last->kind == LW_FINDING_CHECK || last->kind == LW_FINDING_PROVED ||
	    last->kind == LW_FINDING_NOT_PROVED) {
		ck_assert_str_eq(last->subject, check->id);
		ck_assert_str_eq(last->outcome, outcome->id);
	}
	return job;
}

/* --- a walk ------------------------------------------------------------------
 */

static const struct lw_job *
undo(struct walker *walker, const struct lw_job *job, int screen)
{
	bool can = job->can_undo;
	char now[WATCH_MEMORY];
	enum lw_status status;

	job = act(walker, screen, ACT_UNDO, NULL, &status);
	if (status == LW_CONFLICT)
		return job;
	ck_assert_int_eq(status == LW_OK, can);
	if (status == LW_OK && walker->remembers) {
		watch_remember(now, job, walker->whole);
		ck_assert_str_eq(now, walker->before);
	}
	walker->remembers = false;
	return job;
}

/* Anything else that a person may do. */
static void
do_other(struct walker *walker, const struct lw_job *job, int screen)
{
	static const char *const asides[] = {
	    "cannot", "Skip", "differs", "not-reproduced"};
	static const enum act acts[] = {ACT_RESUME, ACT_CLOSE, ACT_REOPEN,
	    ACT_REOPEN, ACT_LEAVE, ACT_WAIT, ACT_MAKE_SAFE, ACT_PICK,
	    ACT_SUPPOSE, ACT_TAKE, ACT_ASK, ACT_ASK, ACT_HAND, ACT_KEEP,
	    ACT_RELEASE};
	unsigned which = dice(COUNT(acts) + 3);
	enum act what;
	const char *text = NULL;
	enum lw_status status;

	if (which >= COUNT(acts) && job->step == NULL)
		return;
	if (which >= COUNT(acts)) {
		remember(walker, job);
		act(walker, screen, ACT_ANSWER, asides[dice(4)], &status);
		walker->remembers = status == LW_OK &&
				    (!lw_job_is_over(job->state) || job->cured);
		return;
	}
	what = acts[which];
	remember(walker, job);
	if (what == ACT_PICK)
		text = known.checks[dice((unsigned)known.check_count)]->id;
	if (what == ACT_SUPPOSE)
		text = job->suspect_count == 0
			   ? "unlisted"
			   : job->suspects[dice((unsigned)job->suspect_count)]
				 .cause;
	act(walker, screen, what, text, &status);
	/* These can be taken back like an answer. */
	walker->remembers =
	    status == LW_OK &&
	    (what == ACT_WAIT || what == ACT_PICK || what == ACT_SUPPOSE ||
		what == ACT_LEAVE || what == ACT_CLOSE ||
		(what == ACT_REOPEN && !lw_job_is_over(job->state)));
}

static void
let_time_pass(void)
{
	switch (dice(8)) {
	case 0:
		bench.now_s += LW_JOB_POWER_HOLDS_S;
		break;
	case 1:
		bench.now_s += LW_JOB_ASKED_S;
		break;
	case 2:
		bench.now_s += LW_JOB_POWER_HOLDS_S - 2;
		break;
	case 3:
		/* Set back, and it stays so. */
		bench.now_s -= dice(2) == 0 ? 5 : 5000;
		break;
	default:
		bench.now_s += dice(200);
	}
}

/* What is known of a rig has a say in what is asked. */
static void
forget(void)
{
	size_t i;

	for (i = 0; i < JOBS; i++)
		walkers[i].remembers = false;
}

/* What a job came to moves the shares of others. */
static void
learn_from(struct walker *walker)
{
	bool cured = bench_see(&bench, walker->account.job, NULL)->cured, mine;

	if (cured == walker->cured)
		return;
	mine = walker->remembers;
	forget();
	walker->remembers = mine;
	walker->cured = cured;
}

static void
wander(void)
{
	const struct lw_job *job;
	struct walker *walker;
	int moves, total = 10 + (int)dice(50), screen;

	for (moves = 0; moves < total; moves++) {
		walker = &walkers[dice(5) == 0 ? 1 : 0];
		/* Mostly who holds it, so that something goes on. */
		screen = walker->account.hold->screen;
		if (screen < 0 || dice(6) == 0)
			screen = (int)dice(ACCOUNT_SCREENS);
		if (dice(12) == 0)
			let_time_pass();
		if (dice(30) == 0) {
			learn(&rigs[1 + dice(2)]);
			forget();
		}
		job = look(walker, screen);
		switch (dice(10)) {
		case 0:
			undo(walker, job, screen);
			break;
		case 1:
		case 2:
			do_other(walker, job, screen);
			break;
		default:
			if (job->step != NULL)
				answer(walker, job, screen, dice(5) > 0);
			else
				do_other(walker, job, screen);
		}
		learn_from(walker);
	}
}

/* A screen that may act: the holder, or the first once the hold runs out. */
static int
holder(const struct walker *walker)
{
	const struct account_hold *hold = walker->account.hold;

	return account_is_held(hold, bench.now_s + 1) ? hold->screen : 0;
}

/* By what is expected alone, and at once. */
static void
go_back(struct walker *walker)
{
	int screen = holder(walker), count;
	const struct lw_job *job;
	enum lw_status status;

	job = act(walker, screen, ACT_MAKE_SAFE, NULL, &status);
	if (status == LW_CONFLICT)
		return; /* it is there: act has looked */
	for (count = 0; job->power != LW_POWER_ISOLATED; count++) {
		ck_assert_int_lt(count, 12);
		ck_assert_msg(job->step != NULL, "no way back to isolated: %s",
		    job->ending);
		ck_assert_int_eq(job->step->purpose, LW_PURPOSE_SAFE);
		job = answer(walker, job, screen, true);
	}
	ck_assert(job->step == NULL || job->step->purpose != LW_PURPOSE_SAFE);
}

/* The share of the same suspect, which may be two at once. */
static double
share_alike(const struct lw_job *job, const struct lw_suspect *suspect)
{
	const struct lw_suspect *item;
	size_t i;

	for (i = 0; i < job->suspect_count; i++) {
		item = &job->suspects[i];
		if (strcmp(item->cause, suspect->cause) == 0 &&
		    (item->also == NULL) == (suspect->also == NULL) &&
		    (item->also == NULL ||
			strcmp(item->also, suspect->also) == 0))
			return item->share;
	}
	return -1;
}

/* The last answer to each check, in another order, in a job of its own: the
 * shares have to be the same. For jobs in which nothing was mended. */
static void
hold_order(const struct lw_job *job)
{
	struct lw_finding list[MOVES * 3], swap;
	const struct lw_job *other;
	size_t count = 0, answers = 0, i, k;
	int64_t number;

	for (i = 0; i < job->finding_count; i++) {
		if (job->findings[i].kind <= LW_FINDING_TREE)
			list[count++] = job->findings[i];
		else if (job->findings[i].kind >= LW_FINDING_SUPPOSE &&
			 job->findings[i].kind <= LW_FINDING_STILL)
			return;
	}
	for (i = job->finding_count; i-- > 0;) {
		if (job->findings[i].kind != LW_FINDING_CHECK ||
		    job->findings[i].undone)
			continue;
		for (k = count - answers; k < count; k++)
			if (strcmp(list[k].subject, job->findings[i].subject) ==
			    0)
				break;
		if (k == count) {
			list[count++] = job->findings[i];
			answers++;
		}
	}
	for (i = answers; i > 1; i--) {
		k = dice((unsigned)i);
		swap = list[count - i];
		list[count - i] = list[count - i + k];
		list[count - i + k] = swap;
	}
	ck_assert_int_eq(book_job_new(bench.book, NULL, NULL, NULL, "order",
			     list, count, bench.now_s, &number, &bench.err),
	    LW_OK);
	other = bench_see(&bench, number, NULL);
	ck_assert_uint_eq(other->suspect_count, job->suspect_count);
	for (i = 0; i < job->suspect_count; i++)
		ck_assert_double_eq_tol(share_alike(other, &job->suspects[i]),
		    job->suspects[i].share, 1e-12);
}

/* From here on only answers, and a few put aside: it has to end. */
static void
finish(struct walker *walker)
{
	int screen = holder(walker), moves = 0;
	const struct lw_job *job = look(walker, screen);
	enum lw_status status;

	while (job->step != NULL) {
		ck_assert_msg(
		    moves++ < MOVES, "no end at %s", job->step->check->id);
		if (dice(12) == 0)
			job =
			    act(walker, screen, ACT_ANSWER, "cannot", &status);
		else
			job = answer(walker, job, screen, dice(4) > 0);
	}
	hold_order(job);
}

/* --- starts -------------------------------------------------------------- */

static void
begin(struct walker *walker, const struct lw_job_start *start, unsigned rig)
{
	struct lw_job_start given = *start;
	int64_t job = 0;

	given.rig = rigs[rig].name;
	ck_assert_msg(lw_job_new(bench.book, &given, ++bench.now_s, &job,
			  &bench.err) == LW_OK,
	    "%s", bench.err.text);
	memset(walker, 0, sizeof *walker);
	walker->own = (struct account_hold){.screen = -1, .asker = -1};
	walker->account.job = job;
	walker->account.rig = &rigs[rig];
	walker->account.hold = rig == 0 ? &walker->own : &holds[rig];
}

/* A job led by this tree; from a symptom or a lamp's pattern as well, where
 * there is one for it. */
static void
start_by(struct walker *walker, const struct lw_tree *tree,
    const struct lw_entries *devices)
{
	struct lw_job_start start = {.tree = tree->id};
	unsigned rig = dice(RIGS);
	const struct lw_device *device;
	const char *fault;
	size_t d, c;

	if (tree->symptoms.count > 0 && dice(2) == 0) {
		start.symptom =
		    tree->symptoms.items[dice((unsigned)tree->symptoms.count)]
			.id;
		begin(walker, &start, rig);
		return;
	}
	fault = tree->faults.count == 0 || dice(3) == 0
		    ? NULL
		    : tree->faults.items[dice((unsigned)tree->faults.count)].id;
	for (d = 0; fault != NULL && d < devices->count; d++) {
		ck_assert_int_eq(lw_book_device(bench.book, bench.arena,
				     devices->items[d].id, &device, &bench.err),
		    LW_OK);
		for (c = 0; c < device->code_count; c++) {
			const struct lw_code *code = &device->codes[c];

			if (code->fault == NULL ||
			    strcmp(code->fault, fault) != 0)
				continue;
			start.device = device->id;
			start.lamp = code->lamp;
			start.patterns = &code->pattern;
			start.pattern_count = 1;
			begin(walker, &start, rig);
			return;
		}
	}
	begin(walker, &start, rig);
}

/* Walk every tree of the book in turn until there were steps enough. */
static void
walk_all(uint64_t from)
{
	struct lw_entries trees, devices;
	const struct lw_tree *tree;
	enum lw_status status;
	int wanted = steps_to_do();
	size_t walks = 0, i;

	seed = from;
	steps = 0;
	/* What outlasts a crash is tried elsewhere (tests/crash). */
	ck_assert_int_eq(sqlite3_exec(bench.book->db,
			     "PRAGMA journal_mode = MEMORY;"
			     "PRAGMA synchronous = OFF",
			     NULL, NULL, NULL),
	    SQLITE_OK);
	memset(&watch_counts, 0, sizeof watch_counts);
	known_arena = lw_arena_new();
	account_load(&known, bench.book, known_arena);
	make_rigs();
	while (steps < wanted) {
		ck_assert_int_eq(lw_book_list(bench.book, bench.arena, "tree",
				     &trees, &bench.err),
		    LW_OK);
		ck_assert_int_eq(lw_book_list(bench.book, bench.arena, "device",
				     &devices, &bench.err),
		    LW_OK);
		ck_assert_uint_gt(trees.count, 0);
		for (i = 0; i < JOBS; i++) {
			ck_assert_int_eq(
			    lw_book_tree(bench.book, bench.arena,
				trees.items[(walks + i) % trees.count].id,
				&tree, &bench.err),
			    LW_OK);
			start_by(&walkers[i], tree, &devices);
			walkers[i].account.through = tree->walk;
			/* Many go on without it. */
			if (dice(3) == 0 && !tree->walk)
				act(&walkers[i], holder(&walkers[i]), ACT_LEAVE,
				    NULL, &status);
		}
		wander();
		for (i = 0; i < JOBS; i++) {
			go_back(&walkers[i]);
			finish(&walkers[i]);
			go_back(&walkers[i]);
		}
		walks++;
		bench_forget(&bench);
	}
	/* A walk that stays at the gate tries nothing. */
	if (wanted == STEPS) {
		ck_assert_uint_ge(walks, trees.count);
		ck_assert_uint_ge(watch_counts.live, STEPS / 40);
		for (i = LW_JOB_OPEN; i <= LW_JOB_GIVEN_UP; i++)
			ck_assert_msg(watch_counts.states[i] > STEPS / 1000,
			    "%s", lw_job_state_name((enum lw_job_state)i));
		for (i = LW_PURPOSE_TREE; i <= LW_PURPOSE_NEXT; i++)
			ck_assert_msg(watch_counts.purposes[i] > STEPS / 1000,
			    "%s", lw_purpose_name((enum lw_purpose)i));
		ck_assert_uint_ge(watch_counts.ranges, 100);
	}
	lw_arena_free(known_arena);
}

/* That the walks came to what they are to watch. */
static void
watched_enough(void)
{
	size_t wanted = (size_t)steps_to_do();

	ck_assert_uint_gt(watch_counts.compulsory, wanted / 200);
	ck_assert_uint_ge(watch_counts.series, wanted / 1000);
	ck_assert_uint_ge(watch_counts.deferred, wanted / 1000);
}

START_TEST(walks_the_bench)
{
	bench_setup(&bench);
	walk_all(17);
	bench_close(&bench);
}
END_TEST

START_TEST(walks_the_guarded_bench)
{
	const char *const file = TESTS_DIR "/unit/guarded.yaml";

	bench_open(&bench);
	bench_put(&bench, &file, 1);
	walk_all(19);
	watched_enough();
	bench_close(&bench);
}
END_TEST

START_TEST(walks_what_ships)
{
	glob_t found;

	bench_open(&bench);
	ck_assert_int_eq(glob(KB_DIR "/*.yaml", 0, NULL, &found), 0);
	bench_put(&bench, (const char *const *)found.gl_pathv, found.gl_pathc);
	globfree(&found);
	walk_all(23);
	watched_enough();
	/* Seldom, so that a brief walk may not come to it. */
	if (steps_to_do() == STEPS)
		ck_assert_uint_gt(watch_counts.barred, 0);
	bench_close(&bench);
}
END_TEST

Suite *
suite_walks(void)
{
	Suite *suite = suite_create("walks");
	TCase *walks = tcase_create("walks");

	tcase_set_timeout(walks, 600);
	tcase_add_test(walks, walks_the_bench);
	tcase_add_test(walks, walks_the_guarded_bench);
	tcase_add_test(walks, walks_what_ships);
	suite_add_tcase(suite, walks);
	return suite;
}
