/*
 * reason_seeds: what is demanded of posteriors, trees and policies, over the
 * first of the seeds that tests/bench/reason goes through. Optima by recursions
 * of the tests' own (tests/reason/optimum.h); all tables are invented.
 */
#include "unit/suites.h"

#include "lamp/chance.h"
#include "reason/belief.h"
#include "reason/fixing.h"
#include "reason/known.h"
#include "reason/optimum.h"
#include "reason/policy.h"
#include "reason/ratios.h"
#include "reason/simple.h"

#include <stdlib.h>

/* Under valgrind the first few do. */
static uint64_t
seeds(uint64_t all)
{
	return getenv("LAMPWRIGHT_SHORT") != NULL ? (all + 9) / 10 : all;
}

/* --- posteriors ------------------------------------------------------------
 */

static void
check_posterior(const struct findings_made *made, uint64_t seed)
{
	size_t i, k, n = made->causes;
	long double product[40], sum = 0;
	double share[40], again[40];
	double *likelihood = calloc(n * made->findings, sizeof *likelihood);

	ck_assert_ptr_nonnull(likelihood);
	for (i = 0; i < n; i++) {
		product[i] = made->weight[i];
		for (k = 0; k < made->findings; k++)
			product[i] *= made->likelihood[k * n + i];
		sum += product[i];
	}
	belief_posterior(
	    share, made->weight, n, made->likelihood, made->findings);
	findings_shuffle(likelihood, made, seed);
	belief_posterior(again, made->weight, n, likelihood, made->findings);
	for (i = 0; i < n; i++) {
		ck_assert_double_eq_tol(
		    share[i], (double)(product[i] / sum), 1e-9);
		ck_assert_double_eq_tol(share[i], again[i], 1e-12);
	}
	free(likelihood);
}

START_TEST(posteriors_are_exact_in_any_order)
{
	struct findings_made made;
	struct chance chance;
	uint64_t seed;

	for (seed = 1; seed <= seeds(30); seed++) {
		chance_seed(&chance, seed);
		ck_assert(findings_make(&made, chance_whole(&chance, 2, 40),
		    chance_whole(&chance, 1, 60), seed));
		check_posterior(&made, seed);
		findings_free(&made);
	}
}
END_TEST

/* --- trees -----------------------------------------------------------------
 */

/* So often it is asked whether time is up: the same on every machine. */
static bool
count_down(void *what)
{
	size_t *left = what;

	return *left == 0 || --*left == 0;
}

/* The tree's cost by the tests' own walk; the bound holds, and what is said to
 * be proved is the best. */
static double
price(const struct plan_grid *grid, enum plan_effort effort, size_t asks,
    double best, bool *optimal)
{
	struct lw_arena *arena = lw_arena_new();
	struct reason_limits limits = {
	    (size_t)64 << 20, asks > 0 ? count_down : NULL, &asks};
	struct lw_err err = {0};
	struct plan plan;
	double cost;

	ck_assert_ptr_nonnull(arena);
	ck_assert_msg(
	    plan_make(&plan, arena, grid, effort, &limits, &err) == LW_OK, "%s",
	    err.text);
	cost = optimum_price(plan.root, grid);
	ck_assert_double_eq_tol(plan.cost, cost, 1e-9 * cost);
	ck_assert_double_eq_tol(
	    plan_cost_of(plan.root, grid), cost, 1e-9 * cost);
	ck_assert_double_le(plan.lower_bound, best * (1 + 1e-9));
	if (plan.optimal)
		ck_assert_double_eq_tol(cost, best, 1e-9 * best);
	if (optimal != NULL)
		*optimal = plan.optimal;
	lw_arena_free(arena);
	return cost;
}

static void
check_proved(struct grid_how how, uint64_t count)
{
	struct grid_made made;
	double best;
	bool optimal;

	for (how.seed = 1; how.seed <= count; how.seed++) {
		ck_assert(grid_make(&made, &how));
		best = how.kind == GRID_CHAIN
			   ? optimum_reached(&made.grid, 100000)
			   : optimum_all(&made.grid);
		price(&made.grid, PLAN_BEST, 0, best, &optimal);
		ck_assert_msg(optimal, "%s, seed %llu: not proved",
		    grid_kind_name(how.kind), (unsigned long long)how.seed);
		grid_free(&made);
	}
}

START_TEST(the_cheapest_tree_is_proved)
{
	int kind;

	for (kind = 0; kind < GRID_KINDS; kind++) {
		check_proved((struct grid_how){(enum grid_kind)kind, 8, 10, 2,
				 1, false, 0},
		    seeds(30));
		check_proved((struct grid_how){(enum grid_kind)kind, 12, 20, 2,
				 1, true, 0},
		    seeds(10));
		check_proved((struct grid_how){(enum grid_kind)kind, 12, 20,
				 kind == GRID_CHAIN ? 2 : 4, 1, false, 0},
		    seeds(10));
	}
	check_proved(
	    (struct grid_how){GRID_CHAIN, 27, 26, 2, 1, false, 0}, seeds(10));
}
END_TEST

START_TEST(of_twenty_by_forty_too)
{
	if (getenv("LAMPWRIGHT_SHORT") != NULL)
		return;
	check_proved((struct grid_how){GRID_DENSE, 20, 40, 2, 1, false, 0}, 1);
	check_proved((struct grid_how){GRID_SPARSE, 20, 40, 2, 1, false, 0}, 1);
	check_proved((struct grid_how){GRID_THIN, 20, 40, 2, 1, false, 0}, 1);
}
END_TEST

/* Cut short long before anything is proved. */
static void
add_short(struct ratios *ratios, const struct known_grid *known)
{
	struct grid_how how = {known->kind, known->causes, known->checks, 2, 1,
	    false, known->seed};
	struct grid_made made;

	ck_assert(grid_make(&made, &how));
	ratios_add(ratios,
	    price(&made.grid, PLAN_BEST, 100, known->cost, NULL) / known->cost,
	    known->seed);
	grid_free(&made);
}

START_TEST(large_tables_come_near)
{
	static const size_t sizes[][2] = {{24, 36}, {32, 48}, {40, 60}};
	struct grid_how how = {GRID_THIN, 0, 0, 2, 1, false, 0};
	const struct known_grid *known;
	struct ratios ratios;
	size_t i;

	for (i = 0; i < 3; i++) {
		ratios = (struct ratios){0};
		how.causes = sizes[i][0];
		how.checks = sizes[i][1];
		for (how.seed = 1; how.seed <= seeds(5); how.seed++) {
			known = known_find(&how);
			ck_assert_ptr_nonnull(known);
			add_short(&ratios, known);
		}
		ck_assert_double_le(ratios_mean(&ratios), 1.02);
		ck_assert_double_le(ratios.worst, 1.10);
	}
}
END_TEST

START_TEST(changing_states_is_weighed)
{
	struct ratios best = {0}, rollout = {0}, greedy = {0};
	struct grid_how how = {GRID_DENSE, 8, 10, 2, 3, false, 0};
	struct grid_made made;
	double optimum;

	for (how.seed = 1; how.seed <= seeds(30); how.seed++) {
		ck_assert(grid_make(&made, &how));
		optimum = optimum_all(&made.grid);
		ratios_add(&best,
		    price(&made.grid, PLAN_BEST, 0, optimum, NULL) / optimum,
		    how.seed);
		ratios_add(&rollout,
		    price(&made.grid, PLAN_ROLLOUT, 0, optimum, NULL) / optimum,
		    how.seed);
		ratios_add(&greedy,
		    price(&made.grid, PLAN_GREEDY, 0, optimum, NULL) / optimum,
		    how.seed);
		grid_free(&made);
	}
	ck_assert_double_le(ratios_mean(&best), 1.02);
	ck_assert_double_le(ratios_mean(&rollout), 1.02);
	ck_assert_double_le(ratios_mean(&best), ratios_mean(&rollout) + 1e-9);
	ck_assert_double_le(ratios_mean(&rollout), ratios_mean(&greedy));
}
END_TEST

/* The tests' own two recursions agree, so that neither is wrong by itself. */
START_TEST(the_optimum_is_the_same_by_both_ways)
{
	struct grid_how how = {GRID_DENSE, 9, 12, 3, 3, false, 0};
	struct grid_made made;
	double all;
	size_t i;

	for (how.seed = 1; how.seed <= seeds(10); how.seed++) {
		ck_assert(grid_make(&made, &how));
		all = optimum_all(&made.grid);
		ck_assert_double_eq_tol(
		    optimum_reached(&made.grid, 100000), all, 1e-9 * all);
		for (i = 0; i < SIMPLE_COUNT; i++)
			ck_assert_double_ge(
			    simple_cost(&made.grid, (enum simple)i),
			    all * (1 - 1e-9));
		grid_free(&made);
	}
}
END_TEST

/* --- ending in repairs -----------------------------------------------------
 */

static double
mended(const struct noisy_made *made, enum policy_effort effort, double optimum)
{
	struct lw_arena *arena = lw_arena_new();
	struct lw_err err = {0};
	struct policy policy;
	double cost;

	ck_assert_ptr_nonnull(arena);
	ck_assert_msg(policy_make(&policy, arena, &made->table, made->share,
			  &made->fixes, effort, NULL, NULL, &err) == LW_OK,
	    "%s", err.text);
	cost = optimum_policy_price(
	    policy.root, &made->table, made->share, &made->fixes);
	ck_assert_double_eq_tol(policy.cost, cost, 1e-9 * cost);
	ck_assert_double_le(policy.lower_bound, optimum * (1 + 1e-9));
	lw_arena_free(arena);
	return cost;
}

static void
check_mended(struct noisy_how how, uint64_t count)
{
	struct ratios exact = {0}, rollout = {0}, sure = {0};
	struct noisy_made made;
	double optimum;

	for (how.seed = 1; how.seed <= count; how.seed++) {
		ck_assert(noisy_make(&made, &how));
		optimum =
		    optimum_noisy(&made.table, made.share, &made.fixes, true);
		ratios_add(&exact,
		    fabs(mended(&made, POLICY_EXACT, optimum) / optimum - 1),
		    how.seed);
		ratios_add(&rollout,
		    mended(&made, POLICY_ROLLOUT, optimum) / optimum, how.seed);
		ratios_add(&sure, mended(&made, POLICY_SURE, optimum) / optimum,
		    how.seed);
		noisy_free(&made);
	}
	/* Ends below POLICY_LEAST_CHANCE are not divided. */
	ck_assert_double_le(exact.worst, 1e-4);
	ck_assert_double_le(ratios_mean(&rollout), 1.01);
	ck_assert_double_ge(ratios_mean(&sure), 1.10);
}

START_TEST(repairs_come_near_the_exact_policy)
{
	if (getenv("LAMPWRIGHT_SHORT") != NULL)
		return;
	check_mended((struct noisy_how){8, 8, 2, 1, 0.5, 0}, 30);
	check_mended((struct noisy_how){8, 8, 2, 3, 0.5, 0}, 10);
}
END_TEST

START_TEST(mended_sooner_than_in_simple_ways)
{
	struct noisy_how how = {20, 25, 2, 3, 0.3, 0};
	double minutes[FIXER_COUNT] = {0};
	struct noisy_made made;
	struct fixing fixing;
	uint64_t k;
	size_t i;

	for (how.seed = 1; how.seed <= seeds(6); how.seed++) {
		ck_assert(noisy_make(&made, &how));
		for (i = 0; i < FIXER_COUNT; i++)
			for (k = 0; k < 40; k++) {
				ck_assert(fixing_try(&fixing, &made,
				    (enum fixer)i, how.seed * 100000 + k));
				minutes[i] += fixing.minutes;
			}
		noisy_free(&made);
	}
	for (i = FIXER_AUTHORED; i < FIXER_COUNT; i++)
		ck_assert_msg(minutes[FIXER_BEST] * 1.1 < minutes[i],
		    "%.0f min, %s: %.0f min", minutes[FIXER_BEST],
		    fixer_name((enum fixer)i), minutes[i]);
}
END_TEST

Suite *
suite_reason_seeds(void)
{
	Suite *suite = suite_create("reason_seeds");
	TCase *tests = tcase_create("reason_seeds");

	tcase_set_timeout(tests, 300);
	tcase_add_test(tests, posteriors_are_exact_in_any_order);
	tcase_add_test(tests, the_cheapest_tree_is_proved);
	tcase_add_test(tests, of_twenty_by_forty_too);
	tcase_add_test(tests, large_tables_come_near);
	tcase_add_test(tests, changing_states_is_weighed);
	tcase_add_test(tests, the_optimum_is_the_same_by_both_ways);
	tcase_add_test(tests, repairs_come_near_the_exact_policy);
	tcase_add_test(tests, mended_sooner_than_in_simple_ways);
	suite_add_tcase(suite, tests);
	return suite;
}
