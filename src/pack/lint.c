/* What can be told once all files are read, item by item; checks, what
 * comes before them, trees, walk-throughs and power states are left to
 * lint_checks.c, lint_after.c, lint_trees.c, lint_walks.c and lint_states.c. */
#include "base/err.h"
#include "pack/names.h"
#include "pack/set.h"

static void
lint_fault(const struct pack_file *file, const struct lw_fault *fault,
    const struct pack_node *node)
{
	if (fault->causes.count == 0 && fault->severity != LW_SEVERITY_INFORMS)
		pack_tell(file, node->at, "fault-without-causes",
		    "a fault that %s needs \"causes\"; only one that informs "
		    "may do without",
		    lw_severity_name(fault->severity));
}

static void
lint_setting(const struct pack_file *file,
    const struct lw_known_setting *setting, const struct pack_node *node)
{
	if (setting->low == NULL && setting->high == NULL)
		pack_tell(file, node->at, "missing",
		    "a setting needs \"low\" or \"high\": what too little or "
		    "too much of it looks like");
}

static enum lw_status
lint_check(const struct pack_item *item, struct lw_err *err)
{
	pack_lint_check(item->file, item->item, item->node);
	return pack_lint_after(item->file, item->item, item->node, err);
}

static enum lw_status
lint_tree(const struct pack_item *item, struct lw_err *err)
{
	const struct lw_tree *tree = item->item;

	if (tree->walk)
		return pack_lint_walk(item->file, tree, item->node, err);
	return pack_lint_tree(item->file, tree, item->node, err);
}

enum lw_status
pack_lint(struct pack_set *set, struct lw_err *err)
{
	enum lw_status status = pack_links_check(set, err);
	const struct pack_item *item;
	size_t i;

	if (status == LW_OK)
		status = pack_names_load(set, err);
	if (status == LW_OK)
		status = pack_lint_values(set, err);
	for (i = 0; i < set->item_count && status == LW_OK; i++) {
		item = set->items[i];
		if (item->item == NULL)
			continue;
		if (item->kind == PACK_FAULT)
			lint_fault(item->file, item->item, item->node);
		else if (item->kind == PACK_CHECK)
			status = lint_check(item, err);
		else if (item->kind == PACK_SETTING)
			lint_setting(item->file, item->item, item->node);
		else if (item->kind == PACK_TREE)
			status = lint_tree(item, err);
	}
	if (status == LW_OK)
		status = pack_lint_states(set, err);
	return status;
}
