/* Reads a number and a unit as people type them, whatever the locale. What
 * they make together is left to meter/reading.c and meter/quantity_parse.c. */
#include "meter/typed.h"

#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

unsigned
typed_column(const char *text, size_t at)
{
	return (unsigned)utf8_count(text, at) + 1;
}

bool
typed_is_digit(char c)
{
	return c >= '0' && c <= '9';
}

size_t
typed_space(const char *text)
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

size_t
typed_skip_spaces(const char *text, size_t at)
{
	size_t n;

	while ((n = typed_space(text + at)) > 0)
		at += n;
	return at;
}

size_t
typed_trimmed(const char *text, size_t at, size_t end)
{
	size_t trimmed = at;

	while (at < end) {
		size_t n = typed_space(text + at);

		at += n > 0 ? n : 1;
		if (n == 0)
			trimmed = at;
	}
	return trimmed;
}

size_t
typed_minus(const char *text)
{
	if (*text == '-')
		return 1;
	if (strncmp(text, "\xE2\x88\x92", 3) == 0 ||
	    strncmp(text, "\xE2\x80\x93", 3) == 0)
		return 3;
	return 0;
}

enum lw_status
typed_check(const char *text, const char *unit, struct lw_err *err)
{
	size_t length = strnlen(text, TYPED_LONGEST + 1), valid;

	if (length > TYPED_LONGEST)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    typed_column(text, utf8_whole(text, TYPED_LONGEST)),
		    "this is too long for a value; write a number and a unit, "
		    "such as 12.4 %s",
		    unit);
	valid = utf8_valid(text, length);
	if (valid < length)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    typed_column(text, valid),
		    "this is not valid UTF-8; write a number and a unit, such "
		    "as 12.4 %s",
		    unit);
	return LW_OK;
}

/* 4k7, 4R7, 3V3, 4u7: the letter stands where the point would. */
static const struct unit *
letter_unit(const char *text, enum unit_kind kind)
{
	switch (*text) {
	case 'k':
	case 'K':
	case 'M':
	case 'R':
		return unit_find_of(text, 1, UNIT_OHMS);
	case 'V':
		return unit_find_of("V", 1, UNIT_VOLTS);
	case 'u':
		return unit_find_of(
		    "u", 1, kind == UNIT_HENRIES ? UNIT_HENRIES : UNIT_FARADS);
	case 'n':
		return unit_find_of("nF", 2, UNIT_FARADS);
	case 'p':
		return unit_find_of("pF", 2, UNIT_FARADS);
	default:
		return NULL;
	}
}

/* The sign; gives the place after it and after spaces. */
static size_t
read_sign(struct typed *typed, size_t *used, const char *text, size_t at)
{
	size_t n = typed_minus(text + at);

	if (n > 0)
		typed->digits[(*used)++] = '-';
	else if (text[at] == '+')
		n = 1;
	return typed_skip_spaces(text, at + n);
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
	if (!typed_is_digit(text[at]))
		return start;
	for (; typed_is_digit(text[at]); at++)
		if (typed->exponent < TYPED_EXPONENT_MAX)
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
	return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, at),
	    "a number has one decimal mark and no thousands separators; "
	    "write 3200 or 3.2");
}

/* A comma that could be the decimal mark, or group thousands. */
static enum lw_status
refuse_comma(
    const char *text, size_t start, size_t mark, size_t end, struct lw_err *err)
{
	int before = (int)(mark - start), after = (int)(end - mark - 1);

	return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, mark),
	    "\"%.*s\" could mean two things; write %.*s.%.*s or %.*s%.*s",
	    (int)(end - start), text + start, before, text + start, after,
	    text + mark + 1, before, text + start, after, text + mark + 1);
}

/* Whether a letter stands for the mark here: amid digits, or R before them. */
static const struct unit *
letter_at(const char *text, size_t at, size_t before, enum unit_kind kind)
{
	if (text[at] == '\0' || !typed_is_digit(text[at + 1]) ||
	    (before == 0 && text[at] != 'R'))
		return NULL;
	return letter_unit(text + at, kind);
}

enum lw_status
typed_number(struct typed *typed, const char *text, size_t at,
    enum unit_kind kind, struct lw_err *err)
{
	size_t used = 0, mark = 0, before = 0, after = 0;
	const struct unit *letter;
	char marked = '\0';

	*typed = (struct typed){.exponent = 0};
	typed->sign = typed_skip_spaces(text, at);
	at = read_sign(typed, &used, text, typed->sign);
	typed->at = at;
	for (;; at++) {
		letter = NULL;
		if (typed_is_digit(text[at])) {
			typed->digits[used++] = text[at];
			*(marked != '\0' ? &after : &before) += 1;
			continue;
		}
		if (marked == '\0')
			letter = letter_at(text, at, before, kind);
		if (letter == NULL && text[at] != '.' && text[at] != ',')
			break;
		/* "470 ohm, 5 %" and "470, 5 %": this one ends a part. */
		if (text[at] == ',' && typed_space(text + at + 1) > 0)
			break;
		if (marked != '\0')
			return refuse_marks(text, at, err);
		marked = text[at];
		mark = at;
		typed->letter = letter;
		typed->digits[used++] = '.';
	}
	if (before + after == 0)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    typed_column(text, typed->at),
		    "a value begins with a number, such as 12.4 or 0.185");
	if (marked == ',' && after == 3 && before >= 1 && before <= 3 &&
	    text[typed->at] != '0')
		return refuse_comma(text, typed->at, mark, at, err);
	typed->digits[used] = '\0';
	typed->places = (int)after;
	if (typed->letter == NULL)
		at = read_exponent(typed, text, at);
	typed->end = at;
	typed->rest = typed_skip_spaces(text, at);
	return LW_OK;
}

enum lw_status
typed_refuse_groups(
    const struct typed *typed, const char *text, struct lw_err *err)
{
	const char *rest = text + typed->rest;

	if (!typed_is_digit(rest[0]) &&
	    !(rest[0] == '\'' && typed_is_digit(rest[1])))
		return LW_OK;
	return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, typed->rest),
	    "write the number without spaces or marks between its digits, "
	    "such as 3200");
}

bool
typed_value(double *value, const struct typed *typed, int shift)
{
	char text[TYPED_LONGEST + 32];

	snprintf(
	    text, sizeof text, "%se%d", typed->digits, typed->exponent + shift);
	return num_parse(value, text, strlen(text));
}

enum lw_status
typed_refuse_kind(const char *text, size_t at, const struct unit *got,
    const struct unit *want, struct lw_err *err)
{
	if (want->kind == UNIT_NUMBER)
		return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, at),
		    "\"%s\" measures %s, but what is asked for is a bare "
		    "number; "
		    "leave the unit out",
		    got->name, unit_kind_title(got->kind));
	return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, at),
	    "\"%s\" measures %s, but what is asked for is %s; give it in %s",
	    got->name, unit_kind_title(got->kind), unit_kind_title(want->kind),
	    want->name);
}

static enum lw_status
refuse_unit(const char *text, size_t at, size_t length, const struct unit *want,
    struct lw_err *err)
{
	char near[120];
	size_t i, shown = utf8_whole(text + at, length < 20 ? length : 20);

	unit_nearest(near, sizeof near, text + at, length,
	    want == NULL ? UNIT_KINDS : want->kind);
	/* Nothing that drives a terminal is shown back. */
	for (i = 0; i < shown; i++)
		if ((unsigned char)text[at + i] < 0x20 || text[at + i] == 0x7F)
			shown = i;
	if (near[0] == '\0')
		return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, at),
		    "\"%.*s\" is not a unit that is known; leave it out",
		    (int)shown, text + at);
	return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, at),
	    "\"%.*s\" is not a unit that is known; write %s", (int)shown,
	    text + at, near);
}

/* Shares of a whole are numbers, and numbers may be given in percent. */
static bool
is_bare(enum unit_kind kind)
{
	return kind == UNIT_NUMBER || kind == UNIT_PERCENT;
}

enum lw_status
typed_unit(const struct unit **unit, const char *text, size_t at, size_t length,
    const struct unit *want, struct lw_err *err)
{
	const struct unit *found;

	if (want != NULL && length == 1 && text[at] == 'm' &&
	    unit_milli_is_unclear(want->kind))
		return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, at),
		    "\"m\" could mean two things; write %s",
		    want->kind == UNIT_OHMS ? "mohm or Mohm" : "ms or min");
	found = want == NULL ? unit_find(text + at, length, true)
			     : unit_find_of(text + at, length, want->kind);
	if (found == NULL)
		return refuse_unit(text, at, length, want, err);
	if (want != NULL && found->kind != want->kind &&
	    !(is_bare(found->kind) && want->kind == UNIT_NUMBER))
		return typed_refuse_kind(text, at, found, want, err);
	*unit = found;
	return LW_OK;
}

enum lw_status
typed_unit_again(const struct unit *letter, const char *text, size_t at,
    size_t length, struct lw_err *err)
{
	const struct unit *said = unit_find_of(text + at, length, letter->kind);

	if (said == NULL || said->kind != letter->kind || said->exponent != 0)
		return refuse_unit(text, at, length, letter, err);
	return LW_OK;
}
