/* What can be said of a rig, by the parts of the vehicle: what it is and where
 * to find it, what was said, and what it comes to. */
#include "view/rig_facts.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/utf8.h"

#include <lampwright/quantity.h>

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PARTS_MAX = 64, RANGE_DIGITS = 6, DIGITS = 3 };

static const char NO_PART[] = "Other";
static const char LEFT_PART[] = "Of packs that are gone";

/* What is not known counts as what is dangerous; what that means for the
 * person beside the vehicle. */
static const struct {
	const char *key;
	const char *words;
} unknowns[] = {
    {"motor",
	"The kind of motor is not known, so it counts as series-wound: without "
	"load it runs away. Never switch it on unloaded."},
    {"reference",
	"It is not known whether the pack is tied to the frame, so it counts "
	"as tied: do not touch the frame and a pole of the pack at once."},
    {"charger",
	"It is not known whether a charger is on board: look for one, and "
	"unplug it at both ends before it counts as isolated."},
    {"pack.kind",
	"The kind of cells is not known, so they count as lithium: swollen, "
	"hot or smelling means get away."},
    {"pack.full",
	"The highest voltage of the pack is not known, so it counts as "
	"dangerous to touch."},
    {"bus.capacitor",
	"The size of the capacitors is not known: with everything off they "
	"count as charged until the meter says otherwise."},
    {"bleed.resistor",
	"It is not known whether anything drains the capacitors: waiting alone "
	"does not make them safe, measuring does."},
    {"contactor",
	"It is not known whether there is a contactor: the key may not part "
	"the pack from the controller."},
    {"precharge",
	"It is not known whether there is a pre-charge path: a resistor across "
	"the contactor may charge the capacitors again with the key off."},
    {"dcdc",
	"It is not known whether there is a DC-DC converter: it may keep a "
	"part of the vehicle live with the main disconnect open."},
    {"auxiliary",
	"It is not known whether there is an auxiliary battery: it may keep "
	"the controls live with the main disconnect open."},
    {"strings",
	"It is not known whether battery strings stand in parallel: one open "
	"disconnect may leave another string connected."},
};

/* The lists of the document. */
struct lists {
	json_t *facts;
	json_t *parts;
	json_t *known;
	json_t *unknown;
	json_t *conflicts;
	json_t *cautions;
	struct part {
		const char *title;
		const char *id;
		json_t *facts;
		json_t *unknown;
		size_t count;
		size_t known_count;
		bool conflict;
		json_t *object;
	} part[PARTS_MAX];
	size_t part_count;
};

static const char *
kept(struct view *view, const char *text)
{
	if (text == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	}
	return text;
}

/* --- one value ------------------------------------------------------------ */

static const char *
choice_title(const struct lw_value *value, const char *text)
{
	size_t i;

	if (value->kind != LW_VALUE_CHOICE)
		return text;
	for (i = 0; value->choices[i] != NULL; i++) {
		if (strcmp(value->choices[i], text) == 0)
			return value->choice_titles[i];
	}
	return text;
}

/* "20 V to 150 V": what is plausible. */
static const char *
range_of(struct view *view, const struct lw_value *value)
{
	char low[LW_QUANTITY_MAX], high[LW_QUANTITY_MAX];

	if (value->kind != LW_VALUE_QUANTITY || value->unit == NULL)
		return NULL;
	lw_quantity_say(low, lw_quantity_from(value->low, value->unit),
	    value->unit, RANGE_DIGITS);
	lw_quantity_say(high, lw_quantity_from(value->high, value->unit),
	    value->unit, RANGE_DIGITS);
	return kept(view, arena_printf(view->arena, "%s to %s", low, high));
}

/* How it is asked for, in a field that is empty: "in V". */
static const char *
ask_of(struct view *view, const struct lw_value *value)
{
	if (value->kind == LW_VALUE_ACCURACY)
		return "such as 0.5 % + 2";
	if (value->kind != LW_VALUE_QUANTITY || value->unit == NULL)
		return NULL;
	if (strcmp(value->unit, "number") == 0)
		return "a number";
	return kept(view, arena_printf(view->arena, "in %s", value->unit));
}

/* " (55.9 V to 61.7 V)": what tolerances leave open; "" where that is next to
 * nothing. */
static const char *
open_range(struct view *view, const struct lw_rig_value *item)
{
	char low[LW_QUANTITY_MAX], high[LW_QUANTITY_MAX];

	if (item->high - item->low <= 0.005 * fabs(item->nominal))
		return "";
	lw_quantity_say(low, item->low, item->value->unit, DIGITS);
	lw_quantity_say(high, item->high, item->value->unit, DIGITS);
	return kept(view, arena_printf(view->arena, " (%s to %s)", low, high));
}

/* What it comes to and by whom, on one line; NULL where it is not known. */
static const char *
shown_of(struct view *view, const struct lw_rig_value *item)
{
	const char *text;

	if (item->known == LW_KNOWN_NOT)
		return NULL;
	text = choice_title(item->value, item->text);
	if (item->known == LW_KNOWN_GIVEN)
		return item->usual_tolerance
			   ? kept(view,
				 arena_printf(view->arena,
				     "%s (tolerance not said, taken as %s)",
				     text, item->value->tolerance))
			   : text;
	if (item->from == NULL)
		return kept(
		    view, arena_printf(view->arena,
			      "%s, the usual one, since nobody said", text));
	return kept(
	    view, arena_printf(view->arena, "%s%s, worked out%s: %s", text,
		      open_range(view, item),
		      item->known == LW_KNOWN_USUAL ? " from usual values" : "",
		      item->from));
}

static void
put_choices(struct view *view, json_t *object, const struct lw_value *value,
    const char *said)
{
	json_t *choices = view_list(view, object, "choices"), *choice;
	size_t i;

	if (value->kind != LW_VALUE_CHOICE)
		return;
	for (i = 0; value->choices[i] != NULL; i++) {
		choice = view_add(view, choices);
		view_words(view, choice, "choice", value->choices[i]);
		view_words(view, choice, "title", value->choice_titles[i]);
		view_bool(view, choice, "chosen",
		    said != NULL && strcmp(said, value->choices[i]) == 0);
	}
}

/* What kind of value it is, and what may be said. */
static void
put_kind(struct view *view, json_t *object, const struct lw_value *value)
{
	bool is_quantity = value->kind == LW_VALUE_QUANTITY;

	view_bool(view, object, "is_choice", value->kind == LW_VALUE_CHOICE);
	view_bool(view, object, "is_quantity", is_quantity);
	view_bool(view, object, "is_list", value->kind == LW_VALUE_LIST);
	view_bool(
	    view, object, "is_accuracy", value->kind == LW_VALUE_ACCURACY);
	view_text(view, object, "unit", value->unit);
	view_text(view, object, "ask", ask_of(view, value));
	view_text(view, object, "range", range_of(view, value));
	if (is_quantity) {
		view_real(view, object, "low", value->low);
		view_real(view, object, "high", value->high);
	} else {
		view_null(view, object, "low");
		view_null(view, object, "high");
	}
	view_text(view, object, "tolerance", value->tolerance);
	view_text(view, object, "usual", value->usual);
}

/* What was said, and what it comes to. `said` NULL: nothing. */
static void
put_state(struct view *view, json_t *object, const struct lw_rig_value *item,
    const char *said)
{
	view_text(view, object, "value", said);
	view_bool(view, object, "known", said != NULL);
	view_bool(view, object, "is_worked", item->known == LW_KNOWN_WORKED);
	view_bool(view, object, "is_usual", item->known == LW_KNOWN_USUAL);
	view_bool(view, object, "not_known", item->known == LW_KNOWN_NOT);
	view_bool(view, object, "usual_tolerance", item->usual_tolerance);
	view_text(view, object, "comes_to", item->text);
	view_text(view, object, "from", item->from);
	view_text(view, object, "shown", shown_of(view, item));
	view_text(view, object, "conflict", item->conflict);
}

static json_t *
put_fact(struct view *view, json_t *list, const struct lw_rig_value *item,
    const char *said)
{
	const struct lw_value *value = item->value;
	json_t *object = view_add(view, list);

	view_words(view, object, "key", value->id);
	view_words(view, object, "title", value->title);
	view_words(
	    view, object, "part", value->part == NULL ? NO_PART : value->part);
	view_text(view, object, "help", value->help);
	view_text(view, object, "where", value->where);
	view_text(view, object, "source", value->source);
	put_kind(view, object, value);
	put_choices(view, object, value, said);
	put_state(view, object, item, said);
	view_bool(view, object, "is_left", false);
	return object;
}

/* --- parts ---------------------------------------------------------------- */

/* "pre-charge-and-capacitors": to stand in an address, unlike those of the
 * parts before it. */
static const char *
part_id(struct view *view, const struct lists *lists, const char *title)
{
	char *id = arena_dup(view->arena, title);
	size_t i, length = 0;
	bool taken;

	if (kept(view, id) == NULL)
		return "";
	for (i = 0; title[i] != '\0'; i++) {
		unsigned char c = (unsigned char)title[i];

		if (c < 0x80 && isalnum(c))
			id[length++] = (char)tolower(c);
		else if (length > 0 && id[length - 1] != '-')
			id[length++] = '-';
	}
	while (length > 0 && id[length - 1] == '-')
		length--;
	id[length] = '\0';
	taken = length == 0;
	for (i = 0; i < lists->part_count; i++)
		taken = taken || (lists->part[i].id != NULL &&
				     strcmp(lists->part[i].id, id) == 0);
	if (!taken)
		return id;
	return kept(
	    view, arena_printf(view->arena, "%s-%zu", id, lists->part_count));
}

/* The part of that heading; NULL after a failure. Past so many they all go
 * into the last. */
static struct part *
part_of(struct view *view, struct lists *lists, const char *title)
{
	struct part *part;
	size_t i;

	for (i = 0; i < lists->part_count; i++)
		if (strcmp(lists->part[i].title, title) == 0)
			return &lists->part[i];
	if (lists->part_count == PARTS_MAX)
		return &lists->part[PARTS_MAX - 1];
	part = &lists->part[lists->part_count];
	part->title = title;
	part->id = part_id(view, lists, title);
	lists->part_count++;
	part->object = view_add(view, lists->parts);
	view_words(view, part->object, "part", title);
	view_text(view, part->object, "id", part->id);
	part->facts = view_list(view, part->object, "facts");
	part->unknown = view_list(view, part->object, "unknown");
	return part;
}

static void
count_parts(struct view *view, struct lists *lists)
{
	size_t i;

	for (i = 0; i < lists->part_count; i++) {
		const struct part *part = &lists->part[i];

		view_int(view, part->object, "count", (int64_t)part->count);
		view_int(view, part->object, "known_count",
		    (int64_t)part->known_count);
		view_bool(
		    view, part->object, "has_known", part->known_count > 0);
		view_bool(view, part->object, "all_known",
		    part->known_count == part->count);
		view_bool(view, part->object, "has_conflict", part->conflict);
	}
}

static void
put_known(struct view *view, json_t *list, const char *key, const char *title,
    const char *value, const char *value_title)
{
	json_t *object = view_add(view, list);

	view_words(view, object, "key", key);
	view_words(view, object, "title", title);
	view_words(view, object, "value", value);
	view_words(view, object, "value_title", value_title);
}

static void
warn(struct view *view, json_t *cautions, const char *key)
{
	size_t i;

	for (i = 0; i < sizeof unknowns / sizeof unknowns[0]; i++)
		if (strcmp(unknowns[i].key, key) == 0)
			view_add_text(view, cautions, unknowns[i].words);
}

static void
put_value(struct view *view, struct lists *lists, const struct lw_rig *rig,
    const struct lw_rig_value *item)
{
	const struct lw_value *value = item->value;
	const char *said = lw_rig_fact(rig, value->id);
	json_t *fact = put_fact(view, lists->facts, item, said);
	struct part *part =
	    part_of(view, lists, value->part == NULL ? NO_PART : value->part);

	view_add_again(view, part->facts, fact);
	part->count++;
	if (said != NULL)
		put_known(view, lists->known, value->id, value->title, said,
		    choice_title(value, said));
	if (item->conflict != NULL) {
		view_add_text(view, lists->conflicts, item->conflict);
		part->conflict = true;
	}
	if (item->known != LW_KNOWN_NOT) {
		part->known_count++;
		return;
	}
	view_add_text(view, part->unknown, value->title);
	view_add_text(view, lists->unknown, value->title);
	warn(view, lists->cautions, value->id);
}

/* Facts of values that no pack of the book brings any more: shown as they
 * are, to be kept or taken back. */
static void
put_left(struct view *view, struct lists *lists, const struct lw_rig *rig)
{
	const char *choices[] = {NULL, NULL};
	struct lw_value value = {.kind = LW_VALUE_CHOICE,
	    .part = LEFT_PART,
	    .choices = choices,
	    .choice_titles = choices};
	struct lw_rig_value item = {.value = &value, .known = LW_KNOWN_GIVEN};
	struct part *part;
	json_t *fact;
	size_t i;

	for (i = 0; i < rig->fact_count; i++) {
		if (lw_rig_value(rig, rig->facts[i].key) != NULL)
			continue;
		value.id = value.title = rig->facts[i].key;
		choices[0] = item.text = rig->facts[i].value;
		fact = put_fact(view, lists->facts, &item, item.text);
		view_bool(view, fact, "is_left", true);
		part = part_of(view, lists, LEFT_PART);
		view_add_again(view, part->facts, fact);
		part->count++;
		part->known_count++;
		put_known(view, lists->known, value.id, value.title, item.text,
		    item.text);
	}
}

void
view_rig_facts(struct view *view, const struct lw_rig *rig)
{
	struct lists lists = {.part_count = 0};
	json_t *root = view->root;
	size_t i;

	lists.facts = view_list(view, root, "facts");
	lists.parts = view_list(view, root, "parts");
	lists.known = view_list(view, root, "known_facts");
	lists.unknown = view_list(view, root, "unknown");
	lists.conflicts = view_list(view, root, "conflicts");
	lists.cautions = view_list(view, root, "cautions");
	for (i = 0; i < rig->value_count; i++)
		put_value(view, &lists, rig, &rig->values[i]);
	put_left(view, &lists, rig);
	count_parts(view, &lists);
}
