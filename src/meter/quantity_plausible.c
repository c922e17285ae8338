/* Reads a quantity that has limits, by which what could be meant in two ways
 * is settled. How it is written is left to meter/quantity_parse.c. */
#include "meter/quantity_inside.h"

#include "base/err.h"
#include "base/num.h"
#include "meter/unit_table.h"

#include <stdio.h>
#include <string.h>

enum { DIGITS = 6, EITHER_MAX = 2 * LW_QUANTITY_MAX + 16 };

struct limits {
	bool there;
	double low;
	double high;
	const struct unit *unit;
};

static bool
within(const struct limits *limits, double value)
{
	return !limits->there ||
	       (value >= limits->low && value <= limits->high);
}

/* A number of a unit in a way that leaves no doubt: "0.01 ohm", "10000 kohm",
 * "10 uF", "10 min". */
static void
clearly(char *text, double number, const struct unit *unit)
{
	const struct unit *as = unit;
	char digits[40];

	if (unit == &unit_table[U_MOHM])
		as = &unit_table[U_OHM];
	else if (unit == &unit_table[U_MEGOHM])
		as = &unit_table[U_KOHM];
	else if (unit == &unit_table[U_MF])
		as = &unit_table[U_UF];
	num_format(digits, sizeof digits,
	    unit_shift(number, unit->exponent - as->exponent));
	snprintf(text, LW_QUANTITY_MAX, "%s %s", digits, as->name);
}

/* "0.01 ohm or 10000 kohm" */
static void
either_way(
    char *text, double number, const struct unit *one, const struct unit *other)
{
	char first[LW_QUANTITY_MAX], second[LW_QUANTITY_MAX];

	clearly(first, number, one);
	clearly(second, number, other);
	snprintf(text, EITHER_MAX, "%s or %s", first, second);
}

static enum lw_status
refuse(const struct lw_quantity *quantity, const struct quantity_ask *ask,
    const struct limits *limits, const char *text, struct lw_err *err)
{
	char shown[LW_QUANTITY_MAX], low[LW_QUANTITY_MAX];
	char high[LW_QUANTITY_MAX], other[LW_QUANTITY_MAX];
	unsigned column = typed_column(text, ask->at);

	lw_quantity_format(shown, quantity);
	lw_quantity_say(low, limits->low, limits->unit->name, DIGITS);
	lw_quantity_say(high, limits->high, limits->unit->name, DIGITS);
	if (ask->other != NULL &&
	    within(limits, unit_from(ask->other, quantity->number))) {
		num_format(other, sizeof other, quantity->number);
		return err_set_at(err, LW_BAD_INPUT, 0, column,
		    "%s is not from %s to %s; if %s %s is meant, write that",
		    shown, low, high, other, ask->other->name);
	}
	return err_set_at(err, LW_BAD_INPUT, 0, column,
	    "%s is not from %s to %s; look at the decimal point and the unit",
	    shown, low, high);
}

static enum lw_status
undecided(enum lw_status status, const struct lw_quantity *quantity,
    const struct unit *other, const struct quantity_ask *ask, const char *text,
    struct lw_err *err)
{
	const struct unit *is = quantity_unit(quantity);
	char ways[EITHER_MAX], number[40];

	either_way(ways, quantity->number, is, other);
	num_format(number, sizeof number, quantity->number);
	return err_set_at(err, status, 0, typed_column(text, ask->at),
	    "\"%s\" could mean two things; write %s",
	    ask->was_m	? "m"
	    : ask->bare ? number
			: quantity->unit,
	    ways);
}

/* The two units that a bare m could be. */
static const struct unit *
m_units(const struct unit *want, const struct unit **other)
{
	bool ohms = want->kind == UNIT_OHMS;

	if (!unit_milli_is_unclear(want->kind))
		return NULL;
	*other = &unit_table[ohms ? U_MEGOHM : U_MIN];
	return &unit_table[ohms ? U_MOHM : U_MS];
}

/* A bare m: the one of the two that is plausible. */
static enum lw_status
settle_m(struct lw_quantity *quantity, struct quantity_ask *ask,
    const struct unit *other_unit, const struct limits *limits,
    const char *text, bool sure, struct lw_err *err)
{
	struct quantity_ask other_ask = {.want = ask->want, .m_is = other_unit};
	struct lw_quantity other;
	enum lw_status status;

	status = quantity_read(&other, &other_ask, text, err);
	if (status != LW_OK)
		return status;
	if (within(limits, quantity->value) == within(limits, other.value))
		return undecided(sure ? LW_BAD_INPUT : LW_UNDECIDED, quantity,
		    other_unit, ask, text, err);
	if (within(limits, other.value))
		*quantity = other;
	return LW_OK;
}

static void
find_limits(
    struct limits *limits, const struct unit *unit, double low, double high)
{
	double one = unit_from(unit, low), other = unit_from(unit, high);

	/* The larger number of AWG is the thinner wire. */
	*limits = (struct limits){low != high, one < other ? one : other,
	    one < other ? other : one, unit};
}

enum lw_status
lw_quantity_parse_plausible(struct lw_quantity *quantity, const char *text,
    const char *unit, double low, double high, bool sure, struct lw_err *err)
{
	struct quantity_ask ask = {.want = unit_named(unit)};
	const struct unit *other = NULL;
	struct lw_quantity read;
	enum lw_status status;
	struct limits limits;

	if (ask.want == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "what is asked for is in a unit that is not known; it has "
		    "to be one such as V, A or ohm");
	ask.m_is = m_units(ask.want, &other);
	status = quantity_read(&read, &ask, text, err);
	if (status != LW_OK)
		return status;
	find_limits(&limits, ask.want, low, high);
	if (ask.was_m)
		status = settle_m(&read, &ask, other, &limits, text, sure, err);
	else if (!within(&limits, read.value))
		return refuse(&read, &ask, &limits, text, err);
	else if (!sure && ask.other != NULL &&
		 within(&limits, unit_from(ask.other, read.number)))
		status =
		    undecided(LW_UNDECIDED, &read, ask.other, &ask, text, err);
	if (status == LW_OK)
		*quantity = read;
	return status;
}
