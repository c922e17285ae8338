/* Stand-ins while the parts are being written; not to be kept. */
#include <lampwright/quantity.h>
#include <stdio.h>
void lw_dimension_say(char *text, struct lw_dimension dimension)
    __attribute__((weak));
void
lw_dimension_say(char *text, struct lw_dimension dimension)
{
	snprintf(text, LW_QUANTITY_MAX, "kg%d m%d s%d A%d K%d", dimension.kg,
	    dimension.m, dimension.s, dimension.a, dimension.k);
}
