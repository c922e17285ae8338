/* Expressions made at random, with an arithmetic of their own to check the
 * library's against. */
#ifndef UNIT_FORMULA_H
#define UNIT_FORMULA_H

#include <stdbool.h>
#include <stdint.h>

enum {
	FORMULA_NAMES = 6, /* v0 to v5 */
	FORMULA_NODES = 60,
	FORMULA_TEXT_MAX = 1000
};

struct formula_node {
	char op; /* see formula.c */
	int of[4];
	double number;
	int name;
};

struct formula {
	struct formula_node nodes[FORMULA_NODES]; /* the last is the root */
	int count;
};

/* Any formula at all, over numbers of either sign. */
void formula_any(struct formula *formula, uint64_t *seed);
/* A formula over numbers above zero which can only rise with some names, and
 * only fall with the others. */
void formula_rising(struct formula *formula, uint64_t *seed);
bool formula_rises(int name);

/* What the names can be. */
void formula_box(double *low, double *high, bool positive, uint64_t *seed);
double formula_between(double low, double high, bool inside, uint64_t *seed);

/* As an expression; `text` has room for FORMULA_TEXT_MAX. */
void formula_text(char *text, const struct formula *formula);
/* What it is at a point, and the size against which rounding counts. False:
 * it is no number there, or rounding may turn a comparison. */
bool formula_value(double *value, double *scale, const struct formula *formula,
    const double *at);

#endif
