/* Weighs every check by itself: what it tells, what it costs, and whether
 * fixing now costs less. Trees of checks are left to policy and plan. */
#include "reason/next.h"

#include "base/err.h"
#include "reason/bits.h"
#include "reason/fixes.h"
#include "reason/rank.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Of what one check tells, how much another has to tell so that it tells as
 * much: judgement. */
static const double AS_MUCH = 0.95;

/* What one call works with. */
struct desk {
	const struct reason_table *table;
	const double *share;
	double *row;	/* for each cause */
	double *weight; /* for each cause */
	double *mass;	/* for each outcome */
	double *most;	/* for each state: what a safer check tells at most */
	struct rank *ranks;	  /* for each check, twice */
	struct next_choice *room; /* for each check */
	struct fixes_desk *fixes; /* or NULL */
};

static void
desk_close(struct desk *desk)
{
	free(desk->row);
	free(desk->weight);
	free(desk->mass);
	free(desk->most);
	free(desk->ranks);
	free(desk->room);
	fixes_desk_free(desk->fixes);
}

static enum lw_status
desk_open(struct desk *desk, const struct reason_table *table,
    const double *share, const struct reason_fixes *fixes, struct lw_err *err)
{
	size_t j, outcomes = 1, checks = table->checks + 1;

	memset(desk, 0, sizeof *desk);
	desk->table = table;
	desk->share = share;
	for (j = 0; j < table->checks; j++)
		if (table->check[j].outcomes > outcomes)
			outcomes = table->check[j].outcomes;
	desk->row = calloc(table->causes, sizeof *desk->row);
	desk->weight = calloc(table->causes, sizeof *desk->weight);
	desk->mass = calloc(outcomes, sizeof *desk->mass);
	desk->most = calloc(table->states, sizeof *desk->most);
	desk->ranks = calloc(checks, 2 * sizeof *desk->ranks);
	desk->room = calloc(checks, sizeof *desk->room);
	if (fixes != NULL)
		desk->fixes = fixes_desk_new(fixes, table->causes);
	if (desk->row != NULL && desk->weight != NULL && desk->mass != NULL &&
	    desk->most != NULL && desk->ranks != NULL && desk->room != NULL &&
	    (fixes == NULL || desk->fixes != NULL))
		return LW_OK;
	desk_close(desk);
	return err_no_memory(err);
}

/* What fixing costs on average after this check. */
static double
fixing_after(struct desk *desk, const struct reason_check *check)
{
	size_t causes = desk->table->causes, o, i;
	double cost = 0;

	for (o = 0; o < check->outcomes; o++) {
		const double *given = check->given + o * causes;

		if (!(desk->mass[o] > 0))
			continue;
		for (i = 0; i < causes; i++)
			desk->weight[i] = desk->share[i] * given[i];
		cost += fixes_desk_cost(desk->fixes, NULL, desk->weight);
	}
	return cost;
}

double
next_score(double bits, double cost)
{
	return cost > 0 ? bits * bits / cost : (double)INFINITY;
}

bool
next_yields(double bits, double safer)
{
	return safer >= NEXT_LEAST_BITS && safer >= AS_MUCH * bits;
}

/* False where the check is worthless. */
static bool
weigh(struct next_choice *choice, struct desk *desk, size_t number, double sum)
{
	const struct reason_table *table = desk->table;
	const struct reason_check *check = &table->check[number];
	double cost;

	bits_rows(desk->row, check, table->causes);
	choice->check = number;
	choice->bits = bits_told(
	    desk->mass, check, desk->row, desk->share, table->causes, sum);
	if (!(choice->bits >= NEXT_LEAST_BITS))
		return false;
	choice->setup =
	    table->setup == NULL
		? 0
		: table->setup[table->begin * table->states + check->state];
	cost = check->cost + choice->setup;
	choice->score = next_score(choice->bits, cost);
	choice->expected =
	    desk->fixes == NULL ? 0 : cost + fixing_after(desk, check);
	choice->yields = REASON_NONE;
	return true;
}

/* The best score first; among equals (all that are free) the most bits. */
static void
rank_choices(struct desk *desk, struct next_choice *choices, size_t count)
{
	struct rank *ranks = desk->ranks;
	size_t k;

	memcpy(desk->room, choices, count * sizeof *choices);
	for (k = 0; k < count; k++) {
		ranks[k].key = choices[k].bits;
		ranks[k].at = k;
	}
	rank_falling(ranks, ranks + count, count);
	for (k = 0; k < count; k++)
		ranks[k].key = choices[ranks[k].at].score;
	rank_falling(ranks, ranks + count, count);
	for (k = 0; k < count; k++)
		choices[k] = desk->room[ranks[k].at];
}

/* Into `most` for each state what a check in a less hazardous one tells at
 * most. */
static void
find_most(struct desk *desk, const struct next_choice *choices, size_t count)
{
	double *most = desk->most, here, before = 0;
	size_t k, s;

	for (s = 0; s < desk->table->states; s++)
		most[s] = 0;
	for (k = 0; k < count; k++) {
		s = desk->table->check[choices[k].check].state;
		most[s] = fmax(most[s], choices[k].bits);
	}
	for (s = 0; s < desk->table->states; s++) {
		here = most[s];
		most[s] = before;
		before = fmax(before, here);
	}
}

/* Those that yield go behind all others, in the order they have. */
static void
let_yield(struct desk *desk, struct next_choice *choices, size_t count)
{
	const struct reason_check *check = desk->table->check;
	size_t k, m, kept = 0, yielding = 0;

	find_most(desk, choices, count);
	for (k = 0; k < count; k++) {
		struct next_choice *choice = &choices[k];
		size_t state = check[choice->check].state;

		if (!next_yields(choice->bits, desk->most[state]))
			continue;
		for (m = 0; check[choices[m].check].state >= state ||
			    !next_yields(choice->bits, choices[m].bits);)
			m++;
		choice->yields = choices[m].check;
	}
	for (k = 0; k < count; k++)
		if (choices[k].yields == REASON_NONE)
			choices[kept++] = choices[k];
		else
			desk->room[yielding++] = choices[k];
	memcpy(choices + kept, desk->room, yielding * sizeof *choices);
}

static void
observe_or_fix(struct next_advice *advice, struct desk *desk)
{
	size_t k;

	if (desk->fixes == NULL)
		return;
	advice->fix_now = fixes_desk_cost(desk->fixes, NULL, desk->share);
	for (k = 0; k < advice->count; k++)
		if (advice->choices[k].yields == REASON_NONE)
			advice->fix_after = fmin(
			    advice->fix_after, advice->choices[k].expected);
	advice->fix_first = advice->fix_now <= advice->fix_after;
}

enum lw_status
next_find(struct next_advice *advice, struct next_choice *choices,
    const struct reason_table *table, const double *share, const bool *usable,
    const struct reason_fixes *fixes, struct lw_err *err)
{
	struct desk desk;
	enum lw_status status;
	double sum = 0;
	size_t j;

	advice->choices = choices;
	advice->count = 0;
	advice->fix_now = 0;
	advice->fix_after = (double)INFINITY;
	advice->fix_first = false;
	status = reason_table_check(table, fixes, err);
	if (status == LW_OK)
		status = reason_shares_check(share, table->causes, err);
	if (status == LW_OK)
		status = desk_open(&desk, table, share, fixes, err);
	if (status != LW_OK)
		return status;
	for (j = 0; j < table->causes; j++)
		sum += share[j];
	for (j = 0; j < table->checks; j++)
		if ((usable == NULL || usable[j]) &&
		    weigh(&choices[advice->count], &desk, j, sum))
			advice->count++;
	rank_choices(&desk, choices, advice->count);
	let_yield(&desk, choices, advice->count);
	observe_or_fix(advice, &desk);
	desk_close(&desk);
	return LW_OK;
}

double
next_bits(const struct reason_check *check, const double *share, size_t causes)
{
	double told = 0, sum = 0, mass;
	size_t o, i;

	for (i = 0; i < causes; i++)
		sum += share[i];
	for (o = 0; o < check->outcomes; o++) {
		const double *given = check->given + o * causes;

		for (i = 0, mass = 0; i < causes; i++)
			mass += share[i] * given[i];
		for (i = 0; i < causes; i++)
			if (share[i] > 0 && given[i] > 0)
				told += share[i] * given[i] *
					log2(given[i] * sum / mass);
	}
	return told > 0 ? told / sum : 0;
}
