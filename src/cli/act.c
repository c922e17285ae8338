/* The words for what may be done to a job besides answering. What comes of
 * it is left to the job. */
#include "cli/act.h"

#include "base/err.h"
#include "cli/screen.h"

#include <string.h>
#include <strings.h>

#define ACT(name, call)                                               \
	static enum lw_status name(struct lw_book *book, int64_t job, \
	    const char *words, const struct lw_actor *actor,          \
	    struct lw_err *err)                                       \
	{                                                             \
		(void)words;                                          \
		return call;                                          \
	}

ACT(undo, lw_job_undo(book, job, actor, err))
ACT(reopen, lw_job_reopen(book, job, actor, err))
ACT(make_safe, lw_job_make_safe(book, job, actor, err))
ACT(pause_job, lw_job_wait(book, job, words, actor, err))
ACT(take, lw_job_take(book, job, actor, err))
ACT(ask, lw_job_ask(book, job, actor, err))
ACT(hand, lw_job_hand(book, job, false, actor, err))
ACT(keep, lw_job_hand(book, job, true, actor, err))
ACT(release, lw_job_release(book, job, actor, err))
ACT(leave, lw_job_leave(book, job, actor, err))
ACT(close_job, lw_job_close(book, job, false, words, actor, err))
ACT(give_up, lw_job_close(book, job, true, words, actor, err))

/* What follows a word that begins the line, from its first letter on; NULL
 * where the line does not begin with it. */
static const char *
after(const char *line, const char *word)
{
	size_t length = strlen(word);

	if (strncasecmp(line, word, length) != 0 ||
	    (line[length] != '\0' && line[length] != ' '))
		return NULL;
	return line + length + strspn(line + length, " ");
}

/* Go on; where that leaves it waiting, for what was put aside, take that up. */
static enum lw_status
resume(struct lw_book *book, int64_t job, const char *words,
    const struct lw_actor *actor, struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *now;
	bool waits = false;
	enum lw_status status;

	(void)words;
	if (arena == NULL)
		return err_no_memory(err);
	status = lw_job_resume(book, job, actor, err);
	if (status == LW_OK)
		status = lw_job_get(
		    book, arena, job, actor->screen, actor->now_s, &now, err);
	if (status == LW_OK)
		waits = now->state == LW_JOB_WAITING && now->step == NULL;
	lw_arena_free(arena);
	return waits ? lw_job_reopen(book, job, actor, err) : status;
}

static const char pick_missing[] =
    "it does not say what to pick: check ID, or cause ID";

/* An id alone is a check or a cause, whichever the book has. */
static enum lw_status
pick_either(struct lw_book *book, int64_t job, const char *id,
    const struct lw_actor *actor, struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	enum lw_status as_check, as_cause;
	const struct lw_check *check;
	const struct lw_cause *cause;

	if (arena == NULL)
		return err_no_memory(err);
	as_check = lw_book_check_of(book, arena, id, &check, err);
	as_cause = as_check != LW_OK && as_check != LW_NOT_FOUND
		       ? as_check
		       : lw_book_cause(book, arena, id, &cause, err);
	lw_arena_free(arena);
	if (as_cause != LW_OK && as_cause != LW_NOT_FOUND)
		return as_cause;
	if (as_check == LW_OK && as_cause == LW_OK)
		return err_set(err, LW_BAD_INPUT,
		    "%.64s is a check and a cause; say check %.64s or cause "
		    "%.64s",
		    id, id, id);
	if (as_check == LW_OK)
		return lw_job_pick(book, job, id, actor, err);
	if (as_cause == LW_OK)
		return lw_job_suppose(book, job, id, actor, err);
	return err_set(err, LW_NOT_FOUND,
	    "the book has neither a check nor a cause \"%.64s\"; lampwright "
	    "find WORDS gives their ids",
	    id);
}

static enum lw_status
pick(struct lw_book *book, int64_t job, const char *words,
    const struct lw_actor *actor, struct lw_err *err)
{
	const char *check = after(words, "check"), *cause;

	if (check != NULL && check[0] != '\0')
		return lw_job_pick(book, job, check, actor, err);
	cause = after(words, "cause");
	if (cause != NULL && cause[0] != '\0')
		return lw_job_suppose(book, job, cause, actor, err);
	if (check != NULL || cause != NULL)
		return err_set(err, LW_BAD_INPUT, "%s", pick_missing);
	return pick_either(book, job, words, actor, err);
}

static const char say_missing[] =
    "it does not say what of the vehicle, nor what it is: KEY=VALUE, or "
    "KEY=unknown";

/* A value of the vehicle: "pack.cells=24". */
static enum lw_status
say(struct lw_book *book, int64_t job, const char *words,
    const struct lw_actor *actor, struct lw_err *err)
{
	const char *equals = strchr(words, '=');
	size_t length = equals != NULL ? (size_t)(equals - words) : 0;
	char key[80];

	while (length > 0 && words[length - 1] == ' ')
		length--;
	if (length == 0 || length >= sizeof key)
		return err_set(err, LW_BAD_INPUT, "%s", say_missing);
	memcpy(key, words, length);
	key[length] = '\0';
	equals++;
	return lw_job_value(
	    book, job, key, equals + strspn(equals, " "), actor, err);
}

static const struct act acts[] = {
    {"undo", ACT_BARE, NULL, undo},
    {"resume", ACT_BARE, NULL, resume},
    {"reopen", ACT_BARE, NULL, reopen},
    {"safe", ACT_BARE, NULL, make_safe},
    {"leave", ACT_BARE, NULL, leave},
    {"wait", ACT_WORDS,
	"it does not say what the job waits for; name the tool, the part or "
	"the day",
	pause_job},
    {"pick", ACT_WORDS, pick_missing, pick},
    {"say", ACT_WORDS, say_missing, say},
    {"take", ACT_BARE, NULL, take},
    {"ask", ACT_BARE, NULL, ask},
    {"hand", ACT_BARE, NULL, hand},
    {"keep", ACT_BARE, NULL, keep},
    {"release", ACT_BARE, NULL, release},
    {"close", ACT_MAY, NULL, close_job},
    {"give-up", ACT_MAY, NULL, give_up},
};

enum { ACT_COUNT = sizeof acts / sizeof acts[0] };

const struct act *
act_find(const char *name)
{
	size_t i;

	for (i = 0; i < ACT_COUNT; i++)
		if (strcmp(acts[i].name, name) == 0)
			return &acts[i];
	return NULL;
}

const struct act *
act_read(const char **words, const char *line)
{
	const char *rest;
	size_t i;

	for (i = 0; i < ACT_COUNT; i++) {
		rest = after(line, acts[i].name);
		if (rest == NULL ||
		    (acts[i].takes == ACT_BARE && rest[0] != '\0'))
			continue;
		*words = rest[0] != '\0' ? rest : NULL;
		return &acts[i];
	}
	return NULL;
}

enum lw_status
act_do(const struct act *act, struct lw_book *book, int64_t job,
    const char *words, struct lw_err *err)
{
	const struct lw_actor actor = screen_actor();

	if (words != NULL && words[0] == '\0')
		words = NULL;
	if (act->takes == ACT_WORDS && words == NULL)
		return err_set(err, LW_BAD_INPUT, "%s", act->missing);
	return act->run(book, job, words, &actor, err);
}
