/* Whether a rule by rig can ever tell rigs apart: its key is one of those of
 * lw_rig_built_in that are choices, its value one of the choices. Whether it
 * holds for a rig is left to lw_rig_holds. */
#include "pack/rules.h"

#include "base/near.h"

#include <lampwright/rig.h>
#include <stdio.h>
#include <string.h>

enum { NAMES_MAX = 400 };

/* Add a name to a list in words: "a, b or c". */
static void
add_name(char names[NAMES_MAX], const char *name, bool first, bool last)
{
	size_t length = strlen(names);

	snprintf(names + length, NAMES_MAX - length, "%s%s",
	    first  ? ""
	    : last ? " or "
		   : ", ",
	    name);
}

static void
list_choices(char names[NAMES_MAX], const struct lw_value *key)
{
	size_t i;

	names[0] = '\0';
	for (i = 0; key->choices[i] != NULL; i++)
		add_name(names, key->choices[i], i == 0,
		    key->choices[i + 1] == NULL);
}

/* The keys that rules may be on. */
static void
list_keys(char names[NAMES_MAX])
{
	size_t count, i, last = 0;
	const struct lw_value *keys = lw_rig_built_in(&count);
	bool first = true;

	names[0] = '\0';
	for (i = 0; i < count; i++)
		if (keys[i].kind == LW_VALUE_CHOICE)
			last = i;
	for (i = 0; i < count; i++) {
		if (keys[i].kind != LW_VALUE_CHOICE)
			continue;
		add_name(names, keys[i].id, first, i == last);
		first = false;
	}
}

/* A key by itself, as long as keys are; "" where the text is longer. */
static void
take_key(char key[PACK_ID_MAX + 1], const char *text, size_t length)
{
	key[0] = '\0';
	if (length <= PACK_ID_MAX) {
		memcpy(key, text, length);
		key[length] = '\0';
	}
}

/* A key that no rule is on; `known` is NULL where rigs do not have it. */
static void
tell_key(const struct pack_file *file, const struct pack_node *node,
    const char *key, const struct lw_value *known)
{
	size_t count, i;
	const struct lw_value *keys = lw_rig_built_in(&count);
	struct near nearest;
	char names[NAMES_MAX];

	near_start(&nearest, key);
	for (i = 0; i < count && known == NULL; i++)
		if (keys[i].kind == LW_VALUE_CHOICE)
			near_try(&nearest, keys[i].id);
	if (nearest.best != NULL) {
		pack_tell(file, node->at, "bad-rule",
		    "rigs have no fact \"%s\"; the nearest is \"%s\"",
		    pack_quote(file->set, key), nearest.best);
		return;
	}
	list_keys(names);
	pack_tell(file, node->at, "bad-rule", "%s \"%s\"%s; rules are on %s",
	    known != NULL ? "the fact" : "rigs have no fact",
	    pack_quote(file->set, key), known != NULL ? " is no choice" : "",
	    names);
}

bool
pack_rule_check(const struct pack_file *file, const struct pack_node *node)
{
	const char *equals = strchr(node->text, '='), *value;
	char key[PACK_ID_MAX + 1], names[NAMES_MAX];
	const struct lw_value *known;
	size_t i;

	if (equals == NULL) {
		pack_tell(file, node->at, "bad-rule",
		    "\"%s\" is no rule; write a fact of the rig and its value, "
		    "as in \"motor=series\"",
		    pack_quote(file->set, node->text));
		return false;
	}
	take_key(key, node->text, (size_t)(equals - node->text));
	value = equals + 1;
	known = lw_rig_built_in_value(key);
	if (known == NULL || known->kind != LW_VALUE_CHOICE) {
		tell_key(file, node, key, known);
		return false;
	}
	for (i = 0; known->choices[i] != NULL; i++)
		if (strcmp(known->choices[i], value) == 0)
			return true;
	list_choices(names, known);
	pack_tell(file, node->at, "bad-rule", "\"%s\" is %s, not \"%s\"",
	    known->id, names, pack_quote(file->set, value));
	return false;
}
