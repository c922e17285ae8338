/*
 * The tempo at which a cycle explains what was seen best, and how well: the
 * likelihood with the tempo integrated out (Laplace's method), so that a
 * cycle with more kinds of parts has to earn them.
 */
#ifndef LAMP_FIT_H
#define LAMP_FIT_H

#include "lamp/align.h"

#include <lampwright/light.h>

struct fit {
	struct cycle cycle; /* as it was laid: of taps without the flashes */
	struct tempo tempo;
	size_t seen[PART_KINDS]; /* whole parts that the means are from */
	double log_evidence;
};

/* Fit from a tempo to begin with. marks: one for each sighting. known may be
 * NULL. -INFINITY as evidence where it cannot be. */
void fit_cycle(struct fit *fit, struct mark *marks, struct align_room *room,
    const struct sightings *seen, const struct cycle *cycle,
    const struct tempo *start, const struct lw_known_lamp *known);

/* How long a cycle is. */
double fit_around_s(const struct fit *fit);

/* The cycle of what a hand does: without the flashes' own lengths. */
void fit_drop_flashes(struct cycle *cycle);

#endif
