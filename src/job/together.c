/* Tries pairs of causes on the findings; the model is left to
 * reason/pairs. */
#include "job/together.h"

#include "base/arena.h"
#include "base/err.h"
#include "reason/pairs.h"

#include <stdlib.h>
#include <string.h>

/* So many of the likeliest causes are paired, and so many pairs kept. */
enum { CAUSES_TRIED = 40, PAIRS_KEPT = 12 };

/* A pair counts from this share of all on: judgement. */
static const double LEAST = 0.02;

struct pair {
	size_t one, other;
	double weight; /* before any finding */
	double joint;  /* and times what the findings say */
};

struct rank {
	size_t cause;
	double share;
};

static int
by_share(const void *a, const void *b)
{
	const struct rank *one = a, *other = b;

	if (one->share < other->share || one->share > other->share)
		return one->share > other->share ? -1 : 1;
	return (one->cause > other->cause) - (one->cause < other->cause);
}

static int
by_joint(const void *a, const void *b)
{
	const struct pair *one = a, *other = b;

	if (one->joint < other->joint || one->joint > other->joint)
		return one->joint > other->joint ? -1 : 1;
	if (one->one != other->one)
		return one->one < other->one ? -1 : 1;
	return (one->other > other->other) - (one->other < other->other);
}

/* What a finding is likely by, whatever the cause. */
static double
likely_by(const struct play *play, const struct evidence *evidence,
    const double *prior, size_t finding)
{
	double sum = 0;
	size_t i;

	for (i = 0; i < play->count; i++)
		sum +=
		    prior[i] * evidence->likelihood[finding * play->count + i];
	return sum;
}

/* The listed causes by how much the finding that speaks most for each does so:
 * what explains one of two findings well is looked for among them. */
static size_t
pick_causes(struct rank *ranks, const struct play *play,
    const struct evidence *evidence, const double *prior)
{
	size_t causes = play->count, count = 0, i, k;
	double usual, speaks;

	for (i = 0; i < causes; i++)
		if (play->items[i].cause != NULL && prior[i] > 0)
			ranks[count++].cause = i;
	for (k = 0; k < evidence->count; k++) {
		usual = likely_by(play, evidence, prior, k);
		for (i = 0; usual > 0 && i < count; i++) {
			speaks =
			    evidence->likelihood[k * causes + ranks[i].cause] /
			    usual * prior[ranks[i].cause];
			if (speaks > ranks[i].share)
				ranks[i].share = speaks;
		}
	}
	if (count > 1)
		qsort(ranks, count, sizeof *ranks, by_share);
	return count < CAUSES_TRIED ? count : CAUSES_TRIED;
}

/* How likely both make all the findings, beside a single cause's. `row` has
 * room for five times the outcomes. */
static double
try_pair(const struct weighing *weighing, const struct evidence *evidence,
    const struct repair *repair, const struct pair *pair, double *row)
{
	double product = 1;
	size_t k, outcomes, j;

	for (k = 0; k < evidence->count; k++) {
		double *one, *other;

		j = evidence->check[k];
		outcomes = weighing->speakers[j].outcome_count;
		one = row + 3 * outcomes;
		other = one + outcomes;
		weigh_row(one, weighing, j, pair->one);
		weigh_row(other, weighing, j, pair->other);
		pairs_given(row, one, other, outcomes,
		    weigh_expected(&weighing->speakers[j]));
		product *= evidence_given(
		    row, weighing, repair, j, evidence->items[k]);
	}
	return product;
}

/* The sum of what single causes make of all findings, as try_pair has it. */
static double
sum_single(const struct play *play, const struct evidence *evidence,
    const double *prior)
{
	size_t causes = play->count, i, k;
	double sum = 0, product;

	for (i = 0; i < causes; i++) {
		product = prior[i];
		for (k = 0; k < evidence->count; k++)
			product *= evidence->likelihood[k * causes + i];
		sum += product;
	}
	return sum;
}

static enum lw_status
put_pairs(struct play *wide, struct lw_arena *arena, const struct play *play,
    const double *prior, const struct pair *pairs, size_t count,
    struct lw_err *err)
{
	struct play_cause *items =
	    arena_array(arena, play->count + count, sizeof *items);
	size_t i;

	if (items == NULL)
		return err_no_memory(err);
	memcpy(items, play->items, play->count * sizeof *items);
	for (i = 0; i < play->count; i++)
		items[i].weight = prior[i];
	for (i = 0; i < count; i++)
		items[play->count + i] = (struct play_cause){
		    .cause = play->items[pairs[i].one].cause,
		    .also = play->items[pairs[i].other].cause,
		    .weight = pairs[i].weight};
	*wide = *play;
	wide->items = items;
	wide->count = wide->room = play->count + count;
	return LW_OK;
}

enum lw_status
together_find(bool *any, struct play *wide, struct lw_arena *arena,
    const struct play *play, const struct weighing *weighing,
    const struct evidence *evidence, const struct repair *repair,
    const double *prior, struct lw_err *err)
{
	struct rank *ranks = arena_array(arena, play->count, sizeof *ranks);
	struct pair *pairs;
	size_t tried, count = 0, most = 1, i, k;
	double *row, sum;

	*any = false;
	if (ranks == NULL)
		return err_no_memory(err);
	tried = pick_causes(ranks, play, evidence, prior);
	for (i = 0; i < weighing->table.checks; i++)
		if (weighing->speakers[i].outcome_count > most)
			most = weighing->speakers[i].outcome_count;
	pairs = arena_array(arena, tried * tried + 1, sizeof *pairs);
	row = arena_array(arena, 5 * most, sizeof *row);
	if (pairs == NULL || row == NULL)
		return err_no_memory(err);
	sum = sum_single(play, evidence, prior);
	for (i = 0; i < tried; i++)
		for (k = i + 1; k < tried; k++) {
			struct pair *pair = &pairs[count++];

			pair->one = ranks[i].cause;
			pair->other = ranks[k].cause;
			pair->weight =
			    pairs_weight(prior[pair->one], prior[pair->other]);
			pair->joint =
			    pair->weight *
			    try_pair(weighing, evidence, repair, pair, row);
		}
	if (count > 1)
		qsort(pairs, count, sizeof *pairs, by_joint);
	if (count > PAIRS_KEPT)
		count = PAIRS_KEPT;
	for (i = 0; i < count; i++)
		sum += pairs[i].joint;
	while (count > 0 && !(pairs[count - 1].joint > LEAST * sum))
		count--;
	if (count == 0)
		return LW_OK;
	*any = true;
	return put_pairs(wide, arena, play, prior, pairs, count, err);
}
