/* Putting the names together, and parsing expressions over them. What is
 * worked out from what is left to lint_values.c. */
#include "pack/names.h"

#include "base/err.h"
#include "base/near.h"
#include "book/catalogue.h"

#include <lampwright/rig.h>
#include <string.h>

static void
add(struct pack_set *set, const char *id, const struct lw_value *value,
    const struct pack_item *item)
{
	struct pack_names *names = set->values;
	struct pack_named *named = &names->items[names->count];

	if (pack_map_find(&names->ids, id) != NULL)
		return; /* told already where two have one id */
	memset(named, 0, sizeof *named);
	named->id = id;
	named->value = value;
	named->item = item;
	if (value != NULL && value->kind == LW_VALUE_CHOICE)
		named->usable = true;
	else if (value != NULL && value->kind == LW_VALUE_QUANTITY &&
		 value->unit != NULL)
		named->usable = lw_unit_dimension(&named->dimension,
				    value->unit, NULL) == LW_OK;
	if (pack_map_put(&names->ids, id, named) == NULL)
		set->no_memory = true;
	names->count++;
}

/* Room for one more; told once where there is none. */
static bool
has_room(struct pack_set *set, const struct pack_item *item)
{
	if (set->values->count < PACK_VALUES_MAX)
		return true;
	if (item != NULL && !set->values->full)
		pack_tell(item->file, item->node->at, "too-big",
		    "there are more than %d values; no rig has so many",
		    PACK_VALUES_MAX);
	set->values->full = set->values->full || item != NULL;
	return false;
}

static void
add_files(struct pack_set *set)
{
	size_t i;

	for (i = 0; i < set->item_count; i++)
		if (set->items[i]->kind == PACK_VALUE &&
		    has_room(set, set->items[i]))
			add(set, set->items[i]->id, set->items[i]->item,
			    set->items[i]);
}

/* Those of packs that none of the files will replace. */
static enum lw_status
add_book(struct pack_set *set, struct lw_err *err)
{
	const struct lw_value *const *values;
	size_t count, i;
	enum lw_status status;
	const char *pack;
	bool there;

	if (set->book == NULL)
		return LW_OK;
	status = catalogue_values(set->book, set->arena, &values, &count, err);
	for (i = 0; status == LW_OK && i < count && has_room(set, NULL); i++) {
		status = pack_in_book(
		    set, &there, &pack, PACK_VALUE, values[i]->id, err);
		if (status == LW_OK && there)
			add(set, values[i]->id, values[i], NULL);
	}
	return status;
}

enum lw_status
pack_names_load(struct pack_set *set, struct lw_err *err)
{
	size_t count, i;
	const struct lw_value *own = lw_rig_built_in(&count);

	set->values = arena_alloc(set->arena, sizeof *set->values);
	if (set->values == NULL)
		return err_no_memory(err);
	set->values->items = arena_array(
	    set->arena, count + PACK_VALUES_MAX, sizeof *set->values->items);
	if (set->values->items == NULL)
		return err_no_memory(err);
	pack_map_init(&set->values->ids, set->arena);
	for (i = 0; i < count; i++)
		add(set, own[i].id, &own[i], NULL);
	add_files(set);
	return add_book(set, err);
}

struct pack_named *
pack_names_find(const struct pack_set *set, const char *name)
{
	const void *found = pack_map_find(&set->values->ids, name);

	return found == NULL
		   ? NULL
		   : &set->values->items[(const struct pack_named *)found -
					 set->values->items];
}

/* --- expressions ---------------------------------------------------------- */

/* One look through the names, for an expression. */
struct lookup {
	const struct pack_set *set;
	bool *told; /* what it needs is missing for a reason told already */
};

static bool
find(const void *context, const char *name, struct expr_name *found)
{
	const struct lookup *lookup = context;
	const struct pack_named *named = pack_names_find(lookup->set, name);

	if (named == NULL ? lookup->set->unread || lookup->set->values->full
			  : named->value == NULL)
		*lookup->told = true;
	if (named == NULL || !named->usable)
		return false;
	memset(found, 0, sizeof *found);
	found->name = named->id;
	found->dimension = named->dimension;
	if (named->value->kind == LW_VALUE_CHOICE)
		found->choices = named->value->choices;
	return true;
}

static const char *
nearest(const void *context, const char *name)
{
	const struct lookup *lookup = context;
	const struct pack_names *names = lookup->set->values;
	struct near nearest;
	size_t i;

	near_start(&nearest, name);
	for (i = 0; i < names->count; i++)
		if (names->items[i].usable)
			near_try(&nearest, names->items[i].id);
	return nearest.best;
}

struct lw_where
pack_formula_place(const struct pack_node *node, unsigned column)
{
	struct lw_where at = node->at;

	if (node->column > 0 && column > 0)
		at.column = node->column + column - 1;
	return at;
}

static void
tell_dimension(const struct pack_formula *formula, struct lw_dimension is,
    struct lw_dimension wanted)
{
	char one[LW_QUANTITY_MAX], other[LW_QUANTITY_MAX];

	lw_dimension_say(one, is);
	lw_dimension_say(other, wanted);
	pack_tell(formula->file, formula->node->at, "bad-expression",
	    "this comes to %s, and it has to be %s", one, other);
}

const struct expr *
pack_formula_parse(struct pack_set *set, const struct pack_formula *formula,
    struct lw_arena *arena)
{
	bool told = false;
	struct lookup lookup = {set, &told};
	const struct expr_names names = {find, nearest, &lookup};
	struct lw_dimension wanted;
	struct lw_err err = {0};
	const struct expr *expr = NULL;
	enum lw_status status;

	status = expr_parse(&expr, arena, formula->text, &names, &err);
	if (status == LW_NO_MEMORY) {
		set->no_memory = true;
		return NULL;
	}
	if (status != LW_OK) {
		if (formula->file != NULL && !told)
			pack_tell(formula->file,
			    pack_formula_place(formula->node, err.column),
			    "bad-expression", "%s", err.text);
		return NULL;
	}
	if (lw_unit_dimension(&wanted, formula->unit, NULL) == LW_OK &&
	    !lw_dimension_equal(expr_dimension(expr), wanted)) {
		if (formula->file != NULL)
			tell_dimension(formula, expr_dimension(expr), wanted);
		return NULL;
	}
	return expr;
}
