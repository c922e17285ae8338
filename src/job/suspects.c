/* Gathers the causes in play and weighs them; the mathematics is left to
 * reason/belief. */
#include "job/suspects.h"

#include "base/arena.h"
#include "base/err.h"
#include "reason/belief.h"

#include <stdlib.h>
#include <string.h>

/* A little room for what nobody wrote down: a sixth of an occasional cause. */
static const double UNLISTED_WEIGHT = 0.5;

/* A cause counts as excluded when the answers have left it less than this,
 * and less than half of what it began with. */
static const double HARDLY = 0.02;

struct candidate {
	const struct lw_cause *cause; /* NULL: the unlisted one */
	double weight;
	double began; /* share before any answer */
	double worst; /* the least likelihood, over that of the likeliest */
	const struct lw_finding *against; /* the answer that gave it */
};

struct candidates {
	struct candidate *items;
	size_t count;
	size_t room;
};

double
suspects_weight(const struct lw_cause *cause, const char *word)
{
	double weight = 0;

	if (word != NULL)
		weight = lw_weight_value(word);
	if (!(weight > 0))
		weight = lw_weight_value(cause->weight);
	if (!(weight > 0))
		weight = lw_weight_value(NULL);
	return weight;
}

/* A cause that is named more than once counts by its greatest weight; one
 * that has left the book is not in play. */
static enum lw_status
add_cause(struct candidates *all, struct shelf *shelf, const char *id,
    const char *word, struct lw_err *err)
{
	const struct lw_cause *cause;
	struct candidate *candidate;
	enum lw_status status;
	double weight;
	size_t i;

	status = shelf_cause(&cause, shelf, id, err);
	if (status != LW_OK || cause == NULL)
		return status;
	weight = suspects_weight(cause, word);
	for (i = 0; i < all->count; i++)
		if (all->items[i].cause == cause) {
			if (all->items[i].weight < weight)
				all->items[i].weight = weight;
			return LW_OK;
		}
	candidate = arena_grow(shelf->arena, &all->items, &all->count,
	    &all->room, sizeof *candidate);
	if (candidate == NULL)
		return err_no_memory(err);
	candidate->cause = cause;
	candidate->weight = weight;
	return LW_OK;
}

static enum lw_status
add_causes(struct candidates *all, struct shelf *shelf,
    const struct lw_refs *refs, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < refs->count && status == LW_OK; i++)
		status = add_cause(
		    all, shelf, refs->items[i].id, refs->items[i].word, err);
	return status;
}

static enum lw_status
add_leaves(struct candidates *all, struct shelf *shelf,
    const struct lw_tree *tree, struct lw_err *err)
{
	const struct lw_branch *branch;
	struct candidates leaves = {0};
	enum lw_status status;
	size_t i, b, k;

	for (i = 0; i < tree->step_count; i++)
		for (b = 0; b < tree->steps[i].branch_count; b++) {
			branch = &tree->steps[i].branches[b];
			if (branch->kind != LW_BRANCH_CAUSE)
				continue;
			status = add_cause(
			    &leaves, shelf, branch->target, NULL, err);
			if (status != LW_OK)
				return status;
		}
	/* A leaf's own weight counts only where nothing else named it. */
	for (i = 0; i < leaves.count; i++) {
		for (k = 0; k < all->count; k++)
			if (all->items[k].cause == leaves.items[i].cause)
				break;
		if (k < all->count)
			continue;
		status =
		    add_cause(all, shelf, leaves.items[i].cause->id, NULL, err);
		if (status != LW_OK)
			return status;
	}
	return LW_OK;
}

/* Take out what a fix has put out of play. */
static void
leave_out(struct candidates *all, const struct repair *repair)
{
	size_t i, kept = 0;

	for (i = 0; i < all->count; i++)
		if (!repair_is_out(repair, all->items[i].cause->id))
			all->items[kept++] = all->items[i];
	all->count = kept;
}

static enum lw_status
gather(struct candidates *all, struct shelf *shelf, const struct situation *at,
    struct lw_err *err)
{
	const struct findings *findings = &at->findings;
	const struct lw_tree *tree = at->tree;
	const struct lw_finding *finding;
	const struct lw_fault *fault;
	const struct lw_symptom *symptom;
	struct candidate *unlisted;
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < findings->count && status == LW_OK; i++) {
		finding = &findings->items[i];
		if (finding->kind == LW_FINDING_PATTERN) {
			status =
			    shelf_fault(&fault, shelf, finding->outcome, err);
			if (status == LW_OK && fault != NULL)
				status =
				    add_causes(all, shelf, &fault->causes, err);
		} else if (finding->kind == LW_FINDING_SYMPTOM) {
			status = shelf_symptom(
			    &symptom, shelf, finding->subject, err);
			if (status == LW_OK && symptom != NULL)
				status = add_causes(
				    all, shelf, &symptom->causes, err);
		} else if (finding->kind == LW_FINDING_SUPPOSE &&
			   !finding->undone) {
			status =
			    add_cause(all, shelf, finding->subject, NULL, err);
		}
	}
	if (status == LW_OK && tree != NULL)
		status = add_leaves(all, shelf, tree, err);
	if (status != LW_OK)
		return status;
	leave_out(all, &at->repair);
	unlisted = arena_grow(shelf->arena, &all->items, &all->count,
	    &all->room, sizeof *unlisted);
	if (unlisted == NULL)
		return err_no_memory(err);
	/* The place may be that of one that was taken out. */
	*unlisted = (struct candidate){.weight = UNLISTED_WEIGHT};
	return LW_OK;
}

/* What an author wrote for an outcome and a cause; 0 for nothing. */
static double
spoken(const struct lw_outcome *outcome, const char *cause)
{
	double value = 0;
	size_t i;

	for (i = 0; i < outcome->speaks.count; i++)
		if (strcmp(outcome->speaks.items[i].id, cause) == 0 &&
		    outcome->speaks.items[i].word != NULL)
			value =
			    lw_likelihood_value(outcome->speaks.items[i].word);
	return value;
}

static size_t
outcome_at(const struct lw_check *check, const char *id)
{
	size_t i;

	for (i = 0; i < check->outcome_count; i++)
		if (strcmp(check->outcomes[i].id, id) == 0)
			break;
	return i;
}

/* Let one answer change the weights. `likelihood` has room for all. */
static enum lw_status
update(double *weight, double *likelihood, struct candidates *all,
    struct shelf *shelf, const struct lw_finding *finding, struct lw_err *err)
{
	double best = 0;
	const struct lw_check *check;
	enum lw_status status;
	double *given;
	size_t outcome, also, o, i;

	status = shelf_check(&check, shelf, finding->subject, err);
	if (status != LW_OK || check == NULL || finding->outcome == NULL)
		return status;
	outcome = outcome_at(check, finding->outcome);
	if (outcome == check->outcome_count)
		return LW_OK;
	also = finding->also != NULL ? outcome_at(check, finding->also)
				     : check->outcome_count;
	given = arena_array(shelf->arena, check->outcome_count, sizeof *given);
	if (given == NULL)
		return err_no_memory(err);
	for (i = 0; i < all->count; i++) {
		for (o = 0; o < check->outcome_count; o++)
			given[o] = all->items[i].cause == NULL
				       ? 0
				       : spoken(&check->outcomes[o],
					     all->items[i].cause->id);
		likelihood[i] =
		    belief_likelihood(given, check->outcome_count, outcome);
		/* What was too close to call was either. */
		if (also < check->outcome_count)
			likelihood[i] =
			    (likelihood[i] + belief_likelihood(given,
						 check->outcome_count, also)) /
			    2;
		if (likelihood[i] > best)
			best = likelihood[i];
	}
	for (i = 0; i < all->count; i++)
		if (likelihood[i] < all->items[i].worst * best) {
			all->items[i].worst = likelihood[i] / best;
			all->items[i].against = finding;
		}
	belief_update(weight, likelihood, all->count);
	return LW_OK;
}

struct place {
	struct lw_suspect suspect;
	size_t order;
	bool sure;
};

static int
by_share(const void *a, const void *b)
{
	const struct place *one = a, *other = b;

	if (one->sure != other->sure)
		return one->sure ? -1 : 1;
	if (one->suspect.share < other->suspect.share ||
	    one->suspect.share > other->suspect.share)
		return one->suspect.share > other->suspect.share ? -1 : 1;
	return (one->order > other->order) - (one->order < other->order);
}

/* The candidates with their shares, in the order in which they are shown. */
static enum lw_status
rank(const struct lw_suspect **suspects, size_t *count, struct shelf *shelf,
    const struct candidates *all, const double *share, const char *sure,
    struct lw_err *err)
{
	struct lw_suspect *list;
	struct place *places;
	const struct lw_cause *cause;
	size_t i;

	places = arena_array(shelf->arena, all->count, sizeof *places);
	list = arena_array(shelf->arena, all->count, sizeof *list);
	if (places == NULL || list == NULL)
		return err_no_memory(err);
	for (i = 0; i < all->count; i++) {
		cause = all->items[i].cause;
		places[i].suspect.cause =
		    cause == NULL ? SUSPECT_UNLISTED : cause->id;
		places[i].suspect.title =
		    cause == NULL ? "something that is not in the book"
				  : cause->title;
		places[i].suspect.share = share[i];
		places[i].order = i;
		places[i].sure = cause != NULL && sure != NULL &&
				 strcmp(cause->id, sure) == 0;
	}
	qsort(places, all->count, sizeof *places, by_share);
	for (i = 0; i < all->count; i++)
		list[i] = places[i].suspect;
	*suspects = list;
	*count = all->count;
	return LW_OK;
}

/* "Pack voltage at rest: in band". */
static const char *
say_against(struct lw_arena *arena, const struct lw_finding *finding)
{
	const char *title = finding->title, *outcome = finding->outcome_title;

	return arena_printf(arena, "%s: %s",
	    title != NULL ? title : finding->subject,
	    outcome != NULL ? outcome : finding->outcome);
}

/* Those out of play, then those that hardly can be. */
static enum lw_status
exclude(struct suspects *suspects, struct shelf *shelf,
    const struct candidates *all, const double *share,
    const struct situation *at, struct lw_err *err)
{
	size_t room = at->repair.out_count + all->count, i;
	struct lw_excluded *list, *out;

	list = arena_array(shelf->arena, room, sizeof *list);
	if (list == NULL)
		return err_no_memory(err);
	for (i = 0; i < at->repair.out_count; i++) {
		out = &list[suspects->excluded_count++];
		out->cause = at->repair.out[i].cause;
		out->title = at->repair.out[i].title;
		out->reason = at->repair.out[i].reason;
		out->repaired = at->repair.out[i].repaired;
	}
	for (i = 0; i < all->count; i++) {
		const struct candidate *item = &all->items[i];

		if (item->cause == NULL || item->against == NULL ||
		    (at->cause != NULL &&
			strcmp(at->cause, item->cause->id) == 0) ||
		    share[i] >= HARDLY || share[i] >= item->began / 2)
			continue;
		out = &list[suspects->excluded_count++];
		out->cause = item->cause->id;
		out->title = item->cause->title;
		out->reason = say_against(shelf->arena, item->against);
		if (out->reason == NULL)
			return err_no_memory(err);
	}
	suspects->excluded = list;
	return LW_OK;
}

/* Whether an outcome tells about the trouble: a proof tells about the fix,
 * but where the cause is out of play and the trouble went on. */
static bool
is_evidence(const struct lw_finding *finding, const struct repair *repair)
{
	if (finding->undone || finding->subject == NULL ||
	    !findings_is_outcome(finding->kind))
		return false;
	return finding->kind == LW_FINDING_CHECK ||
	       repair_is_out(repair, finding->about);
}

static int
by_check(const void *a, const void *b)
{
	const struct lw_finding *one = *(const struct lw_finding *const *)a;
	const struct lw_finding *other = *(const struct lw_finding *const *)b;
	int order = strcmp(one->subject, other->subject);

	return order != 0 ? order : (one > other) - (one < other);
}

static int
by_serial(const void *a, const void *b)
{
	const struct lw_finding *one = *(const struct lw_finding *const *)a;
	const struct lw_finding *other = *(const struct lw_finding *const *)b;

	return (one > other) - (one < other);
}

/* What counts, in order. A check that was done again counts once, by the
 * last. */
static enum lw_status
find_evidence(const struct lw_finding ***evidence, size_t *count,
    struct lw_arena *arena, const struct situation *at, struct lw_err *err)
{
	const struct findings *findings = &at->findings;
	const struct lw_finding **list;
	size_t all = 0, kept = 0, i;

	list = arena_array(
	    arena, findings->count + 1, sizeof(const struct lw_finding *));
	if (list == NULL)
		return err_no_memory(err);
	for (i = 0; i < findings->count; i++)
		if (is_evidence(&findings->items[i], &at->repair))
			list[all++] = &findings->items[i];
	qsort(list, all, sizeof *list, by_check);
	for (i = 0; i < all; i++)
		if (i + 1 == all ||
		    strcmp(list[i]->subject, list[i + 1]->subject) != 0)
			list[kept++] = list[i];
	qsort(list, kept, sizeof *list, by_serial);
	*evidence = list;
	*count = kept;
	return LW_OK;
}

enum lw_status
suspects_find(struct suspects *suspects, struct shelf *shelf,
    const struct situation *at, struct lw_err *err)
{
	struct candidates all = {0};
	const struct lw_finding **evidence = NULL;
	size_t evidence_count = 0;
	double *weight, *likelihood;
	enum lw_status status;
	size_t i;

	memset(suspects, 0, sizeof *suspects);
	status = gather(&all, shelf, at, err);
	if (status != LW_OK)
		return status;
	weight = arena_array(shelf->arena, all.count, sizeof *weight);
	likelihood = arena_array(shelf->arena, all.count, sizeof *likelihood);
	if (weight == NULL || likelihood == NULL)
		return err_no_memory(err);
	for (i = 0; i < all.count; i++)
		weight[i] = all.items[i].weight;
	belief_shares(likelihood, weight, all.count);
	for (i = 0; i < all.count; i++) {
		all.items[i].began = likelihood[i];
		all.items[i].worst = 1;
	}
	status =
	    find_evidence(&evidence, &evidence_count, shelf->arena, at, err);
	for (i = 0; status == LW_OK && i < evidence_count; i++)
		status =
		    update(weight, likelihood, &all, shelf, evidence[i], err);
	if (status != LW_OK)
		return status;
	belief_shares(likelihood, weight, all.count);
	status = exclude(suspects, shelf, &all, likelihood, at, err);
	if (status == LW_OK)
		status = rank(&suspects->items, &suspects->count, shelf, &all,
		    likelihood, at->cause, err);
	return status;
}
