/* Writes a quantity so that it reads back to the last bit. The shortest way
 * to write its tolerance is searched for among those that
 * meter/quantity_tolerance.c reads. */
#include "meter/quantity_inside.h"

#include "base/num.h"
#include "meter/gauge.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
	DIGITS_MAX = 15,  /* that a rounded number may have */
	DIGITS_SHORT = 5, /* that are shown without need */
	NEIGHBOURS = 8,	  /* doubles that rounding may be off */
	NUMBER_MAX = 32,
};

/* How a side's number leads to an end of the range. */
enum form { PERCENT, BY, OVER };

struct search {
	const struct lw_quantity *quantity;
	const struct unit *unit;
	enum form form;
	bool high; /* the upper side */
};

/* Whether the number leads to the end that the quantity has. */
static bool
leads(const struct search *search, double number)
{
	struct lw_quantity tried = *search->quantity;
	double below = search->high ? 0 : number;
	double above = search->high ? number : 0;

	if (search->form == OVER)
		return unit_from(search->unit, number) ==
		       (search->high ? tried.high : tried.low);
	if (number < 0 || (search->form == PERCENT && number > 100) ||
	    (search->unit->kind == UNIT_PERCENT && number > 100))
		return false;
	if (search->form == PERCENT)
		(void)quantity_spread_percent(&tried, below, above);
	else
		(void)quantity_spread_by(&tried, search->unit, below, above);
	return search->high ? tried.high == search->quantity->high
			    : tried.low == search->quantity->low;
}

static double
estimate(const struct search *search)
{
	const struct lw_quantity *q = search->quantity;
	double apart = search->high ? q->high - q->value : q->value - q->low;

	switch (search->form) {
	case PERCENT:
		return q->value == 0 ? 0 : apart / fabs(q->value) * 100;
	case BY:
		return unit_shift(apart * search->unit->over,
			   -search->unit->exponent) /
		       search->unit->times;
	default:
		return unit_in(search->unit, search->high ? q->high : q->low);
	}
}

/* The number with the fewest digits, up to so many, that leads to the end. */
static bool
find(double *number, const struct search *search, int digits)
{
	double near = estimate(search), below = near, above = near;
	int i;

	if (!isfinite(near))
		return false;
	for (i = 1; i <= digits && i <= DIGITS_MAX; i++) {
		*number = num_round(near, i);
		if (leads(search, *number))
			return true;
	}
	for (i = 0; digits > DIGITS_MAX && i <= NEIGHBOURS; i++) {
		*number = below;
		if (leads(search, below))
			return true;
		*number = above;
		if (leads(search, above))
			return true;
		below = nextafter(below, -HUGE_VAL);
		above = nextafter(above, HUGE_VAL);
	}
	return false;
}

static const char *
spaced(const char *unit)
{
	return unit[0] == '\0' ? "" : " ";
}

static void
write_number(char *text, double number)
{
	num_format(text, NUMBER_MAX, number == 0 ? 0 : number);
}

/* "470 ohm" */
static void
write_plain(char *text, const struct lw_quantity *quantity)
{
	const struct unit *unit = quantity_unit(quantity);
	char number[NUMBER_MAX];

	if (unit != NULL && unit_is_gauge(unit)) {
		gauge_write(text, (int)quantity->number);
		return;
	}
	write_number(number, quantity->number);
	snprintf(text, LW_QUANTITY_MAX, "%s%s%s", number,
	    spaced(quantity->unit), quantity->unit);
}

/* Add " +/-5 %" or " -20/+50 %" with numbers of so many digits; false where
 * there are none. */
static bool
add_spread(char *text, const struct lw_quantity *quantity, enum form form,
    bool even, int digits)
{
	const struct unit *unit = quantity_unit(quantity);
	struct search search = {quantity, unit, form, false};
	char low[NUMBER_MAX], high[NUMBER_MAX];
	const char *name = form == PERCENT ? "%" : quantity->unit;
	size_t used = strlen(text);
	double below, above;

	/* A midpoint need not be what its number is. */
	if (unit_from(unit, quantity->number) != quantity->value)
		return false;
	if (form == PERCENT
		? unit->kind == UNIT_CELSIUS || unit->kind == UNIT_PERCENT
		: unit_is_gauge(unit))
		return false;
	if (!find(&below, &search, digits))
		return false;
	search.high = true;
	above = below;
	if (even ? !leads(&search, below) : !find(&above, &search, digits))
		return false;
	write_number(low, below);
	write_number(high, above);
	if (even)
		snprintf(text + used, LW_QUANTITY_MAX - used, " \xC2\xB1%s%s%s",
		    low, spaced(name), name);
	else
		snprintf(text + used, LW_QUANTITY_MAX - used, " -%s/+%s%s%s",
		    low, high, spaced(name), name);
	return true;
}

/* "20 to 30 A" instead of the number and its tolerance. */
static bool
write_range(char *text, const struct lw_quantity *quantity, int digits)
{
	const struct unit *unit = quantity_unit(quantity);
	struct search search = {quantity, unit, OVER, false};
	struct lw_quantity tried;
	char from[NUMBER_MAX], to[NUMBER_MAX];
	double low, high;

	if (unit_is_gauge(unit) || !find(&low, &search, digits))
		return false;
	search.high = true;
	if (!find(&high, &search, digits) ||
	    !quantity_spread_over(&tried, unit, low, high) ||
	    tried.value != quantity->value || tried.number != quantity->number)
		return false;
	write_number(from, low);
	write_number(to, high);
	snprintf(text, LW_QUANTITY_MAX, "%s to %s%s%s", from, to,
	    spaced(quantity->unit), quantity->unit);
	return true;
}

/* A range that was typed as one: it has no last digit. */
static bool
is_range(const struct lw_quantity *quantity)
{
	return quantity->step == 0 && !unit_is_gauge(quantity_unit(quantity));
}

/* The forms from the plainest; at first only with numbers that are short. */
static bool
write_tolerance(char *text, const struct lw_quantity *quantity, int digits)
{
	return (is_range(quantity) && write_range(text, quantity, digits)) ||
	       add_spread(text, quantity, PERCENT, true, digits) ||
	       add_spread(text, quantity, BY, true, digits) ||
	       add_spread(text, quantity, PERCENT, false, digits) ||
	       write_range(text, quantity, digits) ||
	       add_spread(text, quantity, BY, false, digits);
}

/* What no text says to the last bit is said to four digits. */
static void
write_near(char *text, const struct lw_quantity *quantity)
{
	const struct unit *unit = quantity_unit(quantity);
	char low[NUMBER_MAX], high[NUMBER_MAX];

	write_number(low, num_round(unit_in(unit, quantity->low), 4));
	write_number(high, num_round(unit_in(unit, quantity->high), 4));
	snprintf(text, LW_QUANTITY_MAX, "%s to %s%s%s", low, high,
	    spaced(quantity->unit), quantity->unit);
}

void
lw_quantity_format(char *text, const struct lw_quantity *quantity)
{
	write_plain(text, quantity);
	if (!quantity->toleranced || quantity_unit(quantity) == NULL)
		return;
	if (!write_tolerance(text, quantity, DIGITS_SHORT) &&
	    !write_tolerance(text, quantity, DIGITS_MAX) &&
	    !write_tolerance(text, quantity, DIGITS_MAX + 2))
		write_near(text, quantity);
}
