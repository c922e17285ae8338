/* Reads an answer to a check. Judging a reading is left to judge, recording
 * to answering. */
#include "job/answer.h"

#include "base/buf.h"
#include "base/err.h"
#include "base/utf8.h"
#include "job/judge.h"
#include "job/quote.h"

#include <lampwright/pattern.h>
#include <lampwright/reading.h>

#include <math.h>
#include <string.h>
#include <strings.h>

static bool
is_space(char c)
{
	return c == ' ' || (c >= '\t' && c <= '\r');
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
	bool reading = judge_takes_reading(check);
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

/* "OL" and what else a meter shows above its range. */
static bool
is_overload(const char *text)
{
	double value;

	return lw_reading_parse(&value, text, "ohm", NULL) == LW_OK &&
	       isinf(value);
}

/* Whether it was meant as a reading, so that what is wrong with the reading is
 * worth more than a list of outcomes. */
static bool
looks_like_reading(const char *typed)
{
	const char *text = typed;
	size_t length = strlen(text);

	if (length > 0 && (*text == '-' || *text == '+')) {
		text++;
		length--;
	}
	if (length > 0 && (*text == '.' || *text == ','))
		text++, length--;
	return (length > 0 && *text >= '0' && *text <= '9') ||
	       is_overload(typed);
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
answer_read(struct answer *answer, struct lw_arena *arena,
    const struct answer_to *to, const char *text, struct lw_err *err)
{
	const struct lw_check *check = to->check;
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
	if (judge_takes_reading(check)) {
		status = judge_reading(answer, arena, to, typed, err);
		if (status == LW_OK || status == LW_UNDECIDED)
			return status;
		memset(answer, 0, sizeof *answer);
		answer->kind = LW_FINDING_CHECK;
	}
	for (i = 0; i < check->outcome_count; i++)
		if (is_text(text, length, check->outcomes[i].title)) {
			answer->outcome = &check->outcomes[i];
			return LW_OK;
		}
	if (judge_takes_reading(check) && looks_like_reading(typed))
		return status;
	return refuse(check, typed, err);
}
