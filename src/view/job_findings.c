/* The findings of a job, and those of them that a report needs. What they
 * come to is worked out in job. */
#include "view/job.h"

#include "view/item.h"

#include "base/num.h"

#include <lampwright/reading.h>

#include <stdio.h>
#include <string.h>

enum { WAY_CHECKS_MAX = 64 };

/* The checks that lead into the power states, those that have to pass before
 * them, and the tree that leads. */
struct ways {
	const struct lw_check *checks[WAY_CHECKS_MAX];
	bool gate[WAY_CHECKS_MAX];
	size_t count;
	const struct lw_tree *tree; /* or NULL */
};

static const char *
kind_title(const struct lw_finding *finding)
{
	switch (finding->kind) {
	case LW_FINDING_PATTERN:
	case LW_FINDING_SYMPTOM:
		return "seen";
	case LW_FINDING_TREE:
		return "led by";
	case LW_FINDING_CHECK:
		return "check";
	case LW_FINDING_CANNOT:
		return "cannot be done now";
	case LW_FINDING_SKIP:
		return "left out";
	case LW_FINDING_TAKE_UP:
		return "taken up again";
	case LW_FINDING_RESUME:
		return "gone on with";
	case LW_FINDING_UNDO:
		return "taken back";
	case LW_FINDING_CLOSE:
		if (finding->outcome != NULL &&
		    strcmp(finding->outcome, "given-up") == 0)
			return "given up";
		return "closed";
	case LW_FINDING_REOPEN:
		return "opened again";
	case LW_FINDING_DIFFERS:
		return "not as described";
	case LW_FINDING_NOT_SEEN:
		return "did not show itself";
	case LW_FINDING_PICK:
		return "check chosen";
	case LW_FINDING_SUPPOSE:
		return "taken as the cause";
	case LW_FINDING_BEGUN:
		return "fix begun";
	case LW_FINDING_FIXED:
		return "fix done";
	case LW_FINDING_STRUCK:
		return "found sound";
	case LW_FINDING_PROVED:
		return "proved";
	case LW_FINDING_NOT_PROVED:
		return "not proved";
	case LW_FINDING_GONE:
		return "gone";
	case LW_FINDING_STILL:
		return "still there";
	case LW_FINDING_WAIT:
		return "waits for";
	case LW_FINDING_MAKE_SAFE:
		return "way back to isolated asked for";
	case LW_FINDING_VALUE:
		return finding->outcome != NULL ? "said" : "not known";
	case LW_FINDING_TAKE:
		return "taken by";
	case LW_FINDING_LEAVE:
		return "tree left";
	}
	return lw_finding_kind_name(finding->kind);
}

/* A reading with as many digits as were typed: "12.40 V". */
static void
format_reading(char text[LW_READING_MAX], const struct lw_finding *finding)
{
	char number[LW_READING_MAX];
	int decimals = 0, has = 0;
	const char *space, *mark;
	double step = finding->step;

	lw_reading_format(number, finding->value, finding->unit);
	for (; step > 0 && step < 0.9999 && decimals < 9; step *= 10)
		decimals++;
	space = strchr(number, ' ');
	mark = strchr(number, '.');
	if (space == NULL || memchr(number, 'e', (size_t)(space - number)))
		decimals = 0;
	else if (mark != NULL && mark < space)
		has = (int)(space - mark) - 1;
	if (decimals <= has) {
		snprintf(text, LW_READING_MAX, "%s", number);
		return;
	}
	snprintf(text, LW_READING_MAX, "%.*s%s%.*s%s", (int)(space - number),
	    number, has == 0 ? "." : "", decimals - has, "000000000", space);
}

/* The other outcome that it may have been. */
static void
put_also(struct view *view, json_t *object, const struct lw_finding *finding)
{
	const struct lw_check *check = NULL;
	size_t i;

	if (finding->also == NULL || finding->subject == NULL ||
	    view->status != LW_OK ||
	    !view_got(view, lw_book_check_of(view->book, view->arena,
				finding->subject, &check, &view->last)))
		check = NULL;
	for (i = 0; check != NULL && i < check->outcome_count; i++) {
		if (strcmp(check->outcomes[i].id, finding->also) == 0) {
			view_text(
			    view, object, "also", check->outcomes[i].title);
			return;
		}
	}
	view_text(view, object, "also", finding->also);
}

void
view_reading(
    struct view *view, json_t *object, const struct lw_finding *finding)
{
	char reading[LW_READING_MAX] = "", spread[LW_READING_MAX] = "";

	if (finding->has_value && finding->unit != NULL)
		format_reading(reading, finding);
	if (finding->has_value && finding->unit != NULL &&
	    finding->spread > 0) {
		/* Two digits say how uncertain something is. */
		lw_reading_format(
		    spread, num_round(finding->spread, 2), finding->unit);
	}
	view_text(view, object, "reading", reading);
	view_text(view, object, "spread", spread);
	put_also(view, object, finding);
}

/* The finding, borrowed; NULL after a failure. */
static json_t *
put_finding(struct view *view, json_t *list, const struct lw_finding *finding)
{
	json_t *object = view_add(view, list);

	view_int(view, object, "serial", finding->serial);
	view_time(view, object, finding->time_s);
	view_words(view, object, "kind", lw_finding_kind_name(finding->kind));
	view_words(view, object, "kind_title", kind_title(finding));
	view_text(view, object, "subject", finding->subject);
	view_text(view, object, "title", finding->title);
	view_text(view, object, "ask", finding->ask);
	view_text(view, object, "outcome", finding->outcome);
	view_text(view, object, "outcome_title", finding->outcome_title);
	view_reading(view, object, finding);
	view_text(view, object, "expected", finding->expected);
	view_text(view, object, "words", finding->words);
	view_text(view, object, "about", finding->about);
	view_text(view, object, "about_title",
	    finding->about != NULL ? item_title(view, "cause", finding->about)
				   : NULL);
	view_bool(view, object, "undone", finding->undone);
	return object;
}

static void
add_way(struct view *view, struct ways *ways, const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < ways->count; i++) {
		if (strcmp(ways->checks[i]->id, check->id) == 0)
			return;
	}
	if (view->status != LW_OK || ways->count == WAY_CHECKS_MAX)
		return;
	ways->checks[ways->count++] = check;
}

static void
find_ways(struct view *view, struct ways *ways, const struct lw_job *job)
{
	const struct lw_check *check;
	size_t i, k, gates;
	int power;

	memset(ways, 0, sizeof *ways);
	for (power = LW_POWER_ISOLATED; power < LW_POWER_COUNT; power++) {
		if (view->status == LW_OK &&
		    view_got(
			view, lw_book_gate(view->book, view->arena,
				  (enum lw_power)power, &check, &view->last)))
			add_way(view, ways, check);
	}
	gates = ways->count;
	for (i = 0; i < gates; i++) {
		const struct lw_refs *after = &ways->checks[i]->after;

		ways->gate[i] = true;
		for (k = 0; k < after->count; k++) {
			if (view_got(view,
				lw_book_check_of(view->book, view->arena,
				    after->items[k].id, &check, &view->last)))
				add_way(view, ways, check);
		}
	}
	if (job->tree == NULL || view->status != LW_OK ||
	    !view_got(view, lw_book_tree(view->book, view->arena, job->tree,
				&ways->tree, &view->last)))
		ways->tree = NULL;
}

static bool
is_in_tree(const struct lw_tree *tree, const char *check)
{
	size_t i;

	for (i = 0; tree != NULL && i < tree->step_count; i++) {
		if (strcmp(tree->steps[i].check, check) == 0)
			return true;
	}
	return false;
}

/* Whether a check was only part of a way into a power state: it stands on
 * one, and said no more than that all is as it should be. */
static bool
is_on_the_way(const struct ways *ways, const struct lw_finding *finding)
{
	const struct lw_check *check = NULL;
	size_t i;

	if (finding->subject == NULL || finding->outcome == NULL)
		return false;
	for (i = 0; i < ways->count && check == NULL; i++) {
		if (strcmp(ways->checks[i]->id, finding->subject) != 0)
			continue;
		/* A compulsory check that the tree asks too stays. */
		if (!ways->gate[i] && is_in_tree(ways->tree, finding->subject))
			return false;
		check = ways->checks[i];
	}
	for (i = 0; check != NULL && i < check->outcome_count; i++) {
		if (strcmp(check->outcomes[i].id, finding->outcome) == 0)
			return check->outcomes[i].expected;
	}
	return false;
}

/* Whether a finding belongs into a report's list of what was done. */
static bool
is_reported(const struct ways *ways, const struct lw_finding *finding)
{
	if (finding->undone)
		return false;
	switch (finding->kind) {
	case LW_FINDING_CHECK:
		return !is_on_the_way(ways, finding);
	case LW_FINDING_DIFFERS:
		return finding->has_value;
	case LW_FINDING_FIXED:
	case LW_FINDING_STRUCK:
	case LW_FINDING_PROVED:
	case LW_FINDING_NOT_PROVED:
	case LW_FINDING_GONE:
	case LW_FINDING_STILL:
		return true;
	default:
		return false;
	}
}

/* The reading or value that was said last, so that it is shown back; NULL
 * where something else was done since. */
static const struct lw_finding *
last_said(const struct lw_job *job)
{
	size_t i;

	for (i = job->finding_count; i-- > 0;) {
		const struct lw_finding *finding = &job->findings[i];

		if (finding->undone || finding->kind == LW_FINDING_TAKE)
			continue;
		return finding->has_value || finding->kind == LW_FINDING_VALUE
			   ? finding
			   : NULL;
	}
	return NULL;
}

void
view_findings(struct view *view, json_t *object, const struct lw_job *job)
{
	json_t *all = view_list(view, object, "findings");
	json_t *checks = view_list(view, object, "checks");
	const struct lw_finding *shown = last_said(job);
	struct ways ways;
	json_t *finding;
	size_t i;

	find_ways(view, &ways, job);
	view_null(view, object, "answered");
	for (i = 0; i < job->finding_count; i++) {
		finding = put_finding(view, all, &job->findings[i]);
		if (&job->findings[i] == shown)
			view_put_again(view, object, "answered", finding);
		if (is_reported(&ways, &job->findings[i]))
			view_add_again(view, checks, finding);
	}
}
