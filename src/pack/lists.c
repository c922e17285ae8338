/* Lists of single values. Lists of maps are left to read.c. */
#include "pack/lists.h"

#include "base/err.h"
#include "pack/rules.h"
#include "regex/regex.h"

#include <string.h>

bool
pack_list_is(
    const struct pack_file *file, const struct pack_node *node, const char *key)
{
	if (node->kind != PACK_NODE_LIST) {
		pack_field_type(file, node, key, "a list");
		return false;
	}
	if (node->count == 0) {
		pack_tell(file, node->at, "empty",
		    "\"%s\" is an empty list; leave the key out", key);
		return false;
	}
	return true;
}

static void
check_regex(const struct pack_spot *spot, const struct pack_node *node)
{
	struct lw_err err = {0};
	enum lw_status status;

	if (++spot->file->set->regexes > PACK_REGEXES_MAX) {
		if (spot->file->set->regexes == PACK_REGEXES_MAX + 1)
			pack_tell(spot->file, node->at, "too-big",
			    "there are more than %d patterns; search cannot "
			    "try so many",
			    PACK_REGEXES_MAX);
		return;
	}
	if (spot->file->set->tried)
		return;
	status = regex_check_safe(node->text, &err);
	if (status == LW_NO_MEMORY)
		spot->file->set->no_memory = true;
	else if (status != LW_OK)
		pack_tell(
		    spot->file, node->at, "unsafe-pattern", "%s", err.text);
}

/* Tell a text that stands in the list already; `texts` has those before. */
static void
tell_repeated(const struct pack_spot *spot, struct pack_map *texts,
    const char *text, struct lw_where at)
{
	size_t before = texts->count;

	if (pack_map_put(texts, text, text) == NULL)
		spot->file->set->no_memory = true;
	else if (texts->count == before)
		pack_tell(spot->file, at, "repeated-ref",
		    "\"%s\" stands in this list already; name it once",
		    pack_quote(spot->file->set, text));
}

static void
read_texts(const struct pack_spot *spot, struct lw_text *items)
{
	const struct pack_node *node;
	struct pack_map rules;
	const char *text;

	pack_map_init(&rules, spot->file->set->arena);
	for (node = spot->node->first; node != NULL; node = node->next) {
		text = pack_field_text(
		    spot->file, node, spot->field->key, PACK_TEXT_MAX, true);
		if (text != NULL && spot->field->type == PACK_REGEXES)
			check_regex(spot, node);
		if (text != NULL && spot->field->type == PACK_RULES &&
		    pack_rule_check(spot->file, node))
			tell_repeated(spot, &rules, text, node->at);
		items->text = text;
		items->at = node->at;
		items++;
	}
}

/* The word of `id: word`. */
static const char *
ref_word(const struct pack_spot *spot, const struct pack_node *node)
{
	struct lw_err err = {0};
	unsigned value = 0;
	const char *word = pack_field_text(
	    spot->file, node, node->key->text, PACK_TEXT_MAX, true);

	if (word != NULL &&
	    spot->field->words->parse(&value, word, &err) != LW_OK)
		pack_tell(spot->file, node->at, "bad-word", "%s", err.text);
	return word;
}

/* An id, or a map of one id with its word. */
static void
read_ref(const struct pack_spot *spot, const struct pack_node *node,
    struct lw_ref *ref)
{
	const struct pack_words *words = spot->field->words;

	ref->at = node->at;
	if (node->kind == PACK_NODE_MAP && node->count == 1 && words != NULL) {
		ref->at = node->first->key->at;
		ref->id = node->first->key->text;
		ref->word = ref_word(spot, node->first);
	} else if (node->kind == PACK_NODE_MAP) {
		pack_tell(spot->file, node->at, "wrong-type",
		    words == NULL
			? "\"%s\" lists ids alone, without a word"
			: "\"%s\" lists one id with its word at a time, as in "
			  "\"- some-id: word\"",
		    spot->field->key);
		return;
	} else {
		ref->id = pack_field_text(
		    spot->file, node, spot->field->key, PACK_TEXT_MAX, true);
		if (ref->id != NULL && words != NULL && words->needed)
			pack_tell(spot->file, node->at, "missing",
			    "say how often, as in \"- %s: usually\"",
			    pack_quote(spot->file->set, ref->id));
	}
	if (ref->id != NULL)
		pack_links_add(
		    spot->file, spot->field->refers, ref->id, ref->at);
}

static void
read_refs(const struct pack_spot *spot, struct lw_ref *items)
{
	const struct pack_node *node;
	struct pack_map ids;

	pack_map_init(&ids, spot->file->set->arena);
	for (node = spot->node->first; node != NULL; node = node->next) {
		read_ref(spot, node, items);
		if (items->id != NULL)
			tell_repeated(spot, &ids, items->id, items->at);
		items++;
	}
}

static void
read_states(const struct pack_spot *spot, void *item)
{
	const struct pack_node *node;
	struct lw_err err = {0};
	unsigned state = 0;
	bool states[LW_POWER_COUNT] = {false};
	const char *text;

	for (node = spot->node->first; node != NULL; node = node->next) {
		text = pack_field_text(
		    spot->file, node, spot->field->key, PACK_LINE_MAX, true);
		if (text == NULL)
			continue;
		if (spot->field->words->parse(&state, text, &err) != LW_OK) {
			pack_tell(
			    spot->file, node->at, "bad-word", "%s", err.text);
			continue;
		}
		if (state >= LW_POWER_COUNT)
			continue;
		if (states[state])
			pack_tell(spot->file, node->at, "repeated-ref",
			    "\"%s\" stands in this list already; name it once",
			    text);
		states[state] = true;
	}
	memcpy((char *)item + spot->field->offset, states, sizeof states);
}

void
pack_list_read(struct pack_spot *spot, void *item)
{
	const struct pack_field *field = spot->field;
	size_t count = spot->node->count;
	bool refs = field->type == PACK_REFS;
	void *items;

	if (!pack_list_is(spot->file, spot->node, field->key))
		return;
	if (field->type == PACK_STATES) {
		read_states(spot, item);
		return;
	}
	items = arena_array(spot->file->set->arena, count,
	    refs ? sizeof(struct lw_ref) : sizeof(struct lw_text));
	if (items == NULL) {
		spot->file->set->no_memory = true;
		return;
	}
	if (refs) {
		struct lw_refs list = {items, count};

		read_refs(spot, items);
		memcpy((char *)item + field->offset, &list, sizeof list);
	} else {
		struct lw_texts list = {items, count};

		read_texts(spot, items);
		memcpy((char *)item + field->offset, &list, sizeof list);
	}
}
