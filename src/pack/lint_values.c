/* What values are worked out from: that each can be, none from itself, and
 * that something plausible comes out. */
#include "pack/names.h"

#include "base/err.h"
#include "pack/grid.h"

#include <string.h>

enum { WHITE, GREY, BLACK };

/* Going down through the values, from each to what it is worked out from. */
struct walk {
	struct pack_set *set;
	struct pack_named **path;
	struct pack_named **order; /* each after what it is worked out from */
	size_t count;
};

/* Keep what it is worked out from. */
static void
keep_needs(
    struct pack_set *set, struct pack_named *named, const struct expr *expr)
{
	size_t count = expr_name_count(expr), i;
	struct pack_named **needs;

	needs = arena_array(set->arena, count, sizeof *needs);
	if (needs == NULL) {
		set->no_memory = true;
		return;
	}
	for (i = 0; i < count; i++)
		needs[i] = pack_names_find(set, expr_name_at(expr, i));
	named->needs = needs;
	named->need_count = count;
}

/* It is parsed once more where it is worked out: what is parsed is large, and
 * most is never worked out. */
static enum lw_status
look_at(struct pack_set *set, struct pack_named *named, struct lw_err *err)
{
	struct pack_formula formula = {NULL, NULL, NULL, NULL};
	const struct expr *expr;
	struct lw_arena *scratch = lw_arena_new();

	if (scratch == NULL)
		return err_no_memory(err);
	formula.text = named->value->worked;
	formula.unit = named->value->unit;
	if (named->item != NULL) {
		formula.file = named->item->file;
		formula.node = pack_node_find(named->item->node, "worked");
	}
	expr = pack_formula_parse(set, &formula, scratch);
	if (expr == NULL)
		named->unknown = true;
	else
		keep_needs(set, named, expr);
	lw_arena_free(scratch);
	return LW_OK;
}

/* The one of those between the two that is told: the first of the files'. */
static const struct pack_named *
first_of(struct pack_named *const *path, const size_t length)
{
	const struct pack_named *first = NULL;
	size_t i;

	for (i = 0; i < length; i++)
		if (path[i]->item != NULL && (first == NULL || path[i] < first))
			first = path[i];
	return first;
}

/* `path` leads from a value back to it. */
static void
tell_loop(struct pack_set *set, struct pack_named *const *path, size_t length)
{
	const struct pack_named *first = first_of(path, length);
	const struct pack_node *node;

	set->values->looped = true;
	if (first == NULL)
		return;
	node = pack_node_find(first->item->node, "worked");
	if (length == 1)
		pack_tell(first->item->file, node->at, "worked-loop",
		    "the value is worked out from itself; take it out of its "
		    "own expression");
	else
		pack_tell(first->item->file, node->at, "worked-loop",
		    "the value is worked out from itself, by way of \"%s\"; "
		    "leave \"worked\" out of one of them",
		    (first == path[0] ? path[1] : path[0])->id);
}

/* Go down from a value; the depth is no more than there are values. */
static void
find_loops(struct walk *walk, size_t depth)
{
	struct pack_named **path = walk->path, *named = path[depth], *next;
	size_t i, from;

	named->colour = GREY;
	for (i = 0; i < named->need_count; i++) {
		next = named->needs[i];
		if (next->colour == GREY) {
			for (from = depth; path[from] != next; from--)
				;
			tell_loop(walk->set, path + from, depth + 1 - from);
		} else if (next->colour == WHITE) {
			path[depth + 1] = next;
			find_loops(walk, depth + 1);
		}
	}
	named->colour = BLACK;
	walk->order[walk->count++] = named;
}

/* Whether what one comes to is plausible on any rig. */
static enum lw_status
look_on_rigs(struct pack_set *set, struct pack_named *named, struct lw_err *err)
{
	const struct pack_node *node = NULL;
	struct lw_arena *scratch = lw_arena_new();
	struct grid *grid;

	if (scratch == NULL)
		return err_no_memory(err);
	grid = arena_alloc(scratch, sizeof *grid);
	if (grid == NULL) {
		set->no_memory = true;
	} else if (grid_of_value(grid, set, scratch, named) &&
		   !grid_next(grid) && !set->values->spent) {
		named->unknown = true;
		if (named->item != NULL) {
			node = pack_node_find(named->item->node, "worked");
			pack_tell(named->item->file, node->at, "worked-range",
			    "on no plausible rig does this come to something "
			    "within \"from\" and \"to\"");
		}
	}
	lw_arena_free(scratch);
	return LW_OK;
}

enum lw_status
pack_lint_values(struct pack_set *set, struct lw_err *err)
{
	struct pack_names *names = set->values;
	struct walk walk = {set, NULL, NULL, 0};
	struct pack_named *named;
	enum lw_status status = LW_OK;
	size_t i;

	walk.path = arena_array(set->arena, names->count, sizeof *walk.path);
	walk.order = arena_array(set->arena, names->count, sizeof *walk.order);
	if (walk.path == NULL || walk.order == NULL)
		return err_no_memory(err);
	for (i = 0; i < names->count && status == LW_OK; i++) {
		named = &names->items[i];
		if (named->usable && named->value->worked != NULL &&
		    named->value->kind == LW_VALUE_QUANTITY)
			status = look_at(set, named, err);
	}
	for (i = 0; i < names->count; i++)
		if (names->items[i].colour == WHITE) {
			walk.path[0] = &names->items[i];
			find_loops(&walk, 0);
		}
	for (i = 0; i < walk.count && status == LW_OK; i++)
		if (walk.order[i]->need_count > 0)
			status = look_on_rigs(set, walk.order[i], err);
	return status;
}
