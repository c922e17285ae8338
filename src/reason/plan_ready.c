/*
 * A grid made ready for a plan: causes with equal rows become one group, and
 * checks that tell nothing, or no more than a cheaper one, go out. Which tree
 * is best is left to the others.
 */
#include "reason/plan_work.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A cause in its class while classes are told apart. */
struct row {
	size_t cause;
	unsigned outcome;
};

/* A group and what it is ordered by. */
struct rank {
	double weight;
	size_t begin, end; /* of its rows */
};

/* A check, and what its partition of the groups comes down to. */
struct column {
	uint64_t hash;
	double cost;
	size_t check;
	size_t state;
};

static int
compare_size(size_t one, size_t other)
{
	return one < other ? -1 : one > other;
}

static int
compare_rows(const void *one, const void *other)
{
	const struct row *a = one, *b = other;

	if (a->outcome != b->outcome)
		return a->outcome < b->outcome ? -1 : 1;
	return compare_size(a->cause, b->cause);
}

static int
compare_ranks(const void *one, const void *other)
{
	const struct rank *a = one, *b = other;

	if (a->weight != b->weight)
		return a->weight > b->weight ? -1 : 1;
	return compare_size(a->begin, b->begin);
}

static int
compare_columns(const void *one, const void *other)
{
	const struct column *a = one, *b = other;

	if (a->hash != b->hash)
		return a->hash < b->hash ? -1 : 1;
	if (a->state != b->state)
		return compare_size(a->state, b->state);
	if (a->cost != b->cost)
		return a->cost < b->cost ? -1 : 1;
	return compare_size(a->check, b->check);
}

static int
compare_costs(const void *one, const void *other)
{
	const struct column *a = one, *b = other;

	if (a->cost != b->cost)
		return a->cost < b->cost ? -1 : 1;
	return compare_size(a->check, b->check);
}

/*
 * Tell one class apart by one check: those that give what its first one gives
 * stay in front, the others are sorted behind. last[i] says where a class ends.
 */
static void
refine_class(struct row *rows, struct row *spare, bool *last, size_t begin,
    size_t end, const unsigned *outcome)
{
	unsigned same = outcome[rows[begin].cause];
	size_t i, keep = begin, others = 0;

	for (i = begin; i < end; i++) {
		rows[i].outcome = outcome[rows[i].cause];
		if (rows[i].outcome == same)
			rows[keep++] = rows[i];
		else
			spare[others++] = rows[i];
	}
	if (others == 0)
		return;
	qsort(spare, others, sizeof *spare, compare_rows);
	memcpy(rows + keep, spare, others * sizeof *spare);
	last[keep - 1] = true;
	for (i = keep; i + 1 < end; i++)
		if (rows[i].outcome != rows[i + 1].outcome)
			last[i] = true;
}

/* Classes of equal rows, side by side; `last` marks each one's end. */
static void
refine(struct row *rows, struct row *spare, bool *last,
    const struct plan_grid *grid)
{
	size_t i, j, begin;

	for (i = 0; i < grid->causes; i++)
		rows[i].cause = i;
	last[grid->causes - 1] = true;
	for (j = 0; j < grid->checks; j++) {
		for (begin = 0; begin < grid->causes; begin = i) {
			for (i = begin; !last[i]; i++)
				continue;
			i++;
			if (i - begin > 1)
				refine_class(rows, spare, last, begin, i,
				    grid->outcome + j * grid->causes);
		}
	}
}

/* Shares of the causes: divided by the largest first, so that nothing
 * overflows. */
static void
share_out(double *share, const struct plan_grid *grid)
{
	double largest = 0, sum = 0;
	size_t i;

	for (i = 0; i < grid->causes; i++)
		largest = fmax(largest, grid->weight[i]);
	for (i = 0; i < grid->causes; i++) {
		share[i] = grid->weight[i] / largest;
		sum += share[i];
	}
	for (i = 0; i < grid->causes; i++)
		share[i] /= sum;
}

static enum lw_status
make_groups(struct plan_work *work)
{
	size_t n = work->grid->causes, i, k, at = 0;
	struct row *rows = malloc(n * sizeof *rows);
	struct row *spare = malloc(n * sizeof *spare);
	struct rank *ranks = malloc(n * sizeof *ranks);
	double *share = malloc(n * sizeof *share);
	bool *last = calloc(n, sizeof *last);
	enum lw_status status = LW_NO_MEMORY;

	if (rows == NULL || spare == NULL || ranks == NULL || share == NULL ||
	    last == NULL)
		goto out;
	share_out(share, work->grid);
	refine(rows, spare, last, work->grid);
	for (i = 0; i < n; i++) {
		struct rank *rank = ranks + work->groups;

		if (i == 0 || last[i - 1])
			*rank = (struct rank){0, i, i};
		rank->weight += share[rows[i].cause];
		rank->end = i + 1;
		if (last[i])
			work->groups++;
	}
	/* Classes are in no order that means anything: by their first cause,
	 * that equal weights keep the table's order. */
	for (k = 0; k < work->groups; k++) {
		i = ranks[k].begin;
		ranks[k].end -= i;
		ranks[k].begin = rows[i].cause;
		spare[rows[i].cause].cause = i;
	}
	qsort(ranks, work->groups, sizeof *ranks, compare_ranks);
	work->weight = arena_array(work->arena, work->groups, sizeof(double));
	work->first =
	    arena_array(work->arena, work->groups + 1, sizeof(size_t));
	work->member = arena_array(work->arena, n, sizeof(size_t));
	if (work->weight == NULL || work->first == NULL || work->member == NULL)
		goto out;
	for (k = 0; k < work->groups; k++) {
		work->weight[k] = ranks[k].weight;
		work->first[k] = at;
		for (i = 0; i < ranks[k].end; i++)
			work->member[at++] =
			    rows[spare[ranks[k].begin].cause + i].cause;
	}
	work->first[work->groups] = at;
	status = LW_OK;
out:
	free(rows);
	free(spare);
	free(ranks);
	free(share);
	free(last);
	return status;
}

/* What a group gives in a check. */
static unsigned
gives(const struct plan_work *work, size_t check, size_t group)
{
	size_t cause = work->member[work->first[group]];

	return work->grid->outcome[check * work->grid->causes + cause];
}

/* A check's partition of the groups as one number: outcomes are renamed in the
 * order in which they come. False where there is one outcome alone. */
static bool
look_at_column(struct column *column, const struct plan_work *work,
    uint32_t *name, size_t check)
{
	uint32_t names = 0;
	unsigned outcome;
	size_t k;

	column->check = check;
	column->cost = work->grid->cost[check];
	column->state =
	    work->grid->state != NULL ? work->grid->state[check] : 0;
	column->hash = UINT64_C(14695981039346656037);
	for (k = 0; k < work->groups; k++) {
		outcome = gives(work, check, k);
		if (name[outcome] == 0)
			name[outcome] = ++names;
		column->hash =
		    (column->hash ^ name[outcome]) * UINT64_C(1099511628211);
	}
	for (k = 0; k < work->groups; k++)
		name[gives(work, check, k)] = 0;
	return names > 1;
}

/* Whether two checks tell the same groups apart. `name` and `back` are all 0,
 * before and after. */
static bool
same_partition(const struct plan_work *work, uint32_t *name, uint32_t *back,
    size_t one, size_t other)
{
	bool same = true;
	size_t k;

	for (k = 0; k < work->groups && same; k++) {
		uint32_t a = gives(work, one, k), b = gives(work, other, k);

		if (name[a] == 0 && back[b] == 0) {
			name[a] = b + 1;
			back[b] = a + 1;
		}
		same = name[a] == b + 1 && back[b] == a + 1;
	}
	for (k = 0; k < work->groups; k++) {
		name[gives(work, one, k)] = 0;
		back[gives(work, other, k)] = 0;
	}
	return same;
}

/* Out with those that cost as much or more and tell the same, in the same
 * state. Columns are sorted; the count of those that stay. */
static size_t
drop_equals(struct column *columns, size_t count, const struct plan_work *work,
    uint32_t *name, uint32_t *back)
{
	size_t i, k, kept = 0;

	for (i = 0; i < count; i++) {
		bool same = false;

		for (k = kept; k > 0 && !same; k--) {
			const struct column *before = columns + k - 1;

			if (before->hash != columns[i].hash ||
			    before->state != columns[i].state)
				break;
			same = same_partition(
			    work, name, back, before->check, columns[i].check);
		}
		if (!same)
			columns[kept++] = columns[i];
	}
	return kept;
}

/* Outcomes of a check that stays, numbered without gaps in their order. */
static void
number_kinds(struct plan_work *work, uint32_t *name, size_t at)
{
	unsigned most = 0, outcome;
	uint32_t names = 0;
	size_t k;

	for (k = 0; k < work->groups; k++) {
		outcome = gives(work, work->check[at], k);
		name[outcome] = 1;
		most = outcome > most ? outcome : most;
	}
	for (outcome = 0; outcome <= most; outcome++)
		if (name[outcome] != 0)
			name[outcome] = ++names;
	for (k = 0; k < work->groups; k++)
		work->kind[at * work->groups + k] =
		    (uint16_t)(name[gives(work, work->check[at], k)] - 1);
	memset(name, 0, ((size_t)most + 1) * sizeof *name);
	work->kinds[at] = names;
	work->kinds_max = names > work->kinds_max ? names : work->kinds_max;
}

static enum lw_status
keep_checks(struct plan_work *work, const struct column *columns, size_t count,
    uint32_t *name)
{
	struct lw_arena *arena = work->arena;
	size_t j;

	work->checks = count;
	work->check = arena_array(arena, count, sizeof(size_t));
	work->cost = arena_array(arena, count, sizeof(double));
	work->state = arena_array(arena, count, sizeof(size_t));
	work->kinds = arena_array(arena, count, sizeof(size_t));
	work->kind = arena_array(arena, count * work->groups, sizeof(uint16_t));
	if (work->check == NULL || work->cost == NULL || work->state == NULL ||
	    work->kinds == NULL || work->kind == NULL)
		return LW_NO_MEMORY;
	for (j = 0; j < count; j++) {
		work->check[j] = columns[j].check;
		work->state[j] = columns[j].state;
		work->cost[j] = columns[j].cost / work->unit;
		number_kinds(work, name, j);
	}
	return LW_OK;
}

/* Costs are counted in the largest one. */
static enum lw_status
make_setup(struct plan_work *work)
{
	const struct plan_grid *grid = work->grid;
	size_t i, pairs = grid->states * grid->states;

	for (i = 0; i < grid->checks; i++)
		work->unit = fmax(work->unit, grid->cost[i]);
	for (i = 0; grid->setup != NULL && i < pairs; i++)
		work->unit = fmax(work->unit, grid->setup[i]);
	if (!(work->unit > 0))
		work->unit = 1;
	work->states = grid->states;
	work->setup = arena_array(work->arena, pairs, sizeof(double));
	if (work->setup == NULL)
		return LW_NO_MEMORY;
	for (i = 0; grid->setup != NULL && i < pairs; i++)
		work->setup[i] = grid->setup[i] / work->unit;
	return LW_OK;
}

static enum lw_status
choose_checks(struct plan_work *work)
{
	size_t checks = work->grid->checks, count = 0, j;
	struct column *columns = malloc((checks + 1) * sizeof *columns);
	uint32_t *name = calloc(65536, sizeof *name);
	uint32_t *back = calloc(65536, sizeof *back);
	enum lw_status status = LW_NO_MEMORY;

	work->mute = arena_array(work->arena, checks, sizeof(size_t));
	if (columns == NULL || name == NULL || back == NULL ||
	    work->mute == NULL)
		goto out;
	for (j = 0; j < checks; j++) {
		if (look_at_column(columns + count, work, name, j))
			count++;
		else
			work->mute[work->mute_count++] = j;
	}
	qsort(columns, count, sizeof *columns, compare_columns);
	count = drop_equals(columns, count, work, name, back);
	qsort(columns, count, sizeof *columns, compare_costs);
	status = keep_checks(work, columns, count, name);
out:
	free(columns);
	free(name);
	free(back);
	return status;
}

enum lw_status
plan_ready(struct plan_work *work, struct lw_err *err)
{
	enum lw_status status = make_groups(work);

	if (status == LW_OK)
		status = make_setup(work);
	if (status == LW_OK)
		status = choose_checks(work);
	if (status != LW_OK)
		return err_no_memory(err);
	work->answer =
	    work->groups * 2 *
		(sizeof(struct plan_node) + sizeof(struct plan_branch)) +
	    work->grid->causes * sizeof(size_t);
	return LW_OK;
}
