/* plan: odd tables, those that are refused, and limits. */
#include "unit/plans.h"
#include "unit/suites.h"

static const double ones[] = {1, 1, 1};

/* Equal rows end in one leaf, in the table's order; a check with one outcome
 * is mute; of equal checks the cheaper one serves. */
START_TEST(groups_and_mute_checks)
{
	static const double weight[] = {1, 2, 3, 4}, cost[] = {2, 9, 1, 3};
	static const unsigned outcome[] = {
	    0, 7, 0, 7, 5, 5, 5, 5, 4, 1, 4, 1, 2, 3, 2, 3};
	struct plan_grid grid = {4, 4, weight, cost, outcome, 1, NULL, NULL, 0};
	struct lw_arena *arena = lw_arena_new();
	const struct plan_node *leaf;
	struct plan plan;

	make(&plan, arena, &grid, PLAN_BEST);
	ck_assert_uint_eq(plan.groups, 2);
	ck_assert_uint_eq(plan.mute_count, 1);
	ck_assert_uint_eq(plan.mute[0], 1);
	ck_assert_uint_eq(plan.checks_used, 1);
	ck_assert_uint_eq(plan.root->check, 2);
	ck_assert_double_eq_tol(plan.cost, 1, 1e-12);
	ck_assert_uint_eq(plan.root->branch_count, 2);
	ck_assert_uint_eq(plan.root->branches[0].outcome, 1);
	ck_assert_uint_eq(plan.root->branches[1].outcome, 4);
	leaf = plan.root->branches[0].node;
	ck_assert_uint_eq(leaf->check, REASON_NONE);
	ck_assert_uint_eq(leaf->cause_count, 2);
	ck_assert_uint_eq(leaf->causes[0], 1);
	ck_assert_uint_eq(leaf->causes[1], 3);
	ck_assert_double_eq_tol(leaf->share, .6, 1e-12);
	lw_arena_free(arena);
}
END_TEST

START_TEST(nothing_to_tell)
{
	static const double cost[] = {1, 2};
	static const unsigned outcome[] = {3, 3, 3, 0, 0, 0};
	struct plan_grid grid = {3, 2, ones, cost, outcome, 1, NULL, NULL, 0};
	struct lw_arena *arena = lw_arena_new();
	struct plan plan;

	make(&plan, arena, &grid, PLAN_BEST);
	ck_assert_uint_eq(plan.root->check, REASON_NONE);
	ck_assert_uint_eq(plan.root->cause_count, 3);
	ck_assert_uint_eq(plan.mute_count, 2);
	ck_assert(plan.optimal && plan.cost == 0);
	grid.checks = 0;
	make(&plan, arena, &grid, PLAN_BEST);
	ck_assert_uint_eq(plan.groups, 1);
	grid.causes = 1;
	grid.checks = 2;
	make(&plan, arena, &grid, PLAN_BEST);
	ck_assert_uint_eq(plan.root->cause_count, 1);
	ck_assert(plan.optimal);
	lw_arena_free(arena);
}
END_TEST

/* Causes of weight 0 have their place; checks that cost nothing are done;
 * weights and costs may be as large as they like. */
START_TEST(zeros_and_extremes)
{
	double weight[] = {0, 1, 0, 0}, cost[] = {1, 2, 4, 0};
	static const unsigned outcome[] = {
	    0, 0, 1, 1, 0, 1, 0, 1, 1, 0, 0, 0, 0, 0, 0, 1};
	struct plan_grid grid = {4, 4, weight, cost, outcome, 1, NULL, NULL, 0};
	struct lw_arena *arena = lw_arena_new();
	struct plan plan;
	size_t i;

	/* The second check and the free one tell the second cause, which has
	 * all the weight, from the others. */
	make(&plan, arena, &grid, PLAN_BEST);
	ck_assert(plan.optimal);
	ck_assert_uint_eq(plan.groups, 4);
	ck_assert_double_eq_tol(plan.cost, 2, 1e-12);
	weight[1] = 1e-300;
	weight[0] = 1e300;
	for (i = 0; i < 4; i++)
		cost[i] *= 1e290;
	make(&plan, arena, &grid, PLAN_BEST);
	ck_assert(isfinite(plan.cost));
	memset(cost, 0, sizeof cost);
	make(&plan, arena, &grid, PLAN_BEST);
	ck_assert(plan.optimal && plan.cost == 0);
	lw_arena_free(arena);
}
END_TEST

/* Who is refused, and with which words. */
START_TEST(refused)
{
	double weight[] = {1, 1}, cost[] = {1}, setup[] = {0, 1, 1, 0};
	unsigned outcome[] = {0, 1};
	size_t state[] = {1};
	const struct plan_grid fine = {
	    2, 1, weight, cost, outcome, 2, state, setup, 0};
	struct plan_grid grid = fine;
	struct lw_arena *arena = lw_arena_new();
	struct lw_err err;
	struct plan plan;

#define REFUSED(words)                                                     \
	do {                                                               \
		ck_assert_int_eq(                                          \
		    plan_make(&plan, arena, &grid, PLAN_BEST, NULL, &err), \
		    LW_BAD_INPUT);                                         \
		ck_assert_msg(                                             \
		    strstr(err.text, words) != NULL, "%s", err.text);      \
		grid = fine;                                               \
	} while (0)
	grid.causes = 0;
	REFUSED("no cause");
	grid.causes = PLAN_CAUSES_MAX + 1;
	REFUSED("at most 100000");
	grid.checks = PLAN_CHECKS_MAX + 1;
	REFUSED("at most 10000");
	weight[1] = NAN;
	REFUSED("weight of cause 2");
	weight[1] = -1;
	REFUSED("weight of cause 2 is -1");
	weight[1] = INFINITY;
	REFUSED("weight of cause 2");
	weight[0] = weight[1] = 0;
	REFUSED("all weights are 0");
	weight[0] = 1;
	cost[0] = NAN;
	REFUSED("cost of check 1");
	cost[0] = -0.5;
	REFUSED("cost of check 1 is -0.5");
	cost[0] = 1;
	outcome[1] = 65536;
	REFUSED("outcome 65536");
	outcome[1] = 65535;
	state[0] = 2;
	REFUSED("state 3 of 2");
	state[0] = 1;
	grid.begin = 2;
	REFUSED("begins in state 3");
	setup[1] = NAN;
	REFUSED("set-up from state 1 to 2");
	setup[1] = 1;
	setup[3] = 2;
	REFUSED("0 from a state to itself");
	setup[3] = 0;
	make(&plan, arena, &fine, PLAN_BEST);
	ck_assert_uint_eq(plan.root->branches[1].outcome, 65535);
	lw_arena_free(arena);
}
END_TEST

/* Says stop when it was asked so often. */
static bool
stop_after(void *what)
{
	unsigned *left = what;

	if (*left == 0)
		return true;
	--*left;
	return false;
}

/* A chain that has to be gone down one by one: what comes first has nearly all
 * the weight; and one that is stopped at once, so that what is cheapest comes
 * first, all the way. */
START_TEST(deep_chains)
{
	struct table table;
	struct lw_arena *arena = lw_arena_new();
	unsigned left = 0;
	struct reason_limits limits = {0, stop_after, &left};
	struct plan plan;
	size_t i;

	chain_make(&table, 1100, 1099);
	for (i = 0; i < 1100; i++)
		table.weight[i] = pow(0.3, (double)(i < 200 ? i : 200));
	make(&plan, arena, &table.grid, PLAN_BEST);
	ck_assert_uint_eq(plan.groups, 1100);
	ck_assert(plan.cost < 1.5);
	table_free(&table);

	chain_make(&table, 3000, 2999);
	for (i = 0; i < 2999; i++)
		table.cost[i] = 1 + (double)i / 3000;
	ck_assert_int_eq(
	    plan_make(&plan, arena, &table.grid, PLAN_BEST, &limits, NULL),
	    LW_OK);
	check_plan(&plan, &table.grid);
	ck_assert_uint_eq(plan.checks_used, 2999);
	ck_assert(plan.lower_bound > 11);
	table_free(&table);
	lw_arena_free(arena);
}
END_TEST

START_TEST(stopped)
{
	static const unsigned asked[] = {0, 1, 2, 5, 20};
	struct lw_arena *arena = lw_arena_new();
	struct table table;
	struct plan plan;
	unsigned left;
	size_t i;

	table_make(&table, 40, 60, .07, 3);
	for (i = 0; i < COUNT(asked); i++) {
		struct reason_limits limits = {0, stop_after, &left};

		left = asked[i];
		ck_assert_int_eq(plan_make(&plan, arena, &table.grid, PLAN_BEST,
				     &limits, NULL),
		    LW_OK);
		check_plan(&plan, &table.grid);
	}
	table_free(&table);
	lw_arena_free(arena);
}
END_TEST

/* A search that has not enough memory ends by itself, and takes no more. */
START_TEST(little_memory)
{
	struct lw_arena *arena = lw_arena_new();
	struct reason_limits limits = {1 << 20, NULL, NULL};
	struct table table;
	struct plan plan;
	double low;

	table_make(&table, 40, 60, .07, 3);
	make(&plan, arena, &table.grid, PLAN_GREEDY);
	low = plan.lower_bound;
	ck_assert_int_eq(
	    plan_make(&plan, arena, &table.grid, PLAN_BEST, &limits, NULL),
	    LW_OK);
	check_plan(&plan, &table.grid);
	ck_assert(!plan.optimal);
	ck_assert(plan.lower_bound > low);
	table_free(&table);
	lw_arena_free(arena);
}
END_TEST

/* 10^5 causes, told apart by the bits of their numbers: 17 checks, each of
 * which most causes need. */
START_TEST(many_causes)
{
	enum { MANY = 100000 };
	struct lw_arena *arena = lw_arena_new();
	struct table table;
	struct plan plan;
	size_t i, j;

	table_make(&table, MANY, 17, 0, 1);
	for (j = 0; j < 17; j++) {
		table.cost[j] = 1;
		for (i = 0; i < MANY; i++)
			table.outcome[j * MANY + i] = i >> j & 1;
	}
	for (i = 0; i < MANY; i++)
		table.weight[i] = 1;
	make(&plan, arena, &table.grid, PLAN_BEST);
	ck_assert_uint_eq(plan.groups, MANY);
	ck_assert(plan.lower_bound > 16.5 && plan.cost <= 17);
	/* With three of the checks there are eight groups. */
	table.grid.checks = 3;
	make(&plan, arena, &table.grid, PLAN_BEST);
	ck_assert_uint_eq(plan.groups, 8);
	ck_assert(plan.optimal);
	ck_assert_double_eq_tol(plan.cost, 3, 1e-9);
	table_free(&table);
	lw_arena_free(arena);
}
END_TEST

Suite *
suite_plan_odd(void)
{
	Suite *suite = suite_create("plan_odd");
	TCase *tcase = tcase_create("odd");

	tcase_set_timeout(tcase, 120);
	tcase_add_test(tcase, groups_and_mute_checks);
	tcase_add_test(tcase, nothing_to_tell);
	tcase_add_test(tcase, zeros_and_extremes);
	tcase_add_test(tcase, refused);
	tcase_add_test(tcase, stopped);
	tcase_add_test(tcase, little_memory);
	tcase_add_test(tcase, deep_chains);
	tcase_add_test(tcase, many_causes);
	suite_add_tcase(suite, tcase);
	return suite;
}
