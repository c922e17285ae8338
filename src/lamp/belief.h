/*
 * How much to believe in a pattern before and after the lamp was seen. Before:
 * how common a coding is, and how it goes with what is known of the lamp.
 */
#ifndef LAMP_BELIEF_H
#define LAMP_BELIEF_H

#include "lamp/cycle.h"

#include <lampwright/light.h>

/* The logarithm of the share of lamps that show this pattern, of all that
 * could be. known may be NULL. */
double belief_before(
    const struct lw_pattern *pattern, const struct lw_known_lamp *known);

/* The same for a lamp that shows nothing that repeats. */
double belief_in_nothing(void);

/* Whether the pattern is on the known lamp's list. */
bool belief_is_listed(const char *pattern, const struct lw_known_lamp *known);

#endif
