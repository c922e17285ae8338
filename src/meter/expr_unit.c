/* A small table until the units have dimensions of their own. */
#include "meter/expr_unit.h"

#include "base/err.h"

#include <stdio.h>
#include <string.h>

static const struct unit_row {
	const char *name;
	double factor;
	double offset;
	struct lw_dimension dimension; /* kg m s A K */
} rows[] = {
    {"number", 1, 0, {0, 0, 0, 0, 0}},
    {"", 1, 0, {0, 0, 0, 0, 0}},
    {"%", 0.01, 0, {0, 0, 0, 0, 0}},
    {"V", 1, 0, {1, 2, -3, -1, 0}},
    {"mV", 1e-3, 0, {1, 2, -3, -1, 0}},
    {"A", 1, 0, {0, 0, 0, 1, 0}},
    {"mA", 1e-3, 0, {0, 0, 0, 1, 0}},
    {"ohm", 1, 0, {1, 2, -3, -2, 0}},
    {"mohm", 1e-3, 0, {1, 2, -3, -2, 0}},
    {"kohm", 1e3, 0, {1, 2, -3, -2, 0}},
    {"Mohm", 1e6, 0, {1, 2, -3, -2, 0}},
    {"ohm/V", 1, 0, {0, 0, 0, -1, 0}},
    {"F", 1, 0, {-1, -2, 4, 2, 0}},
    {"mF", 1e-3, 0, {-1, -2, 4, 2, 0}},
    {"uF", 1e-6, 0, {-1, -2, 4, 2, 0}},
    {"s", 1, 0, {0, 0, 1, 0, 0}},
    {"ms", 1e-3, 0, {0, 0, 1, 0, 0}},
    {"min", 60, 0, {0, 0, 1, 0, 0}},
    {"h", 3600, 0, {0, 0, 1, 0, 0}},
    {"Hz", 1, 0, {0, 0, -1, 0, 0}},
    {"W", 1, 0, {1, 2, -3, 0, 0}},
    {"kW", 1e3, 0, {1, 2, -3, 0, 0}},
    {"J", 1, 0, {1, 2, -2, 0, 0}},
    {"m", 1, 0, {0, 1, 0, 0, 0}},
    {"mm", 1e-3, 0, {0, 1, 0, 0, 0}},
    {"in", 0.0254, 0, {0, 1, 0, 0, 0}},
    {"ft", 0.3048, 0, {0, 1, 0, 0, 0}},
    {"mm2", 1e-6, 0, {0, 2, 0, 0, 0}},
    {"K", 1, 0, {0, 0, 0, 0, 1}},
    {"degC", 1, 273.15, {0, 0, 0, 0, 1}},
    {"rpm", 1 / 60., 0, {0, 0, -1, 0, 0}},
    {"rpm/V", 1 / 60., 0, {-1, -2, 2, 1, 0}},
    {"Ah", 3600, 0, {0, 0, 1, 1, 0}},
};

static const struct unit_row *
find(const char *unit)
{
	size_t i;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++)
		if (strcmp(rows[i].name, unit) == 0)
			return &rows[i];
	return NULL;
}

enum lw_status
expr_unit_dimension(
    struct lw_dimension *dimension, const char *unit, struct lw_err *err)
{
	const struct unit_row *row = find(unit);

	if (row == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "'%.40s' is no unit that is known; V, A, ohm, F, s are",
		    unit);
	*dimension = row->dimension;
	return LW_OK;
}

double
expr_unit_from(double number, const char *unit)
{
	const struct unit_row *row = find(unit);

	return row == NULL ? number : number * row->factor + row->offset;
}

bool
expr_dimension_equal(struct lw_dimension one, struct lw_dimension other)
{
	return one.kg == other.kg && one.m == other.m && one.s == other.s &&
	       one.a == other.a && one.k == other.k;
}

void
expr_dimension_say(char *text, struct lw_dimension d)
{
	size_t i;

	for (i = 0; i < sizeof rows / sizeof rows[0]; i++)
		if (expr_dimension_equal(rows[i].dimension, d))
			break;
	if (i == 0)
		snprintf(text, LW_QUANTITY_MAX, "a bare number");
	else if (i < sizeof rows / sizeof rows[0])
		snprintf(
		    text, LW_QUANTITY_MAX, "a quantity in %s", rows[i].name);
	else
		snprintf(text, LW_QUANTITY_MAX, "kg%d m%d s%d A%d K%d", d.kg,
		    d.m, d.s, d.a, d.k);
}
