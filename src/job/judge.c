/* Judges a reading against the bands of its check on the vehicle, as far as
 * the meter's accuracy and what is known of the vehicle allow. Words that are
 * an answer are left to answer. */
#include "job/judge.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"
#include "job/bands.h"
#include "job/plausible.h"
#include "job/quote.h"
#include "meter/verdict.h"

#include <lampwright/reading.h>

#include <math.h>
#include <string.h>

/* Finer than so a range of a hand-held meter is not. */
static const double FINEST = 1e-4;

struct judging {
	struct answer *answer;
	struct lw_arena *arena;
	const struct answer_to *to;
	struct bands bands;
	struct verdict verdict;
	struct bands_meter meter;
	struct lw_err *err;
};

static bool
is_band(const struct lw_outcome *outcome)
{
	return outcome->has_from || outcome->has_below;
}

bool
judge_takes_reading(const struct lw_check *check)
{
	size_t i;

	for (i = 0; check->unit != NULL && i < check->outcome_count; i++)
		if (is_band(&check->outcomes[i]))
			return true;
	return false;
}

/* Whether the check can give a value below zero at all. */
static bool
may_be_negative(const struct lw_check *check, const struct bands *bands)
{
	size_t i;

	if (check->meter == LW_METER_TEMPERATURE)
		return true;
	for (i = 0; i < bands->count; i++)
		if ((bands->chain[i].from.there &&
			bands->chain[i].from.high < 0) ||
		    (bands->chain[i].below.there &&
			bands->chain[i].below.high < 0))
			return true;
	return false;
}

static enum lw_status
refuse_negative(const struct lw_check *check, double value, struct lw_err *err)
{
	char text[LW_READING_MAX];

	lw_reading_format(text, value, check->unit);
	if (lw_meter_needs_isolation(check->meter))
		return err_set(err, LW_BAD_INPUT,
		    "%s cannot be: a voltage that is left in the circuit "
		    "misleads the meter, so prove it dead again before "
		    "reading again",
		    text);
	return err_set(err, LW_BAD_INPUT,
	    "%s is below zero: are the probes swapped, or is the polarity "
	    "really reversed; with the probes as shown, read again and say so "
	    "if it stays",
	    text);
}

/* Kept with its value, and the check put aside. */
static void
keep_unjudged(struct answer *answer)
{
	answer->kind = LW_FINDING_DIFFERS;
	answer->outcome = NULL;
}

static enum lw_status
take_negative(const struct judging *judging)
{
	const struct answer_to *to = judging->to;

	if (!to->sure || lw_meter_needs_isolation(to->check->meter))
		return refuse_negative(
		    to->check, judging->answer->value, judging->err);
	/* Never made positive, and never judged as a low one. */
	keep_unjudged(judging->answer);
	return LW_OK;
}

/* --- too close to call -----------------------------------------------------
 */

static const struct lw_outcome *
outcome_of(const struct judging *judging, size_t band)
{
	return &judging->to->check->outcomes[judging->bands.outcomes[band]];
}

/* "Cells in series, Kind of cells". */
static const char *
list_lacks(const struct judging *judging)
{
	const struct bands *bands = &judging->bands;
	const char *list = "", *lack;
	size_t i;

	for (i = 0; i < bands->lack_count && list != NULL; i++) {
		lack = bands_lack(judging->arena, bands->lacks[i]);
		list = lack == NULL ? NULL
				    : arena_printf(judging->arena, "%s%s%s",
					  list, i == 0 ? "" : ", ", lack);
	}
	return list;
}

static enum lw_status
doubt_by_rig(const struct judging *judging)
{
	const char *lacks = list_lacks(judging);
	char text[LW_READING_MAX];

	lw_reading_format(
	    text, judging->answer->value, judging->to->check->unit);
	if (lacks == NULL)
		return err_no_memory(judging->err);
	if (judging->bands.lack_count == 0)
		return err_set(judging->err, LW_UNDECIDED,
		    "%s cannot be judged on this vehicle (%s); answer with "
		    "the outcome that it is by the maker's papers; if it "
		    "stays, the reading is kept and the check put aside",
		    text,
		    judging->bands.trouble != NULL
			? judging->bands.trouble
			: "its values leave no band");
	return err_set(judging->err, LW_UNDECIDED,
	    "%s cannot be judged while this is not known of the vehicle: %s; "
	    "say it, or answer with the outcome that it is by the maker's "
	    "papers; if it stays, the reading is kept and the check put aside",
	    text, lacks);
}

/* What would settle it, as the end of a sentence. */
static const char *
settled_by(const struct judging *judging)
{
	const struct answer *answer = judging->answer;
	const char *unit = judging->to->check->unit;
	double margin = judging->verdict.margin, step;
	char text[LW_READING_MAX];

	for (step = answer->step / 10; step >= FINEST; step /= 10) {
		if (accuracy_expanded(&judging->meter.accuracy, answer->value,
			step) >= margin)
			continue;
		lw_reading_format(text, step, unit);
		return arena_printf(judging->arena,
		    "read again on a range that shows steps of %s, and type "
		    "every digit",
		    text);
	}
	if (margin <= 0)
		return "it lies right on the line, so read again, and type "
		       "every digit that the meter shows";
	lw_reading_format(text, num_round(margin, 2), unit);
	return arena_printf(judging->arena,
	    "a meter that is within %s would settle it, or a second reading "
	    "further from the line",
	    text);
}

static enum lw_status
doubt_by_meter(const struct judging *judging, const struct lw_outcome *counts)
{
	const struct verdict *verdict = &judging->verdict;
	const struct lw_outcome *one = outcome_of(judging, verdict->band);
	const struct lw_outcome *other = outcome_of(judging, verdict->other);
	const char *unit = judging->to->check->unit;
	char text[LW_READING_MAX], edge[LW_READING_MAX], off[LW_READING_MAX];
	const char *settled = settled_by(judging);
	char meter[64];

	if (settled == NULL)
		return err_no_memory(judging->err);
	accuracy_format(meter, &judging->meter.accuracy);
	lw_reading_format(text, judging->answer->value, unit);
	lw_reading_format(edge, verdict->edge, unit);
	lw_reading_format(off, num_round(judging->answer->spread, 2), unit);
	return err_set(judging->err, LW_UNDECIDED,
	    "%s is too close to %s to call between \"%s\" and \"%s\": the "
	    "meter may be off by %s (%s%s); %s; if it stays, it counts as "
	    "\"%s\"",
	    text, edge, one->title, other->title, off, meter,
	    judging->meter.usual ? ", the usual of such a meter" : "", settled,
	    counts->title);
}

/* What ends a state, or everything, is never left out of account. */
static bool
is_grave(const struct lw_outcome *outcome)
{
	return outcome->stops || outcome->unproves;
}

/* What a reading that is too close counts as: what it is nearest to, but
 * never what lets somebody go on to a live circuit. */
static enum lw_status
take_close(const struct judging *judging)
{
	const struct verdict *verdict = &judging->verdict;
	const struct lw_outcome *one = outcome_of(judging, verdict->band);
	const struct lw_outcome *other = outcome_of(judging, verdict->other);
	struct answer *answer = judging->answer;
	bool swap = (judging->to->strict && one->expected) ||
		    (is_grave(other) && !is_grave(one));

	if (verdict->by_rig) {
		if (!judging->to->sure)
			return doubt_by_rig(judging);
		keep_unjudged(answer);
		return LW_OK;
	}
	answer->outcome = swap ? other : one;
	answer->also = swap ? one : other;
	return judging->to->sure ? LW_OK
				 : doubt_by_meter(judging, answer->outcome);
}

static enum lw_status
judge(struct judging *judging, const char *text)
{
	struct answer *answer = judging->answer;
	const struct answer_to *to = judging->to;
	char quoted[QUOTE_SIZE];

	bands_meter_find(&judging->meter, to->check, to->vehicle);
	if (judging->meter.known)
		answer->spread = accuracy_expanded(
		    &judging->meter.accuracy, answer->value, answer->step);
	if (judging->bands.count == 0)
		return err_set(judging->err, LW_BAD_INPUT,
		    "no outcome of this check covers \"%s\"; read again, or "
		    "answer cannot or skip",
		    quote(quoted, text));
	verdict_judge(&judging->verdict, judging->bands.chain,
	    judging->bands.count, answer->value, answer->spread);
	if (judging->verdict.close)
		return take_close(judging);
	answer->outcome = outcome_of(judging, judging->verdict.band);
	return LW_OK;
}

enum lw_status
judge_reading(struct answer *answer, struct lw_arena *arena,
    const struct answer_to *to, const char *text, struct lw_err *err)
{
	struct judging judging = {
	    .answer = answer, .arena = arena, .to = to, .err = err};
	struct lw_reading reading;
	enum lw_status status;

	status = lw_reading_read(&reading, text, to->check->unit, err);
	if (status == LW_OK)
		status = plausible_check(
		    to->check, to->vehicle, reading.value, to->sure, err);
	if (status == LW_OK)
		status = bands_find(
		    &judging.bands, arena, to->check, to->vehicle, err);
	if (status != LW_OK)
		return status;
	answer->has_value = true;
	answer->value = reading.value;
	answer->step = reading.step;
	if (answer->value < 0 && !may_be_negative(to->check, &judging.bands))
		return take_negative(&judging);
	return judge(&judging, text);
}
