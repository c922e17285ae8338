/* One case of tests/tables/templates/: an object with template, data,
 * partials (an object of name and text) and kind ("html", or "text"). */
#ifndef REFERENCE_FILL_CASE_H
#define REFERENCE_FILL_CASE_H

#include "base/buf.h"

#include <jansson.h>

/* Fill the case's template with its data. */
enum lw_status fill_case(struct buf *out, json_t *test, struct lw_err *err);

#endif
