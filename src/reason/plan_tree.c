/*
 * A draft as the tree that is the answer, in the caller's arena and numbers;
 * and what a tree costs by its definition. How the draft came about is left to
 * others.
 */
#include "reason/plan_work.h"

#include "base/arena.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct todo {
	size_t begin, count; /* of the list of groups */
	size_t state;
	struct plan_node *node;
};

struct growing {
	const struct plan_work *work;
	struct lw_arena *arena;
	size_t *list, *spare, *ends;
	struct todo *todo;
	size_t todos;
	double *share; /* of each cause */
};

static bool
grow_leaf(struct growing *growing, struct plan_node *node, size_t group)
{
	const struct plan_work *work = growing->work;
	size_t count = work->first[group + 1] - work->first[group];
	size_t *causes = arena_array(growing->arena, count, sizeof *causes);

	if (causes == NULL)
		return false;
	memcpy(
	    causes, work->member + work->first[group], count * sizeof *causes);
	node->check = REASON_NONE;
	node->causes = causes;
	node->cause_count = count;
	return true;
}

/* An inner node with its branches; its parts go on the stack, the first on
 * top. */
static bool
grow_node(struct growing *growing, const struct todo *todo, size_t check)
{
	const struct plan_work *work = growing->work;
	const struct plan_grid *grid = work->grid;
	size_t *list = growing->list + todo->begin;
	size_t parts = plan_split(
	    list, todo->count, growing->ends, growing->spare, work, check);
	struct plan_branch *branches =
	    arena_array(growing->arena, parts, sizeof *branches);
	struct plan_node *nodes =
	    arena_array(growing->arena, parts, sizeof *nodes);
	size_t i, k, begin, cause;

	if (branches == NULL || nodes == NULL)
		return false;
	todo->node->check = work->check[check];
	todo->node->branches = branches;
	todo->node->branch_count = parts;
	for (i = parts; i-- > 0;) {
		begin = i > 0 ? growing->ends[i - 1] : 0;
		cause = work->member[work->first[list[begin]]];
		branches[i].outcome =
		    grid->outcome[work->check[check] * grid->causes + cause];
		branches[i].node = nodes + i;
		for (k = begin; k < growing->ends[i]; k++)
			nodes[i].share += work->weight[list[k]];
		growing->todo[growing->todos++] =
		    (struct todo){todo->begin + begin, growing->ends[i] - begin,
			work->state[check], nodes + i};
	}
	return true;
}

static double
cost_here(const struct plan_grid *grid, size_t state, size_t check)
{
	size_t to = grid->state != NULL ? grid->state[check] : 0;
	double setup =
	    grid->setup != NULL ? grid->setup[state * grid->states + to] : 0;

	return grid->cost[check] + setup;
}

static bool
grow(struct plan *plan, struct growing *growing, const struct plan_draft *draft)
{
	const struct plan_work *work = growing->work;
	bool *used = calloc(work->checks + 1, sizeof *used);
	size_t at = 0;

	while (used != NULL && growing->todos > 0) {
		struct todo todo = growing->todo[--growing->todos];
		size_t check;

		if (todo.count == 1) {
			if (!grow_leaf(
				growing, todo.node, growing->list[todo.begin]))
				break;
			continue;
		}
		check = draft->check[at++];
		plan->cost +=
		    todo.node->share *
		    cost_here(work->grid, todo.state, work->check[check]);
		plan->checks_used += used[check] ? 0 : 1;
		used[check] = true;
		if (!grow_node(growing, &todo, check))
			break;
	}
	free(used);
	return used != NULL && growing->todos == 0 && at == draft->count;
}

enum lw_status
plan_tree(struct plan *plan, struct lw_arena *arena,
    const struct plan_work *work, const struct plan_draft *draft)
{
	struct growing growing = {.work = work, .arena = arena};
	struct plan_node *root = arena_alloc(arena, sizeof *root);
	size_t *mute = arena_array(arena, work->mute_count, sizeof *mute);
	size_t n = work->groups, i;
	enum lw_status status = LW_NO_MEMORY;

	growing.list = malloc(n * sizeof(size_t));
	growing.spare = malloc(n * sizeof(size_t));
	growing.ends = malloc((n + work->kinds_max) * sizeof(size_t));
	growing.todo = malloc((n + 1) * sizeof *growing.todo);
	if (root == NULL || mute == NULL || growing.list == NULL ||
	    growing.spare == NULL || growing.ends == NULL ||
	    growing.todo == NULL)
		goto out;
	for (i = 0; i < n; i++)
		growing.list[i] = i;
	root->share = 1;
	growing.todo[growing.todos++] =
	    (struct todo){0, n, work->grid->begin, root};
	if (!grow(plan, &growing, draft))
		goto out;
	plan->root = root;
	plan->groups = n;
	if (work->mute_count > 0)
		memcpy(mute, work->mute, work->mute_count * sizeof *mute);
	plan->mute = mute;
	plan->mute_count = work->mute_count;
	status = LW_OK;
out:
	free(growing.list);
	free(growing.spare);
	free(growing.ends);
	free(growing.todo);
	return status;
}

/* The way of one outcome; NULL where there is none. Branches are sorted. */
static const struct plan_node *
branch_for(const struct plan_node *node, unsigned outcome)
{
	size_t low = 0, high = node->branch_count, middle;

	while (low < high) {
		middle = low + (high - low) / 2;
		if (node->branches[middle].outcome < outcome)
			low = middle + 1;
		else
			high = middle;
	}
	if (low == node->branch_count || node->branches[low].outcome != outcome)
		return NULL;
	return node->branches[low].node;
}

/* What one cause costs on its way down; not a number where the way does not
 * lead to a leaf that names it. */
static double
way_down(
    const struct plan_node *node, const struct plan_grid *grid, size_t cause)
{
	size_t state = grid->begin, k;
	double cost = 0;

	while (node != NULL && node->check != REASON_NONE) {
		cost += cost_here(grid, state, node->check);
		state = grid->state != NULL ? grid->state[node->check] : 0;
		node = branch_for(
		    node, grid->outcome[node->check * grid->causes + cause]);
	}
	for (k = 0; node != NULL && k < node->cause_count; k++)
		if (node->causes[k] == cause)
			return cost;
	return NAN;
}

double
plan_cost_of(const struct plan_node *root, const struct plan_grid *grid)
{
	double largest = 0, sum = 0, cost = 0;
	size_t i;

	for (i = 0; i < grid->causes; i++)
		largest = fmax(largest, grid->weight[i]);
	for (i = 0; i < grid->causes; i++)
		sum += grid->weight[i] / largest;
	for (i = 0; i < grid->causes; i++)
		cost +=
		    grid->weight[i] / largest / sum * way_down(root, grid, i);
	return cost;
}
