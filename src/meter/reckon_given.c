/* Reads what a reckoner is given: which key, which word, which quantity within
 * which limits. What a quantity's text means is left to meter/quantity.c. */
#include "meter/reckoning.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "base/near.h"
#include "base/utf8.h"
#include "meter/unit.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { WORDS_MAX = 200, SENTENCE_MAX = 400 };

const char *
reckoning_shown(char *shown, const char *text)
{
	enum { ROOM = RECKON_SHOWN_MAX - 4 };
	size_t length = strlen(text), at = 0, used = 0, n;

	while (at < length) {
		n = utf8_decode(text + at, length - at, NULL);
		if (used + (n == 0 ? 1 : n) > ROOM) {
			memcpy(shown + used, "...", 3);
			used += 3;
			break;
		}
		if (n == 0 || (n == 1 && (text[at] < ' ' || text[at] == 127))) {
			shown[used++] = '?';
			at++;
			continue;
		}
		memcpy(shown + used, text + at, n);
		used += n;
		at += n;
	}
	shown[used] = '\0';
	return shown;
}

size_t
reckoning_input(const struct reckon *reckon, const char *key)
{
	const struct lw_reckoner *face = &reckon->reckoner->face;
	size_t i;

	for (i = 0; i < face->input_count; i++)
		if (strcmp(face->inputs[i].key, key) == 0)
			break;
	return i;
}

static const struct lw_reckon_input *
input_at(const struct reckon *reckon, size_t at)
{
	return &reckon->reckoner->face.inputs[at];
}

/* The slot of a key that the reckoner has. */
static struct reckon_slot *
slot_of(const struct reckon *reckon, const char *key)
{
	size_t at = reckoning_input(reckon, key);

	assert(at < reckon->reckoner->face.input_count);
	return &reckon->slots[at];
}

const struct lw_quantity *
reckon_quantity(const struct reckon *reckon, const char *key)
{
	const struct reckon_slot *slot = slot_of(reckon, key);

	return slot->is_quantity ? &slot->quantity : NULL;
}

const char *
reckon_text(const struct reckon *reckon, const char *key)
{
	return slot_of(reckon, key)->text;
}

enum lw_status
reckon_refuse(const struct reckon *reckon, const char *key, struct lw_err *err,
    const char *format, ...)
{
	char sentence[SENTENCE_MAX];
	va_list args;

	(void)reckon;
	va_start(args, format);
	vsnprintf(sentence, sizeof sentence, format, args);
	va_end(args);
	return err_set(err, LW_BAD_INPUT, "%s: %s", key, sentence);
}

static enum lw_status
no_such_key(const struct reckon *reckon, const char *key, struct lw_err *err)
{
	const struct lw_reckoner *face = &reckon->reckoner->face;
	char shown[RECKON_SHOWN_MAX];
	enum lw_status status;
	struct near near;
	struct buf list;
	size_t i;

	near_start(&near, key);
	buf_init(&list, SENTENCE_MAX);
	for (i = 0; i < face->input_count; i++) {
		near_try(&near, face->inputs[i].key);
		buf_printf(
		    &list, "%s%s", i == 0 ? "" : ", ", face->inputs[i].key);
	}
	reckoning_shown(shown, key);
	if (near.best != NULL)
		status = err_set(err, LW_BAD_INPUT,
		    "%s: %s takes no such value; nearest is \"%s\"", shown,
		    face->name, near.best);
	else
		status = err_set(err, LW_BAD_INPUT,
		    "%s: %s takes no such value; it takes %s", shown,
		    face->name, buf_text(&list));
	buf_clear(&list);
	return status;
}

/* A typed value goes before the rig's, a later one before an earlier one. */
static enum lw_status
put_pair(struct reckon *reckon, const struct lw_reckon_pair *pair,
    struct lw_err *err)
{
	size_t at = reckoning_input(reckon, pair->key), length;
	struct reckon_slot *slot;
	const char *value = pair->value + strspn(pair->value, " \t\r\n");

	if (at == reckon->reckoner->face.input_count)
		return no_such_key(reckon, pair->key, err);
	slot = &reckon->slots[at];
	length = strlen(value);
	while (length > 0 && strchr(" \t\r\n", value[length - 1]) != NULL)
		length--;
	if (length == 0)
		return LW_OK;
	if (pair->from_rig && slot->typed != NULL &&
	    slot->origin == LW_RECKON_GIVEN)
		return LW_OK;
	if (length > WORDS_MAX)
		return reckon_refuse(reckon, pair->key, err,
		    "that is too long; %d bytes are the most", WORDS_MAX);
	if (utf8_valid(value, length) != length)
		return reckon_refuse(reckon, pair->key, err,
		    "that is not UTF-8; write it in plain letters");
	slot->typed = arena_dup_n(reckon->arena, value, length);
	if (slot->typed == NULL)
		return err_no_memory(err);
	slot->origin = pair->from_rig ? LW_RECKON_RIG : LW_RECKON_GIVEN;
	return LW_OK;
}

static void
add_words(struct buf *list, const char *const *words)
{
	size_t i;

	for (i = 0; words[i] != NULL; i++)
		buf_printf(list, "%s%s",
		    i == 0		   ? ""
		    : words[i + 1] == NULL ? " or "
					   : ", ",
		    words[i]);
}

static enum lw_status
missing(const struct reckon *reckon, const struct lw_reckon_input *input,
    struct lw_err *err)
{
	enum lw_status status;
	struct buf list;

	if (input->words == NULL)
		return reckon_refuse(reckon, input->key, err,
		    "this is needed: %s%s%s", input->title,
		    input->unit == NULL ? "" : ", in ",
		    input->unit == NULL ? "" : input->unit);
	buf_init(&list, SENTENCE_MAX);
	add_words(&list, input->words);
	status = reckon_refuse(reckon, input->key, err,
	    "this is needed: %s, which is %s", input->title, buf_text(&list));
	buf_clear(&list);
	return status;
}

static bool
is_word(const char *word, const char *typed)
{
	return unit_letters_match(word, typed, strlen(word) + 1);
}

static enum lw_status
take_word(struct reckon *reckon, const struct lw_reckon_input *input,
    struct reckon_slot *slot, struct lw_err *err)
{
	char shown[RECKON_SHOWN_MAX];
	enum lw_status status;
	struct near near;
	struct buf list;
	size_t i;

	near_start(&near, slot->typed);
	for (i = 0; input->words[i] != NULL; i++) {
		if (is_word(input->words[i], slot->typed) ||
		    (input->also != NULL &&
			is_word(input->also[i], slot->typed))) {
			slot->text = input->words[i];
			slot->word = i;
			return LW_OK;
		}
		near_try(&near, input->words[i]);
	}
	buf_init(&list, SENTENCE_MAX);
	add_words(&list, input->words);
	reckoning_shown(shown, slot->typed);
	status = reckon_refuse(reckon, input->key, err,
	    near.best != NULL ? "\"%s\" is not %s; nearest is \"%s\""
			      : "\"%s\" is not %s",
	    shown, buf_text(&list), near.best);
	buf_clear(&list);
	return status;
}

/* Where both readings of a text are plausible it is taken as it is written,
 * and a remark says what else it could have been. */
static enum lw_status
parse(struct reckon_slot *slot, struct reckon *reckon, const char *unit,
    double low, double high, struct lw_err *err)
{
	enum lw_status status;
	struct lw_err doubt;

	if (!(low < high))
		return lw_quantity_parse(
		    &slot->quantity, slot->typed, unit, err);
	status = lw_quantity_parse_plausible(
	    &slot->quantity, slot->typed, unit, low, high, false, &doubt);
	if (status == LW_UNDECIDED) {
		slot->doubt = reckoning_kept(
		    reckon, arena_dup(reckon->arena, doubt.text));
		return lw_quantity_parse_plausible(
		    &slot->quantity, slot->typed, unit, low, high, true, err);
	}
	if (status != LW_OK && err != NULL)
		*err = doubt;
	return status;
}

/* Whether the sign alone is wrong with it. */
static bool
is_negative(const char *typed, const char *unit, double low)
{
	struct lw_quantity quantity;

	return low >= 0 && strcmp(unit, "degC") != 0 &&
	       lw_quantity_parse(&quantity, typed, unit, NULL) == LW_OK &&
	       quantity.value < 0;
}

static enum lw_status
take_quantity(struct reckon *reckon, const struct lw_reckon_input *input,
    struct reckon_slot *slot, const char *unit, double low, double high,
    struct lw_err *err)
{
	char text[LW_QUANTITY_MAX];
	struct lw_err why = {.column = 0};
	enum lw_status status;

	status = parse(slot, reckon, unit, low, high, &why);
	if (status != LW_OK && is_negative(slot->typed, unit, low))
		return reckon_refuse(reckon, input->key, err,
		    "this cannot be below zero; write it without the sign%s",
		    strcmp(unit, "V") == 0
			? ", and look whether the probes were swapped"
			: "");
	if (status != LW_OK)
		return err_set_at(err, LW_BAD_INPUT, 0, why.column, "%s: %.*s",
		    input->key, SENTENCE_MAX, why.text);
	if (low >= 0 && low < high &&
	    (slot->quantity.low < 0 || (low > 0 && slot->quantity.low <= 0)))
		return reckon_refuse(reckon, input->key, err,
		    "by its tolerance it could be %s; a smaller tolerance "
		    "would do",
		    low > 0 ? "zero or below" : "below zero");
	slot->is_quantity = true;
	lw_quantity_format(text, &slot->quantity);
	slot->text = reckoning_kept(reckon, arena_dup(reckon->arena, text));
	return LW_OK;
}

static enum lw_status
take(struct reckon *reckon, size_t at, struct lw_err *err)
{
	const struct lw_reckon_input *input = input_at(reckon, at);
	struct reckon_slot *slot = &reckon->slots[at];
	enum lw_status status = LW_OK;

	if (slot->typed == NULL) {
		if (input->usual == NULL)
			return input->needed ? missing(reckon, input, err)
					     : LW_OK;
		slot->typed = input->usual;
		slot->origin = LW_RECKON_USUAL;
	}
	if (input->words != NULL)
		status = take_word(reckon, input, slot, err);
	else if (input->unit != NULL)
		status = take_quantity(reckon, input, slot, input->unit,
		    input->low, input->high, err);
	else
		slot->text = slot->typed;
	if (status == LW_OK)
		reckoning_know(reckon, at);
	return status;
}

/* The rig's value may be of another kind than the one that is asked for. */
static bool
rig_value_fits(const struct reckon_slot *slot, const char *unit)
{
	struct lw_quantity quantity;

	return slot->origin != LW_RECKON_RIG ||
	       lw_quantity_parse(&quantity, slot->typed, unit, NULL) == LW_OK;
}

enum lw_status
reckon_take(struct reckon *reckon, const char *key, const char *unit,
    double low, double high, const char *usual, struct lw_err *err)
{
	struct reckon_slot *slot = slot_of(reckon, key);
	size_t at = (size_t)(slot - reckon->slots);
	enum lw_status status;

	if (slot->typed == NULL || !rig_value_fits(slot, unit)) {
		slot->text = NULL;
		if (usual == NULL)
			return LW_OK;
		slot->typed = usual;
		slot->origin = LW_RECKON_USUAL;
	}
	status = take_quantity(
	    reckon, input_at(reckon, at), slot, unit, low, high, err);
	if (status == LW_OK)
		reckoning_know(reckon, at);
	return status;
}

enum lw_status
reckoning_read(struct reckon *reckon, const struct lw_reckon_pair *pairs,
    size_t count, struct lw_err *err)
{
	size_t inputs = reckon->reckoner->face.input_count, i;
	enum lw_status status = LW_OK;

	reckon->slots =
	    arena_array(reckon->arena, inputs, sizeof *reckon->slots);
	if (reckon->slots == NULL)
		return err_no_memory(err);
	for (i = 0; i < count && status == LW_OK; i++)
		status = put_pair(reckon, &pairs[i], err);
	for (i = 0; i < inputs && status == LW_OK; i++)
		status = take(reckon, i, err);
	return status;
}

void
reckoning_doubts(struct reckon *reckon)
{
	size_t i;

	for (i = 0; i < reckon->reckoner->face.input_count; i++)
		if (reckon->slots[i].doubt != NULL)
			reckon_remark(reckon, "%s: taken as %s; %s.",
			    input_at(reckon, i)->title, reckon->slots[i].text,
			    reckon->slots[i].doubt);
}
