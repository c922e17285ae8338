/* plan: the cheapest decision trees, against published answers and against an
 * enumerator of its own. */
#include "unit/plans.h"
#include "unit/suites.h"

/*
 * Pattipati and Alexandridis 1990, unit costs: an optimum of 2.18 as
 * published. The other figures were computed by brute force and by linear
 * programming: the best tree for each first check, the Huffman bound, and the
 * greedy tree by information.
 */
static const double pattipati_weight[] = {.70, .01, .02, .10, .05, .12};
static const double ones[64] = {1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
    1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
    1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};
static const unsigned pattipati_outcome[] = {
    0, 0, 0, 1, 1, 1, /* t1 */
    0, 1, 0, 0, 1, 1, /* t2 */
    0, 0, 1, 0, 0, 1, /* t3 */
    0, 0, 1, 1, 0, 1, /* t4 */
    0, 1, 0, 1, 0, 0, /* t5 */
};
static const struct plan_grid pattipati = {
    6, 5, pattipati_weight, ones, pattipati_outcome, 1, NULL, NULL, 0};

START_TEST(pattipati_alexandridis)
{
	struct lw_arena *arena = lw_arena_new();
	struct plan plan;

	make(&plan, arena, &pattipati, PLAN_BEST);
	ck_assert(plan.optimal);
	ck_assert_double_eq_tol(plan.cost, 2.18, 1e-12);
	ck_assert(plan.lower_bound == plan.cost);
	ck_assert_uint_eq(plan.groups, 6);
	ck_assert_uint_eq(plan.mute_count, 0);
	ck_assert_uint_le(plan.checks_used, 5);
	make(&plan, arena, &pattipati, PLAN_ROLLOUT);
	ck_assert_double_eq_tol(plan.cost, 2.18, 1e-12);
	make(&plan, arena, &pattipati, PLAN_GREEDY);
	ck_assert_double_eq_tol(plan.cost, 2.86, 1e-12);
	ck_assert_double_eq_tol(plan.lower_bound, 1.59, 1e-9);
	ck_assert(!plan.optimal);
	lw_arena_free(arena);
}
END_TEST

/* The causes of one outcome of one check as a grid of their own; the weights
 * that it takes, in `share`. */
static void
part_of(struct plan_grid *part, double *weight, unsigned *outcome,
    double *share, size_t check, unsigned gives)
{
	size_t n = 0, i, j, at[6];

	*share = 0;
	for (i = 0; i < 6; i++) {
		if (pattipati_outcome[check * 6 + i] != gives)
			continue;
		weight[n] = pattipati_weight[i];
		*share += weight[n];
		at[n++] = i;
	}
	for (j = 0; j < 5; j++)
		for (i = 0; i < n; i++)
			outcome[j * n + i] = pattipati_outcome[j * 6 + at[i]];
	*part =
	    (struct plan_grid){n, 5, weight, ones, outcome, 1, NULL, NULL, 0};
}

START_TEST(pattipati_first_checks)
{
	static const double best[] = {2.86, 2.18, 2.82, 2.18, 2.89};
	struct plan_grid part;
	unsigned outcome[30], gives;
	double weight[6], share, cost;
	size_t j;

	for (j = 0; j < COUNT(best); j++) {
		cost = 1;
		for (gives = 0; gives < 2; gives++) {
			part_of(&part, weight, outcome, &share, j, gives);
			cost += share * cost_of(&part, PLAN_BEST);
		}
		ck_assert_double_eq_tol(cost, best[j], 1e-12);
	}
}
END_TEST

/* Every way to part the causes costs 1: Huffman's problem. Weights 8, 6, 4, 2,
 * 2, 1 over 23: 54/23, and 55/23 where bottles are tasted one by one (Cover
 * and Thomas, Elements of Information Theory, the wine tasting; computed by
 * brute force). */
START_TEST(huffman_wine)
{
	static const double weight[] = {8, 6, 4, 2, 2, 1};
	struct plan_grid grid = {6, 31, weight, ones, NULL, 1, NULL, NULL, 0};
	unsigned outcome[31 * 6];
	size_t i, j;

	for (j = 0; j < 31; j++)
		for (i = 0; i < 6; i++)
			outcome[j * 6 + i] = (j + 1) >> i & 1;
	grid.outcome = outcome;
	ck_assert_double_eq_tol(cost_of(&grid, PLAN_BEST), 54.0 / 23.0, 1e-12);
	grid.checks = 6;
	for (j = 0; j < 6; j++)
		for (i = 0; i < 6; i++)
			outcome[j * 6 + i] = i == j;
	ck_assert_double_eq_tol(cost_of(&grid, PLAN_BEST), 55.0 / 23.0, 1e-12);
}
END_TEST

/* Balakrishnan and Semmelbauer, Decision Support Systems 25, 1999, table 1:
 * five defects, all as likely; 2.4 (computed by brute force). */
START_TEST(balakrishnan_semmelbauer)
{
	static const unsigned outcome[] = {
	    0, 0, 0, 0, 1, 0, 0, 0, 1, 1, 0, 0, 1, 1, 1, 0, 1, 1, 1, 1};
	struct plan_grid grid = {5, 4, ones, ones, outcome, 1, NULL, NULL, 0};

	ck_assert_double_eq_tol(cost_of(&grid, PLAN_BEST), 2.4, 1e-12);
}
END_TEST

/* A grid drawn at random. */
enum { CAUSES = 9, CHECKS = 12, STATES = 4, OUTCOMES = 5 };

struct drawn {
	struct plan_grid grid;
	double weight[CAUSES], cost[CHECKS], setup[STATES * STATES];
	unsigned outcome[CHECKS * CAUSES];
	size_t state[CHECKS];
	/* The enumerator's. */
	double value[1 << CAUSES][STATES];
	bool known[1 << CAUSES][STATES];
};

static void
draw_grid(struct drawn *drawn, uint64_t seed)
{
	uint64_t s = seed * 7919 + 1;
	size_t n = 1 + draw_below(&s, CAUSES), m = draw_below(&s, CHECKS + 1);
	size_t states = draw(&s) < .4 ? 1 : 1 + draw_below(&s, STATES);
	size_t outcomes = draw(&s) < .3 ? OUTCOMES : 2, i, j;
	double common = draw(&s), no_weight = draw(&s) < .3 ? .3 : 0;
	double no_cost = draw(&s) < .2 ? .3 : 0;

	memset(drawn, 0, sizeof *drawn);
	for (i = 0; i < n; i++)
		if (draw(&s) >= no_weight)
			drawn->weight[i] =
			    -log(1 - draw(&s)) * (draw(&s) < .1 ? 1e6 : 1);
	drawn->weight[draw_below(&s, n)] = 1;
	for (j = 0; j < m; j++) {
		drawn->cost[j] = draw(&s) < no_cost ? 0
				 : draw(&s) < .5    ? 1 + draw_whole(&s, 4)
						    : 10 * draw(&s);
		drawn->state[j] = draw_below(&s, states);
		for (i = 0; i < n; i++)
			if (draw(&s) >= common)
				drawn->outcome[j * n + i] =
				    (unsigned)(1 +
					       draw_below(&s, outcomes - 1));
	}
	for (i = 0; i < states; i++)
		for (j = 0; j < states; j++)
			if (i != j)
				drawn->setup[i * states + j] =
				    draw_whole(&s, 5);
	drawn->grid =
	    (struct plan_grid){n, m, drawn->weight, drawn->cost, drawn->outcome,
		states, drawn->state, drawn->setup, draw_below(&s, states)};
}

static double enumerate(struct drawn *drawn, size_t set, size_t state);

/* What it costs to begin with one check; INFINITY where it does not split. */
static double
enumerate_check(struct drawn *drawn, size_t set, size_t state, size_t check)
{
	const struct plan_grid *grid = &drawn->grid;
	size_t part[OUTCOMES] = {0}, to = grid->state[check], i;
	double weight = 0, cost = 0;

	for (i = 0; i < grid->causes; i++) {
		if ((set >> i & 1) == 0)
			continue;
		weight += grid->weight[i];
		part[grid->outcome[check * grid->causes + i]] |= (size_t)1 << i;
	}
	for (i = 0; i < OUTCOMES; i++) {
		if (part[i] == set)
			return INFINITY;
		if (part[i] != 0)
			cost += enumerate(drawn, part[i], to);
	}
	return cost + weight * (grid->cost[check] +
				   grid->setup[state * grid->states + to]);
}

/* The cheapest of all trees, by its definition. */
static double
enumerate(struct drawn *drawn, size_t set, size_t state)
{
	double best = INFINITY;
	size_t j;

	if (drawn->known[set][state])
		return drawn->value[set][state];
	for (j = 0; j < drawn->grid.checks; j++)
		best = fmin(best, enumerate_check(drawn, set, state, j));
	drawn->known[set][state] = true;
	drawn->value[set][state] = isinf(best) ? 0 : best;
	return drawn->value[set][state];
}

static void
check_drawn(struct drawn *drawn, uint64_t seed, const struct reason_limits *no)
{
	struct lw_arena *arena = lw_arena_new();
	double sum = 0, best, slack;
	struct plan plan;
	int effort;
	size_t i;

	for (i = 0; i < drawn->grid.causes; i++)
		sum += drawn->weight[i];
	best = enumerate(drawn, ((size_t)1 << drawn->grid.causes) - 1,
		   drawn->grid.begin) /
	       sum;
	slack = 1e-9 * (best + 1e-6);
	for (effort = PLAN_BEST; effort <= PLAN_GREEDY; effort++) {
		ck_assert_int_eq(plan_make(&plan, arena, &drawn->grid,
				     (enum plan_effort)effort, no, NULL),
		    LW_OK);
		check_plan(&plan, &drawn->grid);
		ck_assert_msg(plan.cost >= best - slack, "seed %u: %g, not %g",
		    (unsigned)seed, plan.cost, best);
		ck_assert_msg(plan.lower_bound <= best + slack,
		    "seed %u: no less than %g, but %g", (unsigned)seed,
		    plan.lower_bound, best);
		if (effort == PLAN_BEST && no == NULL)
			ck_assert_msg(plan.optimal, "seed %u", (unsigned)seed);
		if (plan.optimal)
			ck_assert_double_eq_tol(plan.cost, best, slack);
	}
	lw_arena_free(arena);
}

START_TEST(as_the_enumerator)
{
	struct drawn *drawn = malloc(sizeof *drawn);
	uint64_t seed;

	for (seed = 1; seed <= 300; seed++) {
		draw_grid(drawn, seed);
		check_drawn(drawn, seed, NULL);
	}
	free(drawn);
}
END_TEST

/* With too little memory for a search the tree is whole and the bound holds. */
START_TEST(as_the_enumerator_in_little_room)
{
	struct drawn *drawn = malloc(sizeof *drawn);
	struct reason_limits limits = {0};
	uint64_t seed;

	for (seed = 1; seed <= 200; seed++) {
		draw_grid(drawn, seed);
		limits.bytes = 1 + (size_t)seed * 500;
		check_drawn(drawn, seed, &limits);
	}
	free(drawn);
}
END_TEST

/* All subsets, bottom up, for a table of two outcomes. */
static double
all_subsets(const struct plan_grid *grid)
{
	size_t end = (size_t)1 << grid->causes, set, part, mask, i, j;
	double *value = calloc(end, sizeof *value);
	double *weight = calloc(end, sizeof *weight), best, cost;

	for (set = 1; set < end; set++) {
		for (i = 0; (set >> i & 1) == 0; i++)
			continue;
		weight[set] = weight[set & (set - 1)] + grid->weight[i];
		value[set] = (set & (set - 1)) != 0 ? INFINITY : 0;
	}
	for (set = 1; set < end; set++) {
		if ((set & (set - 1)) == 0)
			continue;
		best = INFINITY;
		for (j = 0; j < grid->checks; j++) {
			for (mask = 0, i = 0; i < grid->causes; i++)
				mask |=
				    (size_t)grid->outcome[j * grid->causes + i]
				    << i;
			part = set & mask;
			if (part == 0 || part == set)
				continue;
			cost = weight[set] * grid->cost[j] + value[part] +
			       value[set ^ part];
			best = fmin(best, cost);
		}
		value[set] = isinf(best) ? 0 : best;
	}
	best = value[end - 1] / weight[end - 1];
	free(value);
	free(weight);
	return best;
}

/* Larger ones, where few and where many sets are reached. */
START_TEST(as_all_subsets)
{
	static const double shares[] = {.5, .15, .07};
	struct table table;
	size_t i;

	for (i = 0; i < COUNT(shares); i++) {
		table_make(&table, 13, 20, shares[i], 11 + i);
		ck_assert_double_eq_tol(cost_of(&table.grid, PLAN_BEST),
		    all_subsets(&table.grid), 1e-9);
		table_free(&table);
	}
}
END_TEST

/* Twenty causes by forty checks are proved: dense, sparse, and where checks
 * tell one or two causes from all others. */
START_TEST(twenty_by_forty)
{
	static const double shares[] = {.5, .15, .05};
	struct table table;
	size_t i;

	for (i = 0; i < COUNT(shares); i++) {
		table_make(&table, 20, 40, shares[i], 21 + i);
		ck_assert(cost_of(&table.grid, PLAN_BEST) <=
			  cost_of(&table.grid, PLAN_GREEDY) + 1e-12);
		table_free(&table);
	}
}
END_TEST

/* What is found does not hang on anything but the grid. */
START_TEST(the_same_twice)
{
	struct table table;
	struct lw_arena *arena = lw_arena_new();
	struct plan one, other;

	table_make(&table, 24, 36, .3, 5);
	make(&one, arena, &table.grid, PLAN_BEST);
	make(&other, arena, &table.grid, PLAN_BEST);
	ck_assert(one.cost == other.cost);
	ck_assert(one.lower_bound == other.lower_bound);
	ck_assert(one.root->check == other.root->check);
	table_free(&table);
	lw_arena_free(arena);
}
END_TEST

START_TEST(chains)
{
	struct table table;

	/* All as likely and all for 1, so that halving is best: 27 leaves in a
	 * tree of five levels, which would have room for 32, leave five of
	 * them a level higher. */
	chain_make(&table, 27, 27);
	ck_assert_double_eq_tol(
	    cost_of(&table.grid, PLAN_BEST), (27 * 5 - 5) / 27.0, 1e-12);
	table_free(&table);
	/* More causes than a word has bits. */
	chain_make(&table, 100, 99);
	ck_assert_double_eq_tol(
	    cost_of(&table.grid, PLAN_BEST), (100 * 7 - 28) / 100.0, 1e-12);
	table_free(&table);
}
END_TEST

/* States: a check in another state costs what it takes to get there, once. */
START_TEST(set_up)
{
	static const double cost[] = {1, 1, 1.5}, setup[] = {0, 5, 7, 0};
	static const unsigned outcome[] = {0, 0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 1};
	static const size_t state[] = {0, 1, 0};
	struct plan_grid grid = {4, 3, ones, cost, outcome, 2, state, setup, 0};

	/* The third is dearer than the second, but in the state it is in. */
	ck_assert_double_eq_tol(cost_of(&grid, PLAN_BEST), 2.5, 1e-12);
	/* From the other one: there is the second first, then over: 1 + 7 +
	 * 1. */
	grid.begin = 1;
	ck_assert_double_eq_tol(cost_of(&grid, PLAN_BEST), 9, 1e-12);
}
END_TEST

Suite *
suite_plan(void)
{
	Suite *suite = suite_create("plan");
	TCase *tcase = tcase_create("published");

	tcase_add_test(tcase, pattipati_alexandridis);
	tcase_add_test(tcase, pattipati_first_checks);
	tcase_add_test(tcase, huffman_wine);
	tcase_add_test(tcase, balakrishnan_semmelbauer);
	suite_add_tcase(suite, tcase);

	tcase = tcase_create("best");
	tcase_set_timeout(tcase, 120);
	tcase_add_test(tcase, as_the_enumerator);
	tcase_add_test(tcase, as_the_enumerator_in_little_room);
	tcase_add_test(tcase, as_all_subsets);
	tcase_add_test(tcase, twenty_by_forty);
	tcase_add_test(tcase, the_same_twice);
	tcase_add_test(tcase, chains);
	tcase_add_test(tcase, set_up);
	suite_add_tcase(suite, tcase);

	return suite;
}
