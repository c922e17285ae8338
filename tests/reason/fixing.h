/*
 * Faults found and mended by chance: a cause drawn from the priors, answers
 * drawn from the likelihoods, and somebody who checks and fixes in one way or
 * another until it is mended.
 */
#ifndef TESTS_REASON_FIXING_H
#define TESTS_REASON_FIXING_H

#include "reason/tables.h"

enum fixer {
	FIXER_BEST = 0, /* the best of the engine's list, unless it says to fix
			 * first */
	FIXER_EXPECTED, /* the check after which fixing costs the least, as long
			 * as that costs less than fixing now */
	FIXER_AUTHORED, /* checks in their order, until 95 % sure */
	FIXER_LIKELY,	/* no checks: the likeliest cause is fixed first */
	FIXER_BITS,	/* information, cost ignored, until 95 % sure */
	FIXER_SQUARE	/* I^2/(c+s), until 95 % sure */
};

#define FIXER_COUNT 6

const char *fixer_name(enum fixer fixer);

struct fixing {
	size_t cause; /* that it was */
	size_t checks;
	size_t fixes; /* the one that mended it too */
	double minutes;
};

/*
 * One case. What is drawn depends on the seed alone, so that all ways meet the
 * same vehicles. False where memory has run out or the engine refuses.
 */
bool fixing_try(struct fixing *fixing, const struct noisy_made *made,
    enum fixer fixer, uint64_t seed);

#endif
