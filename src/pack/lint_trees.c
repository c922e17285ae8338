/* A tree: a branch for every outcome of each step's check, downwards only,
 * and a way to every step. */
#include "base/err.h"
#include "base/near.h"
#include "pack/set.h"

#include <stdio.h>
#include <string.h>

enum { NAMED = 4 }; /* outcomes in one sentence */

struct tree {
	const struct pack_file *file;
	const struct lw_tree *tree;
	struct pack_map steps; /* id -> struct lw_step */
	bool *reached;	       /* a step above leads there */
	bool astray;	       /* a branch leads nowhere or upwards */
};

static const struct lw_branch *
branch_of(const struct lw_step *step, const char *outcome)
{
	size_t i;

	for (i = 0; i < step->branch_count; i++)
		if (strcmp(step->branches[i].outcome, outcome) == 0)
			return &step->branches[i];
	return NULL;
}

/* All outcomes without a branch in one sentence. */
static void
lint_missing(const struct tree *tree, const struct lw_step *step,
    const struct lw_check *check, const struct pack_node *node)
{
	char names[NAMED * (PACK_ID_MAX + 8) + 16] = "";
	size_t i, length = 0, missing = 0;
	int n;

	for (i = 0; i < check->outcome_count; i++) {
		if (branch_of(step, check->outcomes[i].id) != NULL)
			continue;
		if (++missing > NAMED) {
			snprintf(names + length, sizeof names - length,
			    " and others");
			break;
		}
		n = snprintf(names + length, sizeof names - length, "%s\"%s\"",
		    missing > 1 ? ", " : "", check->outcomes[i].id);
		length += n > 0 ? (size_t)n : 0;
	}
	if (missing > 0)
		pack_tell(tree->file, pack_node_find(node, "next")->key->at,
		    "missing-branch",
		    "there is no branch for %s of the check \"%s\"", names,
		    pack_quote(tree->file->set, step->check));
}

static void
lint_unknown(const struct tree *tree, const struct lw_step *step,
    const struct lw_check *check)
{
	const struct lw_branch *branch;
	struct near nearest;
	size_t i, j;

	for (i = 0; i < step->branch_count; i++) {
		branch = &step->branches[i];
		near_start(&nearest, branch->outcome);
		for (j = 0; j < check->outcome_count; j++)
			near_try(&nearest, check->outcomes[j].id);
		if ((nearest.best != NULL && nearest.distance == 0) ||
		    strcmp(branch->outcome, "cannot") == 0)
			continue;
		pack_tell(tree->file, branch->at, "unknown-branch",
		    "the check \"%s\" has no outcome \"%s\"%s%s%s",
		    pack_quote(tree->file->set, step->check),
		    pack_quote(tree->file->set, branch->outcome),
		    nearest.best != NULL ? "; the nearest is \"" : "",
		    nearest.best != NULL ? nearest.best : "",
		    nearest.best != NULL ? "\"" : "");
	}
}

static void
unknown_step(struct tree *tree, const struct lw_branch *branch,
    const struct pack_node *node)
{
	struct near nearest;
	size_t i;

	tree->astray = true;
	near_start(&nearest, branch->target);
	for (i = 0; i < tree->tree->step_count; i++)
		near_try(&nearest, tree->tree->steps[i].id);
	pack_tell(tree->file, node->first->at, "unknown-id",
	    "the tree has no step \"%s\"%s%s%s",
	    pack_quote(tree->file->set, branch->target),
	    nearest.best != NULL ? "; the nearest is \"" : "",
	    nearest.best != NULL ? nearest.best : "",
	    nearest.best != NULL ? "\"" : "");
}

/* Where a step's branches lead. */
static void
lint_targets(struct tree *tree, size_t index, const struct pack_node *node)
{
	const struct lw_step *step = &tree->tree->steps[index], *target;
	const struct pack_node *each = pack_node_find(node, "next")->first;
	const struct lw_branch *branch;
	size_t i, place;

	for (i = 0; i < step->branch_count; i++, each = each->next) {
		branch = &step->branches[i];
		if (branch->kind != LW_BRANCH_STEP)
			continue;
		target = pack_map_find(&tree->steps, branch->target);
		if (target == NULL) {
			unknown_step(tree, branch, each);
			continue;
		}
		place = (size_t)(target - tree->tree->steps);
		if (place <= index) {
			tree->astray = true;
			pack_tell(tree->file, each->first->at, "loop",
			    "the branch leads back to \"%s\"; steps run "
			    "downwards only",
			    pack_quote(tree->file->set, branch->target));
		} else {
			tree->reached[place] = true;
		}
	}
}

/* A step has branches, and is for every rig. */
static void
lint_keys(struct tree *tree, const struct pack_node *node)
{
	if (pack_node_find(node, "next") == NULL) {
		tree->astray = true;
		pack_tell(tree->file, node->at, "missing",
		    "a step needs \"next\": where each outcome leads");
	}
	if (pack_node_find(node, "only") != NULL)
		pack_tell(tree->file, pack_node_find(node, "only")->key->at,
		    "unknown-key",
		    "only the steps of a walk-through have \"only\"");
}

static enum lw_status
lint_steps(struct tree *tree, const struct pack_node *list, struct lw_err *err)
{
	const struct pack_node *node = list->first;
	const struct lw_check *check;
	const struct lw_step *step;
	enum lw_status status;
	size_t i;

	for (i = 0; i < tree->tree->step_count; i++, node = node->next) {
		step = &tree->tree->steps[i];
		lint_keys(tree, node);
		if (step->branch_count == 0)
			continue;
		status =
		    pack_check_of(tree->file->set, &check, step->check, err);
		if (status != LW_OK)
			return status;
		if (check != NULL) {
			lint_missing(tree, step, check, node);
			lint_unknown(tree, step, check);
		}
		lint_targets(tree, i, node);
	}
	node = list->first;
	for (i = 0; i < tree->tree->step_count; i++, node = node->next)
		if (!tree->reached[i] && !tree->astray &&
		    pack_map_find(&tree->steps, tree->tree->steps[i].id) ==
			&tree->tree->steps[i])
			pack_tell(tree->file, pack_node_where(node, "id"),
			    "unreachable-step",
			    "no branch leads to the step \"%s\"; lead to it or "
			    "take it out",
			    pack_quote(
				tree->file->set, tree->tree->steps[i].id));
	return LW_OK;
}

enum lw_status
pack_lint_tree(const struct pack_file *file, const struct lw_tree *tree,
    const struct pack_node *node, struct lw_err *err)
{
	const struct pack_node *list = pack_node_find(node, "steps");
	struct tree lint = {.file = file, .tree = tree};
	size_t i;

	if (tree->faults.count == 0 && tree->symptoms.count == 0)
		pack_tell(file, node->at, "missing",
		    "a tree needs \"faults\" or \"symptoms\": what it is for");
	if (tree->passed != NULL)
		pack_tell(file, pack_node_find(node, "passed")->key->at,
		    "unknown-key", "only a walk-through has \"passed\"");
	pack_parts_differ(file, list, "step");
	lint.reached = arena_array(
	    file->set->arena, tree->step_count, sizeof *lint.reached);
	pack_map_init(&lint.steps, file->set->arena);
	if (lint.reached == NULL)
		return err_no_memory(err);
	lint.reached[0] = true;
	for (i = 0; i < tree->step_count; i++)
		if (pack_map_put(&lint.steps, tree->steps[i].id,
			&tree->steps[i]) == NULL)
			return err_no_memory(err);
	return lint_steps(&lint, list, err);
}
