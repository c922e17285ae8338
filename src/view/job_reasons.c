/* What a job says of reasoning: the suspects and why, the checks that would
 * tell something, what waits for a tool, the fixes in order, what does not go
 * together. All of it is worked out in job. */
#include "view/job.h"

#include "view/item.h"

#include "base/num.h"
#include "job/reasons.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

/* Of less than this a suspect is of little interest, but for the first. */
#define LITTLE 0.01
enum { LEADING = 5 };

const char *
view_minutes_text(char *text, double minutes)
{
	char number[32];

	if (!(minutes > 0) || !isfinite(minutes)) {
		text[0] = '\0';
	} else if (minutes < 1) {
		snprintf(text, VIEW_MINUTES_MAX, "under 1 min");
	} else if (minutes < 90) {
		snprintf(text, VIEW_MINUTES_MAX, "%.0f min", minutes);
	} else {
		num_format(number, sizeof number, num_round(minutes / 60, 2));
		snprintf(text, VIEW_MINUTES_MAX, "%.20s h", number);
	}
	return text;
}

void
view_minutes(struct view *view, json_t *object, const char *key, double minutes)
{
	if (minutes > 0)
		view_real(view, object, key, minutes);
	else
		view_null(view, object, key);
}

/* --- suspects ------------------------------------------------------------- */

static void
put_whys(struct view *view, json_t *object, const struct lw_suspect *suspect)
{
	json_t *list = view_list(view, object, "whys"), *child;
	size_t i;

	for (i = 0; i < suspect->why_count; i++) {
		const struct lw_why *why = &suspect->whys[i];

		child = view_add(view, list);
		view_int(view, child, "serial", why->serial);
		view_text(view, child, "title", why->title);
		view_text(view, child, "outcome", why->outcome);
		view_real(view, child, "factor", why->factor);
		view_text(view, child, "factor_text",
		    view->status == LW_OK
			? reasons_factor(view->arena, why->factor)
			: NULL);
		view_bool(view, child, "speaks_for", why->factor >= 1);
		view_text(view, child, "text", why->text);
	}
}

static void
put_suspect(struct view *view, json_t *object, const struct lw_suspect *suspect)
{
	bool pair = suspect->also != NULL;

	view_words(view, object, "cause", suspect->cause);
	view_words(view, object, "title", suspect->title);
	view_share(view, object, suspect->share);
	view_bool(
	    view, object, "unlisted", strcmp(suspect->cause, "unlisted") == 0);
	view_text(view, object, "also", suspect->also);
	view_bool(view, object, "pair", pair);
	view_text(view, object, "first_title",
	    pair ? item_title(view, "cause", suspect->cause) : NULL);
	view_text(view, object, "also_title",
	    pair ? item_title(view, "cause", suspect->also) : NULL);
	put_whys(view, object, suspect);
	view_text(view, object, "counted", suspect->counted);
	view_bool(view, object, "has_whys",
	    suspect->why_count > 0 || suspect->counted != NULL);
}

static bool
has_fix(const struct lw_job *job, const char *cause)
{
	size_t i;

	for (i = 0; i < job->fix_count; i++)
		if (strcmp(job->fixes[i].cause, cause) == 0)
			return true;
	return false;
}

static bool
is_little(const struct lw_job *job, size_t i)
{
	return i >= LEADING && job->suspects[i].share < LITTLE &&
	       strcmp(job->suspects[i].cause, "unlisted") != 0;
}

/* The likeliest come first; those of whom little is left are told apart, so
 * that a small screen may fold them up. What no book lists is none of them. */
static void
put_suspects(struct view *view, json_t *root, const struct lw_job *job)
{
	json_t *list = view_list(view, root, "suspects"), *object;
	size_t i, few = 0, others = 0;
	bool unlisted, little, other;

	for (i = 0; i < job->suspect_count; i++)
		few += is_little(job, i);
	for (i = 0; i < job->suspect_count; i++) {
		const struct lw_suspect *suspect = &job->suspects[i];

		unlisted = strcmp(suspect->cause, "unlisted") == 0;
		/* One alone takes no more room than the word for it. */
		little = few > 1 && is_little(job, i);
		other = !unlisted && suspect->also == NULL &&
			!has_fix(job, suspect->cause);
		object = view_add(view, list);
		put_suspect(view, object, suspect);
		view_bool(view, object, "little", little);
		view_bool(view, object, "is_other", other);
		others += other;
	}
	view_number(view, root, "little_count", few > 1 ? (int64_t)few : 0);
	view_bool(view, root, "has_other_suspects", others > 0);
}

/* --- checks --------------------------------------------------------------- */

static void
put_missing(struct view *view, json_t *object, const struct lw_next *next)
{
	json_t *list = view_list(view, object, "missing");
	size_t i;

	for (i = 0; i < next->missing_count; i++)
		view_add_text(view, list, next->missing[i]);
	view_bool(view, object, "has_missing", next->missing_count > 0);
}

void
view_next(struct view *view, json_t *object, const struct lw_next *next)
{
	const struct lw_check *check = next->check;
	json_t *yields;

	view_words(view, object, "check", check->id);
	view_words(view, object, "title", check->title);
	view_text(view, object, "why", next->why);
	view_words(view, object, "power", lw_power_name(check->power));
	view_words(view, object, "power_title", lw_power_title(check->power));
	view_minutes(view, object, "minutes", next->minutes);
	view_real(view, object, "setup_minutes", next->setup_minutes);
	view_real(view, object, "bits", next->bits);
	put_missing(view, object, next);
	if (next->yields == NULL) {
		view_null(view, object, "yields");
		return;
	}
	yields = view_object(view, object, "yields");
	view_words(view, yields, "check", next->yields->id);
	view_words(view, yields, "title", next->yields->title);
}

/* Whether it is the check that the step asks, or leads to. */
static bool
is_step(const struct lw_job *job, const struct lw_check *check)
{
	const struct lw_job_step *step = job->step;

	if (step == NULL)
		return false;
	return strcmp(step->check->id, check->id) == 0 ||
	       (step->then != NULL && strcmp(step->then->id, check->id) == 0);
}

static void
put_checks(struct view *view, json_t *root, const struct lw_job *job)
{
	json_t *list = view_list(view, root, "next"), *object;
	size_t i, others = 0;
	bool is;

	for (i = 0; i < job->next_count; i++) {
		is = is_step(job, job->next[i].check);
		others += !is;
		object = view_add(view, list);
		view_next(view, object, &job->next[i]);
		view_bool(view, object, "is_step", is);
	}
	view_bool(view, root, "has_next", others > 0);
	list = view_list(view, root, "deferred");
	for (i = 0; i < job->deferred_count; i++) {
		object = view_add(view, list);
		view_next(view, object, &job->deferred[i]);
		view_bool(view, object, "leading", i < LEADING);
	}
	view_bool(view, root, "has_deferred", job->deferred_count > 0);
	view_number(view, root, "more_deferred",
	    job->deferred_count > LEADING
		? (int64_t)(job->deferred_count - LEADING)
		: 0);
}

/* --- tools ---------------------------------------------------------------- */

static void
add_tool(struct view *view, json_t *list, const char *tool, bool here)
{
	json_t *object;
	size_t i;

	for (i = 0; i < json_array_size(list); i++) {
		object = json_object_get(json_array_get(list, i), "tool");
		if (object != NULL &&
		    strcasecmp(json_string_value(object), tool) == 0)
			return;
	}
	object = view_add(view, list);
	view_words(view, object, "tool", tool);
	view_bool(view, object, "here", here);
}

static void
add_needs(struct view *view, json_t *list, const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->tools.count; i++)
		add_tool(view, list, check->tools.items[i].text, false);
}

/* What is said to be at hand, and what else the checks that may be done next
 * need: to tick off. */
static void
put_tools(struct view *view, json_t *root, const struct lw_job *job)
{
	json_t *list = view_list(view, root, "tools");
	const struct lw_rig *rig = job->rig;
	size_t i;

	for (i = 0; rig != NULL && i < rig->tool_count; i++)
		add_tool(view, list, rig->tools[i], true);
	for (i = 0; i < job->deferred_count; i++)
		add_needs(view, list, job->deferred[i].check);
	for (i = 0; i < job->put_aside_count; i++)
		add_needs(view, list, job->put_aside[i]);
	for (i = 0; i < job->next_count; i++)
		add_needs(view, list, job->next[i].check);
	view_bool(view, root, "known_tools", rig != NULL && rig->known_tools);
	view_bool(view, root, "has_tools", json_array_size(list) > 0);
}

/* --- fixes, and what does not go together --------------------------------- */

static void
put_fixes(struct view *view, json_t *root, const struct lw_job *job)
{
	json_t *list = view_list(view, root, "fixes"), *object;
	char text[VIEW_MINUTES_MAX];
	size_t i;

	for (i = 0; i < job->fix_count; i++) {
		const struct lw_fix *fix = &job->fixes[i];

		object = view_add(view, list);
		view_words(view, object, "cause", fix->cause);
		view_words(view, object, "title", fix->title);
		view_share(view, object, fix->share);
		view_minutes(view, object, "minutes", fix->minutes);
		view_text(view, object, "minutes_text",
		    view_minutes_text(text, fix->minutes));
	}
	view_bool(view, root, "fix_first", job->fix_first);
	view_bool(view, root, "has_fixes", job->fix_count > 0);
	view_text(view, root, "advice", job->advice);
	view_bool(view, root, "ends_with_advice",
	    job->advice != NULL && job->ending != NULL &&
		strcmp(job->advice, job->ending) == 0);
}

static void
put_conflict(struct view *view, json_t *root, const struct lw_job *job)
{
	const struct lw_finding *finding = job->repeat;
	json_t *object;

	view_text(view, root, "conflict", job->conflict);
	view_real(view, root, "conflict_bits", job->conflict_bits);
	view_bool(view, root, "has_pairs", job->pairs);
	if (finding == NULL || finding->subject == NULL) {
		view_null(view, root, "repeat");
		return;
	}
	object = view_object(view, root, "repeat");
	view_int(view, object, "serial", finding->serial);
	view_words(view, object, "check", finding->subject);
	view_text(view, object, "title", finding->title);
	view_text(view, object, "outcome_title", finding->outcome_title);
}

void
view_reasons(struct view *view, json_t *object, const struct lw_job *job)
{
	put_suspects(view, object, job);
	put_checks(view, object, job);
	put_tools(view, object, job);
	put_fixes(view, object, job);
	put_conflict(view, object, job);
	view_bool(view, object, "can_leave", job->can_leave);
}
