/* Says what a check should give on the vehicle: the expected band, what it is
 * worked out from, and what is not known. The bands are left to bands.c. */
#include "job/expect.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"
#include "job/bands.h"

#include <lampwright/reading.h>

#include <stdio.h>
#include <string.h>

const struct lw_outcome *
expect_outcome(const struct lw_check *check)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (check->outcomes[i].expected)
			return &check->outcomes[i];
	return NULL;
}

/* The expected band in words; its title where it has none. */
static void
say_band(char *text, size_t size, const struct bands *bands,
    const struct lw_check *check)
{
	const struct lw_outcome *outcome = expect_outcome(check);
	const struct lw_job_band *band;
	static const char more[] = " or more";
	const char *words, *end, *wide;
	int length;

	text[0] = '\0';
	if (outcome == NULL)
		return;
	band = &bands->shown[outcome - check->outcomes];
	words = band->text != NULL ? band->text : outcome->title;
	wide = band->is_band && !band->sure ? ", at the widest" : "";
	end = band->is_band && band->text != NULL ? strstr(words, more) : NULL;
	if (band->is_band && band->text == NULL)
		length = snprintf(text, size,
		    "%s (not known in numbers for this vehicle)",
		    outcome->title);
	else if (end != NULL)
		length = snprintf(text, size, "at least %.*s%s",
		    (int)(end - words), words, wide);
	else
		length = snprintf(text, size, "%s%s", words, wide);
	if (length >= 0 && (size_t)length >= size)
		text[utf8_whole(text, size - 1)] = '\0';
}

enum lw_status
expect_text(char *text, size_t size, struct lw_arena *arena,
    const struct lw_check *check, const struct lw_rig *vehicle,
    struct lw_err *err)
{
	struct bands bands;
	enum lw_status status;

	text[0] = '\0';
	status = bands_find(&bands, arena, check, vehicle, err);
	if (status == LW_OK)
		say_band(text, size, &bands, check);
	return status;
}

/* What a value is, as people say it. */
static const char *
shown_value(const struct lw_rig_value *value)
{
	const struct lw_value *def = value->value;
	size_t i;

	for (i = 0; def->kind == LW_VALUE_CHOICE && def->choices[i] != NULL;
	     i++)
		if (value->text != NULL &&
		    strcmp(def->choices[i], value->text) == 0)
			return def->choice_titles[i];
	return value->text != NULL ? value->text : "not known";
}

static const char *
shown_origin(const struct lw_rig_value *value)
{
	if (value->known == LW_KNOWN_WORKED)
		return " (worked out)";
	if (value->known == LW_KNOWN_USUAL)
		return " (the usual; nobody said)";
	return value->usual_tolerance ? " (the tolerance is the usual one)"
				      : "";
}

/* "Worked out from: Cells in series 24; Kind of cells lead-acid." */
static enum lw_status
say_why(struct lw_job_step *step, struct lw_arena *arena,
    const struct bands *bands, struct lw_err *err)
{
	const char *why = "Worked out from: ";
	size_t i;

	if (bands->use_count == 0)
		return LW_OK;
	for (i = 0; i < bands->use_count && why != NULL; i++)
		why = arena_printf(arena, "%s%s %s%s%s", why,
		    bands->uses[i]->value->title, shown_value(bands->uses[i]),
		    shown_origin(bands->uses[i]),
		    i + 1 < bands->use_count ? "; " : ".");
	step->expect_why = why;
	return why == NULL ? err_no_memory(err) : LW_OK;
}

/* Whether a person was asked for a value in this job, whatever the answer. */
static bool
was_asked(const void *context, const char *key)
{
	const struct findings *findings = context;
	size_t i;

	for (i = 0; i < findings->count; i++)
		if (findings->items[i].kind == LW_FINDING_VALUE &&
		    findings->items[i].subject != NULL &&
		    strcmp(findings->items[i].subject, key) == 0)
			return true;
	return false;
}

static enum lw_status
list_lacks(struct lw_job_step *step, struct lw_arena *arena,
    const struct bands *bands, struct lw_err *err)
{
	const char **lacks =
	    arena_array(arena, bands->lack_count, sizeof *lacks);
	size_t i;

	if (bands->lack_count == 0)
		return LW_OK;
	if (lacks == NULL)
		return err_no_memory(err);
	for (i = 0; i < bands->lack_count; i++) {
		lacks[i] = bands_lack(arena, bands->lacks[i]);
		if (lacks[i] == NULL)
			return err_no_memory(err);
	}
	step->lacks = lacks;
	step->lack_count = bands->lack_count;
	return LW_OK;
}

static enum lw_status
say_meter(struct lw_job_step *step, struct lw_arena *arena,
    const struct lw_rig *vehicle, struct lw_err *err)
{
	struct bands_meter meter;
	char text[64];

	bands_meter_find(&meter, step->check, vehicle);
	if (!meter.known)
		return LW_OK;
	accuracy_format(text, &meter.accuracy);
	step->usual_accuracy = meter.usual;
	step->accuracy = arena_dup(arena, text);
	return step->accuracy == NULL ? err_no_memory(err) : LW_OK;
}

enum lw_status
expect_fill(struct lw_job_step *step, struct lw_arena *arena,
    const struct situation *at, struct lw_err *err)
{
	const struct lw_check *check = step->check;
	struct bands bands;
	enum lw_status status;

	step->expected = expect_outcome(check);
	status = bands_find(&bands, arena, check, at->vehicle, err);
	if (status != LW_OK)
		return status;
	say_band(step->expect_text, sizeof step->expect_text, &bands, check);
	if (bands.count == 0)
		return LW_OK;
	step->bands = bands.shown;
	step->wide = step->expected != NULL &&
		     !bands.shown[step->expected - check->outcomes].sure;
	status = say_why(step, arena, &bands, err);
	if (status == LW_OK)
		status = list_lacks(step, arena, &bands, err);
	/* Nothing more is kept on a rig that was taken out of the lists. */
	if (at->rig == NULL || !at->rig->removed)
		step->asks =
		    bands_ask(&bands, at->vehicle, was_asked, &at->findings);
	return status == LW_OK ? say_meter(step, arena, at->vehicle, err)
			       : status;
}
