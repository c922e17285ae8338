/* Walks a file's nodes along the schema into a struct lw_pack. Items with a
 * problem of their own are left out of it, but their ids are kept, so that
 * one mistake is told once. Single values are left to fields.c and lists.c,
 * how items fit together to lint.c. */
#include "base/err.h"
#include "base/near.h"
#include "pack/fields.h"
#include "pack/lists.h"
#include "pack/values.h"

#include <string.h>

enum { FIELDS_MAX = 24 };

static void read_map(struct pack_file *file, const struct pack_schema *schema,
    const struct pack_node *node, void *item, struct pack_spot *above);

/* Tell keys that the schema does not have. `meant[i]` is set where one is
 * likely to be field i mistyped, so that it is not told to be missing. */
static void
check_keys(struct pack_file *file, const struct pack_schema *schema,
    const struct pack_node *node, bool meant[FIELDS_MAX])
{
	const struct pack_field *field;
	const struct pack_node *value;
	struct near nearest;

	for (value = node->first; value != NULL; value = value->next) {
		near_start(&nearest, value->key->text);
		for (field = schema->fields; field->key != NULL; field++)
			near_try(&nearest, field->key);
		if (nearest.best != NULL && nearest.distance == 0)
			continue;
		pack_tell(file, value->key->at, "unknown-key",
		    "%s has no key \"%s\"%s%s%s", schema->what,
		    pack_quote(file->set, value->key->text),
		    nearest.best != NULL ? "; did you mean \"" : "",
		    nearest.best != NULL ? nearest.best : "",
		    nearest.best != NULL ? "\"?" : "");
		for (field = schema->fields; field->key != NULL; field++)
			if (field->key == nearest.best)
				meant[field - schema->fields] = true;
	}
}

/* A list of parts of an item: all of them, or the item is not whole. */
static void
read_parts(struct pack_spot *spot, void *item)
{
	const struct pack_schema *schema = spot->field->items;
	const struct pack_node *node;
	unsigned char *items;
	size_t i = 0;

	if (!pack_list_is(spot->file, spot->node, spot->field->key))
		return;
	if (spot->node->count > spot->field->most) {
		pack_tell(spot->file, spot->node->at, "too-big",
		    "\"%s\" has %zu items; at most %zu are allowed",
		    spot->field->key, spot->node->count, spot->field->most);
		return;
	}
	items = arena_array(
	    spot->file->set->arena, spot->node->count, schema->size);
	if (items == NULL) {
		spot->file->set->no_memory = true;
		return;
	}
	for (node = spot->node->first; node != NULL; node = node->next)
		read_map(
		    spot->file, schema, node, items + i++ * schema->size, spot);
	pack_put_list(item, spot->field->offset, items);
	pack_put_size(item, spot->field->second, spot->node->count);
}

/* One instruction: a text, or a map that has rules beside it. */
static void
read_instruction(struct pack_spot *spot, struct lw_instruction *instruction)
{
	struct pack_field text = *spot->field;
	struct pack_spot plain = *spot;

	if (spot->node->kind == PACK_NODE_MAP) {
		read_map(spot->file, spot->field->items, spot->node,
		    instruction, NULL);
		return;
	}
	if (spot->node->kind == PACK_NODE_LIST) {
		pack_field_type(spot->file, spot->node, spot->field->key,
		    "texts, or \"only\" with a \"text\"");
		return;
	}
	text.type = PACK_ACTION;
	text.offset = offsetof(struct lw_instruction, text);
	plain.field = &text;
	instruction->at = spot->node->at;
	pack_field_read(&plain, instruction);
}

static void
read_do(struct pack_spot *spot, void *item)
{
	const struct pack_node *node;
	struct pack_spot each = *spot;
	struct lw_instruction *items;
	struct lw_instructions list;
	size_t i = 0;

	if (!pack_list_is(spot->file, spot->node, spot->field->key))
		return;
	items = arena_array(
	    spot->file->set->arena, spot->node->count, sizeof *items);
	if (items == NULL) {
		spot->file->set->no_memory = true;
		return;
	}
	for (node = spot->node->first; node != NULL; node = node->next) {
		each.node = node;
		read_instruction(&each, &items[i++]);
	}
	list.items = items;
	list.count = i;
	memcpy((char *)item + spot->field->offset, &list, sizeof list);
}

static const char *
item_id(const struct pack_node *node)
{
	const struct pack_node *id = pack_node_find(node, "id");

	return id != NULL && id->kind == PACK_NODE_TEXT ? id->text : NULL;
}

/* A list of items with ids of their own: those that are whole. */
static void
read_items(struct pack_spot *spot, void *pack)
{
	const struct pack_schema *schema = spot->field->items;
	struct pack_set *set = spot->file->set;
	const struct pack_node *node;
	unsigned char *items, *item;
	size_t count = 0, before;
	const char *id;
	bool whole;

	if (!pack_list_is(spot->file, spot->node, spot->field->key))
		return;
	items = arena_array(set->arena, spot->node->count, schema->size);
	if (items == NULL) {
		set->no_memory = true;
		return;
	}
	for (node = spot->node->first; node != NULL; node = node->next) {
		item = items + count * schema->size;
		memset(item, 0, schema->size);
		before = set->told;
		read_map(spot->file, schema, node, item, NULL);
		if (schema->kind == PACK_DEVICE)
			pack_finish_device(spot->file,
			    (struct lw_device *)(void *)item, node,
			    set->told == before);
		if (schema->kind == PACK_VALUE && set->told == before)
			pack_finish_value(
			    spot->file, (struct lw_value *)(void *)item, node);
		whole = set->told == before;
		id = item_id(node);
		if (id != NULL)
			pack_items_add(spot->file, schema->kind, id, node,
			    whole ? item : NULL);
		if (whole)
			count++;
		else
			set->broken[schema->kind] = true;
	}
	pack_put_list(pack, spot->field->offset, count > 0 ? items : NULL);
	pack_put_size(pack, spot->field->second, count);
}

/* The words of a choice and their titles, each list ending with NULL. */
static void
read_choices(struct pack_spot *spot, void *item)
{
	struct choices {
		const struct pack_choice *items;
		size_t count;
	} list = {NULL, 0};
	struct lw_arena *arena = spot->file->set->arena;
	struct pack_field parts = *spot->field;
	struct pack_spot inner = *spot;
	const char **words, **titles;
	size_t i;

	parts.offset = offsetof(struct choices, items);
	parts.second = offsetof(struct choices, count);
	inner.field = &parts;
	read_parts(&inner, &list);
	words = arena_array(arena, list.count + 1, sizeof *words);
	titles = arena_array(arena, list.count + 1, sizeof *titles);
	if (words == NULL || titles == NULL) {
		spot->file->set->no_memory = true;
		return;
	}
	for (i = 0; i < list.count; i++) {
		words[i] = list.items[i].id;
		titles[i] = list.items[i].title;
	}
	pack_put_list(item, spot->field->offset, words);
	pack_put_list(item, spot->field->second, titles);
}

static void
read_branch(struct pack_spot *spot, const struct pack_node *node,
    struct lw_branch *branch)
{
	const struct pack_node *value = node->first;
	size_t i;

	branch->outcome = node->key->text;
	branch->at = node->key->at;
	if (node->kind != PACK_NODE_MAP || node->count != 1) {
		if (node->kind == PACK_NODE_MAP)
			pack_tell(spot->file, node->at, "wrong-type",
			    "a branch is one of step, cause, unsure and "
			    "stop, as in \"{step: some-id}\"");
		else
			pack_field_type(spot->file, node, node->key->text,
			    "a branch, as in \"{step: some-id}\"");
		return;
	}
	for (i = 0; pack_branch_words[i] != NULL; i++)
		if (strcmp(pack_branch_words[i], value->key->text) == 0)
			break;
	if (pack_branch_words[i] == NULL) {
		pack_tell(spot->file, value->key->at, "bad-word",
		    "a branch is one of step, cause, unsure and stop, not "
		    "\"%s\"",
		    pack_quote(spot->file->set, value->key->text));
		return;
	}
	branch->kind = (enum lw_branch_kind)(LW_BRANCH_STEP + i);
	branch->target =
	    pack_field_text(spot->file, value, pack_branch_words[i],
		PACK_TEXT_MAX, branch->kind <= LW_BRANCH_CAUSE);
	if (branch->target != NULL && branch->kind == LW_BRANCH_CAUSE)
		pack_links_add(
		    spot->file, PACK_CAUSE, branch->target, value->at);
}

static void
read_next(struct pack_spot *spot, void *item)
{
	const struct pack_node *node;
	struct lw_branch *branches;
	size_t i = 0;

	if (spot->node->kind != PACK_NODE_MAP) {
		pack_field_type(spot->file, spot->node, spot->field->key,
		    "a branch for every outcome of the check");
		return;
	}
	branches = arena_array(
	    spot->file->set->arena, spot->node->count, sizeof *branches);
	if (branches == NULL) {
		spot->file->set->no_memory = true;
		return;
	}
	for (node = spot->node->first; node != NULL; node = node->next)
		read_branch(spot, node, &branches[i++]);
	pack_put_list(item, spot->field->offset, branches);
	pack_put_size(item, spot->field->second, spot->node->count);
}

static void
read_value(struct pack_spot *spot, void *item)
{
	const struct pack_schema *items = spot->field->items;

	switch (spot->field->type) {
	case PACK_ITEMS:
		if (items->kind != PACK_INNER)
			read_items(spot, item);
		else
			read_parts(spot, item);
		break;
	case PACK_GROUP:
		read_map(spot->file, items, spot->node, item, spot);
		break;
	case PACK_DO:
		read_do(spot, item);
		break;
	case PACK_CHOICES:
		read_choices(spot, item);
		break;
	case PACK_NEXT:
		read_next(spot, item);
		break;
	default:
		pack_field_read(spot, item);
		break;
	}
}

/* Fields are read in the schema's order, whatever the file's. `above` is
 * what the map is a part of; its unit holds within. */
static void
read_map(struct pack_file *file, const struct pack_schema *schema,
    const struct pack_node *node, void *item, struct pack_spot *above)
{
	struct pack_spot spot = {.file = file};
	bool meant[FIELDS_MAX] = {false};
	const struct pack_field *field;

	if (above != NULL) {
		spot.unit = above->unit;
		spot.unit_bad = above->unit_bad;
	}
	if (node->kind != PACK_NODE_MAP) {
		pack_field_type(file, node, schema->what, "keys with values");
		return;
	}
	if (schema->at != PACK_NO_PLACE)
		memcpy((char *)item + schema->at, &node->at, sizeof node->at);
	check_keys(file, schema, node, meant);
	for (field = schema->fields; field->key != NULL; field++) {
		spot.field = field;
		spot.node = pack_node_find(node, field->key);
		if (spot.node != NULL)
			read_value(&spot, item);
		else if (field->missing != NULL &&
			 !meant[field - schema->fields])
			pack_tell(file, node->at, field->missing,
			    "%s needs \"%s\"", schema->what, field->key);
	}
}

void
pack_read_file(struct pack_file *file)
{
	const struct pack_node *root = file->root, *name;
	struct pack_set *set = file->set;
	const struct pack_file *other;
	size_t before = set->told;
	struct lw_pack *pack;

	if (root->kind != PACK_NODE_MAP) {
		pack_field_type(file, root, "a pack", "keys with values");
		file->flawed = true;
		return;
	}
	pack = arena_alloc(set->arena, sizeof *pack);
	if (pack == NULL) {
		set->no_memory = true;
		return;
	}
	read_map(file, &pack_schema, root, pack, NULL);
	file->pack = pack;
	name = pack_node_find(root, "pack");
	if (name != NULL && pack->name != NULL) {
		other = pack_map_put(&set->names, pack->name, file);
		if (other == NULL)
			set->no_memory = true;
		else if (other != file)
			pack_tell(file, name->at, "duplicate-id",
			    "the pack \"%s\" is also in %s; give one of them "
			    "another name",
			    pack_quote(set, pack->name),
			    pack_quote(set, other->name));
	}
	file->flawed = file->flawed || set->told != before;
}
