/* Reads who holds a vehicle and says who may act; asking, handing over and
 * letting go are left to holding.c. */
#include "job/hold.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"

#include <inttypes.h>
#include <string.h>

enum { SCREEN_MAX = 64 };

bool
hold_has_lapsed(int64_t last_s, int64_t now_s)
{
	int64_t idle_s;

	/* A clock set back does not free it: asking does. */
	return !__builtin_sub_overflow(now_s, last_s, &idle_s) &&
	       idle_s >= LW_JOB_POWER_HOLDS_S;
}

enum lw_status
hold_find(struct hold *hold, struct lw_book *book, struct lw_arena *arena,
    const struct book_job *job, int64_t now_s, struct lw_err *err)
{
	enum lw_status status;

	memset(hold, 0, sizeof *hold);
	if (job->rig != NULL)
		hold->vehicle = arena_printf(arena, "rig %s", job->rig);
	else
		hold->vehicle = arena_printf(arena, "job %" PRId64, job->job);
	if (hold->vehicle == NULL)
		return err_no_memory(err);
	status = book_hold_get(book, arena, hold->vehicle, &hold->row, err);
	if (status == LW_OK && hold->row.held)
		hold->lapsed = hold_has_lapsed(hold->row.last_s, now_s);
	return status;
}

static bool
is_screen(const struct hold *hold, const char *screen)
{
	return hold->row.held && screen != NULL &&
	       strcmp(hold->row.screen, screen) == 0;
}

bool
hold_is_for(const struct hold *hold, int64_t job, const char *screen)
{
	return hold->row.held && hold->row.job == job &&
	       (screen == NULL || is_screen(hold, screen));
}

bool
hold_is_others(const struct hold *hold, const char *screen)
{
	return hold->row.held && !hold->lapsed && !is_screen(hold, screen);
}

/* Whether the screen asked, and was left without a word. */
static bool
waited(const struct hold *hold, const char *screen, int64_t now_s)
{
	int64_t asked_s;

	return screen != NULL && hold->row.asker != NULL &&
	       strcmp(hold->row.asker, screen) == 0 &&
	       !__builtin_sub_overflow(now_s, hold->row.asked_s, &asked_s) &&
	       asked_s >= LW_JOB_ASKED_S;
}

void
hold_show(struct lw_hold *shown, const struct hold *hold, const char *screen,
    int64_t now_s)
{
	const struct book_hold *row = &hold->row;

	memset(shown, 0, sizeof *shown);
	shown->held = row->held && !hold->lapsed;
	shown->free =
	    screen != NULL && (!shown->held || is_screen(hold, screen) ||
				  waited(hold, screen, now_s));
	if (!shown->held)
		return;
	shown->mine = is_screen(hold, screen);
	shown->screen = row->screen;
	shown->name = row->name;
	shown->job = row->job;
	shown->since_s = row->since_s;
	if (__builtin_add_overflow(
		row->last_s, LW_JOB_POWER_HOLDS_S, &shown->until_s))
		shown->until_s = row->last_s;
	shown->asker = row->asker;
	shown->asker_name = row->asker_name;
	shown->i_ask = row->asker != NULL && screen != NULL &&
		       strcmp(row->asker, screen) == 0;
}

static bool
is_fit(const char *text)
{
	size_t length = text == NULL ? 0 : strlen(text), i;

	if (length == 0 || length > SCREEN_MAX ||
	    utf8_valid(text, length) != length)
		return false;
	for (i = 0; i < length; i++)
		if ((unsigned char)text[i] < ' ' || text[i] == 0x7f)
			return false;
	return true;
}

enum lw_status
hold_check_actor(const struct lw_actor *actor, struct lw_err *err)
{
	if (is_fit(actor->screen) && is_fit(actor->name))
		return LW_OK;
	return err_set(err, LW_BAD_INPUT,
	    "a screen has an id and a name of 1 to %d bytes, without control "
	    "characters",
	    SCREEN_MAX);
}

enum lw_status
hold_act(struct book_hold_change *change, const struct hold *hold, int64_t job,
    const struct lw_actor *actor, struct lw_err *err)
{
	const struct book_hold *row = &hold->row;
	bool goes_on = is_screen(hold, actor->screen) && !hold->lapsed;

	if (hold_is_others(hold, actor->screen))
		return err_set(err, LW_CONFLICT,
		    "%s has the vehicle in hand; ask for it, or look on",
		    row->name);
	change->vehicle = hold->vehicle;
	change->seen = *row;
	memset(&change->next, 0, sizeof change->next);
	change->next.held = true;
	change->next.job = job;
	change->next.screen = actor->screen;
	change->next.name = actor->name;
	change->next.since_s = goes_on ? row->since_s : actor->now_s;
	change->next.last_s = actor->now_s;
	if (goes_on) {
		change->next.asker = row->asker;
		change->next.asker_name = row->asker_name;
		change->next.asked_s = row->asked_s;
	}
	return LW_OK;
}
