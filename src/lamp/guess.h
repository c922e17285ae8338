/*
 * Cycles that may be what was seen. They come from cutting the lengths of
 * light and dark into clusters in every sensible way, and reading off what
 * stands between the pauses; then their neighbours, and the known lamp's own
 * list. What is not guessed cannot be found, so that it guesses too much.
 */
#ifndef LAMP_GUESS_H
#define LAMP_GUESS_H

#include "lamp/align.h"

#include <lampwright/light.h>

#define GUESSES_MAX 240

struct guess {
	struct cycle cycle;
	struct tempo start;
};

struct guesses {
	struct guess items[GUESSES_MAX];
	size_t count;
};

/* known may be NULL. False: memory has run out. */
bool guess_cycles(struct guesses *guesses, const struct sightings *seen,
    const struct lw_known_lamp *known);

#endif
