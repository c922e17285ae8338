/* What a unit measures, and values to and from it. Texts are left to
 * meter/quantity_parse.c, quantity_format.c and quantity_say.c. */
#include <lampwright/quantity.h>

#include "base/err.h"
#include "base/utf8.h"
#include "meter/unit.h"

#include <assert.h>
#include <string.h>

enum { SHOWN = 40 };

/* How much of a text a sentence may show: whole characters, and nothing that
 * drives a terminal. */
static int
shown(const char *text)
{
	size_t length = strnlen(text, SHOWN), i;

	length = utf8_whole(text, utf8_valid(text, length));
	for (i = 0; i < length; i++)
		if ((unsigned char)text[i] < 0x20 || text[i] == 0x7F)
			return (int)i;
	return (int)length;
}

enum lw_status
lw_unit_dimension(
    struct lw_dimension *dimension, const char *unit, struct lw_err *err)
{
	const struct unit *found = unit_named(unit);
	char near[120];

	if (found == NULL) {
		unit_nearest(near, sizeof near, unit, strlen(unit), UNIT_KINDS);
		return err_set(err, LW_BAD_INPUT,
		    "\"%.*s\" is not a unit that is known; write %s",
		    shown(unit), unit, near);
	}
	*dimension = unit_dimension(found->kind);
	return LW_OK;
}

double
lw_quantity_in(double value, const char *unit)
{
	const struct unit *found = unit_named(unit);

	assert(found != NULL);
	return unit_in(found, value);
}

double
lw_quantity_from(double number, const char *unit)
{
	const struct unit *found = unit_named(unit);

	assert(found != NULL);
	return unit_from(found, number);
}
