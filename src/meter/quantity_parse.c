/* Reads a quantity: a number or a range, a unit, a tolerance. Numbers and
 * units are left to meter/typed.c, wire sizes to meter/gauge.c, what follows
 * them to meter/quantity_tolerance.c. */
#include "meter/quantity_inside.h"

#include "base/err.h"
#include "meter/gauge.h"
#include "meter/unit_table.h"

#include <math.h>
#include <string.h>

/* Whether a digit or a point and a digit stand here. */
static bool
number_at(const char *text)
{
	return typed_is_digit(*text) ||
	       ((*text == '.' || *text == ',') && typed_is_digit(text[1]));
}

/* "to" as a word, after a space or at the beginning of what follows. */
static bool
to_at(const char *text)
{
	return unit_letters_match(text, "to", 2) && typed_space(text + 2) > 0;
}

size_t
quantity_unit_end(const char *text, size_t at)
{
	size_t begin = at, n;
	bool spaced = true;

	while (text[at] != '\0') {
		n = typed_minus(text + at);
		if (strchr("+(;,", text[at]) != NULL ||
		    quantity_plus_minus(text + at) > 0 ||
		    (n > 0 &&
			number_at(text + typed_skip_spaces(text, at + n))) ||
		    (spaced && at > begin && typed_is_digit(text[at])) ||
		    (spaced && (to_at(text + at) ||
				   unit_letters_match(text + at, "tol", 3))))
			break;
		n = typed_space(text + at);
		spaced = n > 0;
		at += n > 0 ? n : 1;
	}
	return at;
}

/* What a text says before its tolerance: a number and a unit. */
struct amount {
	struct typed typed;
	double number;
	const struct unit *unit; /* NULL: none was said */
	size_t unit_length;
	size_t end;
};

static enum lw_status
too_large(const char *text, size_t at, struct lw_err *err)
{
	return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, at),
	    "this number is too large; numbers go up to 1.7e308");
}

/* Whether a number after a space is a tolerance in percent, and not the next
 * three digits of the first: "470 5 %" of ohms. */
static bool
percent_follows(const char *text, const struct typed *typed)
{
	size_t at = typed->rest, begin = at;

	if (typed->rest == typed->end)
		return false;
	while (typed_is_digit(text[at]))
		at++;
	if (at == begin || at - begin == 3)
		return false;
	if (text[at] == '.' || text[at] == ',')
		for (at++; typed_is_digit(text[at]);)
			at++;
	return text[typed_skip_spaces(text, at)] == '%';
}

/* A bare m is milli or M, or minutes: what the caller takes it for. */
static bool
take_m(struct amount *amount, struct quantity_ask *ask, const char *text)
{
	if (ask->m_is == NULL || amount->unit_length != 1 ||
	    text[amount->typed.rest] != 'm')
		return false;
	amount->unit = ask->m_is;
	ask->was_m = true;
	return true;
}

static enum lw_status
read_unit(struct amount *amount, struct quantity_ask *ask, const char *text,
    struct lw_err *err)
{
	const struct typed *typed = &amount->typed;
	size_t length = amount->unit_length;

	amount->unit = typed->letter;
	if (typed->letter == NULL)
		return length == 0 || take_m(amount, ask, text)
			   ? LW_OK
			   : typed_unit(&amount->unit, text, typed->rest,
				 length, ask->want, err);
	if (ask->want != NULL && ask->want->kind != typed->letter->kind)
		return typed_refuse_kind(
		    text, typed->sign, typed->letter, ask->want, err);
	return length == 0 ? LW_OK
			   : typed_unit_again(
				 typed->letter, text, typed->rest, length, err);
}

static enum lw_status
read_amount(struct amount *amount, struct quantity_ask *ask, const char *text,
    size_t at, struct lw_err *err)
{
	enum unit_kind kind = ask->want == NULL ? UNIT_KINDS : ask->want->kind;
	struct typed *typed = &amount->typed;
	enum lw_status status;

	status = typed_number(typed, text, at, kind, err);
	if (status == LW_OK &&
	    (kind == UNIT_PERCENT || !percent_follows(text, typed)))
		status = typed_refuse_groups(typed, text, err);
	if (status != LW_OK)
		return status;
	amount->end = typed_is_digit(text[typed->rest])
			  ? typed->rest
			  : quantity_unit_end(text, typed->rest);
	amount->unit_length =
	    typed_trimmed(text, typed->rest, amount->end) - typed->rest;
	status = read_unit(amount, ask, text, err);
	if (status != LW_OK)
		return status;
	if (!typed_value(&amount->number, typed, 0))
		return too_large(text, typed->sign, err);
	if (amount->number == 0)
		amount->number = 0; /* no -0 */
	return LW_OK;
}

/* Spelled with an m or M that is easily the other, or mF for what is hardly
 * ever written so. */
static const struct unit *
doubtful(const char *unit, size_t length, const struct unit *is)
{
	if (length < 2 || unit_letters_match(unit, "milli", 5) ||
	    unit_letters_match(unit, "meg", 3))
		return NULL;
	if (is == &unit_table[U_MF])
		return &unit_table[U_UF];
	if (is == &unit_table[U_MOHM])
		return &unit_table[U_MEGOHM];
	if (is == &unit_table[U_MEGOHM])
		return &unit_table[U_MOHM];
	return NULL;
}

/* Whether the number after a dash is the end of a range; otherwise it is a
 * tolerance, or meant for one. */
static bool
is_range(const char *text, size_t at, enum unit_kind kind)
{
	return strchr(text + at, '+') == NULL &&
	       (kind == UNIT_PERCENT || strchr(text + at, '%') == NULL);
}

/* Where the second number of a range begins; 0: it is none. */
static size_t
range_at(const char *text, const struct amount *first, const struct unit *want)
{
	size_t at = typed_skip_spaces(text, first->end), n;
	const struct unit *unit = first->unit != NULL ? first->unit : want;

	if (to_at(text + at))
		return typed_skip_spaces(text, at + 2);
	n = typed_minus(text + at);
	if (n == 0 ||
	    !is_range(text, at, unit == NULL ? UNIT_PERCENT : unit->kind))
		return 0;
	return typed_skip_spaces(text, at + n);
}

static void
set_unit(struct lw_quantity *quantity, const struct unit *unit)
{
	quantity->dimension = unit_dimension(unit->kind);
	quantity->unit = unit->name;
}

static enum lw_status
check_value(const struct lw_quantity *quantity, const struct unit *unit,
    const char *text, size_t at, struct lw_err *err)
{
	if (!isfinite(quantity->value))
		return too_large(text, at, err);
	if (unit->kind == UNIT_CELSIUS && quantity->low < 0)
		return err_set_at(err, LW_BAD_INPUT, 0, typed_column(text, at),
		    "nothing is colder than -273.15 degC; look at the number "
		    "and the unit");
	return LW_OK;
}

/* "20 to 30 A", "20-30 A", "500 mA to 2 A". */
static enum lw_status
read_range(struct lw_quantity *quantity, struct quantity_ask *ask,
    struct amount *first, const char *text, size_t at, struct lw_err *err)
{
	struct quantity_ask second_ask = {.want = ask->want};
	const struct unit *unit = first->unit != NULL ? first->unit : ask->want;
	struct amount second;
	enum lw_status status;

	if (second_ask.want == NULL)
		second_ask.want = first->unit;
	status = read_amount(&second, &second_ask, text, at, err);
	if (status != LW_OK)
		return status;
	if (text[typed_skip_spaces(text, second.end)] != '\0')
		return err_set_at(err, LW_BAD_INPUT, 0,
		    typed_column(text, second.end),
		    "nothing follows a range, such as 20 to 30 A");
	if (second.unit != NULL)
		unit = second.unit;
	if (unit == NULL)
		unit = &unit_table[U_NUMBER];
	if (unit_is_gauge(unit) ||
	    (first->unit != NULL && unit_is_gauge(first->unit)))
		return gauge_refuse(text, first->typed.at, err);
	if (first->unit != NULL && first->unit != unit)
		first->number =
		    unit_in(unit, unit_from(first->unit, first->number));
	if (!(first->number <= second.number))
		return err_set_at(err, LW_BAD_INPUT, 0,
		    typed_column(text, second.typed.sign),
		    "a range goes from the lower number to the higher one");
	if (!quantity_spread_over(quantity, unit, first->number, second.number))
		return too_large(text, first->typed.sign, err);
	set_unit(quantity, unit);
	return check_value(quantity, unit, text, first->typed.sign, err);
}

static void
plain(struct lw_quantity *quantity, const struct unit *unit, double number)
{
	quantity->number = number;
	quantity->value = unit_from(unit, number);
	quantity->low = quantity->value;
	quantity->high = quantity->value;
	set_unit(quantity, unit);
}

static enum lw_status
finish(struct lw_quantity *quantity, const struct unit *unit, const char *text,
    size_t at, struct lw_err *err)
{
	if (text[typed_skip_spaces(text, at)] == '\0')
		return LW_OK;
	return quantity_read_tolerance(quantity, unit, text, at, err);
}

static enum lw_status
read_plain(struct lw_quantity *quantity, struct quantity_ask *ask,
    const struct amount *amount, const char *text, struct lw_err *err)
{
	const struct unit *unit = amount->unit;
	struct typed last = {.digits = "1"};
	enum lw_status status;
	double step;

	if (unit == NULL)
		unit = ask->want != NULL ? ask->want : &unit_table[U_NUMBER];
	if (unit_is_gauge(unit))
		return gauge_refuse(text, amount->typed.at, err);
	plain(quantity, unit, amount->number);
	status = check_value(quantity, unit, text, amount->typed.sign, err);
	if (status != LW_OK)
		return status;
	last.exponent = amount->typed.exponent - amount->typed.places;
	if (typed_value(&step, &last, 0) && isfinite(unit_delta(unit, step)))
		quantity->step = unit_delta(unit, step);
	if (amount->typed.letter == NULL && !ask->was_m)
		ask->other = doubtful(
		    text + amount->typed.rest, amount->unit_length, unit);
	/* Who is used to AWG types a size of wire just so. */
	ask->bare = amount->unit == NULL && unit == &unit_table[U_MM2] &&
		    amount->number == floor(amount->number);
	if (ask->bare)
		ask->other = &unit_table[U_AWG];
	return finish(quantity, unit, text, amount->end, err);
}

static enum lw_status
read_gauge(struct lw_quantity *quantity, const struct gauge *gauge,
    const char *text, struct lw_err *err)
{
	plain(quantity, &unit_table[U_AWG], gauge->number);
	return finish(quantity, &unit_table[U_AWG], text, gauge->end, err);
}

enum lw_status
quantity_read(struct lw_quantity *quantity, struct quantity_ask *ask,
    const char *text, struct lw_err *err)
{
	struct lw_quantity read = {.value = 0};
	struct amount amount;
	enum lw_status status;
	struct gauge gauge;
	size_t at;

	status =
	    typed_check(text, ask->want == NULL ? "V" : ask->want->name, err);
	if (status != LW_OK)
		return status;
	ask->at = typed_skip_spaces(text, 0);
	if (ask->want == NULL || ask->want->kind == UNIT_AREA) {
		status = gauge_read(&gauge, text, ask->want, err);
		if (status == LW_OK)
			status = read_gauge(&read, &gauge, text, err);
		if (status != LW_NOT_FOUND) {
			if (status == LW_OK)
				*quantity = read;
			return status;
		}
	}
	status = read_amount(&amount, ask, text, 0, err);
	if (status != LW_OK)
		return status;
	at = range_at(text, &amount, ask->want);
	status = at > 0 ? read_range(&read, ask, &amount, text, at, err)
			: read_plain(&read, ask, &amount, text, err);
	if (status == LW_OK)
		*quantity = read;
	return status;
}

const struct unit *
quantity_unit(const struct lw_quantity *quantity)
{
	return unit_named(quantity->unit);
}

enum lw_status
lw_quantity_parse(struct lw_quantity *quantity, const char *text,
    const char *unit, struct lw_err *err)
{
	struct quantity_ask ask = {.want = NULL};

	if (unit != NULL) {
		ask.want = unit_named(unit);
		if (ask.want == NULL)
			return err_set(err, LW_BAD_INPUT,
			    "what is asked for is in a unit that is not "
			    "known; it has to be one such as V, A or ohm");
	}
	return quantity_read(quantity, &ask, text, err);
}
