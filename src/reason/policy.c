/* Grows a tree of checks that ends in fixes, the likely ways first; what to ask
 * at each place is found by policy_exact and policy_roll. */
#include "reason/policy_work.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>
#include <stdlib.h>

/* Once time is up, so many places more are divided, by the quickest rule; fewer
 * where one takes long, by what is multiplied and added for it. */
enum { GRACE = 32, GRACE_WORK = 200000000 };

/* Chances below this cannot come: shares could not be told any more. */
static const double NO_CHANCE = 1e-250;

/* A node while the tree grows. */
struct draft {
	struct policy_node *node;
	const struct policy_node **next;
	const double *share;
	size_t parent;	/* a draft, or REASON_NONE */
	size_t outcome; /* of the parent's check, that leads here */
	size_t state;
	size_t depth;
	uint64_t mark;
	bool kept;
};

struct tree {
	struct policy_work *work;
	struct lw_arena *arena;
	const struct policy_exact *exact; /* or NULL */
	enum policy_effort effort;
	struct draft *drafts; /* a parent before its children */
	size_t count;
	size_t room;
	size_t *heap; /* drafts to be divided, the most probable on top */
	size_t waiting;
	size_t *check; /* the way to a place: checks and outcomes */
	size_t *outcome;
	size_t grace;
};

/* --- what is to be divided next ------------------------------------------ */

static bool
comes_first(const struct tree *tree, size_t a, size_t b)
{
	double x = tree->drafts[a].node->chance;
	double y = tree->drafts[b].node->chance;

	return x != y ? x > y : a < b;
}

static void
heap_swap(struct tree *tree, size_t a, size_t b)
{
	size_t held = tree->heap[a];

	tree->heap[a] = tree->heap[b];
	tree->heap[b] = held;
}

static void
heap_push(struct tree *tree, size_t draft)
{
	size_t at = tree->waiting++;

	tree->heap[at] = draft;
	while (at > 0 &&
	       comes_first(tree, tree->heap[at], tree->heap[(at - 1) / 2])) {
		heap_swap(tree, at, (at - 1) / 2);
		at = (at - 1) / 2;
	}
}

static size_t
heap_pop(struct tree *tree)
{
	size_t top = tree->heap[0], at = 0, child;

	tree->heap[0] = tree->heap[--tree->waiting];
	for (;;) {
		child = 2 * at + 1;
		if (child >= tree->waiting)
			return top;
		if (child + 1 < tree->waiting &&
		    comes_first(tree, tree->heap[child + 1], tree->heap[child]))
			child++;
		if (!comes_first(tree, tree->heap[child], tree->heap[at]))
			return top;
		heap_swap(tree, at, child);
		at = child;
	}
}

/* --- growing ------------------------------------------------------------- */

/* Room for one more draft, and for it in the heap. */
static bool
grow_room(struct tree *tree)
{
	size_t room = tree->room == 0 ? 64 : 2 * tree->room;
	struct draft *drafts;
	size_t *heap;

	if (tree->count < tree->room)
		return true;
	drafts = realloc(tree->drafts, room * sizeof *drafts);
	if (drafts == NULL)
		return false;
	tree->drafts = drafts;
	heap = realloc(tree->heap, room * sizeof *heap);
	if (heap == NULL)
		return false;
	tree->heap = heap;
	tree->room = room;
	return true;
}

/* A new end. NULL: out of memory. */
static struct draft *
add_draft(struct tree *tree, const struct policy_place *place, double chance)
{
	struct policy_node *node;
	struct draft *draft;
	double *share;
	size_t i;

	if (!grow_room(tree))
		return NULL;
	node = arena_alloc(tree->arena, sizeof *node);
	share = arena_array(tree->arena, tree->work->causes, sizeof *share);
	if (node == NULL || share == NULL)
		return NULL;
	for (i = 0; i < tree->work->causes; i++)
		share[i] = place->weight[i] / place->sum;
	node->check = REASON_NONE;
	node->chance = chance;
	node->share = share;
	draft = &tree->drafts[tree->count++];
	*draft = (struct draft){.node = node,
	    .share = share,
	    .parent = REASON_NONE,
	    .state = place->state,
	    .depth = place->depth,
	    .mark = place->mark};
	return draft;
}

/* The way to a draft, from the beginning. */
static void
find_way(struct tree *tree, size_t at)
{
	size_t k = tree->drafts[at].depth;

	while (k-- > 0) {
		tree->outcome[k] = tree->drafts[at].outcome;
		at = tree->drafts[at].parent;
		tree->check[k] = tree->drafts[at].node->check;
	}
}

static struct policy_place
place_of(const struct tree *tree, const struct draft *draft)
{
	struct policy_work *work = tree->work;
	double *weight = work->levels + draft->depth * work->causes;
	struct policy_place place = {.weight = weight,
	    .state = draft->state,
	    .depth = draft->depth,
	    .mark = draft->mark};
	size_t i;

	for (i = 0; i < work->causes; i++) {
		weight[i] = draft->share[i] * draft->node->chance;
		place.sum += weight[i];
	}
	return place;
}

static size_t
decide(struct tree *tree, const struct policy_place *place)
{
	if (tree->exact != NULL)
		return policy_exact_choice(tree->exact, place->state,
		    tree->check, tree->outcome, place->depth);
	if (policy_stopped(tree->work)) {
		if (tree->grace == 0)
			return REASON_NONE;
		tree->grace--;
		return policy_decide_myopic(tree->work, place);
	}
	switch (tree->effort) {
	case POLICY_MYOPIC:
		return policy_decide_myopic(tree->work, place);
	case POLICY_SURE:
		return policy_decide_sure(tree->work, place);
	case POLICY_BEST:
	case POLICY_EXACT:
	case POLICY_ROLLOUT:
		break;
	}
	return policy_decide_rollout(tree->work, place);
}

/* Whether there are nodes and bytes for what the check may say. */
static bool
has_room(struct tree *tree, size_t check)
{
	struct policy_work *work = tree->work;
	size_t outcomes = work->table->check[check].outcomes;
	size_t each = sizeof(struct policy_node) + sizeof(struct draft) +
		      3 * sizeof(size_t) +
		      work->causes * (sizeof(double) + sizeof(size_t));

	if (outcomes <= work->bounds.nodes_max - tree->count &&
	    policy_take(work, outcomes, each))
		return true;
	work->cramped = true;
	return false;
}

static bool
divide(struct tree *tree, size_t at, const struct policy_place *place,
    size_t check)
{
	struct policy_work *work = tree->work;
	size_t outcomes = work->table->check[check].outcomes, o;
	const struct policy_node **next;
	struct policy_place after;
	struct draft *draft;

	next = arena_array(tree->arena, outcomes, sizeof *next);
	if (next == NULL)
		return false;
	tree->drafts[at].next = next;
	tree->drafts[at].node->check = check;
	tree->drafts[at].node->next = next;
	for (o = 0; o < outcomes; o++) {
		after = policy_after(work,
		    work->levels + (place->depth + 1) * work->causes, place,
		    check, o);
		if (!(after.sum > NO_CHANCE))
			continue;
		draft = add_draft(tree, &after, after.sum);
		if (draft == NULL)
			return false;
		draft->parent = at;
		draft->outcome = o;
		next[o] = draft->node;
		heap_push(tree, tree->count - 1);
	}
	return true;
}

/* Divide the most probable place that waits, if that pays. */
static bool
grow_one(struct tree *tree)
{
	struct policy_work *work = tree->work;
	size_t at = heap_pop(tree), check, k;
	struct policy_place place;

	if (tree->drafts[at].node->chance < work->least_chance ||
	    tree->drafts[at].depth >= work->bounds.depth_max)
		return true;
	find_way(tree, at);
	place = place_of(tree, &tree->drafts[at]);
	for (k = 0; k < place.depth; k++)
		work->done[tree->check[k]] = true;
	check = decide(tree, &place);
	for (k = 0; k < place.depth; k++)
		work->done[tree->check[k]] = false;
	if (check == REASON_NONE || !has_room(tree, check))
		return true;
	return divide(tree, at, &place, check);
}

/* --- when it is grown ---------------------------------------------------- */

/* The costs from the ends on. Where what was grown costs more than fixing at
 * once, it is fixed. */
static void
sum_up(struct tree *tree)
{
	struct policy_work *work = tree->work;
	size_t at, o;

	for (at = tree->count; at-- > 0;) {
		struct draft *draft = &tree->drafts[at];
		struct policy_node *node = draft->node;
		double now, cost;

		now = fixes_desk_cost(work->desk, NULL, draft->share);
		node->cost = now;
		if (node->check == REASON_NONE)
			continue;
		cost = policy_ask_cost(work, draft->state, node->check);
		for (o = 0; o < work->table->check[node->check].outcomes; o++)
			if (draft->next[o] != NULL)
				cost += draft->next[o]->chance / node->chance *
					draft->next[o]->cost;
		if (cost < now || tree->effort == POLICY_SURE) {
			node->cost = cost;
		} else {
			node->check = REASON_NONE;
			node->next = NULL;
		}
	}
}

/* The orders of the ends that are left, and what is in the tree. */
static bool
finish(struct policy *policy, struct tree *tree)
{
	struct policy_work *work = tree->work;
	size_t at, *order;

	for (at = 0; at < tree->count; at++) {
		struct draft *draft = &tree->drafts[at];

		draft->kept =
		    draft->parent == REASON_NONE ||
		    (tree->drafts[draft->parent].kept &&
			tree->drafts[draft->parent].node->next != NULL);
		if (!draft->kept)
			continue;
		policy->nodes++;
		if (draft->node->check != REASON_NONE) {
			if (!work->done[draft->node->check])
				policy->checks_used++;
			work->done[draft->node->check] = true;
			continue;
		}
		order = arena_array(tree->arena, work->causes, sizeof *order);
		if (order == NULL)
			return false;
		fixes_desk_cost(work->desk, order, draft->share);
		draft->node->order = order;
	}
	for (at = 0; at < work->table->checks; at++)
		work->done[at] = false;
	policy->root = tree->drafts[0].node;
	policy->cost = policy->root->cost;
	return true;
}

static bool
grow(struct policy *policy, struct tree *tree, const double *share)
{
	struct policy_work *work = tree->work;
	struct policy_place whole = {
	    .weight = share, .sum = 1, .state = work->table->begin};
	size_t depth = work->bounds.depth_max + 1;

	tree->check = calloc(depth, sizeof *tree->check);
	tree->outcome = calloc(depth, sizeof *tree->outcome);
	if (tree->check == NULL || tree->outcome == NULL ||
	    add_draft(tree, &whole, 1) == NULL)
		return false;
	heap_push(tree, 0);
	while (tree->waiting > 0 && !work->cramped)
		if (!grow_one(tree))
			return false;
	sum_up(tree);
	return finish(policy, tree);
}

static void
tree_free(struct tree *tree)
{
	free(tree->drafts);
	free(tree->heap);
	free(tree->check);
	free(tree->outcome);
}

/* --- the whole ----------------------------------------------------------- */

/* The best policy where it is small and wanted. */
static enum lw_status
try_exact(struct policy_exact **exact, struct policy_work *work,
    const double *share, enum policy_effort effort, struct lw_err *err)
{
	size_t bytes = work->bytes;
	enum lw_status status;

	*exact = NULL;
	if (effort != POLICY_BEST && effort != POLICY_EXACT)
		return LW_OK;
	status = policy_exact_new(exact, work, share);
	if (status == LW_NO_MEMORY)
		return err_no_memory(err);
	if (status == LW_TOO_BIG && effort == POLICY_EXACT)
		return err_set(err, LW_TOO_BIG,
		    "the checks of this table can say too much to try all of "
		    "it; 12 checks of 2 outcomes can be");
	if (*exact == NULL)
		work->bytes = bytes;
	return LW_OK;
}

static size_t
grace_of(const struct policy_work *work)
{
	double each = (double)work->causes *
		      (double)(work->outcomes * work->live_count + 400);
	double places = GRACE_WORK / each;

	if (places < 1)
		return 1;
	return places < GRACE ? (size_t)places : GRACE;
}

static enum lw_status
make(struct policy *policy, struct tree *tree, const double *share,
    struct lw_err *err)
{
	struct policy_work *work = tree->work;
	struct policy_exact *exact;
	enum lw_status status;

	status = try_exact(&exact, work, share, tree->effort, err);
	if (status != LW_OK)
		return status;
	tree->exact = exact;
	tree->grace = grace_of(work);
	if (exact == NULL && tree->effort != POLICY_SURE &&
	    tree->effort != POLICY_MYOPIC)
		work->memo = policy_memo_new(work);
	if (!grow(policy, tree, share))
		status = err_no_memory(err);
	else if (exact != NULL)
		policy->lower_bound = policy_exact_bound(exact);
	else
		policy->lower_bound = policy_bound(work, share);
	policy->stopped = work->stopped || work->cramped;
	policy->optimal = exact != NULL && !policy->stopped;
	policy->lower_bound = fmin(policy->lower_bound, policy->cost);
	policy_exact_free(exact);
	return status;
}

enum lw_status
policy_make(struct policy *policy, struct lw_arena *arena,
    const struct reason_table *table, const double *share,
    const struct reason_fixes *fixes, enum policy_effort effort,
    const struct policy_bounds *bounds, const struct reason_limits *limits,
    struct lw_err *err)
{
	struct policy_work work;
	struct tree tree = {.work = &work, .arena = arena, .effort = effort};
	enum lw_status status;
	double *whole, sum = 0;
	size_t i;

	*policy = (struct policy){0};
	if (fixes == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "a policy ends in fixes; their costs are missing");
	status = reason_table_check(table, fixes, err);
	if (status == LW_OK)
		status = reason_shares_check(share, table->causes, err);
	if (status != LW_OK)
		return status;
	whole = calloc(table->causes, sizeof *whole);
	if (whole == NULL)
		return err_no_memory(err);
	for (i = 0; i < table->causes; i++)
		sum += share[i];
	for (i = 0; i < table->causes; i++)
		whole[i] = share[i] / sum;
	status =
	    policy_work_open(&work, table, whole, fixes, bounds, limits, err);
	work.least_chance = effort == POLICY_EXACT ? 0 : POLICY_LEAST_CHANCE;
	if (status == LW_OK)
		status = make(policy, &tree, whole, err);
	tree_free(&tree);
	policy_work_close(&work);
	free(whole);
	return status;
}
