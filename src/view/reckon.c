/* Reckoners: which there are, what one takes, and what comes of it. The sums
 * are left to meter, the drawing to plot.c. */
#include "view/parts.h"

#include "base/arena.h"
#include "base/err.h"
#include "view/plot.h"

#include <lampwright/reckon.h>

#include <string.h>

/* One reckoner, and what it is asked. */
struct ask {
	struct view *view;
	const struct lw_reckoner *reckoner;
	const struct lw_rig *rig; /* or NULL */
	const struct lw_reckon_pair *typed;
	size_t typed_count;
	struct lw_reckon_pair *pairs; /* the rig's, then the typed ones */
	size_t pair_count;
};

static void
put_head(struct view *view, json_t *object, const struct lw_reckoner *reckoner)
{
	view_words(view, object, "name", reckoner->name);
	view_words(view, object, "title", reckoner->title);
	view_text(view, object, "summary", reckoner->summary);
	view_text(view, object, "example", reckoner->example);
	view_bool(view, object, "plots", reckoner->plots);
}

enum lw_status
lw_view_reckoners(struct lw_doc **doc, struct lw_err *err)
{
	const struct lw_reckoner *const *all;
	struct view view;
	json_t *list;
	size_t count, i;

	view_begin(&view, NULL);
	list = view_list(&view, view.root, "reckoners");
	all = lw_reckoners(&count);
	for (i = 0; i < count; i++)
		put_head(&view, view_add(&view, list), all[i]);
	return view_end(&view, doc, LW_OK, err);
}

/* --- what is given ------------------------------------------------------- */

/* The rig by its name; NULL: the one in hand; "": none. */
static const struct lw_rig *
get_rig(struct view *view, const char *name)
{
	const struct lw_rig *rig = NULL;
	enum lw_status status;

	if (name == NULL && view->status == LW_OK)
		view_got(view, lw_rig_in_hand(view->book, view->arena, &name,
				   &view->last));
	if (name == NULL || name[0] == '\0' || view->status != LW_OK)
		return NULL;
	status = lw_rig_get(view->book, view->arena, name, &rig, &view->last);
	if (status == LW_OK)
		return rig;
	view_fail(view, status);
	return NULL;
}

/* What was typed for an input, the last time; NULL: it was not named. */
static const char *
typed_for(const struct ask *ask, const struct lw_reckon_input *input)
{
	size_t i = ask->typed_count;

	while (i-- > 0)
		if (strcmp(ask->typed[i].key, input->key) == 0)
			return ask->typed[i].value;
	return NULL;
}

/* Whether a text is a word of the input, or another spelling of it. */
static bool
is_word(const struct lw_reckon_input *input, size_t word, const char *text)
{
	return strcmp(input->words[word], text) == 0 ||
	       (input->also != NULL && strcmp(input->also[word], text) == 0);
}

/* The input's word for the one choice that a rig's value is; NULL: none. */
static const char *
choice_word(
    const struct lw_rig_value *value, const struct lw_reckon_input *input)
{
	const char *choice = NULL;
	size_t i;

	for (i = 0; value->value->choices[i] != NULL; i++) {
		if ((value->choices >> i & 1) == 0)
			continue;
		if (choice != NULL)
			return NULL;
		choice = value->value->choices[i];
	}
	for (i = 0;
	     choice != NULL && input->words != NULL && input->words[i] != NULL;
	     i++)
		if (is_word(input, i, choice))
			return input->words[i];
	return NULL;
}

/* What the rig says of an input, as it would be typed; NULL: nothing. What
 * is only usual on a rig is not said by it. */
static const char *
rig_text(const struct ask *ask, const struct lw_reckon_input *input)
{
	const struct lw_rig_value *value =
	    input->rig == NULL ? NULL : lw_rig_value(ask->rig, input->rig);

	if (value == NULL || value->text == NULL ||
	    (value->known != LW_KNOWN_GIVEN && value->known != LW_KNOWN_WORKED))
		return NULL;
	if (value->value->kind == LW_VALUE_CHOICE)
		return choice_word(value, input);
	return input->words == NULL ? value->text : NULL;
}

/* The rig's values, but for what was typed, and then what was typed. A form
 * that was filled in from the rig sends its values back as they were: they
 * are still the rig's. */
static enum lw_status
gather(struct ask *ask)
{
	const struct lw_reckoner *reckoner = ask->reckoner;
	struct lw_reckon_pair *pair;
	const char *text, *typed;
	size_t i, k;

	ask->pairs = arena_array(ask->view->arena,
	    reckoner->input_count + ask->typed_count + 1, sizeof *ask->pairs);
	if (ask->pairs == NULL)
		return view_fail(ask->view, err_no_memory(&ask->view->last));
	for (i = 0; i < ask->typed_count; i++)
		ask->pairs[ask->pair_count++] = ask->typed[i];
	for (i = 0; i < reckoner->input_count; i++) {
		text = rig_text(ask, &reckoner->inputs[i]);
		typed = typed_for(ask, &reckoner->inputs[i]);
		if (text == NULL)
			continue;
		if (typed == NULL) {
			pair = &ask->pairs[ask->pair_count++];
			pair->key = reckoner->inputs[i].key;
			pair->value = text;
			pair->from_rig = true;
			continue;
		}
		for (k = 0; k < ask->typed_count; k++) {
			pair = &ask->pairs[k];
			if (strcmp(pair->key, reckoner->inputs[i].key) == 0)
				pair->from_rig = strcmp(pair->value, text) == 0;
		}
	}
	return LW_OK;
}

/* --- what it takes -------------------------------------------------------- */

/* Values with these units are mostly typed as a number alone, so that a phone
 * may show its keys for numbers. */
static const char *
keypad(const char *unit)
{
	static const char *const plain[] = {
	    "V", "%", "degC", "number", "", "rpm", "mm2"};
	size_t i;

	for (i = 0; i < sizeof plain / sizeof plain[0]; i++)
		if (unit != NULL && strcmp(plain[i], unit) == 0)
			return "decimal";
	return "text";
}

static void
put_words(struct view *view, json_t *object,
    const struct lw_reckon_input *input, const char *value)
{
	json_t *list = view_list(view, object, "words"), *word;
	const char *title, *usual = NULL;
	size_t i;

	for (i = 0; input->words != NULL && input->words[i] != NULL; i++) {
		title = input->word_titles != NULL ? input->word_titles[i]
						   : input->words[i];
		word = view_add(view, list);
		view_words(view, word, "word", input->words[i]);
		view_words(view, word, "title", title);
		view_bool(view, word, "chosen",
		    value != NULL && is_word(input, i, value));
		if (input->usual != NULL &&
		    strcmp(input->usual, input->words[i]) == 0)
			usual = title;
	}
	view_text(view, object, "usual_title", usual);
}

static void
put_input(
    const struct ask *ask, json_t *list, const struct lw_reckon_input *input)
{
	const char *typed = typed_for(ask, input);
	const char *text = rig_text(ask, input);
	const char *value = typed != NULL ? typed : text;
	struct view *view = ask->view;
	json_t *object = view_add(view, list);
	bool plain = input->unit != NULL && strcmp(input->unit, "number") == 0;

	view_words(view, object, "key", input->key);
	view_words(view, object, "title", input->title);
	view_text(view, object, "help", input->help);
	view_text(view, object, "unit", plain ? NULL : input->unit);
	view_words(view, object, "keypad", keypad(input->unit));
	view_bool(view, object, "is_word", input->words != NULL);
	view_bool(view, object, "needed", input->needed);
	view_text(view, object, "usual", input->usual);
	view_text(view, object, "rig_value", text);
	view_bool(
	    view, object, "from_rig", text != NULL && strcmp(text, value) == 0);
	view_text(view, object, "value", value);
	view_null(view, object, "problem");
	put_words(view, object, input, value);
}

/* --- what comes of it ----------------------------------------------------- */

static void
put_given(const struct ask *ask, const struct lw_reckoning *reckoning)
{
	json_t *given = view_object(ask->view, ask->view->root, "given");
	json_t *list = view_list(ask->view, ask->view->root, "taken"), *object;
	static const char *const origins[] = {
	    [LW_RECKON_GIVEN] = "given",
	    [LW_RECKON_RIG] = "rig",
	    [LW_RECKON_USUAL] = "usual",
	};
	size_t i;

	for (i = 0; reckoning != NULL && i < reckoning->given_count; i++) {
		const struct lw_reckon_given *item = &reckoning->given[i];

		view_words(ask->view, given, item->input->key, item->text);
		object = view_add(ask->view, list);
		view_words(ask->view, object, "key", item->input->key);
		view_words(ask->view, object, "title", item->input->title);
		view_words(ask->view, object, "text", item->text);
		view_words(ask->view, object, "origin", origins[item->origin]);
		view_bool(
		    ask->view, object, "is_rig", item->origin == LW_RECKON_RIG);
		view_bool(ask->view, object, "is_usual",
		    item->origin == LW_RECKON_USUAL);
	}
}

/* `results`; `verdict` is the one of that name, which answers what people
 * mostly ask, `ranged` and `has_formulas` say whether
 * any has a range or a formula. */
static void
put_results(struct view *view, const struct lw_reckoning *reckoning)
{
	json_t *list = view_list(view, view->root, "results"), *object;
	const char *verdict = NULL;
	bool any_ranged = false, any_formula = false, is_verdict;
	size_t i;

	for (i = 0; reckoning != NULL && i < reckoning->result_count; i++) {
		const struct lw_reckon_result *result = &reckoning->results[i];
		bool ranged = result->is_number && result->ranged;

		is_verdict = strcmp(result->name, "verdict") == 0;
		verdict = is_verdict ? result->text : verdict;
		any_ranged = any_ranged || ranged;
		any_formula = any_formula || result->formula != NULL;
		object = view_add(view, list);
		view_words(view, object, "name", result->name);
		view_words(view, object, "title", result->title);
		view_bool(view, object, "is_verdict", is_verdict);
		view_bool(view, object, "is_number", result->is_number);
		if (result->is_number)
			view_real(view, object, "value", result->value);
		else
			view_null(view, object, "value");
		view_words(view, object, "unit", result->unit);
		view_words(view, object, "text", result->text);
		if (ranged) {
			view_real(view, object, "low", result->low);
			view_real(view, object, "high", result->high);
		} else {
			view_null(view, object, "low");
			view_null(view, object, "high");
		}
		view_text(
		    view, object, "range", ranged ? result->range_text : NULL);
		view_text(view, object, "formula", result->formula);
	}
	view_text(view, view->root, "verdict", verdict);
	view_bool(view, view->root, "ranged", any_ranged);
	view_bool(view, view->root, "has_formulas", any_formula);
}

static void
put_texts(
    struct view *view, const char *key, const char *const *texts, size_t count)
{
	json_t *list = view_list(view, view->root, key);
	size_t i;

	for (i = 0; i < count; i++)
		view_add_text(view, list, texts[i]);
}

static void
put_reckoning(const struct ask *ask, const struct lw_reckoning *reckoning)
{
	struct view *view = ask->view;

	view_bool(view, view->root, "done", reckoning != NULL);
	put_given(ask, reckoning);
	put_results(view, reckoning);
	put_texts(view, "remarks",
	    reckoning != NULL ? reckoning->remarks : NULL,
	    reckoning != NULL ? reckoning->remark_count : 0);
	put_texts(view, "sources",
	    reckoning != NULL ? reckoning->sources : NULL,
	    reckoning != NULL ? reckoning->source_count : 0);
	view_plot(view, view->root, "plot",
	    reckoning != NULL ? reckoning->plot : NULL);
}

/* The input that a sentence begins with: "resistor: ..."; NULL: none. */
static const struct lw_reckon_input *
input_of(const struct lw_reckoner *reckoner, const char *sentence)
{
	size_t i, n;

	for (i = 0; i < reckoner->input_count; i++) {
		n = strlen(reckoner->inputs[i].key);
		if (strncmp(sentence, reckoner->inputs[i].key, n) == 0 &&
		    sentence[n] == ':')
			return &reckoner->inputs[i];
	}
	return NULL;
}

/* `problem` and `problem_key`, and the sentence without its key at the input
 * that it is about. `sentence` may be NULL. */
static void
put_problem(const struct ask *ask, json_t *inputs, const char *sentence)
{
	const struct lw_reckon_input *input = NULL;
	struct view *view = ask->view;

	if (sentence != NULL)
		input = input_of(ask->reckoner, sentence);
	view_text(view, view->root, "problem", sentence);
	view_text(
	    view, view->root, "problem_key", input != NULL ? input->key : NULL);
	if (input == NULL || view->status != LW_OK)
		return;
	sentence += strlen(input->key) + 1;
	view_text(view,
	    json_array_get(inputs, (size_t)(input - ask->reckoner->inputs)),
	    "problem", sentence + strspn(sentence, " "));
}

/* Reckon, as far as that goes. LW_BAD_INPUT: what was typed would not do;
 * that too little is known before anybody typed is no problem. */
static enum lw_status
reckon(const struct ask *ask, const struct lw_reckoning **reckoning)
{
	struct view *view = ask->view;
	enum lw_status status;

	status = lw_reckon(reckoning, view->arena, ask->reckoner->name,
	    ask->pairs, ask->pair_count, &view->last);
	if (status == LW_OK)
		return LW_OK;
	*reckoning = NULL;
	if (status != LW_BAD_INPUT)
		return view_fail(view, status);
	view->err = view->last;
	return ask->typed_count > 0 ? LW_BAD_INPUT : LW_OK;
}

static enum lw_status
put_all(const struct ask *ask)
{
	const struct lw_reckoner *reckoner = ask->reckoner;
	const struct lw_reckoning *reckoning = NULL;
	struct view *view = ask->view;
	enum lw_status outcome;
	bool rig_says = false;
	json_t *inputs;
	size_t i;

	outcome = reckon(ask, &reckoning);
	put_head(view, view->root, reckoner);
	view_text(
	    view, view->root, "rig", ask->rig != NULL ? ask->rig->rig : NULL);
	view_text(view, view->root, "rig_title",
	    ask->rig != NULL ? ask->rig->title : NULL);
	view_bool(view, view->root, "asked", ask->typed_count > 0);
	inputs = view_list(view, view->root, "inputs");
	for (i = 0; i < reckoner->input_count; i++) {
		put_input(ask, inputs, &reckoner->inputs[i]);
		if (rig_text(ask, &reckoner->inputs[i]) != NULL)
			rig_says = true;
	}
	view_bool(view, view->root, "rig_says", rig_says);
	put_problem(
	    ask, inputs, outcome == LW_BAD_INPUT ? view->err.text : NULL);
	put_reckoning(ask, reckoning);
	return outcome;
}

enum lw_status
lw_view_reckon(struct lw_doc **doc, struct lw_book *book, const char *name,
    const char *rig, const struct lw_reckon_pair *pairs, size_t count,
    struct lw_err *err)
{
	struct ask ask = {.typed = pairs, .typed_count = count};
	enum lw_status outcome = LW_OK, status;
	struct view view;

	view_begin(&view, book);
	ask.view = &view;
	if (view.status == LW_OK) {
		status = lw_reckoner_find(&ask.reckoner, name, &view.last);
		if (status != LW_OK)
			view_fail(&view, status);
	}
	ask.rig = get_rig(&view, rig);
	if (view.status == LW_OK && gather(&ask) == LW_OK)
		outcome = put_all(&ask);
	return view_end(&view, doc, outcome, err);
}
