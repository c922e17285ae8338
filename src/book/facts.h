/* Facts as people give them, made into what is kept. */
#ifndef BOOK_FACTS_H
#define BOOK_FACTS_H

#include "base/buf.h"

#include <lampwright/rig.h>

/* Most bytes of a value, as given and as kept. */
enum { FACTS_VALUE_MAX = 1000 };

/* Whether the value takes the fact back: blank, or "unknown". */
bool facts_takes_back(const char *value);

/*
 * Add the value of a key of the table to `kept`, as it is shown: a choice's
 * word, a quantity in a unit that suits its size, a list without doubles.
 * LW_BAD_INPUT says which key, what was wrong, and what would be right.
 */
enum lw_status facts_read(struct buf *kept, const struct lw_value *key,
    const char *value, struct lw_err *err);

/* LW_BAD_INPUT for a key that there is not, with the nearest. */
enum lw_status facts_no_key(const char *key, struct lw_err *err);

#endif
