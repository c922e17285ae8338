/* Readings: a number as a meter shows or a person types it, and its unit.
 * How a number is typed is left to meter/typed.c, and what the value means to
 * whoever asked. */
#include <lampwright/reading.h>

#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"
#include "meter/typed.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A word for "more than the range shows"; gives the place after it. */
static size_t
overload_at(const char *text)
{
	static const char *const words[] = {"open circuit", "open", "overload",
	    "over load", "overrange", "O.L.", "O.L", "OL", "0L", "0.L",
	    "\xE2\x88\x9E"};
	size_t at = typed_skip_spaces(text, 0), i, n;

	if (text[at] == '+')
		at++;
	for (i = 0; i < sizeof words / sizeof words[0]; i++) {
		n = strlen(words[i]);
		if (!unit_letters_match(text + at, words[i], n))
			continue;
		at += n;
		if (text[at] == '\0' || typed_space(text + at) > 0)
			return typed_skip_spaces(text, at);
		at -= n;
	}
	return 0;
}

static size_t
rest_length(const char *text, size_t at)
{
	return typed_trimmed(text, at, strlen(text)) - at;
}

static enum lw_status
read_overload(struct lw_reading *reading, const char *text, size_t at,
    const struct unit *want, struct lw_err *err)
{
	const struct unit *unit;
	enum lw_status status = LW_OK;
	size_t length = rest_length(text, at);

	if (want->kind != UNIT_OHMS)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    typed_column(text, typed_skip_spaces(text, 0)),
		    "OL means more than the range can show; set a higher "
		    "range and give the reading in %s",
		    want->name);
	if (length > 0)
		status = typed_unit(&unit, text, at, length, want, err);
	if (status == LW_OK)
		*reading = (struct lw_reading){HUGE_VAL, 0};
	return status;
}

/* The value in the unit wanted. Powers of ten go into the decimal's own
 * exponent, so that 185 mV is 0.185 V to the last bit. */
static bool
convert(struct lw_reading *reading, const struct typed *typed,
    const struct unit *from, const struct unit *to)
{
	struct typed last = {
	    .digits = "1", .exponent = typed->exponent - typed->places};
	struct lw_reading read;
	double times;

	if (from->offset != to->offset) {
		if (!typed_value(&read.value, typed, 0) ||
		    !typed_value(&read.step, &last, 0))
			return false;
		read.value = unit_in(to, unit_from(from, read.value));
		read.step *= to->over / from->over;
	} else {
		int shift = from->exponent - to->exponent;

		if (!typed_value(&read.value, typed, shift) ||
		    !typed_value(&read.step, &last, shift))
			return false;
		times = from->times / from->over;
		if (from->times != to->times || from->over != to->over) {
			read.value = read.value * times / to->times * to->over;
			read.step = read.step * times / to->times * to->over;
		}
	}
	if (!isfinite(read.value) || !isfinite(read.step))
		return false;
	*reading = read;
	return true;
}

/* The unit that the text gives, or the one that was asked for. */
static enum lw_status
settle_unit(const struct unit **unit, const char *text,
    const struct typed *typed, const struct unit *want, struct lw_err *err)
{
	size_t length = rest_length(text, typed->rest);

	*unit = want;
	if (typed->letter == NULL)
		return length == 0 ? LW_OK
				   : typed_unit(unit, text, typed->rest, length,
					 want, err);
	*unit = typed->letter;
	if (typed->letter->kind != want->kind)
		return typed_refuse_kind(
		    text, typed->sign, typed->letter, want, err);
	/* 4k7 ohm: the unit may be said once more. */
	return length == 0 ? LW_OK
			   : typed_unit_again(
				 typed->letter, text, typed->rest, length, err);
}

bool
lw_unit_known(const char *unit)
{
	size_t length = strlen(unit);
	const struct unit *found;

	/* Space around it is a reading's to have, not a pack's. */
	if (typed_skip_spaces(unit, 0) != 0 ||
	    typed_trimmed(unit, 0, length) != length)
		return false;
	found = unit_find(unit, length, false);
	return found != NULL && found->kind < UNIT_NUMBER;
}

enum lw_status
lw_reading_read(struct lw_reading *reading, const char *text, const char *unit,
    struct lw_err *err)
{
	const struct unit *want = unit_find(unit, strlen(unit), false), *from;
	struct typed typed;
	enum lw_status status;
	size_t at;

	if (want == NULL || unit_is_gauge(want))
		return err_set(err, LW_BAD_INPUT,
		    "the check asks for a unit that is not known; it has to "
		    "be one such as V, A or ohm");
	status = typed_check(text, want->name, err);
	if (status != LW_OK)
		return status;
	at = overload_at(text);
	if (at > 0)
		return read_overload(reading, text, at, want, err);
	status = typed_number(&typed, text, 0, want->kind, err);
	if (status == LW_OK)
		status = typed_refuse_groups(&typed, text, err);
	if (status == LW_OK)
		status = settle_unit(&from, text, &typed, want, err);
	if (status != LW_OK)
		return status;
	if (!convert(reading, &typed, from, want))
		return err_set_at(err, LW_BAD_INPUT, 0,
		    typed_column(text, typed.sign),
		    "this number is too large for a reading; write it in %s",
		    want->name);
	return LW_OK;
}

enum lw_status
lw_reading_parse(
    double *value, const char *text, const char *unit, struct lw_err *err)
{
	struct lw_reading reading;
	enum lw_status status;

	status = lw_reading_read(&reading, text, unit, err);
	if (status == LW_OK)
		*value = reading.value;
	return status;
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
