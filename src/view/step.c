/* One check as a step: where the probes go, the power state and its cautions,
 * what to expect. Which check it is, is left to the job. */
#include "view/parts.h"

#include <lampwright/reading.h>

#include <stdio.h>
#include <string.h>

void
view_band(
    char *text, size_t size, const struct lw_outcome *outcome, const char *unit)
{
	char from[LW_READING_MAX] = "", below[LW_READING_MAX] = "";

	text[0] = '\0';
	if (unit == NULL)
		return;
	if (outcome->has_from)
		lw_reading_format(from, outcome->from, unit);
	if (outcome->has_below)
		lw_reading_format(below, outcome->below, unit);
	if (outcome->has_from && outcome->has_below)
		snprintf(text, size, "%s to %s", from, below);
	else if (outcome->has_from)
		snprintf(text, size, "%s or more", from);
	else if (outcome->has_below)
		snprintf(text, size, "below %s", below);
}

/* What a sound vehicle gives; null where the author marked nothing. */
static void
put_expect(struct view *view, json_t *object, const struct lw_job_step *step)
{
	const struct lw_outcome *expected = step->expected;
	const char *unit = step->check->unit;
	char band[2 * LW_READING_MAX + 8];
	json_t *expect;

	if (expected == NULL) {
		view_null(view, object, "expect");
		return;
	}
	view_band(band, sizeof band, expected, unit);
	expect = view_object(view, object, "expect");
	if (expected->has_from)
		view_real(view, expect, "low", expected->from);
	else
		view_null(view, expect, "low");
	if (expected->has_below)
		view_real(view, expect, "high", expected->below);
	else
		view_null(view, expect, "high");
	view_text(view, expect, "unit", unit);
	if (step->expect_text[0] != '\0')
		view_text(view, expect, "text", step->expect_text);
	else
		view_text(view, expect, "text",
		    band[0] != '\0' ? band : expected->title);
}

static void
put_outcomes(struct view *view, json_t *object, const struct lw_check *check)
{
	json_t *list = view_list(view, object, "outcomes"), *outcome;
	char band[2 * LW_READING_MAX + 8];
	size_t i;

	for (i = 0; i < check->outcome_count; i++) {
		outcome = view_add(view, list);
		view_band(band, sizeof band, &check->outcomes[i], check->unit);
		view_int(view, outcome, "n", (int64_t)i + 1);
		view_words(view, outcome, "outcome", check->outcomes[i].id);
		view_text(view, outcome, "title", check->outcomes[i].title);
		view_text(view, outcome, "band", band);
		view_bool(
		    view, outcome, "expected", check->outcomes[i].expected);
	}
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
	list = view_list(view, object, "do");
	for (i = 0; i < check->steps.count; i++) {
		child = view_add(view, list);
		view_int(view, child, "n", (int64_t)i + 1);
		view_words(view, child, "text", check->steps.items[i].text);
	}
	view_words(view, object, "power", lw_power_name(check->power));
	view_words(view, object, "power_title", lw_power_title(check->power));
	view_bool(view, object, "gate", step->gate);
	view_text(view, object, "then",
	    step->then != NULL ? step->then->title : NULL);
	view_text(view, object, "reason", check->reason);
	if (check->minutes > 0)
		view_real(view, object, "minutes", check->minutes);
	else
		view_null(view, object, "minutes");
	view_text(view, object, "meter", lw_meter_name(check->meter));
	view_bool(view, object, "reading", check->unit != NULL);
	view_text(view, object, "unit", check->unit);
	view_point(view, object, "black", step->black);
	view_point(view, object, "red", step->red);
	list = view_list(view, object, "points");
	for (i = 0; i < step->point_count; i++) {
		child = view_add(view, list);
		view_words(view, child, "point", step->points[i]->id);
		view_words(view, child, "title", step->points[i]->title);
		view_text(view, child, "where", step->points[i]->where);
	}
	list = view_list(view, object, "needs");
	for (i = 0; i < check->tools.count; i++)
		view_add_text(view, list, check->tools.items[i].text);
	list = view_list(view, object, "cautions");
	for (i = 0; i < step->caution_count; i++)
		view_caution(view, list, step->cautions[i]);
	put_expect(view, object, step);
	put_outcomes(view, object, check);
	view_text(view, object, "mistake", check->mistake);
	view_text(view, object, "source", check->source);
}
