/* Walks a struct lw_pack along the schema into canonical YAML: every key in
 * the schema's order, what is absent left out. How a text is quoted is left
 * to emit.c. */
#include <lampwright/pack.h>
#include <lampwright/reading.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"
#include "pack/emit.h"
#include "pack/schema.h"

#include <stdio.h>
#include <string.h>

static void write_fields(struct pack_emit *emit,
    const struct pack_schema *schema, const void *item, const char *unit);

/* What lies in a struct at an offset. */
#define TAKE(name, type)                                                   \
	static type name(const void *item, size_t offset)                  \
	{                                                                  \
		type value;                                                \
                                                                           \
		memcpy(&value, (const char *)item + offset, sizeof value); \
		return value;                                              \
	}

TAKE(take_text, const char *)
TAKE(take_list, const void *)
TAKE(take_words, const char *const *)
TAKE(take_size, size_t)
TAKE(take_bool, bool)
TAKE(take_double, double)
TAKE(take_word, unsigned)
TAKE(take_texts, struct lw_texts)
TAKE(take_refs, struct lw_refs)
TAKE(take_do, struct lw_instructions)

static void
write_texts(struct pack_emit *emit, const char *key, struct lw_texts texts)
{
	size_t i;

	if (texts.count == 0)
		return;
	pack_emit_key(emit, key);
	pack_emit_deeper(emit);
	for (i = 0; i < texts.count; i++) {
		pack_emit_item(emit);
		pack_emit_text(emit, texts.items[i].text);
	}
	pack_emit_shallower(emit);
}

/* An instruction without rules is a plain text. */
static void
write_do(struct pack_emit *emit, const struct pack_field *field,
    struct lw_instructions list)
{
	size_t i;

	if (list.count == 0)
		return;
	pack_emit_key(emit, field->key);
	pack_emit_deeper(emit);
	for (i = 0; i < list.count; i++) {
		pack_emit_item(emit);
		if (list.items[i].only.count == 0) {
			pack_emit_text(emit, list.items[i].text);
			continue;
		}
		emit->indent++;
		write_fields(emit, field->items, &list.items[i], NULL);
		emit->indent--;
	}
	pack_emit_shallower(emit);
}

static void
write_refs(struct pack_emit *emit, const char *key, struct lw_refs refs)
{
	size_t i;

	if (refs.count == 0)
		return;
	pack_emit_key(emit, key);
	pack_emit_deeper(emit);
	for (i = 0; i < refs.count; i++) {
		pack_emit_item(emit);
		if (refs.items[i].word != NULL) {
			pack_emit_key(emit, refs.items[i].id);
			pack_emit_text(emit, refs.items[i].word);
		} else {
			pack_emit_text(emit, refs.items[i].id);
		}
	}
	pack_emit_shallower(emit);
}

static void
write_states(
    struct pack_emit *emit, const struct pack_field *field, const void *item)
{
	bool states[LW_POWER_COUNT];
	bool any = false;
	unsigned i;

	memcpy(states, (const char *)item + field->offset, sizeof states);
	for (i = 1; i < LW_POWER_COUNT; i++) {
		if (!states[i])
			continue;
		if (!any) {
			pack_emit_key(emit, field->key);
			pack_emit_deeper(emit);
		}
		any = true;
		pack_emit_item(emit);
		pack_emit_text(emit, field->words->name(i));
	}
	if (any)
		pack_emit_shallower(emit);
}

static void
write_branches(struct pack_emit *emit, const char *key,
    const struct lw_branch *branches, size_t count)
{
	size_t i;

	if (count == 0)
		return;
	pack_emit_key(emit, key);
	pack_emit_deeper(emit);
	for (i = 0; i < count; i++) {
		pack_emit_key(emit, branches[i].outcome);
		pack_emit_deeper(emit);
		pack_emit_key(
		    emit, pack_branch_words[branches[i].kind - LW_BRANCH_STEP]);
		pack_emit_text(emit, branches[i].target);
		pack_emit_shallower(emit);
	}
	pack_emit_shallower(emit);
}

static void
write_items(struct pack_emit *emit, const struct pack_field *field,
    const void *item, const char *unit)
{
	const unsigned char *items = take_list(item, field->offset);
	size_t i, count = take_size(item, field->second);

	if (count == 0)
		return;
	if (emit->indent == 0)
		buf_add_char(&emit->buf, '\n');
	pack_emit_key(emit, field->key);
	pack_emit_deeper(emit);
	for (i = 0; i < count; i++) {
		pack_emit_item(emit);
		emit->indent++;
		write_fields(
		    emit, field->items, items + i * field->items->size, unit);
		emit->indent--;
	}
	pack_emit_shallower(emit);
}

static void
write_text(struct pack_emit *emit, const char *key, const char *text)
{
	if (text == NULL)
		return;
	pack_emit_key(emit, key);
	pack_emit_text(emit, text);
}

static void
write_choices(
    struct pack_emit *emit, const struct pack_field *field, const void *item)
{
	const char *const *words = take_words(item, field->offset);
	const char *const *titles = take_words(item, field->second);
	struct pack_choice choice = {NULL, NULL, {0, 0}};
	size_t i;

	if (words == NULL || words[0] == NULL)
		return;
	pack_emit_key(emit, field->key);
	pack_emit_deeper(emit);
	for (i = 0; words[i] != NULL; i++) {
		choice.id = words[i];
		choice.title = titles[i];
		pack_emit_item(emit);
		emit->indent++;
		write_fields(emit, field->items, &choice, NULL);
		emit->indent--;
	}
	pack_emit_shallower(emit);
}

/* An end of what is plausible; nothing where the value has no unit. */
static void
write_limit(struct pack_emit *emit, const struct pack_field *field,
    const void *item, const char *unit)
{
	char number[32], text[32 + PACK_LINE_MAX];

	if (unit == NULL)
		return;
	num_format(number, sizeof number, take_double(item, field->offset));
	snprintf(text, sizeof text, "%s%s%s", number,
	    strcmp(unit, "number") == 0 ? "" : " ",
	    strcmp(unit, "number") == 0 ? "" : unit);
	write_text(emit, field->key, text);
}

static void
write_number(struct pack_emit *emit, const struct pack_field *field,
    const void *item, const char *unit)
{
	double value = take_double(item, field->offset);
	char text[LW_READING_MAX];

	if (field->type == PACK_BOUND && !take_bool(item, field->second))
		return;
	if (field->type == PACK_BOUND &&
	    take_text(item, field->third) != NULL) {
		write_text(emit, field->key, take_text(item, field->third));
		return;
	}
	if (field->type != PACK_BOUND && !(value > 0))
		return;
	if (field->type == PACK_MINUTES)
		num_format(text, sizeof text, value);
	else
		lw_reading_format(text, value,
		    field->type == PACK_QUANTITY ? field->unit
		    : unit != NULL		 ? unit
						 : "");
	write_text(emit, field->key, text);
}

/* A map within a map, of the same struct; nothing where all is absent. */
static void
write_group(
    struct pack_emit *emit, const struct pack_field *field, const void *item)
{
	size_t length = emit->buf.length, before;

	pack_emit_key(emit, field->key);
	pack_emit_deeper(emit);
	before = emit->buf.length;
	write_fields(emit, field->items, item, NULL);
	pack_emit_shallower(emit);
	if (emit->buf.length == before && emit->buf.status == LW_OK) {
		emit->buf.length = length;
		emit->buf.data[length] = '\0';
	}
}

static void
write_field(struct pack_emit *emit, const struct pack_field *field,
    const void *item, const char *unit)
{
	size_t at = field->offset;

	switch (field->type) {
	case PACK_WORD:
		if (take_word(item, at) != 0)
			write_text(emit, field->key,
			    field->words->name(take_word(item, at)));
		break;
	case PACK_YES:
		if (take_bool(item, at))
			write_text(emit, field->key, "yes");
		break;
	case PACK_QUANTITY:
	case PACK_MINUTES:
	case PACK_BOUND:
		write_number(emit, field, item, unit);
		break;
	case PACK_LIMIT:
		write_limit(emit, field, item, unit);
		break;
	case PACK_CHOICES:
		write_choices(emit, field, item);
		break;
	case PACK_LINES:
	case PACK_RULES:
	case PACK_REGEXES:
		write_texts(emit, field->key, take_texts(item, at));
		break;
	case PACK_DO:
		write_do(emit, field, take_do(item, at));
		break;
	case PACK_REFS:
		write_refs(emit, field->key, take_refs(item, at));
		break;
	case PACK_STATES:
		write_states(emit, field, item);
		break;
	case PACK_ITEMS:
		write_items(emit, field, item, unit);
		break;
	case PACK_GROUP:
		write_group(emit, field, item);
		break;
	case PACK_NEXT:
		write_branches(emit, field->key, take_list(item, at),
		    take_size(item, field->second));
		break;
	default:
		write_text(emit, field->key, take_text(item, at));
		break;
	}
}

/* `unit` is that of the value, or of the check whose outcome the map is; NULL
 * elsewhere. */
static void
write_fields(struct pack_emit *emit, const struct pack_schema *schema,
    const void *item, const char *unit)
{
	const struct pack_field *field;

	for (field = schema->fields; field->key != NULL; field++) {
		if (field->type == PACK_UNIT || field->type == PACK_MEASURE)
			unit = take_text(item, field->offset);
		write_field(emit, field, item, unit);
	}
}

enum lw_status
lw_pack_write(struct lw_arena *arena, const struct lw_pack *pack,
    const char **text, size_t *length, struct lw_err *err)
{
	struct pack_emit emit = {.indent = 0};
	enum lw_status status;

	*text = NULL;
	*length = 0;
	buf_init(&emit.buf, LW_PACK_MAX_BYTES);
	write_fields(&emit, &pack_schema, pack, NULL);
	status = buf_check(&emit.buf, err);
	if (status != LW_OK)
		goto out;
	if (emit.bad) {
		status = err_set(err, LW_CORRUPT,
		    "the pack has a text that is not UTF-8; put it into the "
		    "book again from its file");
		goto out;
	}
	*text = arena_dup_n(arena, buf_text(&emit.buf), emit.buf.length);
	if (*text == NULL)
		status = err_no_memory(err);
	else
		*length = emit.buf.length;
out:
	buf_clear(&emit.buf);
	return status;
}
