/* One call on a book, chosen by a seed and a number and by what the book says:
 * all that a person may do with a job, a rig and its ledger. */
#include "crash/crash.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { START_S = 1700000000, CALL_S = 17 };

static const struct lw_actor screens[] = {
    {"phone-one", "phone 1a", 0},
    {"phone-two", "phone 2b", 0},
    {"terminal-7", "terminal 7", 0},
};

static const char *const rigs[] = {"cart48", "trike36"};

struct call {
	struct lw_book *book;
	struct lw_arena *arena;
	struct lw_actor actor;
	uint64_t dice;
	char words[80];
	struct lw_err *err;
};

bool
walk_broke(enum lw_status status)
{
	return status == LW_FAILED || status == LW_NO_MEMORY ||
	       status == LW_CORRUPT;
}

enum lw_status
walk_fill(struct lw_book *book, struct lw_err *err)
{
	static const struct lw_rig_pair facts[] = {
	    {"motor", "permanent-magnet"},
	    {"pack.full", "54.6 V"},
	    {"tools", "meter, glasses"},
	    {"device.drive", "bench-cart"},
	};
	struct lw_arena *arena = lw_arena_new();
	struct lw_problems problems = {0};
	const struct lw_pack *pack = NULL;
	struct lw_pack_text text;
	enum lw_status status = LW_NO_MEMORY;

	if (arena == NULL)
		return status;
	status = lw_pack_load(arena, TESTS_DIR "/unit/job.yaml", &text, err);
	if (status == LW_OK)
		status =
		    lw_pack_read(arena, &text, 1, NULL, &pack, &problems, err);
	if (status == LW_OK && problems.count > 0)
		crash_give_up(problems.items[0].text);
	if (status == LW_OK)
		status = lw_book_put_pack(book, pack, START_S, err);
	if (status == LW_OK)
		status = lw_rig_new(book, "cart48", "Field cart", START_S, err);
	if (status == LW_OK)
		status = lw_rig_new(book, "trike36", NULL, START_S, err);
	if (status == LW_OK)
		status = lw_rig_set(book, "cart48", facts,
		    sizeof facts / sizeof facts[0], START_S, err);
	lw_arena_free(arena);
	return status;
}

static unsigned
dice(struct call *call, unsigned sides)
{
	return crash_dice(&call->dice, sides);
}

/* --- opening and choosing a job ------------------------------------------ */

static enum lw_status
open_job(struct call *call, int64_t *job)
{
	static const char *const patterns[] = {"5", "32", "6", "fast"};
	static const char *const symptoms[] = {
	    "creeping", "silent", "rattling"};
	struct lw_job_start start = {0};

	if (dice(call, 2) == 0) {
		start.device = "bench-cart";
		start.patterns = &patterns[dice(call, 4)];
		start.pattern_count = 1;
	} else {
		start.symptom = symptoms[dice(call, 3)];
	}
	if (dice(call, 2) == 0)
		start.rig = rigs[dice(call, 2)];
	/* The trike has no device, so a code cannot be one of its. */
	if (start.rig == rigs[1])
		start.device = NULL;
	return lw_job_new(
	    call->book, &start, call->actor.now_s, job, call->err);
}

static enum lw_status
choose_job(struct call *call, int64_t *job)
{
	struct lw_entries jobs = {0};
	enum lw_status status;

	status = lw_job_list(
	    call->book, call->arena, call->actor.now_s, &jobs, call->err);
	*job = 0;
	if (status != LW_OK || jobs.count == 0)
		return status;
	*job = strtoll(
	    jobs.items[dice(call, 4) == 0 ? dice(call, (unsigned)jobs.count)
					  : 0]
		.id,
	    NULL, 10);
	return LW_OK;
}

static enum lw_status
look(struct call *call, int64_t number, const struct lw_job **job)
{
	return lw_job_get(call->book, call->arena, number, call->actor.screen,
	    call->actor.now_s, job, call->err);
}

/* --- what is done to it --------------------------------------------------- */

/* The outcome that leads on, mostly; a reading, where one fits. */
static void
say(struct call *call, char *text, size_t size, const struct lw_check *check)
{
	static const char *const asides[] = {
	    "cannot", "differs", "not-reproduced", "skip"};
	const struct lw_outcome *outcome;
	unsigned i = dice(call, (unsigned)check->outcome_count);
	size_t o;

	if (dice(call, 9) == 0) {
		snprintf(text, size, "%s", asides[dice(call, 4)]);
		return;
	}
	for (o = 0; dice(call, 3) > 0 && o < check->outcome_count; o++)
		if (check->outcomes[o].expected)
			i = (unsigned)o;
	outcome = &check->outcomes[i];
	if (outcome->has_from && dice(call, 2) == 0)
		snprintf(text, size, "%g", outcome->from);
	else
		snprintf(text, size, "%s", outcome->id);
}

static enum lw_status
answer(struct call *call, int64_t number)
{
	struct lw_answer given = {.serial = -1, .words = call->words};
	const struct lw_job *job;
	enum lw_status status = look(call, number, &job);
	char text[100];

	if (status != LW_OK)
		return status;
	if (job->step == NULL)
		return lw_job_reopen(
		    call->book, number, &call->actor, call->err);
	say(call, text, sizeof text, job->step->check);
	given.text = text;
	given.serial = job->serial;
	given.sure = dice(call, 2) == 0;
	return lw_job_answer(
	    call->book, number, &call->actor, &given, call->err);
}

static enum lw_status
choose_way(struct call *call, int64_t number)
{
	const struct lw_job *job;
	enum lw_status status = look(call, number, &job);

	if (status != LW_OK)
		return status;
	if (dice(call, 2) == 0)
		return lw_job_pick(call->book, number,
		    job->next_count > 0 ? job->next[0].check->id : "pack-volts",
		    &call->actor, call->err);
	return lw_job_suppose(call->book, number,
	    job->suspect_count > 1 ? job->suspects[0].cause : "open-fuse",
	    &call->actor, call->err);
}

static enum lw_status
pass_on(struct call *call, int64_t number)
{
	struct lw_book *book = call->book;

	switch (dice(call, 6)) {
	case 0:
		return lw_job_take(book, number, &call->actor, call->err);
	case 1:
	case 2:
		return lw_job_ask(book, number, &call->actor, call->err);
	case 3:
		return lw_job_hand(
		    book, number, false, &call->actor, call->err);
	case 4:
		return lw_job_hand(book, number, true, &call->actor, call->err);
	default:
		return lw_job_release(book, number, &call->actor, call->err);
	}
}

static enum lw_status
note_down(struct call *call, int64_t number)
{
	const struct lw_setting setting = {.device = "drive",
	    .setting = "pull-away time",
	    .was = dice(call, 2) == 0 ? NULL : "0.9 s",
	    .became = "1.6 s",
	    .why = call->words,
	    .job = number};
	const struct lw_record record = {.device = "drive",
	    .kind = LW_RECORD_FAULT,
	    .subject = "supply too weak",
	    .has_count = true,
	    .count = 3,
	    .words = call->words,
	    .job = number};
	const struct lw_rig_pair pair = {"motor", "series"};
	char subject[30];
	int64_t entry;

	switch (dice(call, 4)) {
	case 0:
		return lw_setting_add(call->book, rigs[0], &setting,
		    call->actor.now_s, &entry, call->err);
	case 1:
		return lw_record_add(call->book, rigs[0], &record,
		    call->actor.now_s, &entry, call->err);
	case 2:
		return lw_rig_set(call->book, rigs[dice(call, 2)], &pair, 1,
		    call->actor.now_s, call->err);
	default:
		snprintf(subject, sizeof subject, "%lld", (long long)number);
		return lw_book_add_note(call->book, "job", subject, call->words,
		    call->actor.now_s, &entry, call->err);
	}
}

/* A tree of the pack's as one of the builder's own. */
static enum lw_status
keep_tree(struct call *call)
{
	const struct lw_tree *packs;
	struct lw_tree own;
	enum lw_status status;

	status = lw_book_tree(
	    call->book, call->arena, "weak-tree", &packs, call->err);
	if (status != LW_OK)
		return status;
	own = *packs;
	own.id = dice(call, 2) == 0 ? "own-way" : "other-way";
	return lw_book_keep_tree(
	    call->book, &own, call->actor.now_s, call->err);
}

static enum lw_status
wish(struct call *call, int64_t number)
{
	const struct lw_setting_wish wished = {.device = "drive",
	    .setting = dice(call, 2) == 0 ? "pull-away time" : "top speed",
	    .value = dice(call, 2) == 0 ? NULL : "1.6 s",
	    .job = number};
	int64_t given;

	switch (dice(call, 6)) {
	case 0:
		return lw_setting_unwant(
		    call->book, 1 + dice(call, 5), call->err);
	case 1:
		return keep_tree(call);
	case 2:
		return lw_book_drop_tree(call->book, "own-way", call->err);
	case 3:
		return lw_book_forget(call->book,
		    dice(call, 2) == 0 ? NULL : "bench-cart", call->actor.now_s,
		    call->err);
	default:
		return lw_setting_want(call->book, rigs[0], &wished,
		    call->actor.now_s, &given, call->err);
	}
}

static enum lw_status
act(struct call *call, int64_t job)
{
	struct lw_book *book = call->book;
	const struct lw_actor *actor = &call->actor;

	switch (dice(call, 22)) {
	case 0:
	case 1:
		return lw_job_undo(book, job, actor, call->err);
	case 2:
		return lw_job_wait(book, job, call->words, actor, call->err);
	case 3:
		return lw_job_resume(book, job, actor, call->err);
	case 4:
		return lw_job_close(book, job, dice(call, 2) == 0, call->words,
		    actor, call->err);
	case 5:
		return lw_job_reopen(book, job, actor, call->err);
	case 6:
		return lw_job_make_safe(book, job, actor, call->err);
	case 7:
		return choose_way(call, job);
	case 8:
	case 9:
		return pass_on(call, job);
	case 10:
		return note_down(call, job);
	case 11:
		return wish(call, job);
	case 12:
		return lw_job_leave(book, job, actor, call->err);
	default:
		return answer(call, job);
	}
}

struct walk_report
walk_call(
    struct lw_book *book, uint64_t seed, uint32_t number, struct lw_err *err)
{
	struct walk_report report = {.number = number};
	struct call call = {.book = book,
	    .dice = seed * 0x9e3779b97f4a7c15u + number,
	    .err = err};
	const struct lw_job *job;
	enum lw_status status;

	call.arena = lw_arena_new();
	if (call.arena == NULL)
		crash_give_up("no memory");
	(void)dice(&call, 2);
	call.actor = screens[dice(&call, 3) > 0 ? 0 : dice(&call, 3)];
	call.actor.now_s =
	    START_S + (int64_t)(seed % 100000) * 1000 + number * CALL_S;
	/* A break, and a clock that was set back. */
	if (dice(&call, 12) == 0)
		call.actor.now_s += dice(&call, 2) == 0 ? 900 : -400;
	snprintf(call.words, sizeof call.words, "walk %llu call %lu",
	    (unsigned long long)seed, (unsigned long)number);
	if (number == 0) {
		status = open_job(&call, &report.job);
	} else {
		status = choose_job(&call, &report.job);
		if (status == LW_OK && report.job != 0)
			status = act(&call, report.job);
	}
	if (!walk_broke(status) && report.job != 0 &&
	    look(&call, report.job, &job) == LW_OK)
		report.serial = job->serial;
	report.status = (int32_t)status;
	lw_arena_free(call.arena);
	return report;
}
