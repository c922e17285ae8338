/*
 * An ideal observer: it knows how a recording was made to the last number,
 * but for what is shown and when it begins, and names the likeliest of a list
 * of patterns. What it cannot tell, nobody can.
 */
#ifndef TESTS_IDEAL_H
#define TESTS_IDEAL_H

#include "lamp/making.h"

/* Whether the pattern that was shown is likelier than each of its neighbours:
 * a flash more or less in any group, the groups joined or in another order,
 * another flash long. One lamp without drift, ripple or flaw. */
bool ideal_tells(const struct made *made, const struct making *how);

#endif
