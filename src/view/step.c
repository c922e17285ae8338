/* One check as a step: what to do, where the probes go, the power state and
 * its cautions, what to expect. Which check it is, is left to the job. */
#include "view/parts.h"

#include "base/utf8.h"

#include <lampwright/reading.h>

#include <stdio.h>
#include <string.h>

/* An end of a band: a number in the unit, or what it is worked out by. */
static void
put_end(
    char text[VIEW_BAND_MAX], const char *says, double value, const char *unit)
{
	if (says != NULL)
		snprintf(text, VIEW_BAND_MAX, "%s", says);
	else
		lw_reading_format(text, value, unit);
}

void
view_band(
    char *text, size_t size, const struct lw_outcome *outcome, const char *unit)
{
	char from[VIEW_BAND_MAX] = "", below[VIEW_BAND_MAX] = "";

	text[0] = '\0';
	if (unit == NULL)
		return;
	if (outcome->has_from)
		put_end(from, outcome->from_says, outcome->from, unit);
	if (outcome->has_below)
		put_end(below, outcome->below_says, outcome->below, unit);
	if (outcome->has_from && outcome->has_below)
		snprintf(text, size, "%s to %s", from, below);
	else if (outcome->has_from)
		snprintf(text, size, "%s or more", from);
	else if (outcome->has_below)
		snprintf(text, size, "below %s", below);
	text[utf8_whole(text, strlen(text))] = '\0';
}

/* The band on the vehicle; as it stands in the pack where there is none. */
static void
put_band(
    struct view *view, json_t *object, const struct lw_job_step *step, size_t i)
{
	const struct lw_check *check = step->check;
	char band[VIEW_BAND_MAX];

	if (step->bands == NULL) {
		view_band(band, sizeof band, &check->outcomes[i], check->unit);
		view_text(view, object, "band", band);
		return;
	}
	view_text(view, object, "band", step->bands[i].text);
}

static void
put_number(struct view *view, json_t *object, const char *key, bool known,
    double value)
{
	if (known)
		view_real(view, object, key, value);
	else
		view_null(view, object, key);
}

/* What a sound vehicle gives; null where the author marked nothing. */
static void
put_expect(struct view *view, json_t *object, const struct lw_job_step *step)
{
	const struct lw_outcome *expected = step->expected;
	const char *unit = step->check->unit;
	const struct lw_job_band *band;
	char text[VIEW_BAND_MAX];
	json_t *expect;

	if (expected == NULL) {
		view_null(view, object, "expect");
		return;
	}
	view_band(text, sizeof text, expected, unit);
	expect = view_object(view, object, "expect");
	band = step->bands != NULL
		   ? &step->bands[expected - step->check->outcomes]
		   : NULL;
	put_number(view, expect, "low",
	    band != NULL ? band->has_from && band->text != NULL
			 : expected->has_from && expected->from_says == NULL,
	    band != NULL ? band->from : expected->from);
	put_number(view, expect, "high",
	    band != NULL ? band->has_below && band->text != NULL
			 : expected->has_below && expected->below_says == NULL,
	    band != NULL ? band->below : expected->below);
	view_text(view, expect, "unit", unit);
	view_text(view, expect, "text",
	    step->expect_text[0] != '\0' ? step->expect_text
	    : text[0] != '\0'		 ? text
					 : expected->title);
	view_text(view, expect, "why", step->expect_why);
	view_bool(view, expect, "wide", step->wide);
}

static void
put_outcomes(struct view *view, json_t *object, const struct lw_job_step *step)
{
	const struct lw_check *check = step->check;
	json_t *list = view_list(view, object, "outcomes"), *outcome;
	size_t i;

	for (i = 0; i < check->outcome_count; i++) {
		outcome = view_add(view, list);
		view_int(view, outcome, "n", (int64_t)i + 1);
		view_words(view, outcome, "outcome", check->outcomes[i].id);
		view_text(view, outcome, "title", check->outcomes[i].title);
		put_band(view, outcome, step, i);
		view_bool(
		    view, outcome, "expected", check->outcomes[i].expected);
	}
}

/* A value of the vehicle that would say it closer. */
static void
put_asks(struct view *view, json_t *object, const struct lw_value *value)
{
	json_t *asks, *list, *choice;
	size_t i;

	if (value == NULL) {
		view_null(view, object, "asks");
		return;
	}
	asks = view_object(view, object, "asks");
	view_words(view, asks, "key", value->id);
	view_words(view, asks, "title", value->title);
	view_text(view, asks, "help", value->help);
	view_text(view, asks, "where", value->where);
	view_text(view, asks, "unit",
	    value->unit != NULL && strcmp(value->unit, "number") == 0
		? NULL
		: value->unit);
	view_bool(view, asks, "is_choice", value->choices != NULL);
	list = view_list(view, asks, "choices");
	for (i = 0; value->choices != NULL && value->choices[i] != NULL; i++) {
		choice = view_add(view, list);
		view_words(view, choice, "choice", value->choices[i]);
		view_words(view, choice, "title", value->choice_titles[i]);
	}
}

/* What the step is for; an item of the catalogue is for nothing yet. */
static void
put_purpose(struct view *view, json_t *object, const struct lw_job_step *step)
{
	static const struct {
		const char *key;
		enum lw_purpose purpose;
	} bools[] = {
	    {"is_tree", LW_PURPOSE_TREE},
	    {"is_pick", LW_PURPOSE_PICK},
	    {"is_fix", LW_PURPOSE_FIX},
	    {"is_proof", LW_PURPOSE_PROOF},
	    {"is_again", LW_PURPOSE_AGAIN},
	    {"is_safe", LW_PURPOSE_SAFE},
	    {"is_next", LW_PURPOSE_NEXT},
	};
	bool known = false, is;
	size_t i;

	for (i = 0; i < sizeof bools / sizeof bools[0]; i++) {
		is = step->purpose == bools[i].purpose;
		known = known || is;
		view_bool(view, object, bools[i].key, is);
	}
	view_text(view, object, "purpose",
	    known ? lw_purpose_name(step->purpose) : NULL);
}

/* Where it stands on a way into a power state. */
static void
put_way(struct view *view, json_t *object, const struct lw_job_step *step)
{
	bool leads = step->into != LW_POWER_UNKNOWN;

	view_bool(view, object, "gate", step->gate);
	view_bool(view, object, "compulsory", step->compulsory);
	view_text(view, object, "then",
	    step->then != NULL ? step->then->title : NULL);
	view_text(
	    view, object, "into", leads ? lw_power_name(step->into) : NULL);
	view_text(view, object, "into_title",
	    leads ? lw_power_title(step->into) : NULL);
	view_number(view, object, "part", (int64_t)step->part);
	view_number(view, object, "parts", (int64_t)step->parts);
}

static void
put_texts(
    struct view *view, json_t *list, const char *const *texts, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		view_add_text(view, list, texts[i]);
}

static void
put_points(struct view *view, json_t *object, const struct lw_job_step *step)
{
	json_t *list;
	size_t i;

	view_point(view, object, "black", step->black, step->black_own);
	view_point(view, object, "red", step->red, step->red_own);
	list = view_list(view, object, "points");
	for (i = 0; i < step->point_count; i++)
		view_put_point(view, view_add(view, list), step->points[i],
		    step->point_owns != NULL ? step->point_owns[i] : NULL);
}

static void
put_cautions(struct view *view, json_t *object, const struct lw_job_step *step)
{
	json_t *list = view_list(view, object, "cautions");
	bool standing, brief, any = false, any_brief = false;
	size_t i;

	for (i = 0; i < step->caution_count; i++) {
		standing = step->standing != NULL && step->standing[i];
		any = any || standing;
		/* What can kill is never cut short. */
		brief =
		    standing && step->cautions[i]->signal != LW_SIGNAL_DANGER;
		any_brief = any_brief || brief;
		view_caution(view, list, step->cautions[i]);
		view_bool(view, json_array_get(list, i), "standing", standing);
		view_bool(view, json_array_get(list, i), "brief", brief);
	}
	view_bool(view, object, "has_standing", any);
	view_bool(view, object, "has_brief", any_brief);
}

void
view_step(struct view *view, json_t *object, const struct lw_job_step *step)
{
	const struct lw_check *check = step->check;
	json_t *list, *child;
	size_t i;

	view_words(view, object, "check", check->id);
	view_words(view, object, "title", check->title);
	view_text(view, object, "ask", check->ask);
	put_purpose(view, object, step);
	list = view_list(view, object, "do");
	for (i = 0; i < step->instruction_count; i++) {
		child = view_add(view, list);
		view_int(view, child, "n", (int64_t)i + 1);
		view_words(view, child, "text", step->instructions[i]);
	}
	view_words(view, object, "power", lw_power_name(check->power));
	view_words(view, object, "power_title", lw_power_title(check->power));
	put_way(view, object, step);
	put_texts(view, view_list(view, object, "figures"), step->figures,
	    step->figure_count);
	put_texts(view, view_list(view, object, "missing"), step->missing,
	    step->missing_count);
	view_text(view, object, "why", step->why);
	view_text(view, object, "reason", check->reason);
	if (check->minutes > 0)
		view_real(view, object, "minutes", check->minutes);
	else
		view_null(view, object, "minutes");
	view_text(view, object, "meter", lw_meter_name(check->meter));
	view_bool(view, object, "reading", check->unit != NULL);
	view_text(view, object, "unit", check->unit);
	put_points(view, object, step);
	list = view_list(view, object, "needs");
	for (i = 0; i < check->tools.count; i++)
		view_add_text(view, list, check->tools.items[i].text);
	put_cautions(view, object, step);
	put_expect(view, object, step);
	put_outcomes(view, object, step);
	put_asks(view, object, step->asks);
	put_texts(view, view_list(view, object, "lacks"), step->lacks,
	    step->lack_count);
	view_text(view, object, "accuracy", step->accuracy);
	view_bool(view, object, "usual_accuracy", step->usual_accuracy);
	view_text(view, object, "mistake", check->mistake);
	view_text(view, object, "source", check->source);
}
