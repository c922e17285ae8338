/*
 * Drafts of trees over lists of groups, of any size: greedy by information
 * squared for the cost, or as another file chooses. No recursion, so that a
 * long chain is no danger.
 */
#include "reason/plan_work.h"

#include "base/arena.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FEW = 64 };

/* A node that is still to be told apart. */
struct todo {
	size_t begin, count; /* of the list */
	size_t state;
	size_t from;
};

struct drafting {
	struct plan_work *work;
	size_t *list, *spare, *ends;
	struct todo *todo;
	size_t todos;
};

/* Where there are many kinds and few groups: by inserting one after another. */
static size_t
split_few(size_t *list, size_t count, size_t *ends, const uint16_t *kind)
{
	size_t i, k, group, parts = 0;

	for (i = 1; i < count; i++) {
		group = list[i];
		for (k = i; k > 0 && kind[list[k - 1]] > kind[group]; k--)
			list[k] = list[k - 1];
		list[k] = group;
	}
	for (i = 0; i < count; i++)
		if (i + 1 == count || kind[list[i]] != kind[list[i + 1]])
			ends[parts++] = i + 1;
	return parts;
}

size_t
plan_split(size_t *list, size_t count, size_t *ends, size_t *spare,
    const struct plan_work *work, size_t check)
{
	const uint16_t *kind = work->kind + check * work->groups;
	size_t kinds = work->kinds[check], i, parts = 0, at = 0;

	if (count <= FEW && kinds > count)
		return split_few(list, count, ends, kind);
	memset(ends, 0, kinds * sizeof *ends);
	for (i = 0; i < count; i++)
		ends[kind[list[i]]]++;
	for (i = 0; i < kinds; i++) {
		at += ends[i];
		ends[i] = at - ends[i];
	}
	memcpy(spare, list, count * sizeof *list);
	for (i = 0; i < count; i++)
		list[ends[kind[spare[i]]]++] = spare[i];
	for (i = 0; i < kinds; i++)
		if (ends[i] > (parts > 0 ? ends[parts - 1] : 0))
			ends[parts++] = ends[i];
	return parts;
}

/* Whether a check tells any of these apart. */
static bool
splits(const struct plan_work *work, size_t check, const size_t *list,
    size_t count)
{
	const uint16_t *kind = work->kind + check * work->groups;
	size_t i;

	for (i = 1; i < count; i++)
		if (kind[list[i]] != kind[list[0]])
			return true;
	return false;
}

/* w log w, as what information is made of. */
static double
bits(double weight)
{
	return weight > 0 ? weight * log2(weight) : 0;
}

/* What a check tells, times the weight of the list; below 0 where it does not
 * split. `even`: each counts 1. `sum` has room for all kinds, and is 0. */
static double
tells(const struct plan_work *work, size_t check, const size_t *list,
    size_t count, bool even, double *sum)
{
	const uint16_t *kind = work->kind + check * work->groups;
	double whole = 0, told = 0, weight;
	size_t i;

	if (!splits(work, check, list, count))
		return -1;
	for (i = 0; i < count; i++) {
		weight = even ? 1 : work->weight[list[i]];
		sum[kind[list[i]]] += weight;
		whole += weight;
	}
	for (i = 0; i < count; i++) {
		told += bits(sum[kind[list[i]]]);
		sum[kind[list[i]]] = 0;
	}
	told = bits(whole) - told;
	return told > 0 ? told : 0;
}

/* Whether one is better than the best so far: I^2/(c+s), without dividing, so
 * that a cost of 0 is no matter. */
static bool
is_better(double told, double cost, double best_told, double best_cost)
{
	double one = told * told * best_cost;
	double other = best_told * best_told * cost;

	if (best_told < 0)
		return true;
	if (cost == 0 && best_cost == 0)
		return told > best_told;
	if (one != other)
		return one > other;
	return cost < best_cost;
}

size_t
plan_greedy(struct plan_work *work, const size_t *list, size_t count,
    size_t state, size_t *from)
{
	size_t j, best = REASON_NONE, i;
	double best_told = -1, best_cost = 0, told, cost, weight = 0;
	double *sum = NULL;

	while (*from < work->checks && !splits(work, *from, list, count))
		++*from;
	sum = calloc(work->kinds_max + 1, sizeof *sum);
	if (sum == NULL || !plan_goes_on(work, count)) {
		free(sum);
		return *from;
	}
	for (i = 0; i < count; i++)
		weight += work->weight[list[i]];
	for (j = *from; j < work->checks; j++) {
		told = tells(work, j, list, count, !(weight > 0), sum);
		if (told < 0)
			continue;
		cost = work->cost[j] +
		       work->setup[state * work->states + work->state[j]];
		if (is_better(told, cost, best_told, best_cost)) {
			best = j;
			best_told = told;
			best_cost = cost;
		}
		if (!plan_goes_on(work, 4 * count + 50))
			break;
	}
	free(sum);
	return best;
}

/* The check for a node: as chosen, else the greedy one. */
static size_t
check_for(struct drafting *drafting, const struct plan_chooser *chooser,
    struct todo *todo)
{
	struct plan_work *work = drafting->work;
	const size_t *list = drafting->list + todo->begin;
	size_t check = REASON_NONE, i;
	double weight = 0;

	if (chooser != NULL) {
		for (i = 0; i < todo->count; i++)
			weight += work->weight[list[i]];
		check = chooser->choose(
		    chooser->what, list, todo->count, todo->state, weight);
	}
	if (check == REASON_NONE)
		check = plan_greedy(
		    work, list, todo->count, todo->state, &todo->from);
	return check;
}

/* Tell one node apart, and put its parts on the stack, the first on top. */
static void
draw_up(struct drafting *drafting, struct plan_draft *draft,
    const struct plan_chooser *chooser)
{
	struct plan_work *work = drafting->work;
	struct todo todo = drafting->todo[--drafting->todos];
	size_t *list = drafting->list + todo.begin;
	size_t check = check_for(drafting, chooser, &todo), parts, i;
	double weight = 0;

	for (i = 0; i < todo.count; i++)
		weight += work->weight[list[i]];
	draft->check[draft->count++] = check;
	draft->cost +=
	    weight *
	    (work->cost[check] +
		work->setup[todo.state * work->states + work->state[check]]);
	parts = plan_split(
	    list, todo.count, drafting->ends, drafting->spare, work, check);
	for (i = parts; i-- > 0;) {
		size_t begin = i > 0 ? drafting->ends[i - 1] : 0;
		size_t count = drafting->ends[i] - begin;

		if (count > 1)
			drafting->todo[drafting->todos++] =
			    (struct todo){todo.begin + begin, count,
				work->state[check], todo.from};
	}
}

enum lw_status
plan_draft_make(struct plan_draft *draft, struct plan_work *work,
    const struct plan_chooser *chooser)
{
	struct drafting drafting = {.work = work};
	size_t n = work->groups, i;
	enum lw_status status = LW_NO_MEMORY;

	if (draft->check == NULL)
		draft->check = arena_array(work->arena, n, sizeof(size_t));
	draft->count = 0;
	draft->cost = 0;
	drafting.list = malloc(n * sizeof(size_t));
	drafting.spare = malloc(n * sizeof(size_t));
	drafting.ends = malloc((n + work->kinds_max) * sizeof(size_t));
	drafting.todo = malloc(n * sizeof *drafting.todo);
	if (draft->check == NULL || drafting.list == NULL ||
	    drafting.spare == NULL || drafting.ends == NULL ||
	    drafting.todo == NULL)
		goto out;
	for (i = 0; i < n; i++)
		drafting.list[i] = i;
	if (n > 1)
		drafting.todo[drafting.todos++] =
		    (struct todo){0, n, work->grid->begin, 0};
	while (drafting.todos > 0)
		draw_up(&drafting, draft, chooser);
	status = LW_OK;
out:
	free(drafting.list);
	free(drafting.spare);
	free(drafting.ends);
	free(drafting.todo);
	return status;
}
