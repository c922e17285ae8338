/* Units as expressions use them, in SI. */
#ifndef METER_EXPR_UNIT_H
#define METER_EXPR_UNIT_H

#include <lampwright/quantity.h>

enum lw_status expr_unit_dimension(
    struct lw_dimension *dimension, const char *unit, struct lw_err *err);
double expr_unit_from(double number, const char *unit);
bool expr_dimension_equal(struct lw_dimension one, struct lw_dimension other);
void expr_dimension_say(char *text, struct lw_dimension dimension);

#endif
