/* Single values: texts, ids, words, numbers with units. Lists of values are
 * left to lists.c, maps and lists of maps to read.c. */
#include "pack/fields.h"

#include "base/err.h"
#include "base/num.h"
#include "base/utf8.h"
#include "meter/expr.h"
#include "pack/lists.h"
#include "pack/values.h"

#include <lampwright/reading.h>
#include <string.h>

void
pack_put_text(void *item, size_t offset, const char *text)
{
	memcpy((char *)item + offset, &text, sizeof text);
}

void
pack_put_double(void *item, size_t offset, double value)
{
	memcpy((char *)item + offset, &value, sizeof value);
}

void
pack_put_bool(void *item, size_t offset, bool value)
{
	memcpy((char *)item + offset, &value, sizeof value);
}

void
pack_put_list(void *item, size_t offset, const void *list)
{
	memcpy((char *)item + offset, &list, sizeof list);
}

void
pack_put_size(void *item, size_t offset, size_t count)
{
	memcpy((char *)item + offset, &count, sizeof count);
}

void
pack_field_type(const struct pack_file *file, const struct pack_node *node,
    const char *key, const char *expected)
{
	if (node->kind == PACK_NODE_BROKEN)
		file->set
		    ->told++; /* again, and silently: the item is not whole */
	else
		pack_tell(file, node->at, "wrong-type",
		    "\"%s\" needs %s, and here is %s",
		    pack_quote(file->set, key), expected,
		    pack_node_kind_name(node->kind));
}

static bool
is_blank(const char *text)
{
	return text[strspn(text, " \t\n")] == '\0';
}

const char *
pack_field_text(const struct pack_file *file, const struct pack_node *node,
    const char *key, size_t limit, bool one_line)
{
	size_t count;

	if (node->kind != PACK_NODE_TEXT) {
		pack_field_type(file, node, key, "a text");
		return NULL;
	}
	if (is_blank(node->text)) {
		pack_tell(file, node->at, "empty",
		    "\"%s\" is empty; say something or leave it out",
		    pack_quote(file->set, key));
		return NULL;
	}
	count = utf8_count(node->text, node->length);
	if (count > limit) {
		pack_tell(file, node->at, "too-long",
		    "\"%s\" has %zu characters; at most %zu are allowed",
		    pack_quote(file->set, key), count, limit);
		return NULL;
	}
	if (one_line && strchr(node->text, '\n') != NULL) {
		pack_tell(file, node->at, "line-break",
		    "\"%s\" is one line; take the line break out",
		    pack_quote(file->set, key));
		return NULL;
	}
	return node->text;
}

static bool
is_id(const char *text)
{
	size_t length = strlen(text);

	return text[0] >= 'a' && text[0] <= 'z' && length <= PACK_ID_MAX &&
	       strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789-") == length;
}

const char *
pack_field_id(
    const struct pack_file *file, const struct pack_node *node, const char *key)
{
	if (node->kind != PACK_NODE_TEXT) {
		pack_field_type(file, node, key, "an id");
		return NULL;
	}
	if (!is_id(node->text)) {
		pack_tell(file, node->at, "bad-id",
		    "\"%s\" is no id; use at most %d of a-z, 0-9 and hyphens, "
		    "a letter first",
		    pack_quote(file->set, node->text), PACK_ID_MAX);
	} else if (strcmp(node->text, "cannot") == 0 ||
		   strcmp(node->text, "differs") == 0 ||
		   strcmp(node->text, "not-reproduced") == 0 ||
		   strcmp(node->text, "skip") == 0) {
		pack_tell(file, node->at, "bad-id",
		    "\"%s\" is kept for putting a check aside; choose another "
		    "id",
		    node->text);
	}
	return node->text;
}

static void
read_name(struct pack_spot *spot, void *item)
{
	const char *text =
	    pack_field_id(spot->file, spot->node, spot->field->key);

	if (text != NULL && strcmp(text, "own") == 0)
		pack_tell(spot->file, spot->node->at, "bad-id",
		    "the pack named own is the builder's; choose another "
		    "name");
	pack_put_text(item, spot->field->offset, text);
}

static void
read_ref(struct pack_spot *spot, void *item)
{
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_TEXT_MAX, true);

	pack_put_text(item, spot->field->offset, text);
	if (text != NULL && spot->field->type == PACK_REF)
		pack_links_add(
		    spot->file, spot->field->refers, text, spot->node->at);
}

/* An instruction: one action in few words. */
static void
read_action(struct pack_spot *spot, void *item)
{
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_TEXT_MAX, true);
	const char *s = text;
	size_t words = 0;

	while (s != NULL && *(s += strspn(s, " \t")) != '\0') {
		words++;
		s += strcspn(s, " \t");
	}
	if (words > PACK_DO_WORDS)
		pack_tell(spot->file, spot->node->at, "long-instruction",
		    "the instruction has %zu words; say one action in at "
		    "most %d",
		    words, PACK_DO_WORDS);
	pack_put_text(item, spot->field->offset, text);
}

static void
read_pattern(struct pack_spot *spot, void *item)
{
	struct lw_pattern pattern;
	struct lw_err err = {0};
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_TEXT_MAX, true);

	if (text == NULL)
		return;
	if (lw_pattern_parse(&pattern, text, &err) != LW_OK)
		pack_tell(
		    spot->file, spot->node->at, "bad-pattern", "%s", err.text);
	pack_put_text(item, spot->field->offset, text);
}

static void
read_unit(struct pack_spot *spot, void *item)
{
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_LINE_MAX, true);

	spot->unit = text;
	spot->unit_bad = text == NULL || !lw_unit_known(text);
	if (text != NULL && spot->unit_bad)
		pack_tell(spot->file, spot->node->at, "unknown-unit",
		    "\"%s\" is no unit known here; use one such as V, A, ohm, "
		    "Hz, s, %%, degC, W, Ah, uF or rpm",
		    pack_quote(spot->file->set, text));
	pack_put_text(item, spot->field->offset, text);
}

static void
read_word(struct pack_spot *spot, void *item)
{
	struct lw_err err = {0};
	unsigned value = 0;
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_TEXT_MAX, true);

	if (text == NULL)
		return;
	if (spot->field->words->parse(&value, text, &err) != LW_OK) {
		pack_tell(
		    spot->file, spot->node->at, "bad-word", "%s", err.text);
		return;
	}
	if (spot->field->type == PACK_WEIGHT)
		pack_put_text(item, spot->field->offset, text);
	else
		memcpy(
		    (char *)item + spot->field->offset, &value, sizeof value);
}

static void
read_yes(struct pack_spot *spot, void *item)
{
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_TEXT_MAX, true);

	if (text == NULL)
		return;
	if (strcmp(text, "yes") != 0 && strcmp(text, "no") != 0)
		pack_tell(spot->file, spot->node->at, "bad-word",
		    "\"%s\" is yes or no", spot->field->key);
	pack_put_bool(item, spot->field->offset, strcmp(text, "yes") == 0);
}

bool
pack_is_bare(const char *text)
{
	char plain[64];
	size_t length = strlen(text), i;
	double value;

	if (length >= sizeof plain)
		return false;
	for (i = 0; i <= length; i++)
		plain[i] = text[i] == ',' ? '.' : text[i];
	return num_parse(&value, plain, length);
}

static void
read_quantity(struct pack_spot *spot, void *item)
{
	const char *unit = spot->field->unit;
	struct lw_err err = {0};
	double value = 0;
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_LINE_MAX, true);

	if (text == NULL)
		return;
	if (pack_is_bare(text)) {
		pack_tell(spot->file, spot->node->at, "bad-quantity",
		    "\"%s\" needs its unit, as in %s %s", spot->field->key,
		    pack_quote(spot->file->set, text), unit);
	} else if (lw_reading_parse(&value, text, unit, &err) != LW_OK) {
		pack_tell(
		    spot->file, spot->node->at, "bad-quantity", "%s", err.text);
	} else if (!(value > 0 && value <= (double)spot->field->most)) {
		pack_tell(spot->file, spot->node->at, "bad-quantity",
		    "\"%s\" is more than 0 %s and at most %zu %s",
		    spot->field->key, unit, spot->field->most, unit);
	}
	pack_put_double(item, spot->field->offset, value);
}

static void
read_minutes(struct pack_spot *spot, void *item)
{
	double value = 0;
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, PACK_LINE_MAX, true);

	if (text == NULL)
		return;
	if (!num_parse(&value, text, strlen(text)) || !(value > 0) ||
	    value > (double)spot->field->most)
		pack_tell(spot->file, spot->node->at, "bad-quantity",
		    "\"%s\" is a number of minutes, more than 0 and at most "
		    "%zu, without a unit",
		    spot->field->key, spot->field->most);
	pack_put_double(item, spot->field->offset, value);
}

/* Whether a band's end that is no quantity is meant to be an expression: it
 * has an operator or a bracket, or is a name by itself. */
static bool
is_expression(const char *text)
{
	const char *sign = text + strspn(text, "-+ ");

	if (strstr(text, "+/-") != NULL)
		return false;
	return (*sign >= 'a' && *sign <= 'z' && strchr(sign, ' ') == NULL) ||
	       strpbrk(text, "(*/^") != NULL || strstr(text, " + ") != NULL ||
	       strstr(text, " - ") != NULL;
}

/* What it comes to is told once all values are known. */
static void
read_bound(struct pack_spot *spot, void *item)
{
	struct lw_err err = {0};
	double value = 0;
	const char *text = pack_field_text(
	    spot->file, spot->node, spot->field->key, EXPR_TEXT_MAX, true);

	if (text == NULL || spot->unit_bad)
		return;
	if (spot->unit == NULL) {
		pack_tell(spot->file, spot->node->at, "band-without-unit",
		    "the check has no \"unit\", so it takes no reading; give "
		    "it one or leave \"%s\" out",
		    spot->field->key);
	} else if (pack_is_bare(text)) {
		pack_tell(spot->file, spot->node->at, "band-without-unit",
		    "\"%s\" needs its unit, as in %s %s", spot->field->key,
		    pack_quote(spot->file->set, text), spot->unit);
	} else if (lw_reading_parse(&value, text, spot->unit, &err) != LW_OK) {
		if (is_expression(text))
			pack_put_text(item, spot->field->third, text);
		else
			pack_tell(spot->file, spot->node->at, "bad-quantity",
			    "%s", err.text);
	}
	pack_put_double(item, spot->field->offset, value);
	pack_put_bool(item, spot->field->second, true);
}

void
pack_field_read(struct pack_spot *spot, void *item)
{
	const struct pack_field *field = spot->field;
	const char *text;

	switch (field->type) {
	case PACK_NAME:
		read_name(spot, item);
		break;
	case PACK_ID:
		text = pack_field_id(spot->file, spot->node, field->key);
		pack_put_text(item, field->offset, text);
		break;
	case PACK_WITHIN:
	case PACK_REF:
		read_ref(spot, item);
		break;
	case PACK_LINE:
	case PACK_TEXT:
		text = pack_field_text(spot->file, spot->node, field->key,
		    field->type == PACK_LINE ? PACK_LINE_MAX : PACK_TEXT_MAX,
		    field->type == PACK_LINE);
		pack_put_text(item, field->offset, text);
		break;
	case PACK_ACTION:
		read_action(spot, item);
		break;
	case PACK_PATTERN:
		read_pattern(spot, item);
		break;
	case PACK_UNIT:
		read_unit(spot, item);
		break;
	case PACK_WEIGHT:
	case PACK_WORD:
		read_word(spot, item);
		break;
	case PACK_YES:
		read_yes(spot, item);
		break;
	case PACK_QUANTITY:
		read_quantity(spot, item);
		break;
	case PACK_MINUTES:
		read_minutes(spot, item);
		break;
	case PACK_BOUND:
		read_bound(spot, item);
		break;
	case PACK_FORMULA:
		text = pack_field_text(
		    spot->file, spot->node, field->key, EXPR_TEXT_MAX, true);
		pack_put_text(item, field->offset, text);
		break;
	case PACK_KEY:
	case PACK_MEASURE:
	case PACK_LIMIT:
		pack_value_read(spot, item);
		break;
	default:
		pack_list_read(spot, item);
		break;
	}
}
