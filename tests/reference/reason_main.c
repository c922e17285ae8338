/* Beliefs, factors, conflicts, repairs and trees for other programs to
 * compare. Each line is a problem: a word, then numbers; each is answered by
 * one line of numbers. `table` is P(finding | cause), finding by finding.
 *
 *   posterior CAUSES FINDINGS weights table      shares
 *   factors CAUSES FINDINGS weights table        factors
 *   conflict CAUSES FINDINGS prior table         bits, bits without each
 *   fixes CAUSES CLUSTERS LAST shares costs cluster open
 *                                                cost, order
 *   plan CAUSES CHECKS STATES BEGIN weights costs outcomes state setup
 *            cost, lower bound, 1 if it is optimal, checks used, then the tree
 *
 * -1 is none: of a cluster, LAST. A tree is the check, the number of branches
 * and for each its outcome and a tree; a leaf is -1, the number of its causes,
 * and these.
 */
#include "reason/belief.h"
#include "reason/conflict.h"
#include "reason/fixes.h"
#include "reason/plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 100, CELLS = MOST * MOST };

static double weight[MOST], table[CELLS], out[CELLS], cost[MOST];

static double
number(void)
{
	double value;

	if (scanf("%lf", &value) != 1)
		exit(EXIT_FAILURE);
	return value;
}

static void
numbers(double *values, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		values[i] = number();
}

static size_t
size(void)
{
	double value = number();

	if (!(value >= 0 && value <= MOST))
		exit(EXIT_FAILURE);
	return (size_t)value;
}

static size_t
size_or_none(void)
{
	double value = number();

	return value < 0 ? REASON_NONE : (size_t)value;
}

static void
print(const double *values, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		printf("%.17g ", values[i]);
}

static void
fail(const struct lw_err *err)
{
	fprintf(stderr, "%s\n", err->text);
	exit(EXIT_FAILURE);
}

static void
beliefs(char what)
{
	size_t causes = size(), findings = size();
	double bits;

	numbers(weight, causes);
	numbers(table, causes * findings);
	if (what == 'p') {
		belief_posterior(out, weight, causes, table, findings);
		print(out, causes);
	} else if (what == 'f') {
		belief_factors(out, weight, causes, table, findings);
		print(out, causes * findings);
	} else {
		bits = conflict_bits(out, weight, causes, table, findings);
		print(&bits, 1);
		print(out, findings);
	}
}

static void
repairs(void)
{
	static double open[MOST];
	static size_t cluster[MOST], order[MOST];
	struct reason_fixes fixes = {cost, cluster, 0, open, REASON_NONE};
	size_t causes = size(), i;
	struct lw_err err;

	fixes.clusters = size();
	fixes.last = size_or_none();
	numbers(weight, causes);
	numbers(cost, causes);
	for (i = 0; i < causes; i++)
		cluster[i] = size_or_none();
	numbers(open, fixes.clusters);
	if (fixes_order(order, out, weight, causes, &fixes, &err) != LW_OK)
		fail(&err);
	print(out, 1);
	for (i = 0; i < causes; i++)
		printf("%zu ", order[i]);
}

static void
print_tree(const struct plan_node *node)
{
	size_t i;

	if (node->check == REASON_NONE) {
		printf("-1 %zu ", node->cause_count);
		for (i = 0; i < node->cause_count; i++)
			printf("%zu ", node->causes[i]);
		return;
	}
	printf("%zu %zu ", node->check, node->branch_count);
	for (i = 0; i < node->branch_count; i++) {
		printf("%u ", node->branches[i].outcome);
		print_tree(node->branches[i].node);
	}
}

static void
trees(void)
{
	static double setup[CELLS];
	static unsigned outcome[CELLS];
	static size_t state[MOST];
	struct plan_grid grid = {.weight = weight,
	    .cost = cost,
	    .outcome = outcome,
	    .state = state,
	    .setup = setup};
	const struct reason_limits limits = {.bytes = (size_t)256 << 20};
	struct lw_arena *arena = lw_arena_new();
	struct plan plan;
	struct lw_err err;
	size_t i;

	grid.causes = size();
	grid.checks = size();
	grid.states = size();
	grid.begin = size();
	numbers(weight, grid.causes);
	numbers(cost, grid.checks);
	for (i = 0; i < grid.checks * grid.causes; i++)
		outcome[i] = (unsigned)size();
	for (i = 0; i < grid.checks; i++)
		state[i] = size();
	numbers(setup, grid.states * grid.states);
	if (arena == NULL ||
	    plan_make(&plan, arena, &grid, PLAN_BEST, &limits, &err) != LW_OK)
		fail(&err);
	print(&plan.cost, 1);
	print(&plan.lower_bound, 1);
	printf("%d %zu ", plan.optimal, plan.checks_used);
	print_tree(plan.root);
	lw_arena_free(arena);
}

int
main(void)
{
	char word[16];

	while (scanf("%15s", word) == 1) {
		if (strcmp(word, "fixes") == 0)
			repairs();
		else if (strcmp(word, "plan") == 0)
			trees();
		else if (strcmp(word, "posterior") == 0 ||
			 strcmp(word, "factors") == 0 ||
			 strcmp(word, "conflict") == 0)
			beliefs(word[0]);
		else
			return EXIT_FAILURE;
		putchar('\n');
	}
	return EXIT_SUCCESS;
}
