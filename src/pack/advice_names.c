/* Two names for one thing, and one name for two: titles, tools and the
 * phrases of symptoms. */
#include "pack/advice.h"

#include "base/err.h"

#include <ctype.h>
#include <string.h>

/* Letters and digits alone, small, without the s of a plural. */
static const char *
bare(struct pack_set *set, const char *text)
{
	char *bare = arena_dup(set->arena, text);
	size_t length = 0;

	if (bare == NULL) {
		set->no_memory = true;
		return "";
	}
	for (; *text != '\0'; text++)
		if ((unsigned char)*text >= 0x80 ||
		    isalnum((unsigned char)*text))
			bare[length++] = (char)tolower((unsigned char)*text);
	if (length > 3 && bare[length - 1] == 's')
		length--;
	bare[length] = '\0';
	return bare;
}

/* The title of an item; NULL where its kind has none. */
static const char *
title_of(const struct pack_item *item)
{
	const struct pack_node *title = pack_node_find(item->node, "title");

	return title == NULL ? NULL : title->text;
}

static enum lw_status
look_at_titles(struct pack_set *set, struct lw_err *err)
{
	const struct pack_item *item, *first;
	struct pack_map titles;
	const char *key, *title;
	size_t i;

	pack_map_init(&titles, set->arena);
	for (i = 0; i < set->item_count; i++) {
		item = set->items[i];
		title = title_of(item);
		if (title == NULL)
			continue;
		key = arena_printf(set->arena, "%s %s",
		    pack_kind_name(item->kind), bare(set, title));
		first = key == NULL ? NULL : pack_map_put(&titles, key, item);
		if (first == NULL)
			return err_no_memory(err);
		if (first != item)
			pack_tell(item->file,
			    pack_node_where(item->node, "title"), "two-names",
			    "the %s \"%s\" has the same title; say what sets "
			    "them apart, or make them one",
			    pack_kind_name(item->kind),
			    pack_quote(set, first->id));
	}
	return LW_OK;
}

/* A text that is the same as an earlier one but for how it is spelled. */
static enum lw_status
look_at_tool(struct pack_map *tools, const struct pack_file *file,
    const struct lw_text *tool, struct lw_err *err)
{
	struct pack_set *set = file->set;
	const char *first =
	    pack_map_put(tools, bare(set, tool->text), tool->text);

	if (first == NULL)
		return err_no_memory(err);
	if (strcmp(first, tool->text) != 0)
		pack_tell(file, tool->at, "two-names",
		    "this tool is called \"%s\" elsewhere; give it one name",
		    pack_quote(set, first));
	return LW_OK;
}

static enum lw_status
look_at_tools(struct pack_set *set, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	const struct lw_check *check;
	struct pack_map tools;
	size_t i, j;

	pack_map_init(&tools, set->arena);
	for (i = 0; i < set->item_count; i++) {
		if (set->items[i]->kind != PACK_CHECK)
			continue;
		check = set->items[i]->item;
		for (j = 0; j < check->tools.count && status == LW_OK; j++)
			status = look_at_tool(&tools, set->items[i]->file,
			    &check->tools.items[j], err);
	}
	return status;
}

static enum lw_status
look_at_phrases(struct pack_set *set, struct lw_err *err)
{
	const struct lw_symptom *symptom, *first;
	struct pack_map phrases;
	size_t i, j;

	pack_map_init(&phrases, set->arena);
	for (i = 0; i < set->item_count; i++) {
		if (set->items[i]->kind != PACK_SYMPTOM)
			continue;
		symptom = set->items[i]->item;
		for (j = 0; j < symptom->phrases.count; j++) {
			first = pack_map_put(&phrases,
			    bare(set, symptom->phrases.items[j].text), symptom);
			if (first == NULL)
				return err_no_memory(err);
			if (first != symptom)
				pack_tell(set->items[i]->file,
				    symptom->phrases.items[j].at, "two-names",
				    "the symptom \"%s\" has this phrase too; "
				    "leave it to one of them",
				    pack_quote(set, first->id));
		}
	}
	return LW_OK;
}

enum lw_status
advice_names(struct advice *advice, struct lw_err *err)
{
	enum lw_status status = look_at_titles(advice->set, err);

	if (status == LW_OK)
		status = look_at_tools(advice->set, err);
	if (status == LW_OK)
		status = look_at_phrases(advice->set, err);
	return status;
}
