/* Gathers what of a job waits for which tool. Which checks were put aside or
 * deferred is worked out in job; the order of it all is waits_tools.c's. */
#include "view/waits.h"

#include "view/job.h"

#include "base/arena.h"
#include "base/err.h"
#include "job/weigh.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* Fixes are of interest for the leading suspects, and checks that tell at
 * least this much of what the best one tells. */
#define FIX_SHARE 0.05
#define WORTH 0.1
enum { FIX_SUSPECTS = 6, TOOL_MAX = 100 };

const char *
waits_keep(struct view *view, const char *text)
{
	const char *kept;

	if (text == NULL || view->status != LW_OK)
		return NULL;
	kept = arena_dup(view->arena, text);
	if (kept == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	}
	return kept;
}

/* What it would tell, without its minutes and its power state, which stand
 * beside it. */
static const char *
keep_use(struct view *view, const char *why)
{
	const char *kept;

	if (why == NULL || view->status != LW_OK)
		return NULL;
	kept = arena_dup_n(view->arena, why, strcspn(why, ";"));
	if (kept == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	}
	return kept;
}

/* What a check lacks besides a tool. */
static void
keep_besides(struct view *view, struct wait *wait, const struct lw_next *next)
{
	const char **besides;
	size_t i;

	if (next->missing_count < 2 || view->status != LW_OK)
		return;
	besides =
	    arena_array(view->arena, next->missing_count, sizeof *besides);
	if (besides == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
		return;
	}
	wait->besides = besides;
	wait->besides_count = 0;
	for (i = 0; i < next->missing_count; i++)
		if (strcasecmp(next->missing[i], wait->tool) != 0)
			besides[wait->besides_count++] =
			    waits_keep(view, next->missing[i]);
}

static bool
is_listed(const struct waits *waits, const struct wait *wait)
{
	size_t i;

	for (i = 0; i < waits->count; i++) {
		const struct wait *item = &waits->items[i];

		if (item->job == wait->job && item->is_fix == wait->is_fix &&
		    strcmp(item->id, wait->id) == 0 &&
		    strcasecmp(item->tool, wait->tool) == 0)
			return true;
	}
	return false;
}

static void
add(struct waits *waits, const struct lw_job *job, const char *tool,
    const struct wait *of)
{
	struct view *view = waits->view;
	struct wait wait = *of, *items;

	wait.tool = tool;
	wait.job = job->job;
	if (view->status != LW_OK || is_listed(waits, &wait))
		return;
	if (waits->count == waits->room) {
		waits->room = waits->room * 2 + 16;
		items = realloc(waits->items, waits->room * sizeof *items);
		if (items == NULL) {
			err_no_memory(&view->last);
			view_fail(view, LW_NO_MEMORY);
			return;
		}
		waits->items = items;
	}
	wait.tool = waits_keep(view, tool);
	wait.id = waits_keep(view, of->id);
	wait.title = waits_keep(view, of->title);
	wait.words = waits_keep(view, of->words);
	wait.why = keep_use(view, of->why);
	wait.rig = waits_keep(view, job->rig_name);
	wait.rig_title = waits_keep(
	    view, job->rig != NULL ? job->rig->title : job->rig_name);
	if (view->status == LW_OK)
		waits->items[waits->count++] = wait;
}

static struct wait
of_check(const struct lw_check *check)
{
	return (struct wait){.power = check->power,
	    .id = check->id,
	    .title = check->title,
	    .minutes = check->minutes};
}

/* Whether a text has a word in it, whatever the case. */
static bool
mentions(const char *text, const char *word)
{
	size_t length = strlen(word);

	for (; text != NULL && *text != '\0'; text++)
		if (strncasecmp(text, word, length) == 0)
			return true;
	return false;
}

/* Whether any of a check's tools is named in what somebody said. */
static bool
names_any(const char *words, const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->tools.count; i++)
		if (mentions(words, check->tools.items[i].text))
			return true;
	return false;
}

/* Put aside: it waits for the tools that are known to be lacking; where that
 * is not known, for those that were named, or else for all that it needs. */
static void
add_put_aside(
    struct waits *waits, const struct lw_job *job, const struct lw_check *check)
{
	bool known = job->rig != NULL && job->rig->known_tools, named;
	struct wait wait = of_check(check);
	size_t i;

	wait.put_aside = true;
	wait.words = view_words_aside(job, check->id);
	named = names_any(wait.words, check);
	for (i = 0; i < check->tools.count; i++) {
		const char *tool = check->tools.items[i].text;

		if (known ? weigh_lacks(job->rig, tool)
			  : !named || mentions(wait.words, tool))
			add(waits, job, tool, &wait);
	}
}

static void
add_deferred(
    struct waits *waits, const struct lw_job *job, const struct lw_next *next)
{
	struct wait wait = of_check(next->check);
	size_t i;

	wait.why = next->why;
	for (i = 0; i < next->missing_count; i++) {
		wait.tool = next->missing[i];
		keep_besides(waits->view, &wait, next);
		add(waits, job, next->missing[i], &wait);
	}
}

/* The fix of a suspect waits for those of its tools that are lacking. */
static void
add_fix(struct waits *waits, const struct lw_job *job,
    const struct lw_suspect *suspect)
{
	struct view *view = waits->view;
	const struct lw_cause *cause;
	struct wait wait = {.power = LW_POWER_ISOLATED, .is_fix = true};
	char tool[TOOL_MAX];
	const char *rest;
	size_t length;

	if (view->status != LW_OK ||
	    !view_got(view, lw_book_cause(view->book, view->arena,
				suspect->cause, &cause, &view->last)))
		return;
	wait.id = cause->id;
	wait.title = cause->title;
	wait.share = suspect->share;
	wait.minutes = weigh_fix_minutes(cause);
	for (rest = cause->tools; rest != NULL && *rest != '\0';
	     rest += length) {
		rest += strspn(rest, " ,");
		length = strcspn(rest, ",");
		if (length == 0 || length >= sizeof tool)
			continue;
		memcpy(tool, rest, length);
		tool[length - (rest[length - 1] == '.')] = '\0';
		if (weigh_lacks(job->rig, tool))
			add(waits, job, tool, &wait);
	}
}

bool
waits_worth(const struct lw_job *job, const struct lw_next *next)
{
	double most = 0;
	size_t i;

	for (i = 0; i < job->next_count; i++)
		if (job->next[i].bits > most)
			most = job->next[i].bits;
	for (i = 0; i < job->deferred_count; i++)
		if (job->deferred[i].bits > most)
			most = job->deferred[i].bits;
	return next->bits >= WORTH * most;
}

void
waits_gather(struct waits *waits, const struct lw_job *job)
{
	size_t i;

	for (i = 0; i < job->put_aside_count; i++)
		add_put_aside(waits, job, job->put_aside[i]);
	for (i = 0; i < job->deferred_count; i++)
		if (waits_worth(job, &job->deferred[i]))
			add_deferred(waits, job, &job->deferred[i]);
	for (i = 0; i < job->suspect_count && i < FIX_SUSPECTS; i++) {
		const struct lw_suspect *suspect = &job->suspects[i];

		if (suspect->share >= FIX_SHARE && suspect->also == NULL)
			add_fix(waits, job, suspect);
	}
}
