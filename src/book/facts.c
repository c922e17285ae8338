/* Facts as people give them, made into what is kept and shown: choices,
 * quantities, lists. Keeping them is left to rig_set.c. */
#include "book/facts.h"

#include "base/err.h"
#include "base/near.h"
#include "book/nearest.h"
#include "book/texts.h"
#include "meter/accuracy.h"
#include "meter/unit.h"

#include <lampwright/quantity.h>
#include <stdio.h>
#include <string.h>

enum { LIST_MAX = 50, ITEM_MAX = 60, NAMES_MAX = 300 };

static const char spaces[] = " \t\r\n";

static bool
is_word(const char *text, size_t length, const char *word)
{
	return length == strlen(word) && unit_letters_match(text, word, length);
}

/* The text without the space around it. */
static const char *
trim(const char *text, size_t *length)
{
	text += strspn(text, spaces);
	*length = strlen(text);
	while (*length > 0 && strchr(spaces, text[*length - 1]) != NULL)
		--*length;
	return text;
}

bool
facts_takes_back(const char *value)
{
	size_t length;
	const char *text = trim(value, &length);

	return length == 0 || is_word(text, length, "unknown");
}

/* Add a name to a list in words: "a, b or c". */
static void
add_name(struct buf *list, const char *name, bool first, bool last)
{
	buf_printf(list, "%s%s", first ? "" : last ? " or " : ", ", name);
}

static enum lw_status
read_choice(struct buf *kept, const struct lw_value *key, const char *value,
    struct lw_err *err)
{
	struct buf list;
	char name[NEAREST_NAME_MAX];
	size_t length, i;
	const char *text = trim(value, &length);
	enum lw_status status;

	for (i = 0; key->choices[i] != NULL; i++)
		if (is_word(text, length, key->choices[i])) {
			buf_add(kept, key->choices[i]);
			return LW_OK;
		}
	buf_init(&list, NAMES_MAX);
	for (i = 0; key->choices[i] != NULL; i++)
		add_name(&list, key->choices[i], i == 0,
		    key->choices[i + 1] == NULL);
	status = err_set(err, LW_BAD_INPUT,
	    "%s cannot be \"%s\"; it is %s, or unknown", key->id,
	    nearest_name(name, value), buf_text(&list));
	buf_clear(&list);
	return status;
}

/* As it was written, or as what it can only have meant. */
static enum lw_status
read_quantity(struct buf *kept, const struct lw_value *key, const char *value,
    struct lw_err *err)
{
	char text[LW_QUANTITY_MAX];
	struct lw_quantity quantity;
	enum lw_status status;
	struct lw_err why;

	if (key->unit == NULL)
		return err_set(err, LW_BAD_INPUT,
		    "the book does not know in what unit %s is; read its pack "
		    "in again",
		    key->id);
	status = lw_quantity_parse_plausible(
	    &quantity, value, key->unit, key->low, key->high, false, &why);
	if (status != LW_OK)
		return err_set_at(err, status, 0, why.column, "for %s, %.400s",
		    key->id, why.text);
	lw_quantity_format(text, &quantity);
	buf_add(kept, text);
	return LW_OK;
}

static enum lw_status
read_accuracy(struct buf *kept, const struct lw_value *key, const char *value,
    struct lw_err *err)
{
	char text[ACCURACY_MAX];
	struct accuracy accuracy;
	struct lw_err why;

	if (accuracy_parse(&accuracy, value, &why) != LW_OK)
		return err_set_at(err, why.code, 0, why.column,
		    "for %s, %.400s", key->id, why.text);
	accuracy_format(text, &accuracy);
	buf_add(kept, text);
	return LW_OK;
}

/* Whether an item is in the list that is kept, whatever the case. */
static bool
has_item(const char *list, const char *item, size_t item_length)
{
	size_t length;

	for (; *(list += strspn(list, ", ")) != '\0'; list += length) {
		length = strcspn(list, ",");
		if (length == item_length &&
		    unit_letters_match(list, item, length))
			return true;
	}
	return false;
}

static enum lw_status
add_item(struct buf *kept, const struct lw_value *key, const char *item,
    size_t length, size_t *count, struct lw_err *err)
{
	char name[NEAREST_NAME_MAX], text[NEAREST_NAME_MAX];

	snprintf(text, sizeof text, "%.*s", (int)length, item);
	if (length > ITEM_MAX)
		return err_set(err, LW_BAD_INPUT,
		    "\"%s\" is too long for one of %s; separate them by "
		    "commas, at most %d bytes each",
		    nearest_name(name, text), key->id, ITEM_MAX);
	if (has_item(buf_text(kept), item, length))
		return LW_OK;
	if (++*count > LIST_MAX)
		return err_set(err, LW_BAD_INPUT,
		    "%s can have %d at most; leave the rarest out", key->id,
		    LIST_MAX);
	buf_printf(kept, "%s%s", kept->length == 0 ? "" : ", ", text);
	return LW_OK;
}

/* Texts between commas or on lines of their own; or "none", alone. */
static enum lw_status
read_list(struct buf *kept, const struct lw_value *key, const char *value,
    struct lw_err *err)
{
	size_t length, count = 0;
	const char *text, *end;
	bool none = false;
	enum lw_status status = LW_OK;

	for (; *value != '\0' && status == LW_OK; value = end) {
		text = value + strspn(value, " \t,\r\n");
		end = text + strcspn(text, ",\r\n");
		length = (size_t)(end - text);
		while (length > 0 && strchr(spaces, text[length - 1]) != NULL)
			length--;
		none = none || is_word(text, length, "none");
		if (length > 0)
			status = add_item(kept, key, text, length, &count, err);
	}
	if (status == LW_OK && none && count > 1)
		return err_set(err, LW_BAD_INPUT,
		    "%s is \"none\" or a list; leave \"none\" out of a list",
		    key->id);
	if (status == LW_OK && none) {
		buf_clear(kept);
		buf_add(kept, "none");
	}
	return status;
}

enum lw_status
facts_read(struct buf *kept, const struct lw_value *value, const char *text,
    struct lw_err *err)
{
	enum lw_status status;

	status = texts_check(value->id, text, FACTS_VALUE_MAX,
	    value->kind == LW_VALUE_LIST, err);
	if (status != LW_OK)
		return status;
	switch (value->kind) {
	case LW_VALUE_CHOICE:
		status = read_choice(kept, value, text, err);
		break;
	case LW_VALUE_QUANTITY:
		status = read_quantity(kept, value, text, err);
		break;
	case LW_VALUE_LIST:
		status = read_list(kept, value, text, err);
		break;
	case LW_VALUE_ACCURACY:
		status = read_accuracy(kept, value, text, err);
		break;
	}
	return status == LW_OK ? buf_check(kept, err) : status;
}

/* The near ones, or all that is built in. */
enum lw_status
facts_no_value(
    const struct rig_values *values, const char *key, struct lw_err *err)
{
	struct near near;
	struct buf list;
	char name[NEAREST_NAME_MAX];
	const struct lw_value *keys;
	size_t count, i;
	enum lw_status status;

	nearest_name(name, key);
	near_start(&near, key);
	for (i = 0; i < values->count; i++)
		near_try(&near, values->items[i]->id);
	near_try(&near, "title");
	if (near.best != NULL)
		return err_set(err, LW_BAD_INPUT,
		    "rigs have no \"%s\"; the nearest is \"%s\"", name,
		    near.best);
	keys = lw_rig_built_in(&count);
	buf_init(&list, NAMES_MAX);
	buf_add(&list, "title");
	for (i = 0; i < count; i++)
		add_name(&list, keys[i].id, false, false);
	status = err_set(err, LW_BAD_INPUT,
	    "rigs have no \"%s\"; they have %s, device.NAME and more: "
	    "`lampwright rig keys` lists all",
	    name, buf_text(&list));
	buf_clear(&list);
	return status;
}
