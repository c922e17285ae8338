/*
 * The benchmark's part on trees without noise: how soon the cheapest is proved,
 * how near it comes beyond, and set-up between power states.
 */
#define _POSIX_C_SOURCE 200809L
#include "bench/reason.h"

#include "bench/timing.h"
#include "reason/known.h"
#include "reason/optimum.h"
#include "reason/simple.h"

#include <stdio.h>
#include <stdlib.h>

static const size_t MIB = (size_t)1 << 20;

enum { SIZES = 3 };
static const size_t sizes[SIZES][2] = {{24, 36}, {32, 48}, {40, 60}};

/* Of one tree. */
struct tree {
	double cost;
	double bound;
	bool optimal;
	double took_s;
};

static struct grid_made
make(const struct grid_how *how)
{
	struct grid_made made;

	if (!grid_make(&made, how))
		fail("memory has run out");
	return made;
}

/* A tree, priced by the bench and not by what the library says it costs. */
static struct tree
plan(const struct plan_grid *grid, enum plan_effort effort, double lasting,
    size_t bytes)
{
	struct lw_arena *arena = lw_arena_new();
	struct deadline deadline;
	struct reason_limits limits = limits_until(&deadline, lasting, bytes);
	double began = seconds();
	struct plan made = {0};
	struct lw_err err;
	struct tree tree;

	if (arena == NULL)
		fail("memory has run out");
	if (plan_make(&made, arena, grid, effort, &limits, &err) != LW_OK)
		fail(err.text);
	tree = (struct tree){optimum_price(made.root, grid), made.lower_bound,
	    made.optimal, seconds() - began};
	if (!(fabs(tree.cost - made.cost) <= 1e-9 * (1 + made.cost)))
		tree.cost = NAN;
	lw_arena_free(arena);
	return tree;
}

/* --- proved within a second ------------------------------------------------
 */

static void
prove(const char *name, struct grid_how how, size_t seeds)
{
	struct ratios taken = {0}, over = {0}, bound = {0};
	struct grid_made made;
	struct tree tree;
	double optimum;
	size_t proved = 0;
	char line[100];

	for (how.seed = 1; how.seed <= seeds; how.seed++) {
		made = make(&how);
		optimum = how.causes <= OPTIMUM_ALL_MAX
			      ? optimum_all(&made.grid)
			      : optimum_reached(&made.grid, 1000000);
		tree = plan(&made.grid, PLAN_BEST, 10, 512 * MIB);
		proved += tree.optimal;
		ratios_add(&taken, tree.took_s, how.seed);
		ratios_add(&over, tree.cost / optimum, how.seed);
		ratios_add(&bound, tree.bound / optimum, how.seed);
		grid_free(&made);
	}
	show_times(name, &taken, 1);
	snprintf(line, sizeof line,
	    "    proved %zu of %zu; cost over optimum %.6f, bound %.6f at most",
	    proved, seeds, over.worst, bound.worst);
	show_held(line,
	    proved == seeds && over.worst < 1 + 1e-9 && bound.worst < 1 + 1e-9);
}

/* --- larger ones -----------------------------------------------------------
 */

static double
reference(
    bool *optimal, const struct grid_how *how, const struct plan_grid *grid)
{
	const struct known_grid *known = known_find(how);
	double cost;

	*optimal = true;
	if (known != NULL) {
		*optimal = known->optimal;
		return known->cost;
	}
	cost = optimum_reached(grid, 4000000);
	if (!isnan(cost))
		return cost;
	*optimal = false;
	return optimum_near(grid, 1, 12);
}

/* What the simple policies cost beside the reference. */
static void
add_simple(struct ratios *ratios, const struct plan_grid *grid, double best,
    uint64_t seed)
{
	size_t i;

	for (i = 0; i < SIMPLE_COUNT; i++)
		ratios_add(
		    &ratios[i], simple_cost(grid, (enum simple)i) / best, seed);
}

static void
show_simple(const struct ratios *ratios)
{
	size_t i;

	for (i = 0; i < SIMPLE_COUNT; i++)
		show_ratios(simple_name((enum simple)i), &ratios[i], 0, 0);
}

/* Of tables of one size, or of one kind. */
struct reached {
	struct ratios over, bound, taken;
	struct ratios simple[SIMPLE_COUNT];
	size_t proved;
	size_t known; /* the reference is the optimum */
	bool well;
};

static void
reach_one(struct reached *all, struct reached *kind, const struct grid_how *how,
    const struct options *options)
{
	struct reached *const both[] = {all, kind};
	struct grid_made made = make(how);
	struct tree tree;
	double best;
	bool optimal;
	size_t i;

	best = reference(&optimal, how, &made.grid);
	tree = plan(&made.grid, PLAN_BEST, options->seconds, 512 * MIB);
	for (i = 0; i < 2; i++) {
		ratios_add(&both[i]->over, tree.cost / best, how->seed);
		ratios_add(&both[i]->bound, tree.bound / best, how->seed);
		ratios_add(&both[i]->taken, tree.took_s, how->seed);
		both[i]->known += optimal;
		both[i]->proved += tree.optimal;
		add_simple(both[i]->simple, &made.grid, best, how->seed);
	}
	/* None is better than the optimum, none is proved that is worse. */
	if ((optimal && tree.cost < best * (1 - 1e-9)) ||
	    (tree.optimal && tree.cost > best * (1 + 1e-9)))
		all->well = false;
	grid_free(&made);
}

static void
show_reached(const char *name, const struct reached *kind)
{
	size_t i;

	printf("  %-20s %3zu/%zu/%zu  %.4f (%.4f, %llu)  %.3f  %6.2f s", name,
	    kind->proved, kind->known, kind->over.count,
	    ratios_mean(&kind->over), kind->over.worst,
	    (unsigned long long)kind->over.worst_seed,
	    ratios_mean(&kind->bound), ratios_mean(&kind->taken));
	for (i = 0; i < SIMPLE_COUNT; i++)
		printf("  %5.2f (%5.2f)", ratios_mean(&kind->simple[i]),
		    kind->simple[i].worst);
	printf("\n");
	fflush(stdout);
}

static void
reach(size_t causes, size_t checks, const struct options *options)
{
	static const struct {
		const char *name;
		enum grid_kind kind;
		unsigned outcomes;
		bool even;
	} kinds[] = {{"dense", GRID_DENSE, 2, false},
	    {"dense, equal costs", GRID_DENSE, 2, true},
	    {"dense, 3 outcomes", GRID_DENSE, 3, false},
	    {"sparse", GRID_SPARSE, 2, false}, {"thin", GRID_THIN, 2, false},
	    {"chain", GRID_CHAIN, 2, false}};
	struct reached all = {.well = true}, kind;
	struct grid_how how;
	size_t i;

	printf("\n  %zu x %zu, seeds 1 to %zu, at most %.1f s and 512 MiB:\n",
	    causes, checks, options->number, options->seconds);
	for (i = 0; i < sizeof kinds / sizeof *kinds; i++) {
		how = (struct grid_how){kinds[i].kind, causes, checks,
		    kinds[i].outcomes, 1, kinds[i].even, 1};
		kind = (struct reached){0};
		for (; how.seed <= options->number; how.seed++)
			reach_one(&all, &kind, &how, options);
		show_reached(kinds[i].name, &kind);
	}
	show_ratios("cost over the best known", &all.over, 1.02, 1.10);
	show_ratios("bound over the best known", &all.bound, 0, 1 + 1e-9);
	show_held("what is said to be proved is the best known", all.well);
}

void
bench_plans(const struct options *options)
{
	size_t seeds = options->quick ? 3 : 20, i;

	printf("\n2. trees: the optimum proved, seeds 1 to %zu\n", seeds);
	prove("20 x 40 dense",
	    (struct grid_how){GRID_DENSE, 20, 40, 2, 1, false, 0}, seeds);
	prove("20 x 40 dense, equal costs",
	    (struct grid_how){GRID_DENSE, 20, 40, 2, 1, true, 0}, seeds);
	prove("20 x 40 dense, 3 outcomes",
	    (struct grid_how){GRID_DENSE, 20, 40, 3, 1, false, 0}, seeds);
	prove("20 x 40 sparse",
	    (struct grid_how){GRID_SPARSE, 20, 40, 2, 1, false, 0}, seeds);
	prove("20 x 40 sparse, equal costs",
	    (struct grid_how){GRID_SPARSE, 20, 40, 2, 1, true, 0}, seeds);
	prove("20 x 40 thin",
	    (struct grid_how){GRID_THIN, 20, 40, 2, 1, false, 0}, seeds);
	prove("27 x 26 chain",
	    (struct grid_how){GRID_CHAIN, 27, 26, 2, 1, false, 0}, seeds);
	printf("\n  larger tables: proved/optimum known/tables, cost over the "
	       "best known: mean (worst, seed), bound over it, time; then the "
	       "simple policies' cost over it, mean (worst):\n ");
	for (i = 0; i < SIMPLE_COUNT; i++)
		printf(" %s%s", simple_name((enum simple)i),
		    i + 1 < SIMPLE_COUNT ? "," : "\n");
	for (i = 0; i < SIZES; i++)
		reach(sizes[i][0], sizes[i][1], options);
}

/* --- set-up ----------------------------------------------------------------
 */

/* The cheapest tree where changing states were free, at what it costs. */
static double
ignoring(const struct plan_grid *grid)
{
	struct lw_arena *arena = lw_arena_new();
	struct deadline deadline;
	struct reason_limits limits = limits_until(&deadline, 10, 0);
	struct plan_grid free_of = *grid;
	struct plan made;
	double cost;

	free_of.setup = NULL;
	if (arena == NULL || plan_make(&made, arena, &free_of, PLAN_BEST,
				 &limits, NULL) != LW_OK)
		fail("no tree without set-up can be made");
	cost = optimum_price(made.root, grid);
	lw_arena_free(arena);
	return cost;
}

static void
setup(struct grid_how how, size_t seeds)
{
	struct ratios best = {0}, rollout = {0}, greedy = {0}, blind = {0};
	struct ratios bound = {0}, simple[SIMPLE_COUNT] = {0};
	struct grid_made made;
	struct tree tree;
	double optimum;

	printf("\n3. set-up: %zu x %zu %s, 3 states, over the optimum, seeds 1 "
	       "to %zu\n",
	    how.causes, how.checks, grid_kind_name(how.kind), seeds);
	for (how.seed = 1; how.seed <= seeds; how.seed++) {
		made = make(&how);
		optimum = optimum_all(&made.grid);
		tree = plan(&made.grid, PLAN_BEST, 10, 512 * MIB);
		ratios_add(&best, tree.cost / optimum, how.seed);
		ratios_add(&bound, tree.bound / optimum, how.seed);
		tree = plan(&made.grid, PLAN_ROLLOUT, 10, 512 * MIB);
		ratios_add(&rollout, tree.cost / optimum, how.seed);
		tree = plan(&made.grid, PLAN_GREEDY, 10, 512 * MIB);
		ratios_add(&greedy, tree.cost / optimum, how.seed);
		ratios_add(&blind, ignoring(&made.grid) / optimum, how.seed);
		add_simple(simple, &made.grid, optimum, how.seed);
		grid_free(&made);
	}
	show_ratios("the best tree", &best, 1.02, 0);
	show_ratios("rollout", &rollout, 0, 0);
	show_ratios("greedy", &greedy, 0, 0);
	show_ratios("set-up ignored, else the best", &blind, 0, 0);
	show_ratios("the bound", &bound, 0, 1 + 1e-9);
	printf("  beside:\n");
	show_simple(simple);
}

void
bench_setup(const struct options *options)
{
	size_t few = options->seeds / 10;

	setup((struct grid_how){GRID_DENSE, 8, 10, 2, 3, false, 0},
	    options->seeds);
	setup((struct grid_how){GRID_DENSE, 16, 24, 2, 3, false, 0}, few);
	setup((struct grid_how){GRID_THIN, 16, 24, 2, 3, false, 0}, few);
}

/* --- best known ------------------------------------------------------------
 */

/* At length: what the library proves, else the best of several searches. */
static void
search(const char *kind, struct grid_how how)
{
	static const unsigned ways[][2] = {{1, 16}, {2, 11}, {3, 8}};
	struct grid_made made = make(&how);
	struct tree tree = plan(&made.grid, PLAN_BEST, 60, 4096 * MIB);
	double found = tree.cost, bound = tree.bound;
	size_t i;

	for (i = 0; i < sizeof ways / sizeof *ways; i++)
		found = fmin(
		    found, optimum_near(&made.grid, ways[i][0], ways[i][1]));
	printf("    {GRID_%s, %zu, %zu, %llu, %.15g, %s},%s\n", kind,
	    how.causes, how.checks, (unsigned long long)how.seed, found,
	    tree.optimal ? "true" : "false",
	    bound > found * (1 + 1e-9) ? " WRONG BOUND" : "");
	fflush(stdout);
	grid_free(&made);
}

/* The other kinds are gone through whenever the bench runs. */
void
bench_known(const struct options *options)
{
	uint64_t seed;
	size_t i;

	for (i = 0; i < SIZES; i++)
		for (seed = 1; seed <= options->number; seed++) {
			search("SPARSE",
			    (struct grid_how){GRID_SPARSE, sizes[i][0],
				sizes[i][1], 2, 1, false, seed});
			search("THIN", (struct grid_how){GRID_THIN, sizes[i][0],
					   sizes[i][1], 2, 1, false, seed});
		}
}
