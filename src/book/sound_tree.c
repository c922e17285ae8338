/* Looks at a tree of the builder's own before it is kept. Keeping it is left
 * to own_trees.c; trees of packs are looked at by their lint. */
#include "book/sound_tree.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/near.h"
#include "book/catalogue.h"
#include "book/nearest.h"
#include "book/query.h"
#include "book/texts.h"

#include <stdlib.h>
#include <string.h>

enum { TITLE_MAX = 100, TEXT_MAX = 2000 };

struct sound {
	struct lw_book *book;
	struct lw_arena *scratch;
	const struct lw_tree *tree;
	const struct lw_step **by_id; /* the tree's steps */
	bool *reached;		      /* a step above leads there */
	struct lw_err *err;
};

/* --- texts --------------------------------------------------------------- */

static const char *
or_empty(const char *text)
{
	return text == NULL ? "" : text;
}

static enum lw_status
check_id(const char *what, const char *id, struct lw_err *err)
{
	char name[NEAREST_NAME_MAX];

	if (texts_is_id(or_empty(id)))
		return LW_OK;
	return err_set(err, LW_BAD_INPUT,
	    "\"%s\" cannot name a %s; a name has a-z, 0-9 and hyphens, begins "
	    "with a letter, and has at most 64",
	    nearest_name(name, or_empty(id)), what);
}

/* Outcomes and targets are looked up later; words are kept as they are. */
static enum lw_status
check_branch_texts(const struct lw_branch *branch, struct lw_err *err)
{
	bool words =
	    branch->kind == LW_BRANCH_UNSURE || branch->kind == LW_BRANCH_STOP;

	if (catalogue_branch_word(branch->kind) == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "a branch leads to a step or a cause, says that it is not "
		    "sure, or says to stop");
	if (words)
		return texts_check("what a branch says",
		    or_empty(branch->target), TEXT_MAX, false, err);
	return check_id(
	    catalogue_branch_word(branch->kind), branch->target, err);
}

enum lw_status
sound_tree_texts(const struct lw_tree *tree, struct lw_err *err)
{
	const struct lw_step *step;
	enum lw_status status;
	size_t i, b;

	status = check_id("tree", tree->id, err);
	if (status == LW_OK)
		status = texts_check(
		    "the title", or_empty(tree->title), TITLE_MAX, false, err);
	if (status == LW_OK && tree->description != NULL)
		status = texts_check(
		    "the description", tree->description, TEXT_MAX, true, err);
	if (status == LW_OK && tree->source != NULL)
		status = texts_check(
		    "the source", tree->source, TEXT_MAX, false, err);
	if (status != LW_OK)
		return status;
	if (tree->walk || tree->passed != NULL)
		return err_set(err, LW_BAD_INPUT,
		    "\"%s\" is a walk-through; write it into a pack", tree->id);
	if (tree->step_count == 0)
		return err_set(err, LW_BAD_INPUT,
		    "the tree \"%s\" has no steps; it needs at least one",
		    tree->id);
	if (tree->step_count > SOUND_TREE_STEPS_MAX)
		return err_set(err, LW_TOO_BIG,
		    "the tree \"%s\" has %zu steps and may have %d; make it "
		    "smaller",
		    tree->id, tree->step_count, SOUND_TREE_STEPS_MAX);
	if (tree->faults.count == 0 && tree->symptoms.count == 0)
		return err_set(err, LW_BAD_INPUT,
		    "the tree \"%s\" is for no fault and no symptom; say what "
		    "it is for",
		    tree->id);
	for (i = 0; i < tree->step_count; i++) {
		step = &tree->steps[i];
		status = check_id("step", step->id, err);
		if (status == LW_OK && step->only.count > 0)
			status = err_set(err, LW_BAD_INPUT,
			    "the step \"%s\" is for some rigs alone, which is "
			    "for walk-throughs; leave \"only\" out",
			    step->id);
		for (b = 0; b < step->branch_count && status == LW_OK; b++)
			status = check_branch_texts(&step->branches[b], err);
		if (status != LW_OK)
			return status;
	}
	return LW_OK;
}

/* --- steps --------------------------------------------------------------- */

static int
by_id(const void *a, const void *b)
{
	const struct lw_step *one = *(const struct lw_step *const *)a;
	const struct lw_step *other = *(const struct lw_step *const *)b;

	return strcmp(one->id, other->id);
}

static enum lw_status
sort_steps(struct sound *sound)
{
	const struct lw_tree *tree = sound->tree;
	size_t count = tree->step_count, i;

	sound->by_id =
	    arena_array(sound->scratch, count, sizeof(const struct lw_step *));
	sound->reached =
	    arena_array(sound->scratch, count, sizeof *sound->reached);
	if (sound->by_id == NULL || sound->reached == NULL)
		return err_no_memory(sound->err);
	for (i = 0; i < count; i++)
		sound->by_id[i] = &tree->steps[i];
	qsort(sound->by_id, count, sizeof(const struct lw_step *), by_id);
	for (i = 1; i < count; i++)
		if (by_id(&sound->by_id[i - 1], &sound->by_id[i]) == 0)
			return err_set(sound->err, LW_BAD_INPUT,
			    "the tree has the step \"%s\" twice; give one of "
			    "the two another name",
			    sound->by_id[i]->id);
	sound->reached[0] = true;
	return LW_OK;
}

static const struct lw_step *
find_step(const struct sound *sound, const char *id)
{
	const struct lw_step wanted = {.id = id}, *key = &wanted;
	const struct lw_step **found;

	found = bsearch(&key, sound->by_id, sound->tree->step_count,
	    sizeof(const struct lw_step *), by_id);
	return found == NULL ? NULL : *found;
}

/* A branch of the step at `place` that leads to another step. */
static enum lw_status
check_way(struct sound *sound, size_t place, const struct lw_branch *branch)
{
	const struct lw_step *from = &sound->tree->steps[place];
	const struct lw_step *to = find_step(sound, branch->target);
	struct near nearest;
	size_t i;

	if (to != NULL && to > from) {
		sound->reached[to - sound->tree->steps] = true;
		return LW_OK;
	}
	if (to != NULL)
		return err_set(sound->err, LW_BAD_INPUT,
		    "the step \"%s\" leads back to \"%s\"; steps run downwards "
		    "only",
		    from->id, to->id);
	near_start(&nearest, branch->target);
	for (i = 0; i < sound->tree->step_count; i++)
		near_try(&nearest, sound->tree->steps[i].id);
	return err_set(sound->err, LW_BAD_INPUT,
	    "the step \"%s\" leads to the step \"%s\", which the tree has "
	    "not%s%s%s",
	    from->id, branch->target,
	    nearest.best == NULL ? "" : "; the nearest is \"",
	    nearest.best == NULL ? "" : nearest.best,
	    nearest.best == NULL ? "" : "\"");
}

/* --- branches ------------------------------------------------------------ */

static enum lw_status
read_outcomes(struct sound *sound, const char *check, const char ***outcomes,
    size_t *count)
{
	const char **items = NULL, **item;
	struct query query;
	int64_t number = 0;
	size_t room = 0;
	enum lw_status status;

	*count = 0;
	status = catalogue_number(
	    sound->book, &number, "check", or_empty(check), sound->err);
	if (status != LW_OK)
		return status;
	query_start(&query, sound->book, SQL_OUTCOMES, sound->err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		item = query_grow(
		    &query, sound->scratch, &items, count, &room, sizeof *item);
		if (item == NULL)
			break;
		*item = query_get_word(&query, sound->scratch, 0);
	}
	*outcomes = items;
	return query_end(&query);
}

static size_t
count_branches(const struct lw_step *step, const char *outcome)
{
	size_t i, count = 0;

	for (i = 0; i < step->branch_count; i++)
		count +=
		    strcmp(or_empty(step->branches[i].outcome), outcome) == 0;
	return count;
}

/* One branch for each outcome, and at most one for "cannot". */
static enum lw_status
check_outcomes(struct sound *sound, const struct lw_step *step,
    const char *const *outcomes, size_t count)
{
	size_t branches, i;

	for (i = 0; i <= count; i++) {
		const char *outcome = i < count ? outcomes[i] : "cannot";

		branches = count_branches(step, outcome);
		if (branches == 0 && i < count)
			return err_set(sound->err, LW_BAD_INPUT,
			    "the step \"%s\" has no branch for \"%.64s\", an "
			    "outcome of its check; say where it leads",
			    step->id, outcome);
		if (branches > 1)
			return err_set(sound->err, LW_BAD_INPUT,
			    "the step \"%s\" has %zu branches for \"%.64s\"; "
			    "it can lead to one place alone",
			    step->id, branches, outcome);
	}
	return LW_OK;
}

static enum lw_status
check_outcome(struct sound *sound, const struct lw_step *step,
    const char *outcome, const char *const *outcomes, size_t count)
{
	char name[NEAREST_NAME_MAX];
	struct near nearest;
	size_t i;

	if (strcmp(outcome, "cannot") == 0)
		return LW_OK;
	near_start(&nearest, outcome);
	for (i = 0; i < count; i++) {
		if (strcmp(outcomes[i], outcome) == 0)
			return LW_OK;
		near_try(&nearest, outcomes[i]);
	}
	return err_set(sound->err, LW_BAD_INPUT,
	    "the check \"%.64s\" of the step \"%s\" has no outcome "
	    "\"%s\"%s%.64s%s",
	    step->check, step->id, nearest_name(name, outcome),
	    nearest.best == NULL ? "" : "; the nearest is \"",
	    nearest.best == NULL ? "" : nearest.best,
	    nearest.best == NULL ? "" : "\"");
}

static enum lw_status
check_step(struct sound *sound, size_t place)
{
	const struct lw_step *step = &sound->tree->steps[place];
	const struct lw_branch *branch;
	const char **outcomes;
	enum lw_status status;
	size_t count, b;

	status = read_outcomes(sound, step->check, &outcomes, &count);
	if (status != LW_OK)
		return status;
	for (b = 0; b < step->branch_count && status == LW_OK; b++) {
		branch = &step->branches[b];
		status = check_outcome(
		    sound, step, or_empty(branch->outcome), outcomes, count);
		if (status == LW_OK && branch->kind == LW_BRANCH_STEP)
			status = check_way(sound, place, branch);
		else if (status == LW_OK && branch->kind == LW_BRANCH_CAUSE)
			status = catalogue_number(sound->book, NULL, "cause",
			    branch->target, sound->err);
	}
	if (status == LW_OK)
		status = check_outcomes(sound, step, outcomes, count);
	return status;
}

/* --- the whole ----------------------------------------------------------- */

static enum lw_status
check_refs(struct sound *sound, const char *kind, const struct lw_refs *refs)
{
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < refs->count && status == LW_OK; i++)
		status = catalogue_number(sound->book, NULL, kind,
		    or_empty(refs->items[i].id), sound->err);
	return status;
}

enum lw_status
sound_tree(struct lw_book *book, struct lw_arena *scratch,
    const struct lw_tree *tree, struct lw_err *err)
{
	struct sound sound = {
	    .book = book, .scratch = scratch, .tree = tree, .err = err};
	enum lw_status status;
	size_t i;

	status = check_refs(&sound, "fault", &tree->faults);
	if (status == LW_OK)
		status = check_refs(&sound, "symptom", &tree->symptoms);
	if (status == LW_OK)
		status = sort_steps(&sound);
	for (i = 0; i < tree->step_count && status == LW_OK; i++)
		status = check_step(&sound, i);
	for (i = 0; i < tree->step_count && status == LW_OK; i++)
		if (!sound.reached[i])
			status = err_set(err, LW_BAD_INPUT,
			    "no branch leads to the step \"%s\"; lead to it, "
			    "or take it out",
			    tree->steps[i].id);
	return status;
}
