/* Formulas: texts over what was given and over earlier results, worked out
 * with their range and shown with what was put in. What an expression is, is
 * left to meter/expr.h. */
#include "meter/reckoning.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"

#include <string.h>

/* --- names that formulas know ----------------------------------------- */

static bool
is_name(const char *one, const char *text, size_t length)
{
	return strlen(one) == length && memcmp(one, text, length) == 0;
}

static const struct reckon_known *
known_named(const struct reckon *reckon, const char *name, size_t length)
{
	size_t i;

	for (i = 0; i < reckon->known_count; i++)
		if (is_name(reckon->known[i].name, name, length))
			return &reckon->known[i];
	return NULL;
}

static bool
find_name(const void *context, const char *name, struct expr_name *found)
{
	const struct reckon_known *known =
	    known_named(context, name, strlen(name));

	if (known == NULL)
		return false;
	found->name = known->name;
	found->dimension = known->dimension;
	found->choices = known->choices;
	return true;
}

/* Room for one more name; hyphens are written as underscores. */
static struct reckon_known *
new_known(struct reckon *reckon, const char *name)
{
	char *written = arena_dup(reckon->arena, name), *at;
	struct reckon_known *known;

	known = written == NULL ? NULL
				: arena_grow(reckon->arena, &reckon->known,
				      &reckon->known_count, &reckon->known_room,
				      sizeof *known);
	if (known == NULL) {
		reckon->no_memory = true;
		return NULL;
	}
	for (at = written; *at != '\0'; at++)
		if (*at == '-')
			*at = '_';
	known->name = written;
	return known;
}

static const char *
plain_text(struct reckon *reckon, const struct lw_quantity *quantity)
{
	struct lw_quantity plain = *quantity;
	char text[LW_QUANTITY_MAX];

	plain.toleranced = false;
	plain.low = plain.high = plain.value;
	lw_quantity_format(text, &plain);
	return reckoning_kept(reckon, arena_dup(reckon->arena, text));
}

const char *
reckon_plain(struct reckon *reckon, const char *key)
{
	const struct lw_quantity *quantity = reckon_quantity(reckon, key);

	return quantity == NULL ? NULL : plain_text(reckon, quantity);
}

void
reckoning_know(struct reckon *reckon, size_t input)
{
	const struct lw_reckon_input *of =
	    &reckon->reckoner->face.inputs[input];
	const struct reckon_slot *slot = &reckon->slots[input];
	struct reckon_known *known;

	if (!slot->is_quantity && of->words == NULL)
		return;
	known = new_known(reckon, of->key);
	if (known == NULL)
		return;
	if (!slot->is_quantity) {
		known->choices = of->words;
		known->value.choices = 1u << slot->word;
		known->text = slot->text;
		return;
	}
	known->dimension = slot->quantity.dimension;
	known->value.nominal = slot->quantity.value;
	known->value.low = slot->quantity.low;
	known->value.high = slot->quantity.high;
	known->text = plain_text(reckon, &slot->quantity);
}

void
reckoning_know_result(struct reckon *reckon,
    const struct lw_reckon_result *result, double value, const char *unit,
    const char *formula, const struct expr_range *range)
{
	struct reckon_known *known = new_known(reckon, result->name);

	if (known == NULL)
		return;
	known->formula = formula;
	known->value.nominal = value;
	known->value.low = range == NULL ? value : range->low;
	known->value.high = range == NULL ? value : range->high;
	known->text = result->text;
	(void)lw_unit_dimension(&known->dimension, unit, NULL);
}

/* --- functions written out ----------------------------------------------- */

static bool
in_name(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
	       (c >= '0' && c <= '9') || c == '_' || c == '.';
}

static const struct expr_function *
function_named(const char *name, size_t length)
{
	const struct expr_function *functions;
	size_t count, i;

	functions = expr_functions(&count);
	for (i = 0; i < count; i++)
		if (is_name(functions[i].name, name, length))
			return &functions[i];
	return NULL;
}

/* Where the bracket that opens at `text` closes; NULL: nowhere. */
static const char *
closing(const char *text)
{
	int depth = 0;

	for (; *text != '\0'; text++) {
		if (*text == '(')
			depth++;
		else if (*text == ')' && --depth == 0)
			return text;
	}
	return NULL;
}

/* The argument at that place of a call whose bracket opens at `call`. */
static const char *
argument(size_t *length, const char *call, size_t place)
{
	const char *at = call + 1, *begin = at;
	int depth = 0;

	for (; *at != '\0'; at++) {
		if (depth == 0 && (*at == ',' || *at == ')')) {
			if (place-- == 0)
				break;
			begin = at + 1;
		}
		depth += (*at == '(') - (*at == ')');
	}
	while (begin < at && *begin == ' ')
		begin++;
	*length = (size_t)(at - begin);
	return begin;
}

/* Which of "ohms:ohm farads:F share:" a name is; false: none. */
static bool
parameter(size_t *place, const struct expr_function *function, const char *name,
    size_t length)
{
	const char *at = function->parameters;

	for (*place = 0; *at != '\0'; (*place)++) {
		if (strncmp(at, name, length) == 0 && at[length] == ':')
			return true;
		at += strcspn(at, " ");
		at += strspn(at, " ");
	}
	return false;
}

static size_t
name_length(const char *text)
{
	size_t length = 0;

	while (in_name(text[length]))
		length++;
	return length;
}

/* Whether a text is a call and nothing else: "sqrt(size)". */
static bool
is_call(const char *text, size_t length)
{
	size_t name = name_length(text);

	return name > 0 && name < length && text[name] == '(' &&
	       closing(text + name) == text + length - 1;
}

/* An argument needs no brackets where it is a name, a call, or a number with
 * its unit of which no power is taken. */
static void
add_argument(struct buf *out, const char *text, size_t length, char next)
{
	bool number = *text >= '0' && *text <= '9' && next != '^';
	size_t i = 0;

	while (i < length &&
	       (in_name(text[i]) || (number && strchr(" %", text[i]) != NULL)))
		i++;
	if (is_call(text, length))
		i = length;
	buf_printf(out, i == length ? "%.*s" : "(%.*s)", (int)length, text);
}

/* A function's body with the arguments in their places. */
static void
add_body(
    struct buf *out, const struct expr_function *function, const char *call)
{
	const char *at = function->body, *given;
	size_t length, place, size;

	while (*at != '\0') {
		length = name_length(at);
		if (length > 0 && parameter(&place, function, at, length)) {
			given = argument(&size, call, place);
			add_argument(out, given, size, at[length]);
		} else {
			length += length == 0;
			buf_add_n(out, at, length);
		}
		at += length;
	}
}

/* Whether what stands between two ends is a whole argument, or a whole
 * formula, so that it needs no brackets. */
static bool
is_alone(const struct buf *before, const char *after)
{
	size_t at = before->length;

	while (at > 0 && before->data[at - 1] == ' ')
		at--;
	after += strspn(after, " ");
	return (at == 0 || strchr("(,", before->data[at - 1]) != NULL) &&
	       (*after == '\0' || *after == ')' || *after == ',');
}

/* The formula with calls one level deep written out; *any: there were some. */
static void
spell(struct buf *out, const char *formula, bool *any)
{
	const struct expr_function *function;
	const char *at = formula, *end;
	size_t length;
	bool alone;

	*any = false;
	while (*at != '\0') {
		length = name_length(at);
		function =
		    at[length] == '(' ? function_named(at, length) : NULL;
		end = function == NULL ? NULL : closing(at + length);
		if (end == NULL) {
			length += length == 0;
			buf_add_n(out, at, length);
			at += length;
			continue;
		}
		alone = is_alone(out, end + 1);
		buf_add(out, alone ? "" : "(");
		add_body(out, function, at + length);
		buf_add(out, alone ? "" : ")");
		*any = true;
		at = end + 1;
	}
}

/* The formula with functions written out, as it is shown; as it is where that
 * would be too long. */
static const char *
spelled_out(struct reckon *reckon, const char *formula)
{
	struct buf out;
	const char *text = formula;
	bool any = true;
	int depth;

	for (depth = 0; any && depth < 4; depth++) {
		buf_init(&out, EXPR_TEXT_MAX);
		spell(&out, text, &any);
		if (any && out.status == LW_OK)
			text = reckoning_kept(
			    reckon, arena_dup(reckon->arena, buf_text(&out)));
		else
			any = false;
		buf_clear(&out);
	}
	return text;
}

/* --- formulas ----------------------------------------------------------- */

/* The formula with earlier results written out, so that it is over what was
 * given alone. What follows a number is its unit and no name. */
static char *
write_out(struct reckon *reckon, const char *formula)
{
	const struct reckon_known *known;
	const char *at = formula;
	bool after_number = false;
	struct buf out;
	size_t length;
	char *text;

	buf_init(&out, EXPR_TEXT_MAX);
	while (*at != '\0') {
		length = name_length(at);
		if (length == 0) {
			if (*at != ' ')
				after_number = false;
			buf_add_n(&out, at++, 1);
			continue;
		}
		known = after_number || at[length] == '('
			    ? NULL
			    : known_named(reckon, at, length);
		after_number = *at >= '0' && *at <= '9';
		if (known != NULL && known->formula != NULL)
			buf_printf(&out, "(%s)", known->formula);
		else
			buf_add_n(&out, at, length);
		at += length;
	}
	text = out.status == LW_OK ? arena_dup(reckon->arena, buf_text(&out))
				   : NULL;
	buf_clear(&out);
	return text;
}

/* A formula that was parsed, and what its names are worth. */
struct worked {
	const struct expr *expr;
	struct expr_value values[EXPR_NAMES_MAX];
	const char *texts[EXPR_NAMES_MAX];
	bool ranged; /* one of them has a tolerance */
};

static enum lw_status
work(struct worked *worked, struct reckon *reckon, const char *formula,
    struct lw_err *err)
{
	const struct expr_names names = {.find = find_name, .context = reckon};
	const struct reckon_known *known;
	const char *name;
	enum lw_status status;
	size_t i;

	worked->ranged = false;
	status = expr_parse(&worked->expr, reckon->arena, formula, &names, err);
	if (status != LW_OK)
		return status;
	for (i = 0; i < expr_name_count(worked->expr); i++) {
		name = expr_name_at(worked->expr, i);
		known = known_named(reckon, name, strlen(name));
		worked->values[i] = known->value;
		worked->texts[i] = known->text;
		if (known->value.low < known->value.high)
			worked->ranged = true;
	}
	return LW_OK;
}

/* "volts / resistor = 48 V / 10 kohm". */
static const char *
shown_formula(
    struct reckon *reckon, const struct worked *worked, const char *formula)
{
	char text[EXPR_TEXT_MAX];

	if (expr_name_count(worked->expr) == 0)
		return reckoning_kept(
		    reckon, arena_dup(reckon->arena, formula));
	expr_say(text, sizeof text, worked->expr, worked->texts);
	return reckoning_kept(
	    reckon, arena_printf(reckon->arena, "%s = %s", formula, text));
}

/* --- a formula as a result ------------------------------------------------ */

/* Each name within its tolerance; false where that has no end. */
static bool
range_of(struct expr_range *range, const struct worked *whole, double value)
{
	if (!whole->ranged ||
	    expr_range(range, whole->expr, whole->values, NULL) != LW_OK) {
		range->low = range->high = value;
		return false;
	}
	/* Rounding may put the one number a hair outside. */
	if (value < range->low)
		range->low = value;
	if (value > range->high)
		range->high = value;
	return true;
}

enum lw_status
reckon_formula(struct reckon *reckon, double *value, const char *name,
    const char *title, const char *unit, const char *formula,
    struct lw_err *err)
{
	struct worked worked, whole;
	struct lw_dimension dimension;
	struct lw_reckon_result *result;
	struct expr_range range;
	const char *written;
	enum lw_status status;
	bool ranged;

	formula = spelled_out(reckon, formula);
	status = work(&worked, reckon, formula, err);
	if (status != LW_OK)
		return status;
	status = lw_unit_dimension(&dimension, unit, err);
	if (status != LW_OK)
		return status;
	if (!lw_dimension_equal(dimension, expr_dimension(worked.expr)))
		return err_set(err, LW_BAD_INPUT,
		    "the formula of %s does not give %s", name, unit);
	written = write_out(reckon, formula);
	/* What is too long to write out has a wider range. */
	if (written == NULL || work(&whole, reckon, written, NULL) != LW_OK) {
		whole = worked;
		written = NULL;
	}
	status = expr_number(value, whole.expr, whole.values, err);
	if (status != LW_OK)
		return status;
	ranged = range_of(&range, &whole, *value);
	result = reckoning_result(reckon, name, title);
	if (result == NULL)
		return err_no_memory(err);
	reckoning_number(reckon, result, *value, unit);
	result->formula = shown_formula(reckon, &worked, formula);
	if (ranged)
		reckoning_range(reckon, result, &range, unit);
	else if (whole.ranged)
		reckon_remark(reckon,
		    "%s: by the tolerances that were given it has no limit.",
		    title);
	reckoning_know_result(reckon, result, *value, unit, written, &range);
	return reckon->no_memory ? err_no_memory(err) : LW_OK;
}
