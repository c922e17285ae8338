/*
 * Which check next. Method: information gained, squared, for the cost (Tan and
 * Schlimmer 1990; with set-up between states); the hazard first. Observe or
 * fix: expected cost of repair after the best single check against that of
 * fixing now (Heckerman, Breese and Rommelse 1995), never a fixed confidence.
 */
#ifndef REASON_NEXT_H
#define REASON_NEXT_H

#include "reason/table.h"

struct next_choice {
	size_t check;
	double bits;	 /* information, log base 2 */
	double setup;	 /* from the state it is in to the check's */
	double score;	 /* bits^2 / (cost + setup); +infinity where free */
	double expected; /* cost and set-up, then fixes in their order: what it
			  * costs on average until it is mended; 0 where no
			  * fixes are given */
	size_t yields;	 /* a check in a less hazardous state that tells as
			  * much (95 % of it or more); or REASON_NONE */
};

struct next_advice {
	struct next_choice *choices; /* of those usable and not worthless, the
				      * best first: those that yield to a safer
				      * one come after all others */
	size_t count;
	double fix_now;	  /* what fixing now costs on average */
	double fix_after; /* the least `expected` among those that do not
			   * yield; +infinity where there is none */
	bool fix_first;	  /* fix_now <= fix_after */
};

/* Checks that tell less than this are worthless. */
#define NEXT_LEAST_BITS 1e-6

/*
 * `choices` has room for table->checks. `usable` NULL: all are. `fixes` may be
 * NULL (then nothing is said on fixing: fix_now 0, fix_after infinite,
 * fix_first false). The table and the shares are checked.
 */
enum lw_status next_find(struct next_advice *advice,
    struct next_choice *choices, const struct reason_table *table,
    const double *share, const bool *usable, const struct reason_fixes *fixes,
    struct lw_err *err);

/* Bits that one check tells. */
double next_bits(
    const struct reason_check *check, const double *share, size_t causes);

/* The rules above, for policies: how good a check is (a free one that tells
 * something: infinitely), and whether one that tells `bits` yields to one in a
 * less hazardous state that tells `safer`. */
double next_score(double bits, double cost);
bool next_yields(double bits, double safer);

#endif
