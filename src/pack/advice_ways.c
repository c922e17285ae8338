/* Checks and steps that lead nowhere: a check without effect, a step without a
 * way out, an expectation that nothing on such a vehicle meets. */
#include "pack/advice.h"

#include "base/err.h"
#include "pack/chain.h"

#include <lampwright/quantity.h>
#include <string.h>

/* --- effect ----------------------------------------------------------------
 */

static bool
does_something(const struct lw_check *check)
{
	const struct lw_outcome *outcome;
	size_t i;

	for (i = 0; i < check->outcome_count; i++) {
		outcome = &check->outcomes[i];
		if (outcome->speaks.count > 0 || outcome->stops ||
		    outcome->unproves || outcome->enters != LW_POWER_UNKNOWN)
			return true;
	}
	return false;
}

/* Note the checks that trees ask, and those that come compulsorily. */
static enum lw_status
find_asked(
    struct pack_map *asked, const struct advice *advice, struct lw_err *err)
{
	const struct lw_tree *tree;
	const struct lw_refs *after;
	size_t i, j;

	for (i = 0; i < advice->check_count; i++) {
		after = &advice->checks[i]->after;
		for (j = 0; j < after->count; j++)
			if (pack_map_put(asked, after->items[j].id, asked) ==
			    NULL)
				return err_no_memory(err);
	}
	for (i = 0; i < advice->set->item_count; i++) {
		if (advice->set->items[i]->kind != PACK_TREE)
			continue;
		tree = advice->set->items[i]->item;
		for (j = 0; j < tree->step_count; j++)
			if (pack_map_put(asked, tree->steps[j].check, asked) ==
			    NULL)
				return err_no_memory(err);
	}
	return LW_OK;
}

static enum lw_status
look_for_effect(const struct advice *advice, struct lw_err *err)
{
	struct pack_map asked;
	enum lw_status status;
	const struct pack_item *item;
	size_t i;

	pack_map_init(&asked, advice->set->arena);
	status = find_asked(&asked, advice, err);
	for (i = 0; i < advice->check_count && status == LW_OK; i++) {
		item = advice->items[i];
		if (item == NULL || does_something(advice->checks[i]) ||
		    pack_map_find(&asked, item->id) != NULL)
			continue;
		pack_tell(item->file, pack_node_where(item->node, "id"),
		    "check-without-effect",
		    "whatever \"%s\" gives, nothing follows; let its outcomes "
		    "speak for causes, or ask it in a tree",
		    pack_quote(advice->set, item->id));
	}
	return status;
}

/* --- ways out --------------------------------------------------------------
 */

/* What a step does when it cannot be done, or is not as described: its
 * `cannot` branch, else the first that leads on. */
static bool
has_way_out(const struct lw_step *step)
{
	size_t i;

	for (i = 0; i < step->branch_count; i++)
		if (strcmp(step->branches[i].outcome, "cannot") == 0 ||
		    step->branches[i].kind == LW_BRANCH_STEP)
			return true;
	return false;
}

static void
look_for_ways_out(const struct pack_item *item)
{
	const struct lw_tree *tree = item->item;
	const struct pack_node *node =
	    pack_node_find(item->node, "steps")->first;
	size_t i;

	/* In a walk-through, what cannot be done is put aside. */
	if (tree->walk)
		return;
	for (i = 0; i < tree->step_count; i++, node = node->next)
		if (!has_way_out(&tree->steps[i]))
			pack_tell(item->file,
			    pack_node_find(node, "next")->key->at, "no-way-out",
			    "whoever cannot do this step, or does not find it "
			    "as described, is left standing; give it a branch "
			    "\"cannot\"");
}

/* --- expectations ----------------------------------------------------------
 */

/* An expected band of numbers that lies wholly outside of what is read on
 * vehicles of 24 to 120 V; one of expressions is left to lint_grid.c. */
static void
look_at_expected(const struct pack_item *item)
{
	const struct lw_check *check = item->item;
	const struct pack_node *node =
	    pack_node_find(item->node, "outcomes")->first;
	const struct lw_outcome *outcome;
	double least, most;
	size_t i;

	if (check->unit == NULL)
		return;
	pack_chain_limits(&least, &most, check->unit);
	for (i = 0; i < check->outcome_count; i++, node = node->next) {
		outcome = &check->outcomes[i];
		if (!outcome->expected)
			continue;
		if ((outcome->has_from && outcome->from_says == NULL &&
			outcome->from > most) ||
		    (outcome->has_below && outcome->below_says == NULL &&
			outcome->below <= least))
			pack_tell(item->file, node->at, "expected-nowhere",
			    "no vehicle of 24 to 120 V gives what is expected "
			    "here; look at the band and its unit");
	}
}

enum lw_status
advice_ways(struct advice *advice, struct lw_err *err)
{
	const struct pack_item *item;
	size_t i;

	for (i = 0; i < advice->set->item_count; i++) {
		item = advice->set->items[i];
		if (item->kind == PACK_TREE)
			look_for_ways_out(item);
		else if (item->kind == PACK_CHECK)
			look_at_expected(item);
	}
	return look_for_effect(advice, err);
}
