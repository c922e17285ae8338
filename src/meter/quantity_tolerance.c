/* A quantity's tolerance: how it is typed after the value, and what it makes
 * of the two ends. */
#include "meter/quantity_inside.h"

#include "base/err.h"

#include <math.h>
#include <string.h>

bool
quantity_spread_percent(
    struct lw_quantity *quantity, double below, double above)
{
	double size = fabs(quantity->value);

	quantity->low = quantity->value - size * (below / 100);
	quantity->high = quantity->value + size * (above / 100);
	quantity->toleranced = true;
	return isfinite(quantity->low) && isfinite(quantity->high);
}

bool
quantity_spread_by(struct lw_quantity *quantity, const struct unit *unit,
    double below, double above)
{
	quantity->low = quantity->value - unit_delta(unit, below);
	quantity->high = quantity->value + unit_delta(unit, above);
	quantity->toleranced = true;
	return isfinite(quantity->low) && isfinite(quantity->high);
}

bool
quantity_spread_over(struct lw_quantity *quantity, const struct unit *unit,
    double low, double high)
{
	/* Near another zero than ours a number has more digits than its value,
	 * so it is taken as it reads back. */
	if (unit->offset != 0) {
		low = unit_in(unit, unit_from(unit, low));
		high = unit_in(unit, unit_from(unit, high));
	}
	quantity->low = unit_from(unit, low);
	quantity->high = unit_from(unit, high);
	quantity->value = quantity->low / 2 + quantity->high / 2;
	quantity->number = unit_in(unit, quantity->value);
	quantity->toleranced = true;
	return isfinite(quantity->low) && isfinite(quantity->high) &&
	       isfinite(quantity->number);
}

size_t
quantity_plus_minus(const char *text)
{
	static const char *const signs[] = {
	    "\xC2\xB1", "+/-", "+-", "+/\xE2\x88\x92"};
	size_t i;

	for (i = 0; i < sizeof signs / sizeof signs[0]; i++)
		if (strncmp(text, signs[i], strlen(signs[i])) == 0)
			return strlen(signs[i]);
	return 0;
}

/* One side of a tolerance: a number, and a unit or none. */
struct side {
	double number;
	const struct unit *unit; /* NULL: none was said */
	size_t at;
	size_t unit_at;
	size_t end;
	bool minus; /* its own sign */
	bool plus;
};

static enum lw_status
bad(const char *text, size_t at, const char *sentence, struct lw_err *err)
{
	return err_set_at(
	    err, LW_BAD_INPUT, 0, typed_column(text, at), "%s", sentence);
}

static const char *const FORMS =
    "a tolerance is written \"5 %\", \"+/- 0.5 V\" or \"-20/+50 %\"";

/* The unit of a side ends where quantity_unit_end says, or at the stroke that
 * leads to the other side. */
static size_t
side_unit_end(const char *text, size_t at)
{
	size_t end = quantity_unit_end(text, at), i, next;

	for (i = at; i < end; i++) {
		next = i + 1;
		if (text[i] == ')')
			return i;
		if (text[i] == '/' &&
		    (text[next] == '+' || typed_minus(text + next) > 0))
			return i;
	}
	return end;
}

static enum lw_status
read_side(struct side *side, const char *text, size_t at,
    const struct unit *unit, struct lw_err *err)
{
	struct typed typed;
	enum lw_status status;
	size_t end;
	char first;

	status = typed_number(&typed, text, at, unit->kind, err);
	if (status == LW_OK)
		status = typed_refuse_groups(&typed, text, err);
	if (status != LW_OK)
		return status;
	first = text[typed.sign];
	*side = (struct side){.at = typed.sign, .unit = typed.letter};
	side->plus = first == '+';
	side->minus = !side->plus && typed.sign < typed.at;
	if (typed.digits[0] == '-')
		memmove(typed.digits, typed.digits + 1, strlen(typed.digits));
	if (!typed_value(&side->number, &typed, 0))
		return bad(text, side->at,
		    "this number is too large for a tolerance", err);
	side->unit_at = typed.rest;
	end = side_unit_end(text, typed.rest);
	side->end = end;
	end = typed_trimmed(text, typed.rest, end);
	if (end == typed.rest)
		return LW_OK;
	if (typed.letter != NULL)
		return typed_unit_again(
		    typed.letter, text, typed.rest, end - typed.rest, err);
	side->unit =
	    unit_find_of(text + typed.rest, end - typed.rest, unit->kind);
	if (side->unit != NULL && side->unit->kind == UNIT_PERCENT)
		return LW_OK;
	return typed_unit(
	    &side->unit, text, typed.rest, end - typed.rest, unit, err);
}

/* What a side is in, where nothing or its neighbour says so. */
static enum lw_status
settle(struct side *side, const struct side *neighbour, const struct unit *unit,
    const char *text, struct lw_err *err)
{
	bool percent;

	if (side->unit == NULL)
		side->unit = neighbour->unit;
	if (side->unit == NULL && unit->kind == UNIT_NUMBER)
		side->unit = unit;
	if (side->unit == NULL)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    typed_column(text, side->unit_at),
		    unit_is_gauge(unit) || unit->kind == UNIT_PERCENT
			? "say what the tolerance is in: write %% after it"
			: "say what the tolerance is in: write %% or %s after "
			  "it",
		    unit->name);
	percent = side->unit->kind == UNIT_PERCENT;
	if (percent && unit->kind == UNIT_CELSIUS)
		return bad(text, side->at,
		    "the tolerance of a temperature is given in degrees, such "
		    "as +/- 2 degC",
		    err);
	if (unit_is_gauge(side->unit))
		return bad(text, side->at,
		    "the tolerance of a wire size is given in percent", err);
	if (percent && side->number > 100)
		return bad(text, side->at,
		    "a tolerance over 100 % says nothing of the value; write "
		    "a smaller one, or in a unit",
		    err);
	return LW_OK;
}

static enum lw_status
apply(struct lw_quantity *quantity, const struct unit *unit,
    const struct side *below, const struct side *above, const char *text,
    struct lw_err *err)
{
	bool percent = below->unit->kind == UNIT_PERCENT, finite;

	if (percent != (above->unit->kind == UNIT_PERCENT) ||
	    (!percent && below->unit != above->unit))
		return bad(text, above->unit_at,
		    "both sides of a tolerance have to be in one unit", err);
	/* Of a percentage it is in points: 95 % +/- 2 % is 93 to 97. */
	if (percent && unit->kind != UNIT_PERCENT)
		finite = quantity_spread_percent(
		    quantity, below->number, above->number);
	else
		finite = quantity_spread_by(
		    quantity, below->unit, below->number, above->number);
	if (!finite)
		return bad(text, below->at,
		    "this tolerance leads to a number that is too large", err);
	return LW_OK;
}

/* What may stand before a tolerance without meaning anything. */
static size_t
skip_opening(const char *text, size_t at, bool *bracket)
{
	static const char *const words[] = {"tolerance", "tol"};
	size_t i, n;

	*bracket = false;
	for (;;) {
		at = typed_skip_spaces(text, at);
		if (text[at] == '(' && !*bracket)
			*bracket = true;
		else if (text[at] != ',' && text[at] != ';')
			break;
		at++;
	}
	for (i = 0; i < sizeof words / sizeof words[0]; i++) {
		n = strlen(words[i]);
		if (unit_letters_match(text + at, words[i], n) &&
		    typed_space(text + at + n) > 0)
			return typed_skip_spaces(text, at + n);
	}
	return at;
}

/* The second side, after a stroke, a comma or a space; false: there is none. */
static bool
second_at(const char *text, size_t *at)
{
	size_t next = typed_skip_spaces(text, *at);

	if (text[next] == '/' || text[next] == ',')
		next = typed_skip_spaces(text, next + 1);
	if (text[next] != '+' && typed_minus(text + next) == 0)
		return false;
	*at = next;
	return true;
}

static enum lw_status
check_end(const char *text, size_t at, bool bracket, struct lw_err *err)
{
	at = typed_skip_spaces(text, at);
	if (bracket && text[at] == ')')
		at = typed_skip_spaces(text, at + 1);
	return text[at] == '\0' ? LW_OK : bad(text, at, FORMS, err);
}

/* "-20/+50 %", either side first. */
static enum lw_status
read_two(struct lw_quantity *quantity, const struct unit *unit,
    const struct side *first, const char *text, size_t at, bool bracket,
    struct lw_err *err)
{
	struct side below = *first, above;
	enum lw_status status;

	status = read_side(&above, text, at, unit, err);
	if (status != LW_OK)
		return status;
	status = check_end(text, above.end, bracket, err);
	if (status != LW_OK)
		return status;
	if (below.minus == above.minus)
		return bad(text, above.at, FORMS, err);
	if (above.minus) {
		struct side kept = below;

		below = above;
		above = kept;
	}
	status = settle(&below, &above, unit, text, err);
	if (status == LW_OK)
		status = settle(&above, &below, unit, text, err);
	if (status != LW_OK)
		return status;
	return apply(quantity, unit, &below, &above, text, err);
}

enum lw_status
quantity_read_tolerance(struct lw_quantity *quantity, const struct unit *unit,
    const char *text, size_t at, struct lw_err *err)
{
	struct side side;
	enum lw_status status;
	size_t sign;
	bool bracket;

	at = skip_opening(text, at, &bracket);
	sign = quantity_plus_minus(text + at);
	at = typed_skip_spaces(text, at + sign);
	if (sign == 0 && !typed_is_digit(text[at]) && text[at] != '.' &&
	    text[at] != '+' && typed_minus(text + at) == 0)
		return bad(text, at, FORMS, err);
	status = read_side(&side, text, at, unit, err);
	if (status != LW_OK)
		return status;
	at = side.end;
	if (sign == 0 && (side.minus || side.plus)) {
		if (!second_at(text, &at))
			return bad(text, side.at,
			    side.minus ? "a tolerance is not below zero; with "
					 "one side alone write it \"-5/+0 %\""
				       : "with one side alone write the "
					 "tolerance \"-0/+5 %\"",
			    err);
		return read_two(quantity, unit, &side, text, at, bracket, err);
	}
	status = check_end(text, at, bracket, err);
	if (status != LW_OK)
		return status;
	if (sign == 0 && side.unit != NULL && side.unit->kind != UNIT_PERCENT)
		return bad(text, side.at, FORMS, err);
	if (side.minus)
		return bad(text, side.at,
		    "a tolerance is not below zero; write it as \"+/- 5 %\"",
		    err);
	status = settle(&side, &side, unit, text, err);
	if (status != LW_OK)
		return status;
	return apply(quantity, unit, &side, &side, text, err);
}
