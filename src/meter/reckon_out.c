/* What comes out of a reckoning: formulas worked out and shown, words,
 * remarks, sources, curves. Which ones is left to the reckoners. */
#include "meter/reckoning.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *
reckoning_kept(struct reckon *reckon, const char *text)
{
	if (text != NULL)
		return text;
	reckon->no_memory = true;
	return "";
}

/* --- names that formulas know ----------------------------------------- */

static const struct reckon_known *
known_named(const struct reckon *reckon, const char *name, size_t length)
{
	size_t i;

	for (i = 0; i < reckon->known_count; i++)
		if (strncmp(reckon->known[i].name, name, length) == 0 &&
		    reckon->known[i].name[length] == '\0')
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

/* A quantity without its tolerance, for a formula. */
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

/* --- formulas ----------------------------------------------------------- */

static bool
in_name(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
	       (c >= '0' && c <= '9') || c == '_' || c == '.';
}

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
		for (length = 0; in_name(at[length]);)
			length++;
		if (length == 0) {
			if (*at != ' ')
				after_number = false;
			buf_add_n(&out, at++, 1);
			continue;
		}
		known = after_number ? NULL : known_named(reckon, at, length);
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
		return formula;
	expr_say(text, sizeof text, worked->expr, worked->texts);
	return reckoning_kept(
	    reckon, arena_printf(reckon->arena, "%s = %s", formula, text));
}

/* --- results ------------------------------------------------------------ */

const char *
reckon_say(struct reckon *reckon, double value, const char *unit)
{
	char text[LW_QUANTITY_MAX];

	lw_quantity_say(text, value, unit, reckon->digits);
	return reckoning_kept(reckon, arena_dup(reckon->arena, text));
}

static struct lw_reckon_result *
new_result(struct reckon *reckon, const char *name, const char *title)
{
	struct lw_reckon_result *result =
	    arena_grow(reckon->arena, &reckon->results, &reckon->result_count,
		&reckon->result_room, sizeof *result);

	if (result == NULL) {
		reckon->no_memory = true;
		return NULL;
	}
	result->name = name;
	result->title = title;
	result->unit = "";
	return result;
}

/* The unit that the text of a value came to be in, and the value in it. */
static void
set_number(struct reckon *reckon, struct lw_reckon_result *result, double value,
    const char *unit)
{
	struct lw_quantity said;

	assert(isfinite(value));
	result->is_number = true;
	result->text = reckon_say(reckon, value, unit);
	if (lw_quantity_parse(&said, result->text, NULL, NULL) == LW_OK)
		unit = said.unit;
	result->unit = unit;
	result->value = lw_quantity_in(value, unit);
	result->low = result->high = result->value;
}

static void
set_range(struct reckon *reckon, struct lw_reckon_result *result,
    const struct expr_range *range, const char *unit)
{
	result->ranged = true;
	result->low = lw_quantity_in(range->low, result->unit);
	result->high = lw_quantity_in(range->high, result->unit);
	result->range_text =
	    reckoning_kept(reckon, arena_printf(reckon->arena, "%s to %s",
				       reckon_say(reckon, range->low, unit),
				       reckon_say(reckon, range->high, unit)));
}

static void
know_result(struct reckon *reckon, const struct lw_reckon_result *result,
    double value, const char *unit, const char *formula,
    const struct expr_range *range)
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
	result = new_result(reckon, name, title);
	if (result == NULL)
		return err_no_memory(err);
	set_number(reckon, result, *value, unit);
	result->formula = shown_formula(reckon, &worked, formula);
	if (ranged)
		set_range(reckon, result, &range, unit);
	else if (whole.ranged)
		reckon_remark(reckon,
		    "%s: by the tolerances that were given it has no limit.",
		    title);
	know_result(reckon, result, *value, unit, written, &range);
	return reckon->no_memory ? err_no_memory(err) : LW_OK;
}

void
reckon_number(struct reckon *reckon, const char *name, const char *title,
    double value, const char *unit, const char *formula)
{
	struct lw_reckon_result *result = new_result(reckon, name, title);

	if (result == NULL)
		return;
	set_number(reckon, result, value, unit);
	if (formula != NULL)
		result->formula =
		    reckoning_kept(reckon, arena_dup(reckon->arena, formula));
	know_result(reckon, result, value, unit, NULL, NULL);
}

static const char *vtext(struct reckon *reckon, const char *format,
    va_list args) __attribute__((format(printf, 2, 0)));

static const char *
vtext(struct reckon *reckon, const char *format, va_list args)
{
	char text[1000];

	vsnprintf(text, sizeof text, format, args);
	return reckoning_kept(reckon, arena_dup(reckon->arena, text));
}

void
reckon_words(struct reckon *reckon, const char *name, const char *title,
    const char *format, ...)
{
	struct lw_reckon_result *result = new_result(reckon, name, title);
	va_list args;

	if (result == NULL)
		return;
	va_start(args, format);
	result->text = vtext(reckon, format, args);
	va_end(args);
}

static void
add_text(struct reckon *reckon, const char ***list, size_t *count, size_t *room,
    const char *text)
{
	const char **item =
	    arena_grow(reckon->arena, list, count, room, sizeof *item);

	if (item == NULL)
		reckon->no_memory = true;
	else
		*item = text;
}

void
reckon_remark(struct reckon *reckon, const char *format, ...)
{
	const char *text;
	va_list args;

	va_start(args, format);
	text = vtext(reckon, format, args);
	va_end(args);
	add_text(reckon, &reckon->remarks, &reckon->remark_count,
	    &reckon->remark_room, text);
}

void
reckon_source(struct reckon *reckon, const char *source)
{
	size_t i;

	for (i = 0; i < reckon->source_count; i++)
		if (strcmp(reckon->sources[i], source) == 0)
			return;
	add_text(reckon, &reckon->sources, &reckon->source_count,
	    &reckon->source_room, source);
}

void
reckon_digits(struct reckon *reckon, int digits)
{
	reckon->digits = digits;
}

/* --- plots -------------------------------------------------------------- */

void
reckon_plot(struct reckon *reckon, const char *title, const char *x_title,
    const char *x_unit, const char *y_title, const char *y_unit)
{
	struct lw_reckon_plot *plot = arena_alloc(reckon->arena, sizeof *plot);

	assert(reckon->plot == NULL);
	if (plot == NULL) {
		reckon->no_memory = true;
		return;
	}
	plot->title = title;
	plot->x_title = x_title;
	plot->x_unit = x_unit;
	plot->y_title = y_title;
	plot->y_unit = y_unit;
	reckon->plot = plot;
}

static const double *
copied(struct reckon *reckon, const double *numbers, size_t count)
{
	double *copy = arena_array(reckon->arena, count, sizeof *copy);

	if (copy == NULL)
		reckon->no_memory = true;
	else
		memcpy(copy, numbers, count * sizeof *copy);
	return copy;
}

void
reckon_curve(struct reckon *reckon, const char *title, const double *x,
    const double *y, size_t count)
{
	struct lw_reckon_plot *plot = reckon->plot;
	struct lw_reckon_curve *curve;

	assert(count >= 2);
	if (plot == NULL)
		return;
	curve = arena_grow(reckon->arena, &reckon->curves, &plot->curve_count,
	    &reckon->curve_room, sizeof *curve);
	if (curve == NULL) {
		reckon->no_memory = true;
		return;
	}
	curve->title = title;
	curve->x = copied(reckon, x, count);
	curve->y = copied(reckon, y, count);
	curve->count = count;
	plot->curves = reckon->curves;
}

void
reckon_level(struct reckon *reckon, double y, const char *format, ...)
{
	struct lw_reckon_plot *plot = reckon->plot;
	struct lw_reckon_level *level;
	va_list args;

	if (plot == NULL)
		return;
	level = arena_grow(reckon->arena, &reckon->levels, &plot->level_count,
	    &reckon->level_room, sizeof *level);
	if (level == NULL) {
		reckon->no_memory = true;
		return;
	}
	va_start(args, format);
	level->title = vtext(reckon, format, args);
	va_end(args);
	level->y = y;
	plot->levels = reckon->levels;
}
