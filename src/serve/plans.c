/* Keeps the trees that are worked out and have been; the processes are left to
 * plan_child.c, the pages to page_plan.c. */
#include "serve/plans.h"

#include "base/buf.h"
#include "base/err.h"
#include "serve/hash.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { QUESTION_MAX = 2048 };

struct work {
	enum plans_state state; /* PLANS_NONE: nothing stands here */
	int64_t number;
	char *key;   /* what is asked, in one text */
	char *title; /* to keep it under; NULL: it is only shown */
	char asker[HASH_SIZE];
	int64_t change;
	bool told;
	pid_t child;
	int file;
	int64_t began_ms;
	int64_t ended_ms;
	struct plan_answer answer;
};

struct plans {
	char *book;
	int64_t last; /* number given */
	struct work all[PLANS_KEPT];
};

struct plans *
plans_new(const char *book)
{
	struct plans *plans = calloc(1, sizeof *plans);

	if (plans == NULL)
		return NULL;
	/* So that the number of an earlier server is none of this one's. */
	plans->last = (int64_t)time(NULL);
	plans->book = strdup(book);
	if (plans->book == NULL) {
		free(plans);
		return NULL;
	}
	return plans;
}

static void
clear(struct work *work)
{
	free(work->key);
	free(work->title);
	free(work->answer.text);
	memset(work, 0, sizeof *work);
}

/* End its process, and take it from the system. */
static void
end_child(struct work *work)
{
	int how;

	kill(work->child, SIGKILL);
	while (waitpid(work->child, &how, 0) < 0 && errno == EINTR)
		;
	close(work->file);
}

void
plans_free(struct plans *plans)
{
	size_t i;

	if (plans == NULL)
		return;
	for (i = 0; i < PLANS_KEPT; i++) {
		if (plans->all[i].state == PLANS_WORKING)
			end_child(&plans->all[i]);
		clear(&plans->all[i]);
	}
	free(plans->book);
	free(plans);
}

/* --- what has come of them ------------------------------------------------ */

static void
note_death(struct work *work, int how, bool late)
{
	struct lw_err *err = &work->answer.err;

	work->state = PLANS_DIED;
	if (late || (WIFSIGNALED(how) && WTERMSIG(how) == SIGXCPU))
		err_set(err, LW_FAILED,
		    "working it out took longer than %d s, and was ended",
		    PLAN_CHILD_ENDED_S);
	else if (WIFSIGNALED(how))
		err_set(err, LW_FAILED,
		    "the process that worked it out was ended by the system "
		    "(signal %d)",
		    WTERMSIG(how));
	else
		err_set(err, LW_FAILED,
		    "the process that worked it out left nothing behind");
}

static void
note_end(struct work *work, int how, int64_t now_ms)
{
	struct lw_err err;

	work->ended_ms = now_ms;
	if (!WIFEXITED(how) || WEXITSTATUS(how) != 0 ||
	    plan_child_read(&work->answer, work->file, &err) != LW_OK)
		note_death(work, how, false);
	else
		work->state =
		    work->answer.err.code == LW_OK ? PLANS_DONE : PLANS_REFUSED;
	close(work->file);
}

static void
look_after(struct work *work, int64_t now_ms)
{
	pid_t ended;
	int how = 0;

	ended = waitpid(work->child, &how, WNOHANG);
	if (ended == work->child) {
		note_end(work, how, now_ms);
	} else if (ended < 0 && errno != EINTR) {
		/* Somebody else took it; that should not be. */
		close(work->file);
		note_death(work, 0, false);
		work->ended_ms = now_ms;
	} else if (now_ms - work->began_ms > PLAN_CHILD_ENDED_S * 1000) {
		end_child(work);
		note_death(work, 0, true);
		work->ended_ms = now_ms;
	}
}

void
plans_sweep(struct plans *plans, int64_t now_ms)
{
	size_t i;

	for (i = 0; i < PLANS_KEPT; i++) {
		struct work *work = &plans->all[i];

		if (work->state == PLANS_WORKING)
			look_after(work, now_ms);
		else if (work->state != PLANS_NONE &&
			 now_ms - work->ended_ms > PLANS_KEPT_MS)
			clear(work);
	}
}

/* --- what is asked -------------------------------------------------------- */

/* What no field of a form has in it stands between. NULL: too long, or memory
 * has run out. */
static char *
make_key(const struct lw_plan_for *plan)
{
	struct buf key;
	char *text;

	buf_init(&key, QUESTION_MAX);
	buf_printf(&key, "%s\x1f%s\x1f%s", plan->what,
	    plan->device != NULL ? plan->device : "",
	    plan->rig != NULL ? plan->rig : "");
	text = key.status == LW_OK ? buf_take(&key) : NULL;
	buf_clear(&key);
	return text;
}

/* Whether another answer may come of it if it is tried again as it is. */
static bool
is_by_chance(const struct work *work)
{
	if (work->state == PLANS_DIED)
		return true;
	if (work->state != PLANS_REFUSED)
		return false;
	switch (work->answer.err.code) {
	case LW_NOT_FOUND:
	case LW_UNDECIDED:
	case LW_BAD_INPUT:
	case LW_TOO_BIG:
		return false;
	default:
		return true;
	}
}

static void
tell(struct plans_found *found, struct work *work, int64_t now_ms)
{
	memset(found, 0, sizeof *found);
	found->state = work->state;
	found->text = work->answer.text;
	found->length = work->answer.length;
	found->err = work->answer.err;
	found->title = work->title;
	found->since_s = (now_ms - work->began_ms) / 1000;
	if (work->state != PLANS_WORKING)
		work->told = true;
}

static struct work *
with_key(struct plans *plans, const char *key,
    bool (*fits)(const struct work *, const void *), const void *closure)
{
	struct work *best = NULL;
	size_t i;

	for (i = 0; i < PLANS_KEPT; i++) {
		struct work *work = &plans->all[i];

		if (work->state != PLANS_NONE && strcmp(work->key, key) == 0 &&
		    fits(work, closure) &&
		    (best == NULL || work->number > best->number))
			best = work;
	}
	return best;
}

/* Whoever asked before the book changed gets what was worked out for it, once:
 * where a job goes on beside, the book changes all the time. */
static bool
answers(const struct work *work, const void *closure)
{
	const struct plans_question *question = closure;

	if (work->title != NULL)
		return false;
	if (work->state == PLANS_WORKING || !work->told)
		return true;
	return work->change == question->change && !is_by_chance(work);
}

static bool
is_done(const struct work *work, const void *closure)
{
	(void)closure;
	return work->title == NULL && work->state == PLANS_DONE;
}

static bool
saves_under(const struct work *work, const void *closure)
{
	return work->title != NULL && work->state == PLANS_WORKING &&
	       strcmp(work->title, closure) == 0;
}

/* A place for another: a free one, or the one that ended first. */
static struct work *
make_place(struct plans *plans)
{
	struct work *oldest = NULL;
	size_t i;

	for (i = 0; i < PLANS_KEPT; i++) {
		struct work *work = &plans->all[i];

		if (work->state == PLANS_NONE)
			return work;
		if (work->state != PLANS_WORKING &&
		    (oldest == NULL || work->ended_ms < oldest->ended_ms))
			oldest = work;
	}
	clear(oldest); /* fewer work at once than are kept */
	return oldest;
}

/* Whether one more may be begun for this asker; else why not. */
static enum plans_state
may_begin(const struct plans *plans, const char *asker)
{
	size_t i, count = 0;

	for (i = 0; i < PLANS_KEPT; i++) {
		if (plans->all[i].state != PLANS_WORKING)
			continue;
		if (strcmp(plans->all[i].asker, asker) == 0)
			return PLANS_OWN_FIRST;
		count++;
	}
	return count < PLANS_AT_ONCE ? PLANS_WORKING : PLANS_FULL;
}

/* Begin, with `key` and `title`, which are taken over. NULL: found->state and
 * found->err say why not. */
static struct work *
begin(struct plans_found *found, struct plans *plans,
    const struct plans_question *question, char *key, char *title,
    int64_t now_ms)
{
	const struct plan_task task = {
	    plans->book, question->plan, title, question->now_s};
	struct work *work = NULL;

	memset(found, 0, sizeof *found);
	found->state = may_begin(plans, question->asker);
	if (found->state != PLANS_WORKING)
		goto out;
	work = make_place(plans);
	if (plan_child_start(&work->child, &work->file, &task, &found->err) !=
	    LW_OK) {
		found->state = PLANS_REFUSED;
		work = NULL;
		goto out;
	}
	work->state = PLANS_WORKING;
	work->number = ++plans->last;
	work->key = key;
	work->title = title;
	snprintf(work->asker, sizeof work->asker, "%s", question->asker);
	work->change = question->change;
	work->began_ms = now_ms;
	tell(found, work, now_ms);
	return work;
out:
	free(key);
	free(title);
	return work;
}

static void
refuse_memory(struct plans_found *found)
{
	memset(found, 0, sizeof *found);
	found->state = PLANS_REFUSED;
	err_no_memory(&found->err);
}

void
plans_look(struct plans_found *found, struct plans *plans,
    const struct plans_question *question, int64_t now_ms)
{
	char *key = make_key(&question->plan);
	struct work *work;

	plans_sweep(plans, now_ms);
	if (key == NULL) {
		refuse_memory(found);
		return;
	}
	work = with_key(plans, key, answers, question);
	if (work == NULL) {
		begin(found, plans, question, key, NULL, now_ms);
		return;
	}
	tell(found, work, now_ms);
	free(key);
}

void
plans_recall(struct plans_found *found, struct plans *plans,
    const struct plans_question *question, int64_t now_ms)
{
	char *key = make_key(&question->plan);
	struct work *work =
	    key != NULL ? with_key(plans, key, is_done, NULL) : NULL;

	if (work != NULL)
		tell(found, work, now_ms);
	else
		memset(found, 0, sizeof *found);
	free(key);
}

void
plans_save(struct plans_found *found, int64_t *number, struct plans *plans,
    const struct plans_question *question, const char *title, int64_t now_ms)
{
	char *key = make_key(&question->plan);
	char *copy = strdup(title);
	struct work *work;

	*number = 0;
	plans_sweep(plans, now_ms);
	if (key == NULL || copy == NULL) {
		refuse_memory(found);
		goto out;
	}
	work = with_key(plans, key, saves_under, title);
	if (work == NULL) {
		work = begin(found, plans, question, key, copy, now_ms);
		if (work != NULL)
			*number = work->number;
		return;
	}
	*number = work->number;
	tell(found, work, now_ms);
out:
	free(key);
	free(copy);
}

void
plans_saved(struct plans_found *found, struct plans *plans, int64_t number,
    int64_t now_ms)
{
	size_t i;

	plans_sweep(plans, now_ms);
	memset(found, 0, sizeof *found);
	for (i = 0; i < PLANS_KEPT; i++)
		if (plans->all[i].state != PLANS_NONE &&
		    plans->all[i].title != NULL &&
		    plans->all[i].number == number)
			tell(found, &plans->all[i], now_ms);
}
