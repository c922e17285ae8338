/* Gathers the causes in play and weighs them before any check; what checks
 * say of them is left to weigh. */
#include "job/play.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/cures.h"
#include "reason/belief.h"
#include "reason/learn.h"

#include <string.h>

/* A little room for what nobody wrote down: a sixth of an occasional cause. */
static const double UNLISTED_WEIGHT = 0.5;

double
play_weight(const struct lw_cause *cause, const char *word)
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

size_t
play_find(const struct play *play, const char *cause)
{
	size_t i;

	for (i = 0; i < play->count; i++)
		if (play->items[i].cause != NULL &&
		    play->items[i].also == NULL &&
		    strcmp(play->items[i].cause->id, cause) == 0)
			break;
	return i;
}

static struct play_cause *
find(const struct play *play, const char *id)
{
	size_t at = play_find(play, id);

	return at < play->count ? &play->items[at] : NULL;
}

enum lw_status
play_add(struct play *play, struct shelf *shelf, const char *id,
    const char *word, struct lw_err *err)
{
	const struct lw_cause *cause;
	struct play_cause *item;
	enum lw_status status;
	double weight;

	status = shelf_cause(&cause, shelf, id, err);
	if (status != LW_OK || cause == NULL)
		return status;
	weight = play_weight(cause, word);
	item = find(play, cause->id);
	if (item == NULL) {
		item = arena_grow(shelf->work, &play->items, &play->count,
		    &play->room, sizeof *item);
		if (item == NULL)
			return err_no_memory(err);
		/* The place may be that of one that was taken out. */
		*item = (struct play_cause){.cause = cause};
	}
	if (item->weight < weight)
		item->weight = weight;
	return LW_OK;
}

enum lw_status
play_add_refs(struct play *play, struct shelf *shelf,
    const struct lw_refs *refs, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < refs->count && status == LW_OK; i++)
		status = play_add(
		    play, shelf, refs->items[i].id, refs->items[i].word, err);
	return status;
}

enum lw_status
play_add_leaves(struct play *play, struct shelf *shelf,
    const struct lw_tree *tree, struct lw_err *err)
{
	const struct lw_branch *branch;
	enum lw_status status = LW_OK;
	size_t named = play->count, i, b, k;

	for (i = 0; i < tree->step_count; i++)
		for (b = 0; b < tree->steps[i].branch_count; b++) {
			branch = &tree->steps[i].branches[b];
			if (branch->kind != LW_BRANCH_CAUSE ||
			    branch->target == NULL)
				continue;
			/* A leaf's own weight counts only where nothing else
			 * named it. */
			for (k = 0; k < named; k++)
				if (strcmp(play->items[k].cause->id,
					branch->target) == 0)
					break;
			if (k == named)
				status = play_add(
				    play, shelf, branch->target, NULL, err);
			if (status != LW_OK)
				return status;
		}
	return LW_OK;
}

void
play_leave_out(struct play *play, const char *cause)
{
	size_t i, kept = 0;

	for (i = 0; i < play->count; i++)
		if (play->items[i].cause == NULL ||
		    strcmp(play->items[i].cause->id, cause) != 0)
			play->items[kept++] = play->items[i];
	play->count = kept;
}

enum lw_status
play_add_unlisted(struct play *play, struct shelf *shelf, struct lw_err *err)
{
	struct play_cause *item = arena_grow(
	    shelf->work, &play->items, &play->count, &play->room, sizeof *item);

	if (item == NULL)
		return err_no_memory(err);
	*item = (struct play_cause){.weight = UNLISTED_WEIGHT};
	return LW_OK;
}

enum lw_status
play_recall(struct play *play, struct shelf *shelf, const char *device,
    const char *fault, const char *symptom, int64_t but, struct lw_err *err)
{
	const struct book_cure *cures;
	struct play_cause *item;
	enum lw_status status;
	size_t count, i;

	if (fault == NULL && symptom == NULL)
		return LW_OK;
	status = book_cures(&cures, &count, shelf->book, shelf->work, device,
	    fault, fault != NULL ? NULL : symptom, but, err);
	for (i = 0; status == LW_OK && i < count; i++) {
		item = find(play, cures[i].cause);
		if (item == NULL) {
			status =
			    play_add(play, shelf, cures[i].cause, "rare", err);
			if (status != LW_OK)
				return status;
			item = find(play, cures[i].cause);
		}
		/* One that has left the book counts for nothing. */
		if (item == NULL)
			continue;
		item->here = cures[i].here;
		item->elsewhere = cures[i].elsewhere;
		play->cases += cures[i].here;
		play->others += cures[i].elsewhere;
	}
	return status;
}

enum lw_status
play_learn(struct play *play, struct lw_arena *arena, struct lw_err *err)
{
	double *share = arena_array(arena, play->count, sizeof *share);
	double *here = arena_array(arena, play->count, sizeof *here);
	double *elsewhere = arena_array(arena, play->count, sizeof *elsewhere);
	size_t i;

	if (play->count == 0)
		return LW_OK;
	if (share == NULL || here == NULL || elsewhere == NULL)
		return err_no_memory(err);
	for (i = 0; i < play->count; i++) {
		share[i] = play->items[i].weight;
		here[i] = share[i] > 0 ? play->items[i].here : 0;
		elsewhere[i] = share[i] > 0 ? play->items[i].elsewhere : 0;
	}
	belief_shares(share, share, play->count);
	learn_shares(share, share, elsewhere, LEARN_STRENGTH, play->count);
	learn_shares(share, share, here, LEARN_STRENGTH, play->count);
	for (i = 0; i < play->count; i++)
		play->items[i].weight = share[i];
	return LW_OK;
}
