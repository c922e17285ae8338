/* Facts as people give them, made into what is kept. */
#ifndef BOOK_FACTS_H
#define BOOK_FACTS_H

#include "base/buf.h"
#include "book/rig_values.h"

/* Most bytes of a value as given; what is kept of it may be a little longer. */
enum { FACTS_VALUE_MAX = 1000, FACTS_KEPT_MAX = FACTS_VALUE_MAX + 100 };

/* Whether the value takes the fact back: blank, or "unknown". */
bool facts_takes_back(const char *value);

/*
 * Add what was given for a value to `kept`, as it is shown: a choice's word, a
 * quantity as it was understood, a list without doubles, an accuracy. Nothing
 * is added where it says nothing. LW_BAD_INPUT says which value, what was
 * wrong, and what would be right; LW_UNDECIDED: a quantity that could mean two
 * things, and how to write either.
 */
enum lw_status facts_read(struct buf *kept, const struct lw_value *value,
    const char *text, struct lw_err *err);

/* LW_BAD_INPUT for a value that is none of these, with the nearest. */
enum lw_status facts_no_value(
    const struct rig_values *values, const char *key, struct lw_err *err);

#endif
