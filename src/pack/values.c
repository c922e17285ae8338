/* A value of rigs by itself: its id, its unit, what is plausible and what is
 * taken where nothing is said. The expression that gives it from others is
 * left to lint_values.c. */
#include "pack/values.h"

#include "base/err.h"
#include "meter/accuracy.h"

#include <lampwright/quantity.h>
#include <lampwright/rig.h>
#include <math.h>
#include <string.h>

/* Words joined by points; the first begins with a letter. */
static bool
is_key(const char *text)
{
	size_t length = strlen(text), i;

	if (length > PACK_ID_MAX || text[0] < 'a' || text[0] > 'z' ||
	    strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789.") != length)
		return false;
	for (i = 0; i < length; i++)
		if (text[i] == '.' && (text[i + 1] == '.' || i + 1 == length))
			return false;
	return true;
}

/* Words that mean something else in expressions, or on rigs. */
static bool
is_kept(const char *text)
{
	static const char *const words[] = {"and", "or", "not", "if", "title"};
	size_t i;

	for (i = 0; i < sizeof words / sizeof words[0]; i++)
		if (strcmp(words[i], text) == 0)
			return true;
	return strncmp(text, "device.", 7) == 0;
}

static void
read_key(struct pack_spot *spot, void *item)
{
	const struct pack_file *file = spot->file;
	const struct pack_node *node = spot->node;
	const char *text;

	if (node->kind != PACK_NODE_TEXT) {
		pack_field_type(file, node, spot->field->key, "an id");
		return;
	}
	text = node->text;
	if (!is_key(text))
		pack_tell(file, node->at, "bad-id",
		    "\"%s\" is no id of a value; use at most %d of a-z and "
		    "0-9, a letter first, in words joined by points",
		    pack_quote(file->set, text), PACK_ID_MAX);
	else if (is_kept(text))
		pack_tell(file, node->at, "bad-id",
		    "\"%s\" means something else in expressions or on rigs; "
		    "choose another id",
		    text);
	else if (lw_rig_built_in_value(text) != NULL)
		pack_tell(file, node->at, "duplicate-id",
		    "the value \"%s\" is built in; choose another id", text);
	pack_put_text(item, spot->field->offset, text);
}

/* The unit as we write it, so that what is in it keeps its number. */
static const char *
own_name(const struct pack_file *file, const char *unit)
{
	struct lw_quantity quantity;
	const char *text = arena_printf(file->set->arena, "1 %s", unit);
	const char *name = unit;

	if (text != NULL &&
	    lw_quantity_parse(&quantity, text, unit, NULL) == LW_OK &&
	    quantity.unit[0] != '\0')
		name = arena_dup(file->set->arena, quantity.unit);
	if (text == NULL || name == NULL) {
		file->set->no_memory = true;
		return unit;
	}
	return name;
}

static void
read_measure(struct pack_spot *spot, void *item)
{
	struct lw_dimension dimension;
	struct lw_err err = {0};
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_LINE_MAX, true);

	spot->unit_bad = true;
	if (text == NULL)
		return;
	if (lw_unit_dimension(&dimension, text, &err) != LW_OK) {
		pack_tell(
		    spot->file, spot->node->at, "unknown-unit", "%s", err.text);
		return;
	}
	spot->unit_bad = false;
	spot->unit = own_name(spot->file, text);
	pack_put_text(item, spot->field->offset, spot->unit);
}

/* A quantity as a number of the unit, as it is written where it is in it. */
static double
number_in(const struct lw_quantity *quantity, const char *unit)
{
	if (strcmp(quantity->unit, unit) == 0 ||
	    (quantity->unit[0] == '\0' && strcmp(unit, "number") == 0))
		return quantity->number;
	return lw_quantity_in(quantity->value, unit);
}

/* Without a unit nothing can be made of it; that there is none is told when
 * the value is whole. */
static void
read_limit(struct pack_spot *spot, void *item)
{
	struct lw_quantity quantity;
	struct lw_err err = {0};
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_LINE_MAX, true);

	if (text == NULL || spot->unit == NULL || spot->unit_bad)
		return;
	if (strcmp(spot->unit, "number") != 0 && pack_is_bare(text)) {
		pack_tell(spot->file, spot->node->at, "bad-quantity",
		    "\"%s\" needs its unit, as in %s %s", spot->field->key,
		    pack_quote(spot->file->set, text),
		    pack_quote(spot->file->set, spot->unit));
	} else if (lw_quantity_parse(&quantity, text, spot->unit, &err) !=
		   LW_OK) {
		pack_tell(
		    spot->file, spot->node->at, "bad-quantity", "%s", err.text);
	} else if (quantity.toleranced) {
		pack_tell(spot->file, spot->node->at, "bad-quantity",
		    "\"%s\" is an end of what is plausible; it has no "
		    "tolerance",
		    spot->field->key);
	} else {
		pack_put_double(item, spot->field->offset,
		    number_in(&quantity, spot->unit));
	}
}

void
pack_value_read(struct pack_spot *spot, void *item)
{
	if (spot->field->type == PACK_KEY)
		read_key(spot, item);
	else if (spot->field->type == PACK_MEASURE)
		read_measure(spot, item);
	else
		read_limit(spot, item);
}

/* --- by its kind --------------------------------------------------------- */

/* Tell keys that values of the kind need and this one lacks, or has and can
 * make nothing of; whether there were none. Ends with NULL. */
static bool
has_keys(const struct pack_file *file, const struct lw_value *value,
    const struct pack_node *node, const char *const *needed,
    const char *const *idle)
{
	const char *kind = lw_value_kind_name(value->kind);
	const struct pack_node *found;
	bool sound = true;

	for (; *needed != NULL; needed++)
		if (pack_node_find(node, *needed) == NULL) {
			pack_tell(file, node->at, "missing",
			    "a value that is %s %s needs \"%s\"",
			    kind[0] == 'a' ? "an" : "a", kind, *needed);
			sound = false;
		}
	for (; *idle != NULL; idle++) {
		found = pack_node_find(node, *idle);
		if (found == NULL)
			continue;
		pack_tell(file, found->key->at, "unknown-key",
		    "a value that is %s %s has no \"%s\"; leave it out",
		    kind[0] == 'a' ? "an" : "a", kind, *idle);
		sound = false;
	}
	return sound;
}

static void
finish_choice(const struct pack_file *file, const struct lw_value *value,
    const struct pack_node *node)
{
	static const char *const needed[] = {"choices", NULL};
	static const char *const idle[] = {
	    "unit", "from", "to", "tolerance", "worked", NULL};
	const struct pack_node *list = pack_node_find(node, "choices");
	const struct pack_node *each;
	size_t i;

	if (!has_keys(file, value, node, needed, idle))
		return;
	pack_parts_differ(file, list, "choice");
	if (list->count < 2)
		pack_tell(file, list->key->at, "missing",
		    "a choice has at least two \"choices\"");
	/* It is what a value is set to so that nothing is known of it. */
	for (each = list->first; each != NULL; each = each->next)
		if (strcmp(pack_node_find(each, "id")->text, "unknown") == 0)
			pack_tell(file, pack_node_where(each, "id"), "bad-id",
			    "\"unknown\" is what every value may be; leave it "
			    "out");
	if (value->usual == NULL)
		return;
	for (i = 0; value->choices[i] != NULL; i++)
		if (strcmp(value->choices[i], value->usual) == 0)
			return;
	pack_tell(file, pack_node_where(node, "usual"), "bad-word",
	    "\"%s\" is none of the choices",
	    pack_quote(file->set, value->usual));
}

/* A tolerance is a share, so that it fits whatever is said. */
static void
finish_tolerance(const struct pack_file *file, const struct lw_value *value,
    const struct pack_node *node)
{
	struct lw_where at = pack_node_where(node, "tolerance");
	struct lw_quantity quantity;
	struct lw_err err = {0};
	const char *text;

	text = arena_printf(file->set->arena, "1 V %s", value->tolerance);
	if (text == NULL)
		file->set->no_memory = true;
	else if (strchr(value->tolerance, '%') == NULL)
		pack_tell(file, at, "bad-quantity",
		    "\"tolerance\" is a share, as in \"5 %%\" or "
		    "\"-20/+50 %%\"");
	else if (lw_quantity_parse(&quantity, text, "V", &err) != LW_OK)
		pack_tell(file, at, "bad-quantity", "%s", err.text);
	else if (!quantity.toleranced || quantity.value != 1)
		pack_tell(file, at, "bad-quantity",
		    "\"%s\" is no tolerance; write it as \"5 %%\" or "
		    "\"-20/+50 %%\"",
		    pack_quote(file->set, value->tolerance));
}

static void
finish_usual(const struct pack_file *file, const struct lw_value *value,
    const struct pack_node *node)
{
	struct lw_where at = pack_node_where(node, "usual");
	struct lw_quantity quantity;
	struct lw_err err = {0};
	double number;

	if (strcmp(value->unit, "number") != 0 && pack_is_bare(value->usual)) {
		pack_tell(file, at, "bad-quantity",
		    "\"usual\" needs its unit, as in %s %s", value->usual,
		    pack_quote(file->set, value->unit));
		return;
	}
	if (lw_quantity_parse(&quantity, value->usual, value->unit, &err) !=
	    LW_OK) {
		pack_tell(file, at, "bad-quantity", "%s", err.text);
		return;
	}
	number = number_in(&quantity, value->unit);
	if (!(number >= value->low && number <= value->high))
		pack_tell(file, at, "bad-quantity",
		    "the usual value lies outside what is plausible, \"from\" "
		    "to \"to\"");
}

static void
finish_quantity(const struct pack_file *file, const struct lw_value *value,
    const struct pack_node *node)
{
	static const char *const needed[] = {"unit", "from", "to", NULL};
	static const char *const idle[] = {"choices", NULL};

	if (!has_keys(file, value, node, needed, idle))
		return;
	if (!(value->low < value->high) || !isfinite(value->low) ||
	    !isfinite(value->high)) {
		pack_tell(file, pack_node_where(node, "to"), "bad-quantity",
		    "\"to\" has to be more than \"from\"");
		return;
	}
	if (value->tolerance != NULL)
		finish_tolerance(file, value, node);
	if (value->usual != NULL)
		finish_usual(file, value, node);
}

static void
finish_accuracy(const struct pack_file *file, const struct lw_value *value,
    const struct pack_node *node)
{
	static const char *const needed[] = {NULL};
	static const char *const idle[] = {
	    "unit", "from", "to", "tolerance", "worked", "choices", NULL};
	struct accuracy accuracy;
	struct lw_err err = {0};

	if (!has_keys(file, value, node, needed, idle) || value->usual == NULL)
		return;
	if (accuracy_parse(&accuracy, value->usual, &err) != LW_OK)
		pack_tell(file, pack_node_where(node, "usual"), "bad-quantity",
		    "%s", err.text);
}

void
pack_finish_value(const struct pack_file *file, const struct lw_value *value,
    const struct pack_node *node)
{
	if (value->kind == LW_VALUE_CHOICE)
		finish_choice(file, value, node);
	else if (value->kind == LW_VALUE_QUANTITY)
		finish_quantity(file, value, node);
	else
		finish_accuracy(file, value, node);
}
