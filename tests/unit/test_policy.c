/* reason: policies that end in fixes, against plain recursion over small
 * invented tables, each tree walked from its table. */
#include "unit/suites.h"

#include "reason/fixes.h"
#include "reason/next.h"
#include "reason/policy.h"
#include "unit/noisy.h"

#include <stdlib.h>

/* --- by plain recursion -------------------------------------------------- */

struct asked {
	const struct noisy *made;
	size_t depth; /* that many checks at most */
};

/* Whether the rule lets this check be asked: it tells something, and none in a
 * less hazardous state tells 95 % of it. */
static bool
may_ask(const struct noisy *made, const double *weight, unsigned done,
    size_t number)
{
	const struct reason_table *table = &made->table;
	double bits = noisy_bits(&made->check[number], weight, table->causes);
	double other;
	size_t j;

	if (bits < 1e-6)
		return false;
	for (j = 0; j < table->checks; j++) {
		if ((done >> j & 1) != 0 ||
		    made->check[j].state >= made->check[number].state)
			continue;
		other = noisy_bits(&made->check[j], weight, table->causes);
		if (other >= 1e-6 && other >= 0.95 * bits)
			return false;
	}
	return true;
}

/* The least cost from here on, times the chance of coming here. */
static double
least_cost(const struct asked *asked, const double *weight, unsigned done,
    size_t state, size_t depth)
{
	const struct noisy *made = asked->made;
	size_t causes = made->table.causes, j, o, i;
	double least, cost, sum = 0, after[NOISY_CAUSES];

	for (i = 0; i < causes; i++)
		sum += weight[i];
	least = noisy_least_cost(causes, weight, &made->fixes, 0, 0);
	for (j = 0; j < made->table.checks && depth < asked->depth; j++) {
		const struct reason_check *check = &made->check[j];

		if ((done >> j & 1) != 0 || !may_ask(made, weight, done, j))
			continue;
		cost =
		    sum *
		    (check->cost +
			made->setup[state * made->table.states + check->state]);
		for (o = 0; o < check->outcomes && cost < least; o++) {
			for (i = 0; i < causes; i++)
				after[i] =
				    weight[i] * check->given[o * causes + i];
			cost += least_cost(asked, after, done | 1u << j,
			    check->state, depth + 1);
		}
		least = fmin(least, cost);
	}
	return least;
}

/* --- a tree, from its table ---------------------------------------------- */

struct walk {
	const struct reason_table *table;
	const struct reason_fixes *fixes;
	bool *done;
	size_t nodes;
	size_t deepest;
};

static void
check_order(const struct walk *walk, const struct policy_node *node)
{
	size_t causes = walk->table->causes, k;
	bool *seen = calloc(causes, sizeof *seen);

	ck_assert_ptr_nonnull(seen);
	ck_assert_ptr_nonnull(node->order);
	for (k = 0; k < causes; k++) {
		ck_assert_uint_lt(node->order[k], causes);
		ck_assert(!seen[node->order[k]]);
		seen[node->order[k]] = true;
	}
	free(seen);
}

static double walk_check(struct walk *walk, const struct policy_node *node,
    const double *weight, double sum, size_t state, size_t depth);

/* What the tree costs from here on, times the chance of coming here. */
static double
walk_node(struct walk *walk, const struct policy_node *node,
    const double *weight, size_t state, size_t depth)
{
	size_t causes = walk->table->causes, i;
	double sum = 0, cost;

	walk->nodes++;
	if (depth > walk->deepest)
		walk->deepest = depth;
	for (i = 0; i < causes; i++)
		sum += weight[i];
	ck_assert_double_eq_tol(node->chance, sum, 1e-9 * sum);
	for (i = 0; i < causes; i++)
		ck_assert_double_eq_tol(node->share[i], weight[i] / sum, 1e-9);
	if (node->check == REASON_NONE) {
		check_order(walk, node);
		ck_assert_ptr_null(node->next);
		cost =
		    noisy_order_cost(node->order, causes, weight, walk->fixes);
	} else {
		cost = walk_check(walk, node, weight, sum, state, depth);
	}
	ck_assert_double_eq_tol(node->cost * sum, cost, 1e-9 * (cost + sum));
	return cost;
}

static double
walk_check(struct walk *walk, const struct policy_node *node,
    const double *weight, double sum, size_t state, size_t depth)
{
	const struct reason_table *table = walk->table;
	const struct reason_check *check = &table->check[node->check];
	double *after = calloc(table->causes, sizeof *after), cost, here;
	size_t o, i;

	ck_assert_ptr_nonnull(after);
	ck_assert(!walk->done[node->check]);
	walk->done[node->check] = true;
	cost = check->cost;
	if (table->setup != NULL)
		cost += table->setup[state * table->states + check->state];
	cost *= sum;
	for (o = 0; o < check->outcomes; o++) {
		for (i = 0, here = 0; i < table->causes; i++) {
			after[i] =
			    weight[i] * check->given[o * table->causes + i];
			here += after[i];
		}
		ck_assert(here > 0 || node->next[o] == NULL);
		if (node->next[o] != NULL)
			cost += walk_node(walk, node->next[o], after,
			    check->state, depth + 1);
	}
	walk->done[node->check] = false;
	free(after);
	return cost;
}

/* The policy, whose tree is sound and costs what it says. */
static struct policy
made_policy(const struct reason_table *table, const double *share,
    const struct reason_fixes *fixes, enum policy_effort effort,
    const struct policy_bounds *bounds, const struct reason_limits *limits)
{
	struct lw_arena *arena = lw_arena_new();
	struct walk walk = {.table = table, .fixes = fixes};
	size_t most = 10000, deepest = 12;
	struct policy policy;
	struct lw_err err = {0};
	double cost;

	if (bounds != NULL) {
		most = bounds->nodes_max > 0 ? bounds->nodes_max : most;
		deepest = bounds->depth_max > 0 ? bounds->depth_max : deepest;
	}
	walk.done = calloc(table->checks + 1, sizeof *walk.done);
	ck_assert(walk.done != NULL && arena != NULL);
	ck_assert_msg(policy_make(&policy, arena, table, share, fixes, effort,
			  bounds, limits, &err) == LW_OK,
	    "%s", err.text);
	cost = walk_node(&walk, policy.root, share, table->begin, 0);
	ck_assert_double_eq_tol(policy.cost, cost, 1e-9 * (cost + 1));
	ck_assert_double_le(policy.lower_bound, policy.cost);
	ck_assert_uint_eq(policy.nodes, walk.nodes);
	ck_assert_uint_le(policy.nodes, most);
	ck_assert_uint_le(walk.deepest, deepest);
	free(walk.done);
	lw_arena_free(arena);
	policy.root = NULL;
	return policy;
}

static struct policy
noisy_policy(const struct noisy *made, enum policy_effort effort,
    const struct policy_bounds *bounds, const struct reason_limits *limits)
{
	return made_policy(
	    &made->table, made->share, &made->fixes, effort, bounds, limits);
}

/* --- against plain recursion --------------------------------------------- */

static bool
is_short(void)
{
	return getenv("LAMPWRIGHT_SHORT") != NULL;
}

/* Every effort on a small table of any kind: one state or three, clusters, a
 * last cause. */
START_TEST(no_policy_is_better)
{
	static const enum policy_effort others[] = {
	    POLICY_ROLLOUT, POLICY_MYOPIC, POLICY_SURE};
	struct policy_bounds bounds = {0};
	struct asked asked = {.depth = 12};
	struct noisy made;
	struct policy policy;
	double least;
	uint64_t seed = (uint64_t)_i;
	size_t i;

	noisy_make(&made, seed, 2 + seed % 3, 4, seed % 2 == 0 ? 2 : 0,
	    seed % 3 == 0 ? 1 : 3);
	if (seed % 4 > 1) {
		made.fixes.cluster = made.cluster;
		made.fixes.clusters = 2;
	}
	if (seed % 5 == 1)
		made.fixes.last = 0;
	if (seed % 6 == 2)
		made.check[0].cost = made.check[1].cost = 0;
	asked.made = &made;
	least = least_cost(&asked, made.share, 0, 0, 0);
	policy = noisy_policy(&made, POLICY_EXACT, &bounds, NULL);
	ck_assert_double_eq_tol(policy.cost, least, 1e-9 * least);
	ck_assert_double_eq_tol(policy.lower_bound, least, 1e-9 * least);
	ck_assert(policy.optimal && !policy.stopped);
	policy = noisy_policy(&made, POLICY_BEST, &bounds, NULL);
	ck_assert_double_ge(policy.cost, least * (1 - 1e-9));
	ck_assert_double_le(policy.cost, least * (1 + 1e-3));
	ck_assert_double_le(policy.lower_bound, least * (1 + 1e-9));
	ck_assert(policy.optimal);
	for (i = 0; i < 3; i++) {
		policy = noisy_policy(&made, others[i], &bounds, NULL);
		ck_assert_double_ge(policy.cost, least * (1 - 1e-9));
		ck_assert_double_le(policy.lower_bound, least * (1 + 1e-9));
		ck_assert(!policy.optimal && !policy.stopped);
	}
}
END_TEST

/* Two checks at most, or one. */
START_TEST(no_policy_of_few_checks_is_better)
{
	struct policy_bounds bounds = {0};
	struct asked asked = {0};
	struct noisy made;
	struct policy policy;
	double least;
	uint64_t seed;

	for (seed = 0; seed < 12; seed++) {
		noisy_make(&made, 100 + seed, 4, 5, 2, 2);
		asked.made = &made;
		asked.depth = bounds.depth_max = 1 + seed % 2;
		least = least_cost(&asked, made.share, 0, 0, 0);
		policy = noisy_policy(&made, POLICY_EXACT, &bounds, NULL);
		ck_assert_double_eq_tol(policy.cost, least, 1e-9 * least);
		ck_assert_double_le(policy.lower_bound, least * (1 + 1e-9));
		policy = noisy_policy(&made, POLICY_ROLLOUT, &bounds, NULL);
		ck_assert_double_ge(policy.cost, least * (1 - 1e-9));
	}
}
END_TEST

/* Rollout within 1 % on average; it is not told by its own code but by the
 * exact policy, which plain recursion confirms above. */
START_TEST(rollout_comes_near)
{
	size_t tables = is_short() ? 4 : 40, k;
	double rollout = 0, sure = 0, worst = 0, least, cost;
	struct noisy made;

	for (k = 0; k < tables; k++) {
		noisy_make(&made, 1000 + k, 8, 8, 2, k % 2 == 0 ? 1 : 3);
		least = noisy_policy(&made, POLICY_EXACT, NULL, NULL).cost;
		cost = noisy_policy(&made, POLICY_ROLLOUT, NULL, NULL).cost;
		rollout += cost / least;
		worst = fmax(worst, cost / least);
		cost = noisy_policy(&made, POLICY_SURE, NULL, NULL).cost;
		sure += cost / least;
	}
	ck_assert_double_le(rollout / (double)tables, 1.01);
	ck_assert_double_le(worst, 1.10);
	/* To go on until one is sure of it costs much more. */
	ck_assert_double_ge(sure / (double)tables, 1.10);
}
END_TEST

/* --- bounds and limits --------------------------------------------------- */

/* A table of the size that a book may have: most causes leave most checks as
 * they would be on a sound vehicle. Invented. */
struct large {
	struct reason_table table;
	struct reason_fixes fixes;
	double *share, *cost, *given, *setup;
	struct reason_check *checks;
};

static void
large_make(struct large *large, size_t causes, size_t checks)
{
	enum { OUTCOMES = 3, STATES = 4 };
	uint64_t seed = 77;
	double *given;
	size_t i, j, o, likeliest;

	large->share = calloc(causes, sizeof(double));
	large->cost = calloc(causes, sizeof(double));
	large->given = calloc(causes, checks * OUTCOMES * sizeof(double));
	large->setup = calloc(STATES * STATES, sizeof(double));
	large->checks = calloc(checks, sizeof *large->checks);
	ck_assert(large->share != NULL && large->cost != NULL &&
		  large->given != NULL && large->setup != NULL &&
		  large->checks != NULL);
	for (i = 0; i < causes; i++) {
		large->share[i] = 1.0 / (double)causes;
		large->cost[i] = 5 + 30 * noisy_draw(&seed);
	}
	for (j = 0; j < checks; j++) {
		given = large->given + j * OUTCOMES * causes;
		for (i = 0; i < causes; i++) {
			likeliest = noisy_draw(&seed) < 0.25
					? noisy_pick(&seed, OUTCOMES)
					: 0;
			for (o = 0; o < OUTCOMES; o++)
				given[o * causes + i] =
				    o == likeliest ? 0.9 : 0.05;
		}
		large->checks[j].outcomes = OUTCOMES;
		large->checks[j].given = given;
		large->checks[j].cost = 1 + 9 * noisy_draw(&seed);
		large->checks[j].state = noisy_pick(&seed, STATES);
	}
	for (i = 0; i < STATES; i++)
		for (j = 0; j < STATES; j++)
			large->setup[i * STATES + j] =
			    i == j ? 0 : 2 + 8 * noisy_draw(&seed);
	large->table = (struct reason_table){.causes = causes,
	    .checks = checks,
	    .check = large->checks,
	    .states = STATES,
	    .setup = large->setup};
	large->fixes =
	    (struct reason_fixes){.cost = large->cost, .last = REASON_NONE};
}

static void
large_free(struct large *large)
{
	free(large->share);
	free(large->cost);
	free(large->given);
	free(large->setup);
	free(large->checks);
}

static bool
stop_after(void *what)
{
	size_t *times = what;

	if (*times == 0)
		return true;
	--*times;
	return false;
}

/* Stopped at once, or in the middle: a sound tree that is not worse than fixing
 * at once, and better for more time. */
START_TEST(stopped)
{
	size_t times = 0;
	struct reason_limits limits = {.stop = stop_after, .what = &times};
	struct large large;
	struct policy at_once, later;
	double fix_now;
	struct lw_err err;

	large_make(&large, 30, 60);
	ck_assert_int_eq(
	    fixes_order(NULL, &fix_now, large.share, 30, &large.fixes, &err),
	    LW_OK);
	at_once = made_policy(&large.table, large.share, &large.fixes,
	    POLICY_BEST, NULL, &limits);
	ck_assert(at_once.stopped && !at_once.optimal);
	ck_assert_double_lt(at_once.cost, fix_now);
	times = is_short() ? 5 : 50;
	later = made_policy(&large.table, large.share, &large.fixes,
	    POLICY_BEST, NULL, &limits);
	ck_assert(later.stopped);
	ck_assert_double_lt(later.cost, fix_now);
	large_free(&large);
}
END_TEST

START_TEST(few_nodes_or_bytes)
{
	struct policy_bounds bounds = {.nodes_max = 1};
	struct reason_limits limits = {.bytes = 1};
	struct policy policy;
	struct noisy made;
	double fix_now, before;
	struct lw_err err;

	noisy_make(&made, 5, 8, 8, 3, 1);
	ck_assert_int_eq(
	    fixes_order(NULL, &fix_now, made.share, 8, &made.fixes, &err),
	    LW_OK);
	policy = noisy_policy(&made, POLICY_ROLLOUT, &bounds, NULL);
	ck_assert_uint_eq(policy.nodes, 1);
	ck_assert(policy.stopped);
	ck_assert_double_eq_tol(policy.cost, fix_now, 1e-9);
	policy = noisy_policy(&made, POLICY_BEST, NULL, &limits);
	ck_assert_uint_eq(policy.nodes, 1);
	ck_assert(policy.stopped && !policy.optimal);
	before = policy.cost;
	for (bounds.nodes_max = 4; bounds.nodes_max < 40;
	     bounds.nodes_max += 9) {
		policy = noisy_policy(&made, POLICY_BEST, &bounds, NULL);
		ck_assert_double_le(policy.cost, before * (1 + 1e-12));
		before = policy.cost;
	}
	ck_assert_double_lt(before, fix_now);
	/* Enough for the tree, not for all sets of findings. */
	limits.bytes = 200000;
	policy = noisy_policy(&made, POLICY_BEST, NULL, &limits);
	ck_assert(!policy.optimal);
	ck_assert_double_lt(policy.cost, fix_now);
}
END_TEST

START_TEST(improbable_ways_are_not_divided)
{
	/* A rare cause whose fix takes long, behind two checks that are sure
	 * and free: once in 20,000. By hand. */
	static const double share[] = {0.9999, 0.00005, 0.00005};
	static const double cost[] = {1, 1000, 2000};
	static const double first[] = {1, 0, 0, 0, 1, 1};
	static const double second[] = {1, 1, 0, 0, 0, 1};
	const struct reason_check checks[] = {
	    {2, first, 0, 0}, {2, second, 0, 0}};
	const struct reason_table table = {
	    .causes = 3, .checks = 2, .check = checks, .states = 1};
	const struct reason_fixes fixes = {.cost = cost, .last = REASON_NONE};
	struct policy policy;

	policy = made_policy(&table, share, &fixes, POLICY_EXACT, NULL, NULL);
	ck_assert_double_eq_tol(
	    policy.cost, 0.9999 + 0.00005 * 1000 + 0.00005 * 2000, 1e-9);
	ck_assert_double_eq_tol(policy.lower_bound, policy.cost, 1e-9);
	policy = made_policy(&table, share, &fixes, POLICY_BEST, NULL, NULL);
	ck_assert_double_ge(policy.cost, policy.lower_bound);
	ck_assert_double_eq_tol(
	    policy.lower_bound, 0.9999 + 0.00005 * 3000, 1e-9);
}
END_TEST

/* --- odd tables ---------------------------------------------------------- */

START_TEST(nothing_to_ask)
{
	static const double one[] = {1}, half[] = {0.5, 0.5}, cost[] = {5, 6};
	static const double same[] = {0.3, 0.3, 0.7, 0.7};
	const struct reason_check checks[] = {{1, one, 0, 0}, {2, same, 0, 0}};
	struct reason_table table = {.causes = 1, .states = 1};
	const struct reason_fixes fixes = {.cost = cost, .last = REASON_NONE};
	struct policy policy;

	policy = made_policy(&table, one, &fixes, POLICY_BEST, NULL, NULL);
	ck_assert_uint_eq(policy.nodes, 1);
	ck_assert_double_eq_tol(policy.cost, 5, 1e-15);
	ck_assert(policy.optimal);
	table.checks = 1;
	table.check = checks;
	policy = made_policy(&table, one, &fixes, POLICY_ROLLOUT, NULL, NULL);
	ck_assert_uint_eq(policy.nodes, 1);
	/* Equal rows: nothing tells the two apart, at no cost whatever. */
	table.causes = 2;
	table.check = checks + 1;
	policy = made_policy(&table, half, &fixes, POLICY_BEST, NULL, NULL);
	ck_assert_uint_eq(policy.nodes, 1);
	ck_assert_double_eq_tol(policy.cost, 5 + 0.5 * 6, 1e-12);
}
END_TEST

/* A sure live check that is cheap is not asked where an isolated one tells as
 * much; see also next. By hand: 20 + 10, or 1 + 2 + 10. */
START_TEST(hazard_comes_first_here_too)
{
	static const double share[] = {0.5, 0.5}, cost[] = {50, 50};
	static const double sure[] = {1, 0, 0, 1}, setup[] = {0, 2, 3, 0};
	struct reason_check checks[] = {{2, sure, 1, 1}, {2, sure, 20, 0}};
	struct reason_table table = {.causes = 2,
	    .checks = 2,
	    .check = checks,
	    .states = 2,
	    .setup = setup};
	const struct reason_fixes fixes = {.cost = cost, .last = REASON_NONE};
	int effort;

	for (effort = POLICY_BEST; effort <= POLICY_SURE; effort++) {
		table.checks = 2;
		ck_assert_double_eq_tol(
		    made_policy(&table, share, &fixes,
			(enum policy_effort)effort, NULL, NULL)
			.cost,
		    70, 1e-9);
		table.checks = 1;
		ck_assert_double_eq_tol(
		    made_policy(&table, share, &fixes,
			(enum policy_effort)effort, NULL, NULL)
			.cost,
		    53, 1e-9);
	}
}
END_TEST

START_TEST(no_policies)
{
	struct lw_arena *arena = lw_arena_new();
	struct large large;
	struct noisy made;
	struct policy policy;
	struct lw_err err = {0};

	noisy_make(&made, 1, 4, 3, 2, 2);
	ck_assert_int_eq(policy_make(&policy, arena, &made.table, made.share,
			     NULL, POLICY_BEST, NULL, NULL, &err),
	    LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(err.text, "ends in fixes"));
	made.share[1] = NAN;
	ck_assert_int_eq(policy_make(&policy, arena, &made.table, made.share,
			     &made.fixes, POLICY_BEST, NULL, NULL, &err),
	    LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(err.text, "the share of cause 1"));
	made.given[0][1] = NAN;
	ck_assert_int_eq(policy_make(&policy, arena, &made.table, made.share,
			     &made.fixes, POLICY_BEST, NULL, NULL, &err),
	    LW_BAD_INPUT);
	ck_assert_ptr_nonnull(strstr(err.text, "check 0"));
	large_make(&large, 30, 60);
	ck_assert_int_eq(policy_make(&policy, arena, &large.table, large.share,
			     &large.fixes, POLICY_EXACT, NULL, NULL, &err),
	    LW_TOO_BIG);
	ck_assert_ptr_nonnull(strstr(err.text, "too much"));
	large_free(&large);
	lw_arena_free(arena);
}
END_TEST

/* The same twice, to the last bit. */
START_TEST(same_again)
{
	struct noisy made;
	struct policy first, again;

	noisy_make(&made, 9, 8, 8, 3, 3);
	first = noisy_policy(&made, POLICY_ROLLOUT, NULL, NULL);
	again = noisy_policy(&made, POLICY_ROLLOUT, NULL, NULL);
	ck_assert(memcmp(&first.cost, &again.cost, sizeof first.cost) == 0);
	ck_assert_uint_eq(first.nodes, again.nodes);
	ck_assert_uint_eq(first.checks_used, again.checks_used);
}
END_TEST

Suite *
suite_policy(void)
{
	Suite *suite = suite_create("policy");
	TCase *policy = tcase_create("policy");

	tcase_set_timeout(policy, 120);
	tcase_add_loop_test(policy, no_policy_is_better, 0, 42);
	tcase_add_test(policy, no_policy_of_few_checks_is_better);
	tcase_add_test(policy, rollout_comes_near);
	tcase_add_test(policy, stopped);
	tcase_add_test(policy, few_nodes_or_bytes);
	tcase_add_test(policy, improbable_ways_are_not_divided);
	tcase_add_test(policy, nothing_to_ask);
	tcase_add_test(policy, hazard_comes_first_here_too);
	tcase_add_test(policy, no_policies);
	tcase_add_test(policy, same_again);
	suite_add_tcase(suite, policy);
	return suite;
}
