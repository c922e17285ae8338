/* Reading one item by its number, with all that hangs on it. Finding the
 * number by an id, and what is made of several items, is left to lookup.c. */
#include "book/catalogue.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/query.h"

#include <string.h>

const char *const catalogue_kinds[] = {"device", "fault", "symptom", "cause",
    "check", "point", "tree", "caution", NULL};

static const char *const branch_words[] = {
    [LW_BRANCH_STEP] = "step",
    [LW_BRANCH_CAUSE] = "cause",
    [LW_BRANCH_UNSURE] = "unsure",
    [LW_BRANCH_STOP] = "stop",
};

const char *
catalogue_branch_word(enum lw_branch_kind kind)
{
	if ((size_t)kind >= sizeof branch_words / sizeof branch_words[0])
		return NULL;
	return branch_words[kind];
}

/* An unknown word, from a damaged book, is the branch that says least. */
static enum lw_branch_kind
branch_kind(const char *word)
{
	int kind;

	for (kind = LW_BRANCH_STEP; kind <= LW_BRANCH_STOP; kind++)
		if (strcmp(branch_words[kind], word) == 0)
			return (enum lw_branch_kind)kind;
	return LW_BRANCH_UNSURE;
}

/* Words that the book cannot have written leave the enumeration at "none". */
static enum lw_power
get_power(struct query *query, int column)
{
	enum lw_power power = LW_POWER_UNKNOWN;

	if (lw_power_parse(&power, query_peek(query, column), NULL) != LW_OK)
		return LW_POWER_UNKNOWN;
	return power;
}

static enum lw_coding
get_coding(struct query *query, int column)
{
	enum lw_coding coding = LW_CODING_UNKNOWN;

	if (lw_coding_parse(&coding, query_peek(query, column), NULL) != LW_OK)
		return LW_CODING_UNKNOWN;
	return coding;
}

static enum lw_severity
get_severity(struct query *query, int column)
{
	enum lw_severity severity = LW_SEVERITY_NONE;

	if (lw_severity_parse(&severity, query_peek(query, column), NULL) !=
	    LW_OK)
		return LW_SEVERITY_NONE;
	return severity;
}

static enum lw_signal
get_signal(struct query *query, int column)
{
	enum lw_signal signal = LW_SIGNAL_NONE;

	if (lw_signal_parse(&signal, query_peek(query, column), NULL) != LW_OK)
		return LW_SIGNAL_NONE;
	return signal;
}

static enum lw_meter
get_meter(struct query *query, int column)
{
	enum lw_meter meter = LW_METER_NONE;

	if (lw_meter_parse(&meter, query_peek(query, column), NULL) != LW_OK)
		return LW_METER_NONE;
	return meter;
}

/* Start the statement that reads an item's own row, and step to it. */
static bool
start_row(struct query *query, struct lw_book *book, enum statement which,
    int64_t number, struct lw_err *err)
{
	query_start(query, book, which, err);
	query_int(query, 1, number);
	if (query_row(query))
		return true;
	if (query->status == LW_OK)
		query->status = err_set(err, LW_CORRUPT,
		    "the book %.200s is damaged (an item has lost its "
		    "content); put a saved copy in its place",
		    book->path);
	return false;
}

/* What every item has. `source` and `pack` may be NULL. */
static enum lw_status
read_item(struct lw_book *book, struct lw_arena *arena, int64_t number,
    const char **id, const char **title, const char **source, bool *own,
    struct lw_err *err)
{
	struct query query;

	if (start_row(&query, book, SQL_ITEM_BY_NUMBER, number, err)) {
		*id = query_get_word(&query, arena, 0);
		*title = query_get_word(&query, arena, 1);
		if (source != NULL)
			*source = query_get_text(&query, arena, 2);
		if (own != NULL)
			*own = strcmp(query_peek(&query, 3), "own") == 0;
	}
	return query_end(&query);
}

static enum lw_status
read_texts(struct lw_book *book, struct lw_arena *arena, enum statement which,
    int64_t number, struct lw_texts *texts, struct lw_err *err)
{
	struct query query;
	struct lw_text *items = NULL, *text;
	size_t room = 0;

	texts->count = 0;
	query_start(&query, book, which, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		text = query_grow(
		    &query, arena, &items, &texts->count, &room, sizeof *text);
		if (text != NULL)
			text->text = query_get_word(&query, arena, 0);
	}
	texts->items = items;
	return query_end(&query);
}

static enum lw_status
read_refs(struct lw_book *book, struct lw_arena *arena, enum statement which,
    int64_t number, bool words, struct lw_refs *refs, struct lw_err *err)
{
	struct query query;
	struct lw_ref *items = NULL, *ref;
	size_t room = 0;

	refs->count = 0;
	query_start(&query, book, which, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		ref = query_grow(
		    &query, arena, &items, &refs->count, &room, sizeof *ref);
		if (ref == NULL)
			break;
		ref->id = query_get_word(&query, arena, 0);
		if (words)
			ref->word = query_get_text(&query, arena, 1);
	}
	refs->items = items;
	return query_end(&query);
}

static enum lw_status
read_lamps(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_device *device, struct lw_err *err)
{
	struct query query;
	struct lw_lamp *lamps = NULL, *lamp;
	size_t room = 0;

	query_start(&query, book, SQL_LAMPS, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		lamp = query_grow(&query, arena, &lamps, &device->lamp_count,
		    &room, sizeof *lamp);
		if (lamp == NULL)
			break;
		lamp->id = query_get_word(&query, arena, 0);
		lamp->title = query_get_text(&query, arena, 1);
		lamp->colour = query_get_text(&query, arena, 2);
		lamp->coding = get_coding(&query, 3);
		lamp->on_s = query_get_real(&query, 4);
		lamp->gap_s = query_get_real(&query, 5);
		lamp->group_gap_s = query_get_real(&query, 6);
		lamp->pause_s = query_get_real(&query, 7);
		lamp->slow = query_get_text(&query, arena, 8);
		lamp->fast = query_get_text(&query, arena, 9);
		lamp->flicker = query_get_text(&query, arena, 10);
		lamp->source = query_get_text(&query, arena, 11);
	}
	device->lamps = lamps;
	return query_end(&query);
}

/* Codes of a query with the columns lamp, pattern, fault, meaning. */
static enum lw_status
read_codes(struct query *query, struct lw_arena *arena, const char *device,
    bool own, const struct lw_code **out, size_t *count)
{
	struct lw_code *codes = NULL, *code;
	size_t room = 0;

	*count = 0;
	while (query_row(query)) {
		code = query_grow(
		    query, arena, &codes, count, &room, sizeof *code);
		if (code == NULL)
			break;
		code->device = device;
		code->lamp = query_get_word(query, arena, 0);
		code->pattern = query_get_word(query, arena, 1);
		code->fault = query_get_text(query, arena, 2);
		code->meaning = query_get_text(query, arena, 3);
		code->own = own;
	}
	*out = codes;
	return query_end(query);
}

enum lw_status
catalogue_device(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_device *device, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(device, 0, sizeof *device);
	status = read_item(book, arena, number, &device->id, &device->title,
	    &device->source, &device->own, err);
	if (status != LW_OK)
		return status;
	if (start_row(&query, book, SQL_DEVICE, number, err)) {
		device->kind = query_get_text(&query, arena, 0);
		device->description = query_get_text(&query, arena, 1);
		device->invented = query_get_int(&query, 2) != 0;
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = read_lamps(book, arena, number, device, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_CODES, err);
	query_int(&query, 1, number);
	return read_codes(&query, arena, device->id, false, &device->codes,
	    &device->code_count);
}

enum lw_status
catalogue_own_codes(struct lw_book *book, struct lw_arena *arena,
    const char *device, const struct lw_code **codes, size_t *count,
    struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_OWN_CODES, err);
	query_text(&query, 1, device);
	return read_codes(&query, arena, device, true, codes, count);
}

enum lw_status
catalogue_whole_device(struct lw_book *book, struct lw_arena *arena,
    int64_t number, struct lw_device *device, struct lw_err *err)
{
	const struct lw_code *own;
	struct lw_code *all;
	size_t own_count, count, i, j;
	enum lw_status status;

	status = catalogue_device(book, arena, number, device, err);
	if (status != LW_OK)
		return status;
	status =
	    catalogue_own_codes(book, arena, device->id, &own, &own_count, err);
	if (status != LW_OK || own_count == 0)
		return status;
	count = device->code_count;
	all = arena_array(arena, count + own_count, sizeof *all);
	if (all == NULL)
		return err_no_memory(err);
	if (count > 0)
		memcpy(all, device->codes, count * sizeof *all);
	for (i = 0; i < own_count; i++) {
		for (j = 0; j < device->code_count; j++)
			if (strcmp(all[j].lamp, own[i].lamp) == 0 &&
			    strcmp(all[j].pattern, own[i].pattern) == 0)
				break;
		all[j < device->code_count ? j : count++] = own[i];
	}
	device->codes = all;
	device->code_count = count;
	return LW_OK;
}

enum lw_status
catalogue_fault(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_fault *fault, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(fault, 0, sizeof *fault);
	status = read_item(book, arena, number, &fault->id, &fault->title,
	    &fault->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (start_row(&query, book, SQL_FAULT, number, err)) {
		fault->meaning = query_get_text(&query, arena, 0);
		fault->severity = get_severity(&query, 1);
		fault->clears = query_get_text(&query, arena, 2);
		fault->meanwhile = query_get_text(&query, arena, 3);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = read_refs(book, arena, SQL_FAULT_CAUSES, number, true,
		    &fault->causes, err);
	return status;
}

enum lw_status
catalogue_symptom(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_symptom *symptom, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(symptom, 0, sizeof *symptom);
	status = read_item(book, arena, number, &symptom->id, &symptom->title,
	    &symptom->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (start_row(&query, book, SQL_SYMPTOM, number, err))
		symptom->description = query_get_text(&query, arena, 0);
	status = query_end(&query);
	if (status == LW_OK)
		status = read_texts(book, arena, SQL_SYMPTOM_PHRASES, number,
		    &symptom->phrases, err);
	if (status == LW_OK)
		status = read_texts(book, arena, SQL_SYMPTOM_PATTERNS, number,
		    &symptom->patterns, err);
	if (status == LW_OK)
		status = read_refs(book, arena, SQL_SYMPTOM_CAUSES, number,
		    true, &symptom->causes, err);
	if (status == LW_OK)
		status = read_refs(book, arena, SQL_SYMPTOM_CAUTIONS, number,
		    false, &symptom->cautions, err);
	return status;
}

enum lw_status
catalogue_cause(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_cause *cause, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(cause, 0, sizeof *cause);
	status = read_item(book, arena, number, &cause->id, &cause->title,
	    &cause->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (start_row(&query, book, SQL_CAUSE, number, err)) {
		cause->weight = query_get_text(&query, arena, 0);
		cause->why = query_get_text(&query, arena, 1);
		cause->fix = query_get_text(&query, arena, 2);
		cause->parts = query_get_text(&query, arena, 3);
		cause->proof = query_get_text(&query, arena, 4);
	}
	return query_end(&query);
}

enum lw_status
catalogue_point(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_point *point, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(point, 0, sizeof *point);
	status = read_item(
	    book, arena, number, &point->id, &point->title, NULL, NULL, err);
	if (status != LW_OK)
		return status;
	if (start_row(&query, book, SQL_POINT, number, err))
		point->where = query_get_text(&query, arena, 0);
	return query_end(&query);
}

enum lw_status
catalogue_caution(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_caution *caution, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(caution, 0, sizeof *caution);
	status = read_item(book, arena, number, &caution->id, &caution->hazard,
	    &caution->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (start_row(&query, book, SQL_CAUTION, number, err)) {
		caution->signal = get_signal(&query, 0);
		caution->avoid = query_get_text(&query, arena, 1);
		caution->where = query_get_text(&query, arena, 2);
		caution->otherwise = query_get_text(&query, arena, 3);
	}
	status = query_end(&query);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_CAUTION_STATES, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		enum lw_power power = get_power(&query, 0);

		if (power > LW_POWER_UNKNOWN && power < LW_POWER_COUNT)
			caution->states[power] = true;
	}
	return query_end(&query);
}

/* Hang each outcome's causes on it; rows come in the order of outcomes. */
static enum lw_status
read_speaks(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_outcome *outcomes, size_t count, struct lw_err *err)
{
	struct query query;
	struct lw_ref *items = NULL, *ref;
	size_t used = 0, room = 0;
	int64_t at = -1, seq;

	query_start(&query, book, SQL_OUTCOME_SPEAKS, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		seq = query_get_int(&query, 0);
		if (seq < 0 || (uint64_t)seq >= count)
			continue;
		if (seq != at) {
			at = seq;
			items = NULL;
			used = room = 0;
		}
		ref = query_grow(
		    &query, arena, &items, &used, &room, sizeof *ref);
		if (ref == NULL)
			break;
		ref->id = query_get_word(&query, arena, 1);
		ref->word = query_get_text(&query, arena, 2);
		outcomes[at].speaks.items = items;
		outcomes[at].speaks.count = used;
	}
	return query_end(&query);
}

static enum lw_status
read_outcomes(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_check *check, struct lw_err *err)
{
	struct query query;
	struct lw_outcome *outcomes = NULL, *outcome;
	size_t room = 0;
	enum lw_status status;

	query_start(&query, book, SQL_OUTCOMES, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		outcome = query_grow(&query, arena, &outcomes,
		    &check->outcome_count, &room, sizeof *outcome);
		if (outcome == NULL)
			break;
		outcome->id = query_get_word(&query, arena, 0);
		outcome->title = query_get_text(&query, arena, 1);
		outcome->has_from = !query_get_null(&query, 2);
		outcome->from = query_get_real(&query, 2);
		outcome->has_below = !query_get_null(&query, 3);
		outcome->below = query_get_real(&query, 3);
		outcome->expected = query_get_int(&query, 4) != 0;
		outcome->say = query_get_text(&query, arena, 5);
		outcome->enters = get_power(&query, 6);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = read_speaks(
		    book, arena, number, outcomes, check->outcome_count, err);
	check->outcomes = outcomes;
	return status;
}

enum lw_status
catalogue_check(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_check *check, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(check, 0, sizeof *check);
	status = read_item(book, arena, number, &check->id, &check->title,
	    &check->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (start_row(&query, book, SQL_CHECK, number, err)) {
		check->ask = query_get_text(&query, arena, 0);
		check->meter = get_meter(&query, 1);
		check->unit = query_get_text(&query, arena, 2);
		check->power = get_power(&query, 3);
		check->reason = query_get_text(&query, arena, 4);
		check->minutes = query_get_real(&query, 5);
		check->black = query_get_text(&query, arena, 6);
		check->red = query_get_text(&query, arena, 7);
		check->mistake = query_get_text(&query, arena, 8);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = read_texts(
		    book, arena, SQL_CHECK_STEPS, number, &check->steps, err);
	if (status == LW_OK)
		status = read_refs(book, arena, SQL_CHECK_POINTS, number, false,
		    &check->points, err);
	if (status == LW_OK)
		status = read_texts(
		    book, arena, SQL_CHECK_TOOLS, number, &check->tools, err);
	if (status == LW_OK)
		status = read_refs(book, arena, SQL_CHECK_CAUTIONS, number,
		    false, &check->cautions, err);
	if (status == LW_OK)
		status = read_outcomes(book, arena, number, check, err);
	return status;
}

static enum lw_status
read_branches(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_step *steps, size_t count, struct lw_err *err)
{
	struct query query;
	struct lw_branch *items = NULL, *branch;
	size_t used = 0, room = 0;
	int64_t at = -1, seq;

	query_start(&query, book, SQL_TREE_BRANCHES, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		seq = query_get_int(&query, 0);
		if (seq < 0 || (uint64_t)seq >= count)
			continue;
		if (seq != at) {
			at = seq;
			items = NULL;
			used = room = 0;
		}
		branch = query_grow(
		    &query, arena, &items, &used, &room, sizeof *branch);
		if (branch == NULL)
			break;
		branch->outcome = query_get_word(&query, arena, 1);
		branch->kind = branch_kind(query_peek(&query, 2));
		branch->target = query_get_text(&query, arena, 3);
		steps[at].branches = items;
		steps[at].branch_count = used;
	}
	return query_end(&query);
}

enum lw_status
catalogue_tree(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_tree *tree, struct lw_err *err)
{
	struct query query;
	struct lw_step *steps = NULL, *step;
	size_t room = 0;
	enum lw_status status;

	memset(tree, 0, sizeof *tree);
	status = read_item(book, arena, number, &tree->id, &tree->title,
	    &tree->source, NULL, err);
	if (status == LW_OK)
		status = read_refs(book, arena, SQL_TREE_FAULTS, number, false,
		    &tree->faults, err);
	if (status == LW_OK)
		status = read_refs(book, arena, SQL_TREE_SYMPTOMS, number,
		    false, &tree->symptoms, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_TREE_STEPS, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		step = query_grow(&query, arena, &steps, &tree->step_count,
		    &room, sizeof *step);
		if (step == NULL)
			break;
		step->id = query_get_word(&query, arena, 0);
		step->check = query_get_text(&query, arena, 1);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = read_branches(
		    book, arena, number, steps, tree->step_count, err);
	tree->steps = steps;
	return status;
}
