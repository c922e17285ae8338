/*
 * Tables of causes and checks made by chance, for bench and units. What is
 * made depends on the seed alone. All of them are invented.
 */
#ifndef TESTS_REASON_TABLES_H
#define TESTS_REASON_TABLES_H

#include "reason/plan.h"

#include <stdint.h>

enum grid_kind {
	GRID_DENSE = 0, /* each check parts the causes about evenly */
	GRID_SPARSE,	/* each check names few causes */
	GRID_CHAIN,	/* causes in a row; a check says on which side of it */
	GRID_THIN	/* each check names two or so */
};

#define GRID_KINDS 4

/* A table without noise: priors uneven (exponential), costs 1 to 10 in whole
 * minutes, set-up between states 2 to 15 minutes. */
struct grid_how {
	enum grid_kind kind;
	size_t causes; /* 2 or more */
	size_t checks;
	unsigned outcomes; /* of each check, 2 or more; a chain has 2 */
	size_t states;	   /* 1: no set-up */
	bool even;	   /* all checks cost the same */
	uint64_t seed;
};

struct grid_made {
	struct plan_grid grid;
	double *numbers; /* weights, costs, set-up costs */
	unsigned *answers;
	size_t *states;
};

const char *grid_kind_name(enum grid_kind kind);

/* False where memory has run out; nothing is to be freed then. */
bool grid_make(struct grid_made *made, const struct grid_how *how);
void grid_free(struct grid_made *made);

/*
 * A table with checks that may mislead, and fixes: what a check says of a
 * cause is its likeliest outcome, 70 to 98 % of the time; a cause that it does
 * not name is one for which it says outcome 0. Checks take 1 to 10 minutes,
 * fixes 5 to 60, set-up 1 to 10.
 */
struct noisy_how {
	size_t causes;
	size_t checks;
	size_t outcomes; /* 2 or more */
	size_t states;
	double named; /* share of the causes that a check names */
	uint64_t seed;
};

struct noisy_made {
	struct reason_table table;
	struct reason_fixes fixes;
	double *share; /* adds up to 1 */
	struct reason_check *checks;
	double *numbers;
};

bool noisy_make(struct noisy_made *made, const struct noisy_how *how);
void noisy_free(struct noisy_made *made);

/* Findings: weights of causes, and how likely each finding is with each. Some
 * are as good as impossible, some say nothing. */
struct findings_made {
	size_t causes;
	size_t findings;
	double *weight;
	double *likelihood; /* [finding * causes + cause] */
};

bool findings_make(
    struct findings_made *made, size_t causes, size_t findings, uint64_t seed);
void findings_free(struct findings_made *made);

/* The same findings in another order, into `likelihood`. */
void findings_shuffle(
    double *likelihood, const struct findings_made *made, uint64_t seed);

#endif
