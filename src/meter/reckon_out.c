/* What comes out of a reckoning: results, words, remarks, sources, curves.
 * Formulas are left to reckon_formula.c. */
#include "meter/reckoning.h"

#include "base/arena.h"

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

/* Volts, amps and ohms are compared with a meter's four digits. Nobody reads
 * more than three of a time, a share, a power or an energy. */
static int
digits_of(const struct reckon *reckon, const char *unit)
{
	static const char *const coarse[] = {"s", "%", "W", "J"};
	size_t i;

	for (i = 0; i < sizeof coarse / sizeof coarse[0]; i++)
		if (strcmp(unit, coarse[i]) == 0 && reckon->digits > 3)
			return 3;
	return reckon->digits;
}

const char *
reckon_say(struct reckon *reckon, double value, const char *unit)
{
	char text[LW_QUANTITY_MAX];

	lw_quantity_say(text, value, unit, digits_of(reckon, unit));
	return reckoning_kept(reckon, arena_dup(reckon->arena, text));
}

struct lw_reckon_result *
reckoning_result(struct reckon *reckon, const char *name, const char *title)
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

void
reckoning_number(struct reckon *reckon, struct lw_reckon_result *result,
    double value, const char *unit)
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

void
reckoning_range(struct reckon *reckon, struct lw_reckon_result *result,
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

void
reckon_number(struct reckon *reckon, const char *name, const char *title,
    double value, const char *unit, const char *formula)
{
	struct lw_reckon_result *result = reckoning_result(reckon, name, title);

	if (result == NULL)
		return;
	reckoning_number(reckon, result, value, unit);
	if (formula != NULL)
		result->formula =
		    reckoning_kept(reckon, arena_dup(reckon->arena, formula));
	reckoning_know_result(reckon, result, value, unit, NULL, NULL);
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
	struct lw_reckon_result *result = reckoning_result(reckon, name, title);
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
