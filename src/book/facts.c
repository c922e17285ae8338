/* Facts as people give them, made into what is kept and shown: choices,
 * quantities, lists. Keeping them is left to rig_set.c. */
#include "book/facts.h"

#include "base/err.h"
#include "base/near.h"
#include "book/nearest.h"
#include "book/texts.h"
#include "meter/unit.h"

#include <lampwright/reading.h>
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

/* The unit that suits a value's size; mF is never shown, since it is used
 * for a thousandth and for a millionth of a farad. */
static const char *
suiting_unit(const char *unit, double value)
{
	if (strcmp(unit, "F") == 0 && value < 0.1)
		return "uF";
	if (strcmp(unit, "ohm") == 0 && value >= 10e3)
		return "kohm";
	return unit;
}

/* The value as it is shown, in decimal from unit to unit. */
static void
show_quantity(char *text, double value, const char *unit)
{
	const char *shown = suiting_unit(unit, value);
	double number;

	lw_reading_format(text, value, unit);
	if (shown != unit &&
	    lw_reading_parse(&number, text, shown, NULL) == LW_OK)
		lw_reading_format(text, number, shown);
}

static enum lw_status
read_quantity(struct buf *kept, const struct lw_value *key, const char *value,
    struct lw_err *err)
{
	struct lw_err why;
	char text[LW_READING_MAX], low[LW_READING_MAX], high[LW_READING_MAX];
	double number;

	if (lw_reading_parse(&number, value, key->unit, &why) != LW_OK)
		return err_set_at(err, why.code, 0, why.column,
		    "for %s, %.400s", key->id, why.text);
	show_quantity(text, number, key->unit);
	if (number >= key->low && number <= key->high) {
		buf_add(kept, text);
		return LW_OK;
	}
	show_quantity(low, key->low, key->unit);
	show_quantity(high, key->high, key->unit);
	return err_set(err, LW_BAD_INPUT,
	    "%s cannot be %s; it is from %s to %s, or unknown", key->id, text,
	    low, high);
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
facts_read(struct buf *kept, const struct lw_value *key, const char *value,
    struct lw_err *err)
{
	enum lw_status status;

	status = texts_check(
	    key->id, value, FACTS_VALUE_MAX, key->kind == LW_VALUE_LIST, err);
	if (status != LW_OK)
		return status;
	switch (key->kind) {
	case LW_VALUE_CHOICE:
		status = read_choice(kept, key, value, err);
		break;
	case LW_VALUE_QUANTITY:
		status = read_quantity(kept, key, value, err);
		break;
	case LW_VALUE_LIST:
		status = read_list(kept, key, value, err);
		break;
	case LW_VALUE_ACCURACY:
		buf_add(kept, value);
		break;
	}
	return status == LW_OK ? buf_check(kept, err) : status;
}

enum lw_status
facts_no_key(const char *key, struct lw_err *err)
{
	struct buf list;
	char name[NEAREST_NAME_MAX];
	const struct lw_value *keys, *nearest = NULL;
	unsigned best = 3, distance;
	size_t count, i;
	enum lw_status status;

	keys = lw_rig_built_in(&count);
	buf_init(&list, NAMES_MAX);
	buf_add(&list, "title");
	for (i = 0; i < count; i++) {
		add_name(&list, keys[i].id, false, false);
		distance = near_distance(keys[i].id, key);
		if (distance < best && distance < strlen(keys[i].id)) {
			best = distance;
			nearest = &keys[i];
		}
	}
	nearest_name(name, key);
	status = nearest != NULL
		     ? err_set(err, LW_BAD_INPUT,
			   "rigs have no \"%s\"; the nearest is \"%s\"", name,
			   nearest->id)
		     : err_set(err, LW_BAD_INPUT,
			   "rigs have no \"%s\"; they have %s or device.NAME",
			   name, buf_text(&list));
	buf_clear(&list);
	return status;
}
