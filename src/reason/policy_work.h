/*
 * What the parts of policy share: a place in the tree of findings, the checks
 * that are worth asking there, and room to work in.
 *
 * Weights are not scaled: those of a place add up to the chance of coming to
 * it, and a cost at a place is the average there times that chance. So costs of
 * places add up, and the cost of the beginning is the policy's.
 */
#ifndef REASON_POLICY_WORK_H
#define REASON_POLICY_WORK_H

#include "reason/fixes.h"
#include "reason/policy.h"

#include <stdint.h>

/* How many checks are looked at closely, those with the best score. */
enum { POLICY_CLOSELY = 12 };

struct policy_place {
	const double *weight;
	double sum;
	size_t state;
	size_t depth;  /* checks done */
	uint64_t mark; /* of what was found, in whatever order */
};

/* A check that may be asked somewhere. */
struct policy_option {
	size_t check;
	double bits;
	double cost; /* with set-up */
	double score;
	double expected; /* with fixes right after it, times the chance; or
			  * +infinity where not looked at */
};

struct policy_work {
	const struct reason_table *table;
	const struct reason_fixes *fixes;
	struct policy_bounds bounds;	    /* no field is 0 */
	const struct reason_limits *limits; /* or NULL */
	double least_chance;		    /* of a place that is divided */
	size_t causes;
	size_t *live; /* checks that can tell something, and how many */
	size_t live_count;
	size_t outcomes; /* of the check that has most */
	double *row;	 /* [check * causes + cause], see bits.h */
	double *least;	 /* of each cause, see policy_floor */
	bool *done;	 /* of each check, at the place that is looked at */
	double *levels;	 /* weights for each depth, and for one more */
	double *mass;	 /* for each outcome */
	double *safer;	 /* for each state: bits of the best below it */
	struct policy_option *options; /* room for all checks */
	struct fixes_desk *desk;
	struct policy_memo *memo; /* or NULL */
	size_t bytes;		  /* taken until now */
	unsigned asked;
	bool stopped; /* time is up */
	bool cramped; /* no nodes or no bytes are left */
};

/* --- policy_work.c ------------------------------------------------------- */

/* Whatever came of it, policy_work_close comes after. The table is checked. */
enum lw_status policy_work_open(struct policy_work *work,
    const struct reason_table *table, const double *share,
    const struct reason_fixes *fixes, const struct policy_bounds *bounds,
    const struct reason_limits *limits, struct lw_err *err);
void policy_work_close(struct policy_work *work);

/* True once time is up. */
bool policy_stopped(struct policy_work *work);

/* Whether so many bytes more are within the limit; then they are taken. */
bool policy_take(struct policy_work *work, size_t count, size_t size);

/* Set-up and the check. */
double policy_ask_cost(
    const struct policy_work *work, size_t state, size_t check);

/* The place that an outcome leads to; its weights into `weight`. */
struct policy_place policy_after(const struct policy_work *work, double *weight,
    const struct policy_place *place, size_t check, size_t outcome);

/* Less cannot be had from here on, whatever is asked: as if each cause were
 * known. */
double policy_floor(
    const struct policy_work *work, const struct policy_place *place);

/* What may be asked at a place by the rule, the best score first; at most
 * `most`. Returns how many. */
size_t policy_options(struct policy_work *work, struct policy_option *options,
    size_t most, const struct policy_place *place);

/* --- policy_roll.c ------------------------------------------------------- */

struct policy_memo;

/* What to ask at a place; REASON_NONE: fix. */
size_t policy_decide_myopic(
    struct policy_work *work, const struct policy_place *place);
size_t policy_decide_rollout(
    struct policy_work *work, const struct policy_place *place);
size_t policy_decide_sure(
    struct policy_work *work, const struct policy_place *place);

struct policy_memo *policy_memo_new(struct policy_work *work);
void policy_memo_free(struct policy_memo *memo);

/* --- policy_exact.c ------------------------------------------------------ */

struct policy_exact;

/* LW_TOO_BIG: not small, with no sentence. LW_UNDECIDED: stopped. */
enum lw_status policy_exact_new(
    struct policy_exact **exact, struct policy_work *work, const double *share);
void policy_exact_free(struct policy_exact *exact);

double policy_exact_bound(const struct policy_exact *exact);

/* What to ask after these findings. */
size_t policy_exact_choice(const struct policy_exact *exact, size_t state,
    const size_t *check, const size_t *outcome, size_t count);

/* --- policy_bound.c ------------------------------------------------------ */

/* What no policy can do without, by looking a few checks ahead. */
double policy_bound(struct policy_work *work, const double *share);

#endif
