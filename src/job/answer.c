/* Reads an answer to a check and judges a reading against its bands; units
 * and numbers are left to meter, recording to job. */
#include "job/answer.h"

#include "base/buf.h"
#include "base/err.h"
#include "base/utf8.h"
#include "job/plausible.h"
#include "job/quote.h"

#include <lampwright/pattern.h>
#include <lampwright/reading.h>

#include <string.h>
#include <strings.h>

static bool
is_space(char c)
{
	return c == ' ' || (c >= '\t' && c <= '\r');
}

static bool
is_band(const struct lw_outcome *outcome)
{
	return outcome->has_from || outcome->has_below;
}

static bool
takes_reading(const struct lw_check *check)
{
	size_t i;

	for (i = 0; check->unit != NULL && i < check->outcome_count; i++)
		if (is_band(&check->outcomes[i]))
			return true;
	return false;
}

const struct lw_outcome *
answer_judge(const struct lw_check *check, double value)
{
	const struct lw_outcome *outcome;
	size_t i;

	for (i = 0; i < check->outcome_count; i++) {
		outcome = &check->outcomes[i];
		if (is_band(outcome) &&
		    (!outcome->has_from || value >= outcome->from) &&
		    (!outcome->has_below || value < outcome->below))
			return outcome;
	}
	return NULL;
}

/* Whether the check can give a value below zero at all. */
static bool
may_be_negative(const struct lw_check *check)
{
	const struct lw_outcome *outcome;
	size_t i;

	if (check->meter == LW_METER_TEMPERATURE)
		return true;
	for (i = 0; i < check->outcome_count; i++) {
		outcome = &check->outcomes[i];
		if ((outcome->has_from && outcome->from < 0) ||
		    (outcome->has_below && outcome->below < 0))
			return true;
	}
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

static bool
is_outcome(const struct lw_check *check, const char *id)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (strcmp(check->outcomes[i].id, id) == 0)
			return true;
	return false;
}

/* With what would be an answer: "low, sound, cannot, ... or skip". */
static enum lw_status
refuse(const struct lw_check *check, const char *text, struct lw_err *err)
{
	bool reading = takes_reading(check);
	char quoted[QUOTE_SIZE];
	struct buf list;
	size_t i;

	buf_init(&list, 400);
	for (i = 0; i < check->outcome_count; i++) {
		if (list.length + strlen(check->outcomes[i].id) > 200) {
			buf_add(&list, "..., ");
			break;
		}
		buf_printf(&list, "%s, ", check->outcomes[i].id);
	}
	buf_printf(&list, "cannot, differs%s",
	    is_outcome(check, "not-reproduced") ? "" : ", not-reproduced");
	err_set(err, LW_BAD_INPUT,
	    "\"%s\" is no answer to this check; give %s%s%s%s or skip",
	    quote(quoted, text), reading ? "a reading in " : "",
	    reading ? check->unit : "", reading ? ", or one of " : "one of ",
	    buf_text(&list));
	buf_clear(&list);
	return LW_BAD_INPUT;
}

static bool
is_text(const char *text, size_t length, const char *name)
{
	return name != NULL && strlen(name) == length &&
	       strncasecmp(text, name, length) == 0;
}

/* Whether it was meant as a number, so that what is wrong with the number is
 * worth more than a list of outcomes. */
static bool
looks_like_number(const char *text, size_t length)
{
	if (length > 0 && (*text == '-' || *text == '+')) {
		text++;
		length--;
	}
	if (length > 0 && (*text == '.' || *text == ','))
		text++, length--;
	return length > 0 && *text >= '0' && *text <= '9';
}

static enum lw_status
read_value(struct answer *answer, const struct lw_check *check,
    const struct lw_rig *rig, const char *text, bool sure, struct lw_err *err)
{
	char quoted[QUOTE_SIZE];
	enum lw_status status;
	double value;

	status = lw_reading_parse(&value, text, check->unit, err);
	if (status == LW_OK)
		status = plausible_check(check, rig, value, sure, err);
	if (status != LW_OK)
		return status;
	if (value < 0 && !may_be_negative(check)) {
		if (!sure || lw_meter_needs_isolation(check->meter))
			return refuse_negative(check, value, err);
		/* Never made positive, and never judged as a low one. */
		answer->kind = LW_FINDING_DIFFERS;
		answer->has_value = true;
		answer->value = value;
		return LW_OK;
	}
	answer->outcome = answer_judge(check, value);
	if (answer->outcome == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "no outcome of this check covers \"%s\"; read again, or "
		    "answer cannot or skip",
		    quote(quoted, text));
	answer->has_value = true;
	answer->value = value;
	return LW_OK;
}

/* What puts a check aside, by its word; 0 for none. */
static enum lw_finding_kind
aside_word(const char *text, size_t length)
{
	static const struct {
		const char *word;
		enum lw_finding_kind kind;
	} words[] = {
	    {"cannot", LW_FINDING_CANNOT},
	    {"differs", LW_FINDING_DIFFERS},
	    {"not-reproduced", LW_FINDING_NOT_SEEN},
	    {"skip", LW_FINDING_SKIP},
	};
	size_t i;

	for (i = 0; i < sizeof words / sizeof words[0]; i++)
		if (is_text(text, length, words[i].word))
			return words[i].kind;
	return 0;
}

enum lw_status
answer_read(struct answer *answer, const struct lw_check *check,
    const struct lw_rig *rig, const char *text, bool sure, struct lw_err *err)
{
	char typed[LW_TYPED_MAX + 1];
	size_t length = strlen(text), i;
	enum lw_status status;

	memset(answer, 0, sizeof *answer);
	while (length > 0 && is_space(*text)) {
		text++;
		length--;
	}
	while (length > 0 && is_space(text[length - 1]))
		length--;
	if (utf8_valid(text, length) != length)
		return err_set(err, LW_BAD_INPUT,
		    "the answer is not UTF-8 text; type it again");
	if (length > LW_TYPED_MAX)
		return err_set(err, LW_TOO_BIG,
		    "the answer is longer than %d bytes; give one outcome or "
		    "one reading",
		    LW_TYPED_MAX);
	answer->kind = LW_FINDING_CHECK;
	for (i = 0; i < check->outcome_count; i++)
		if (is_text(text, length, check->outcomes[i].id)) {
			answer->outcome = &check->outcomes[i];
			return LW_OK;
		}
	answer->kind = aside_word(text, length);
	if (answer->kind != 0)
		return LW_OK;
	answer->kind = LW_FINDING_CHECK;
	memcpy(typed, text, length);
	typed[length] = '\0';
	status = LW_BAD_INPUT;
	if (takes_reading(check)) {
		status = read_value(answer, check, rig, typed, sure, err);
		if (status == LW_OK)
			return LW_OK;
	}
	for (i = 0; i < check->outcome_count; i++)
		if (is_text(text, length, check->outcomes[i].title)) {
			answer->outcome = &check->outcomes[i];
			return LW_OK;
		}
	if (takes_reading(check) && looks_like_number(text, length))
		return status;
	return refuse(check, typed, err);
}
