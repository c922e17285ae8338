/* Readings: a number as a meter shows or a person types it, and its unit.
 * What the value means is left to whoever asked. */
#include <lampwright/reading.h>

#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"
#include "meter/unit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
	LONGEST = 100,	    /* bytes of a text that may be a reading */
	EXPONENT_MAX = 400, /* beyond, nothing is finite or above zero */
};

/* The pieces of a text that is a number and perhaps a unit. */
struct typed {
	char digits[LONGEST + 1]; /* sign, digits, point: no exponent */
	int exponent;
	size_t unit; /* where the unit begins in the text */
	size_t unit_length;
	const struct unit *letter; /* of 4k7 and the like */
};

static unsigned
column(const char *text, size_t at)
{
	return (unsigned)utf8_count(text, at) + 1;
}

static bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/* Bytes of a space, of those that people type in numbers; 0 for none. */
static size_t
space_at(const char *text)
{
	if (*text == ' ' || *text == '\t')
		return 1;
	if (strncmp(text, "\xC2\xA0", 2) == 0)
		return 2;
	if (strncmp(text, "\xE2\x80\xAF", 3) == 0 ||
	    strncmp(text, "\xE2\x80\x89", 3) == 0)
		return 3;
	return 0;
}

static size_t
skip_spaces(const char *text, size_t at)
{
	size_t n;

	while ((n = space_at(text + at)) > 0)
		at += n;
	return at;
}

/* The end of the text without trailing space. */
static size_t
trimmed(const char *text, size_t at)
{
	size_t end = at;

	while (text[at] != '\0') {
		size_t n = space_at(text + at);

		at += n > 0 ? n : 1;
		if (n == 0)
			end = at;
	}
	return end;
}

/* 4k7, 4R7, 3V3, 4u7: the letter stands where the point would. */
static const struct unit *
letter_unit(const char *text)
{
	switch (*text) {
	case 'k':
	case 'K':
	case 'M':
	case 'R':
	case 'V':
		return unit_find(text, 1, true);
	case 'u':
		return unit_find("uF", 2, false);
	case 'n':
		return unit_find("nF", 2, false);
	default:
		return NULL;
	}
}

/* The sign; gives the place after it. */
static size_t
read_sign(struct typed *typed, size_t *used, const char *text, size_t at)
{
	bool minus = false;

	if (text[at] == '+') {
		at++;
	} else if (text[at] == '-') {
		minus = true;
		at++;
	} else if (strncmp(text + at, "\xE2\x88\x92", 3) == 0 ||
		   strncmp(text + at, "\xE2\x80\x93", 3) == 0) {
		minus = true;
		at += 3;
	}
	if (minus)
		typed->digits[(*used)++] = '-';
	return skip_spaces(text, at);
}

/* An exponent, where there is one; gives the place after it. */
static size_t
read_exponent(struct typed *typed, const char *text, size_t at)
{
	size_t start = at;
	bool minus = false;

	if (text[at] != 'e' && text[at] != 'E')
		return start;
	at++;
	if (text[at] == '+' || text[at] == '-')
		minus = text[at++] == '-';
	if (!is_digit(text[at]))
		return start;
	for (; is_digit(text[at]); at++)
		if (typed->exponent < EXPONENT_MAX)
			typed->exponent =
			    typed->exponent * 10 + (text[at] - '0');
	if (minus)
		typed->exponent = -typed->exponent;
	return at;
}

/* A comma or point that comes a second time, or groups thousands. */
static enum lw_status
refuse_marks(const char *text, size_t at, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0, column(text, at),
	    "a number has one decimal mark and no thousands separators; "
	    "write 3200 or 3.2");
}

static enum lw_status
read_number(struct typed *typed, const char *text, struct lw_err *err)
{
	size_t at = skip_spaces(text, 0), used = 0, mark = 0, start, n;
	size_t before = 0, after = 0;
	char marked = '\0';

	at = read_sign(typed, &used, text, at);
	start = at;
	for (;; at++) {
		if (is_digit(text[at])) {
			typed->digits[used++] = text[at];
			*(marked != '\0' ? &after : &before) += 1;
		} else if (text[at] == '.' || text[at] == ',') {
			if (marked != '\0')
				return refuse_marks(text, at, err);
			marked = text[at];
			mark = at;
			typed->digits[used++] = '.';
		} else if (marked == '\0' && before > 0 &&
			   letter_unit(text + at) != NULL &&
			   is_digit(text[at + 1])) {
			marked = text[at];
			mark = at;
			typed->letter = letter_unit(text + at);
			typed->digits[used++] = '.';
		} else {
			break;
		}
	}
	if (before + after == 0)
		return err_set_at(err, LW_BAD_INPUT, 0, column(text, start),
		    "a reading begins with a number, such as 12.4 or 0.185");
	if (marked == ',' && after == 3 && before >= 1 && before <= 3 &&
	    text[start] != '0')
		return err_set_at(err, LW_BAD_INPUT, 0, column(text, mark),
		    "\"%.*s\" could mean two things; write %.*s.%.*s or "
		    "%.*s%.*s",
		    (int)(at - start), text + start, (int)before, text + start,
		    (int)after, text + mark + 1, (int)before, text + start,
		    (int)after, text + mark + 1);
	typed->digits[used] = '\0';
	if (typed->letter == NULL)
		at = read_exponent(typed, text, at);
	n = skip_spaces(text, at);
	if (is_digit(text[n]) || text[n] == '\'')
		return err_set_at(err, LW_BAD_INPUT, 0, column(text, n),
		    "write the number without spaces or marks between its "
		    "digits, such as 3200");
	typed->unit = n;
	typed->unit_length = trimmed(text, n) - n;
	return LW_OK;
}

/* A word for "more than the range shows"; gives the place after it. */
static size_t
overload_at(const char *text)
{
	static const char *const words[] = {"open circuit", "open", "overload",
	    "over load", "overrange", "O.L.", "O.L", "OL", "0L", "0.L",
	    "\xE2\x88\x9E"};
	size_t at = skip_spaces(text, 0), i, n;

	if (text[at] == '+')
		at++;
	for (i = 0; i < sizeof words / sizeof words[0]; i++) {
		n = strlen(words[i]);
		if (!unit_letters_match(text + at, words[i], n))
			continue;
		at += n;
		if (text[at] == '\0' || space_at(text + at) > 0)
			return skip_spaces(text, at);
		at -= n;
	}
	return 0;
}

static enum lw_status
refuse_kind(const char *text, size_t at, const struct unit *got,
    const struct unit *want, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0, column(text, at),
	    "%s measures %s, but this reading is in %s; give it in %s",
	    got->name, unit_kind_title(got->kind), unit_kind_title(want->kind),
	    want->name);
}

static enum lw_status
refuse_unit(const char *text, size_t at, size_t length, const struct unit *want,
    struct lw_err *err)
{
	char near[120];
	size_t i, shown = utf8_whole(text + at, length < 20 ? length : 20);

	if (length == 1 && text[at] == 'm' && unit_milli_is_unclear(want->kind))
		return err_set_at(err, LW_BAD_INPUT, 0, column(text, at),
		    "\"m\" could mean two things; write %s",
		    want->kind == UNIT_OHMS ? "mohm or Mohm" : "ms or min");
	unit_nearest(near, sizeof near, text + at, length, want->kind);
	/* Nothing that drives a terminal is shown back. */
	for (i = 0; i < shown; i++)
		if ((unsigned char)text[at + i] < 0x20 || text[at + i] == 0x7F)
			shown = i;
	return err_set_at(err, LW_BAD_INPUT, 0, column(text, at),
	    "\"%.*s\" is not a unit that is known; write %s", (int)shown,
	    text + at, near);
}

/* The unit that the text gives, or the one that was asked for. */
static enum lw_status
settle_unit(const struct unit **unit, const char *text, size_t at,
    size_t length, const struct unit *want, struct lw_err *err)
{
	*unit = want;
	if (length == 0)
		return LW_OK;
	*unit = unit_find(text + at, length, true);
	if (*unit == NULL)
		return refuse_unit(text, at, length, want, err);
	if ((*unit)->kind != want->kind)
		return refuse_kind(text, at, *unit, want, err);
	return LW_OK;
}

static enum lw_status
read_overload(double *value, const char *text, size_t at,
    const struct unit *want, struct lw_err *err)
{
	const struct unit *unit;
	enum lw_status status;

	if (want->kind != UNIT_OHMS)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    column(text, skip_spaces(text, 0)),
		    "OL means more than the range can show; set a higher "
		    "range and give the reading in %s",
		    want->name);
	status =
	    settle_unit(&unit, text, at, trimmed(text, at) - at, want, err);
	if (status == LW_OK)
		*value = HUGE_VAL;
	return status;
}

/* The value in the unit wanted. Powers of ten go into the decimal's own
 * exponent, so that 185 mV is 0.185 V to the last bit. */
static bool
convert(double *value, const struct typed *typed, const struct unit *from,
    const struct unit *to)
{
	char text[LONGEST + 32];
	int exponent = typed->exponent + from->exponent - to->exponent;
	double number;

	snprintf(text, sizeof text, "%se%d", typed->digits, exponent);
	if (!num_parse(&number, text, strlen(text)))
		return false;
	if (from->times != to->times)
		number = number * from->times / to->times;
	if (!isfinite(number))
		return false;
	*value = number;
	return true;
}

bool
lw_unit_known(const char *unit)
{
	size_t length = strlen(unit);

	/* Space around it is a reading's to have, not a pack's. */
	return skip_spaces(unit, 0) == 0 && trimmed(unit, 0) == length &&
	       unit_find(unit, length, false) != NULL;
}

enum lw_status
lw_reading_parse(
    double *value, const char *text, const char *unit, struct lw_err *err)
{
	const struct unit *want = unit_find(unit, strlen(unit), false), *from;
	struct typed typed = {.exponent = 0};
	size_t length = strnlen(text, LONGEST + 1), valid, at;
	enum lw_status status;

	if (want == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "the check asks for a unit that is not known; it has to "
		    "be one such as V, A or ohm");
	if (length > LONGEST)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    column(text, utf8_whole(text, LONGEST)),
		    "this is too long for a reading; write a number and a "
		    "unit, such as 12.4 %s",
		    want->name);
	valid = utf8_valid(text, length);
	if (valid < length)
		return err_set_at(err, LW_BAD_INPUT, 0, column(text, valid),
		    "the reading is not valid UTF-8; write a number and a "
		    "unit, such as 12.4 %s",
		    want->name);
	at = overload_at(text);
	if (at > 0)
		return read_overload(value, text, at, want, err);
	status = read_number(&typed, text, err);
	if (status != LW_OK)
		return status;
	from = typed.letter;
	if (from == NULL) {
		status = settle_unit(
		    &from, text, typed.unit, typed.unit_length, want, err);
		if (status != LW_OK)
			return status;
	} else if (from->kind != want->kind) {
		return refuse_kind(text, skip_spaces(text, 0), from, want, err);
	} else if (typed.unit_length > 0) {
		/* 4k7 ohm: the unit may be said once more. */
		const struct unit *said =
		    unit_find(text + typed.unit, typed.unit_length, false);

		if (said == NULL || said->kind != from->kind ||
		    said->exponent != 0)
			return refuse_unit(
			    text, typed.unit, typed.unit_length, want, err);
	}
	if (!convert(value, &typed, from, want))
		return err_set_at(err, LW_BAD_INPUT, 0,
		    column(text, skip_spaces(text, 0)),
		    "this number is too large for a reading; write it in %s",
		    want->name);
	return LW_OK;
}

void
lw_reading_format(char *text, double value, const char *unit)
{
	char number[40];
	size_t room;

	if (isinf(value) && value > 0) {
		snprintf(text, LW_READING_MAX, "OL");
		return;
	}
	if (!isfinite(value)) {
		snprintf(text, LW_READING_MAX, "not a number");
		return;
	}
	num_format(number, sizeof number, value == 0 ? 0 : value);
	room = LW_READING_MAX - 2 - strlen(number);
	snprintf(text, LW_READING_MAX, "%s %.*s", number,
	    (int)utf8_whole(unit, strnlen(unit, room)), unit);
}
