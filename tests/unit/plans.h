/* What the tests of plans share: drawing tables, and making and checking a
 * plan. */
#ifndef UNIT_PLANS_H
#define UNIT_PLANS_H

#include "reason/plan.h"

#include <check.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* A small generator with a seed of its own, so that a failure comes back. */
static inline double
draw(uint64_t *state)
{
	*state = *state * 6364136223846793005u + 1442695040888963407u;
	return (double)(*state >> 11) / (double)(UINT64_C(1) << 53);
}

static inline size_t
draw_below(uint64_t *state, size_t end)
{
	return (size_t)(draw(state) * (double)end);
}

/* A whole number of 0 and up, below `end`. */
static inline double
draw_whole(uint64_t *state, size_t end)
{
	return (double)draw_below(state, end);
}

/* That a tree fits its grid: each cause reaches the leaf that names it, and
 * the cost is what it costs by definition. */
static inline void
check_plan(const struct plan *plan, const struct plan_grid *grid)
{
	double cost = plan_cost_of(plan->root, grid);

	ck_assert_double_eq_tol(plan->cost, cost, 1e-9 * (1 + cost));
	ck_assert(plan->lower_bound <= plan->cost);
	ck_assert(!plan->optimal || plan->lower_bound >= plan->cost);
	ck_assert(plan->lower_bound >= 0);
}

static inline void
make(struct plan *plan, struct lw_arena *arena, const struct plan_grid *grid,
    enum plan_effort effort)
{
	struct lw_err err;
	enum lw_status status =
	    plan_make(plan, arena, grid, effort, NULL, &err);

	ck_assert_msg(status == LW_OK, "%s", err.text);
	check_plan(plan, grid);
}

/* The cost of the plan alone. */
static inline double
cost_of(const struct plan_grid *grid, enum plan_effort effort)
{
	struct lw_arena *arena = lw_arena_new();
	struct plan plan;
	double cost;

	make(&plan, arena, grid, effort);
	cost = plan.cost;
	ck_assert(effort != PLAN_BEST || plan.optimal);
	lw_arena_free(arena);
	return cost;
}

/* A table of causes by checks with two outcomes, drawn at random, and what
 * holds it. */
struct table {
	struct plan_grid grid;
	double *weight, *cost;
	unsigned *outcome;
};

static inline void
table_make(struct table *table, size_t causes, size_t checks, double ones_share,
    uint64_t seed)
{
	uint64_t s = seed;
	size_t i, j;

	table->weight = calloc(causes, sizeof(double));
	table->cost = calloc(checks, sizeof(double));
	table->outcome = calloc(causes * checks, sizeof(unsigned));
	for (i = 0; i < causes; i++)
		table->weight[i] = -log(1 - draw(&s));
	for (j = 0; j < checks; j++) {
		table->cost[j] = 1 + draw_whole(&s, 10);
		for (i = 0; i < causes; i++)
			table->outcome[j * causes + i] = draw(&s) < ones_share;
	}
	table->grid = (struct plan_grid){causes, checks, table->weight,
	    table->cost, table->outcome, 1, NULL, NULL, 0};
}

static inline void
table_free(struct table *table)
{
	free(table->weight);
	free(table->cost);
	free(table->outcome);
}

/* A chain: check k tells the first k causes from the rest. */
static inline void
chain_make(struct table *table, size_t causes, size_t checks)
{
	size_t i, j;

	table_make(table, causes, checks, 0, 1);
	for (i = 0; i < causes; i++)
		table->weight[i] = 1;
	for (j = 0; j < checks; j++) {
		table->cost[j] = 1;
		for (i = 0; i < causes; i++)
			table->outcome[j * causes + i] = i <= j;
	}
}

#endif
