/* A walk-through: each step's check can pass, and is asked for once; none of
 * the keys that lead elsewhere. Trees with branches are left to lint_trees.c.
 */
#include "base/err.h"
#include "pack/set.h"

/* A key of other trees. */
static void
no_key(const struct pack_file *file, const struct pack_node *node,
    const char *key, const char *why)
{
	const struct pack_node *value = pack_node_find(node, key);

	if (value != NULL)
		pack_tell(file, value->key->at, "unknown-key",
		    "a walk-through %s; leave \"%s\" out", why, key);
}

static void
lint_step_check(const struct pack_file *file, const struct lw_check *check,
    struct lw_where at)
{
	const char *id = pack_quote(file->set, check->id);
	bool enters = false, expected = false;
	size_t i;

	for (i = 0; i < check->outcome_count; i++) {
		enters |= check->outcomes[i].enters != LW_POWER_UNKNOWN;
		expected |= check->outcomes[i].expected;
	}
	if (enters)
		pack_tell(file, at, "walk-gate",
		    "\"%s\" is a way into a power state, which is asked for by "
		    "itself where a step needs it; take the step out",
		    id);
	else if (!expected)
		pack_tell(file, at, "walk-without-expected",
		    "\"%s\" has no outcome marked \"expected: yes\", so the "
		    "step can never be passed",
		    id);
}

enum lw_status
pack_lint_walk(const struct pack_file *file, const struct lw_tree *tree,
    const struct pack_node *node, struct lw_err *err)
{
	const struct pack_node *list = pack_node_find(node, "steps");
	const struct pack_node *each = list->first;
	const struct lw_check *check;
	struct pack_map checks;
	enum lw_status status;
	size_t i, before;

	no_key(file, node, "faults", "is for no fault");
	no_key(file, node, "symptoms", "is for no symptom");
	if (tree->passed == NULL)
		pack_tell(file, node->at, "missing",
		    "a walk-through needs \"passed\": what can be said when "
		    "every step passed");
	pack_parts_differ(file, list, "step");
	pack_map_init(&checks, file->set->arena);
	for (i = 0; i < tree->step_count; i++, each = each->next) {
		no_key(file, each, "next", "goes through its steps in order");
		before = checks.count;
		if (pack_map_put(
			&checks, tree->steps[i].check, &tree->steps[i]) == NULL)
			return err_no_memory(err);
		if (checks.count == before) {
			pack_tell(file, pack_node_where(each, "check"),
			    "walk-check-twice",
			    "\"%s\" is a step of this walk-through already; "
			    "ask for it once",
			    pack_quote(file->set, tree->steps[i].check));
			continue;
		}
		status =
		    pack_check_of(file->set, &check, tree->steps[i].check, err);
		if (status != LW_OK)
			return status;
		if (check != NULL)
			lint_step_check(
			    file, check, pack_node_where(each, "check"));
	}
	return LW_OK;
}
