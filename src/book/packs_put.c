/* Putting a pack in: its items, row by row, in one transaction. What the
 * items are worth is left to the pack's lint, reading them back to
 * catalogue.c. */
#include "base/err.h"
#include "book/catalogue.h"
#include "book/index.h"
#include "book/nearest.h"
#include "book/query.h"

#include <stdio.h>
#include <string.h>

/* What the functions here share while one pack is put in. */
struct put {
	struct lw_book *book;
	const struct lw_pack *pack;
	int64_t now_s;
	struct lw_err *err;
};

/* The word of an enumeration, NULL for "none" and for "". */
static const char *
word_or_null(const char *word)
{
	return word[0] == '\0' ? NULL : word;
}

static const char *
power_word(enum lw_power power)
{
	return power == LW_POWER_UNKNOWN ? NULL : lw_power_name(power);
}

static void
real_or_null(struct query *query, int parameter, double value, bool has)
{
	if (has)
		query_real(query, parameter, value);
}

static enum lw_status
id_taken(struct put *put, const char *kind, const char *id,
    const struct lw_where *at, const char *owner)
{
	char name[NEAREST_NAME_MAX], other[NEAREST_NAME_MAX];

	nearest_name(name, id);
	nearest_name(other, owner);
	if (strcmp(owner, put->pack->name) == 0)
		return err_set_at(put->err, LW_BAD_INPUT, at->line, at->column,
		    "the pack has the %s \"%s\" twice; give one another id",
		    kind, name);
	if (strcmp(owner, "own") == 0)
		return err_set_at(put->err, LW_CONFLICT, at->line, at->column,
		    "the %s \"%s\" is one of your own; give one of the two "
		    "another id",
		    kind, name);
	return err_set_at(put->err, LW_CONFLICT, at->line, at->column,
	    "the %s \"%s\" belongs to the pack \"%s\"; give it another id, "
	    "or remove that pack first",
	    kind, name, other);
}

/* The row that every item has. Earlier items of the pack are gone by now, so
 * that whoever has the id is somebody else. */
static enum lw_status
put_item(struct put *put, const char *kind, size_t seq, const char *id,
    const char *title, const char *source, const struct lw_where *at,
    int64_t *number)
{
	struct query query;
	struct lw_arena *scratch;
	const char *owner = NULL;
	enum lw_status status;

	if (id == NULL || title == NULL)
		return err_set_at(put->err, LW_BAD_INPUT, at->line, at->column,
		    "a %s needs an id and a title", kind);
	scratch = lw_arena_new();
	if (scratch == NULL)
		return err_no_memory(put->err);
	status = catalogue_owner(
	    put->book, scratch, kind, id, NULL, &owner, put->err);
	if (status == LW_OK && owner != NULL)
		status = id_taken(put, kind, id, at, owner);
	lw_arena_free(scratch);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_ITEM, put->err);
	query_text(&query, 1, kind);
	query_text(&query, 2, id);
	query_text(&query, 3, put->pack->name);
	query_int(&query, 4, (int64_t)seq);
	query_text(&query, 5, title);
	query_text(&query, 6, source);
	query_int(&query, 7, put->now_s);
	if (query_row(&query))
		*number = query_get_int(&query, 0);
	return query_run(&query);
}

static enum lw_status
put_texts(struct put *put, enum statement which, int64_t number,
    const struct lw_texts *texts)
{
	struct query query;
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < texts->count && status == LW_OK; i++) {
		query_start(&query, put->book, which, put->err);
		query_int(&query, 1, number);
		query_int(&query, 2, (int64_t)i);
		query_text(&query, 3, texts->items[i].text);
		status = query_run(&query);
	}
	return status;
}

/* References that take no word. */
static enum lw_status
put_ids(struct put *put, enum statement which, int64_t number,
    const struct lw_refs *refs)
{
	struct query query;
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < refs->count && status == LW_OK; i++) {
		query_start(&query, put->book, which, put->err);
		query_int(&query, 1, number);
		query_int(&query, 2, (int64_t)i);
		query_text(&query, 3, refs->items[i].id);
		status = query_run(&query);
	}
	return status;
}

/* References with a weight. */
static enum lw_status
put_weights(struct put *put, enum statement which, int64_t number,
    const struct lw_refs *refs)
{
	struct query query;
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < refs->count && status == LW_OK; i++) {
		query_start(&query, put->book, which, put->err);
		query_int(&query, 1, number);
		query_int(&query, 2, (int64_t)i);
		query_text(&query, 3, refs->items[i].id);
		query_text(&query, 4, refs->items[i].word);
		status = query_run(&query);
	}
	return status;
}

static enum lw_status
put_lamp(
    struct put *put, int64_t number, size_t seq, const struct lw_lamp *lamp)
{
	struct query query;

	query_start(&query, put->book, SQL_PUT_LAMP, put->err);
	query_int(&query, 1, number);
	query_int(&query, 2, (int64_t)seq);
	query_text(&query, 3, lamp->id);
	query_text(&query, 4, lamp->title);
	query_text(&query, 5, lamp->colour);
	query_text(&query, 6, word_or_null(lw_coding_name(lamp->coding)));
	real_or_null(&query, 7, lamp->on_s, lamp->on_s > 0);
	real_or_null(&query, 8, lamp->gap_s, lamp->gap_s > 0);
	real_or_null(&query, 9, lamp->group_gap_s, lamp->group_gap_s > 0);
	real_or_null(&query, 10, lamp->pause_s, lamp->pause_s > 0);
	query_text(&query, 11, lamp->slow);
	query_text(&query, 12, lamp->fast);
	query_text(&query, 13, lamp->flicker);
	query_text(&query, 14, lamp->source);
	return query_run(&query);
}

static enum lw_status
put_code(
    struct put *put, int64_t number, size_t seq, const struct lw_code *code)
{
	struct query query;

	query_start(&query, put->book, SQL_PUT_CODE, put->err);
	query_int(&query, 1, number);
	query_int(&query, 2, (int64_t)seq);
	query_text(&query, 3, code->lamp);
	query_text(&query, 4, code->pattern);
	query_text(&query, 5, code->fault);
	query_text(&query, 6, code->meaning);
	return query_run(&query);
}

static enum lw_status
put_device(struct put *put, size_t seq, const struct lw_device *device)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;
	size_t i;

	status = put_item(put, "device", seq, device->id, device->title,
	    device->source, &device->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_DEVICE, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, device->kind);
	query_text(&query, 3, device->description);
	query_int(&query, 4, device->invented);
	status = query_run(&query);
	for (i = 0; i < device->lamp_count && status == LW_OK; i++)
		status = put_lamp(put, number, i, &device->lamps[i]);
	for (i = 0; i < device->code_count && status == LW_OK; i++)
		status = put_code(put, number, i, &device->codes[i]);
	if (status == LW_OK)
		status = index_device(put->book, number, put->err);
	return status;
}

static enum lw_status
put_fault(struct put *put, size_t seq, const struct lw_fault *fault)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	status = put_item(put, "fault", seq, fault->id, fault->title,
	    fault->source, &fault->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_FAULT, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, fault->meaning);
	query_text(&query, 3, word_or_null(lw_severity_name(fault->severity)));
	query_text(&query, 4, fault->clears);
	query_text(&query, 5, fault->meanwhile);
	status = query_run(&query);
	if (status == LW_OK)
		status = put_weights(
		    put, SQL_PUT_FAULT_CAUSE, number, &fault->causes);
	if (status == LW_OK)
		status = index_fault(put->book, number, fault, put->err);
	return status;
}

static enum lw_status
put_symptom(struct put *put, size_t seq, const struct lw_symptom *symptom)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	status = put_item(put, "symptom", seq, symptom->id, symptom->title,
	    symptom->source, &symptom->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_SYMPTOM, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, symptom->description);
	status = query_run(&query);
	if (status == LW_OK)
		status = put_texts(
		    put, SQL_PUT_SYMPTOM_PHRASE, number, &symptom->phrases);
	if (status == LW_OK)
		status = put_texts(
		    put, SQL_PUT_SYMPTOM_PATTERN, number, &symptom->patterns);
	if (status == LW_OK)
		status = put_weights(
		    put, SQL_PUT_SYMPTOM_CAUSE, number, &symptom->causes);
	if (status == LW_OK)
		status = put_ids(
		    put, SQL_PUT_SYMPTOM_CAUTION, number, &symptom->cautions);
	if (status == LW_OK)
		status = index_symptom(put->book, number, symptom, put->err);
	return status;
}

static enum lw_status
put_cause(struct put *put, size_t seq, const struct lw_cause *cause)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	status = put_item(put, "cause", seq, cause->id, cause->title,
	    cause->source, &cause->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_CAUSE, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, cause->weight);
	query_text(&query, 3, cause->why);
	query_text(&query, 4, cause->fix);
	query_text(&query, 5, cause->parts);
	query_text(&query, 6, cause->proof);
	status = query_run(&query);
	if (status == LW_OK)
		status = index_cause(put->book, number, cause, put->err);
	return status;
}

static enum lw_status
put_point(struct put *put, size_t seq, const struct lw_point *point)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	status = put_item(put, "point", seq, point->id, point->title, NULL,
	    &point->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_POINT, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, point->where);
	return query_run(&query);
}

/* A caution's title is its hazard. */
static enum lw_status
put_caution(struct put *put, size_t seq, const struct lw_caution *caution)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;
	int power;

	status = put_item(put, "caution", seq, caution->id, caution->hazard,
	    caution->source, &caution->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_CAUTION, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, word_or_null(lw_signal_name(caution->signal)));
	query_text(&query, 3, caution->avoid);
	query_text(&query, 4, caution->where);
	query_text(&query, 5, caution->otherwise);
	status = query_run(&query);
	for (power = LW_POWER_ISOLATED;
	     power < LW_POWER_COUNT && status == LW_OK; power++) {
		if (!caution->states[power])
			continue;
		query_start(&query, put->book, SQL_PUT_CAUTION_STATE, put->err);
		query_int(&query, 1, number);
		query_text(&query, 2, lw_power_name((enum lw_power)power));
		status = query_run(&query);
	}
	return status;
}

static enum lw_status
put_outcome(struct put *put, int64_t number, size_t seq,
    const struct lw_outcome *outcome)
{
	struct query query;
	enum lw_status status;
	size_t i;

	query_start(&query, put->book, SQL_PUT_OUTCOME, put->err);
	query_int(&query, 1, number);
	query_int(&query, 2, (int64_t)seq);
	query_text(&query, 3, outcome->id);
	query_text(&query, 4, outcome->title);
	real_or_null(&query, 5, outcome->from, outcome->has_from);
	real_or_null(&query, 6, outcome->below, outcome->has_below);
	query_int(&query, 7, outcome->expected);
	query_text(&query, 8, outcome->say);
	query_text(&query, 9, power_word(outcome->enters));
	status = query_run(&query);
	for (i = 0; i < outcome->speaks.count && status == LW_OK; i++) {
		query_start(
		    &query, put->book, SQL_PUT_OUTCOME_SPEAKS, put->err);
		query_int(&query, 1, number);
		query_int(&query, 2, (int64_t)seq);
		query_int(&query, 3, (int64_t)i);
		query_text(&query, 4, outcome->speaks.items[i].id);
		query_text(&query, 5, outcome->speaks.items[i].word);
		status = query_run(&query);
	}
	return status;
}

static enum lw_status
put_check(struct put *put, size_t seq, const struct lw_check *check)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;
	size_t i;

	status = put_item(put, "check", seq, check->id, check->title,
	    check->source, &check->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_CHECK, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, check->ask);
	query_text(&query, 3, word_or_null(lw_meter_name(check->meter)));
	query_text(&query, 4, check->unit);
	query_text(&query, 5, power_word(check->power));
	query_text(&query, 6, check->reason);
	query_real(&query, 7, check->minutes);
	query_text(&query, 8, check->black);
	query_text(&query, 9, check->red);
	query_text(&query, 10, check->mistake);
	status = query_run(&query);
	if (status == LW_OK)
		status =
		    put_texts(put, SQL_PUT_CHECK_STEP, number, &check->steps);
	if (status == LW_OK)
		status =
		    put_ids(put, SQL_PUT_CHECK_POINT, number, &check->points);
	if (status == LW_OK)
		status =
		    put_texts(put, SQL_PUT_CHECK_TOOL, number, &check->tools);
	if (status == LW_OK)
		status = put_ids(
		    put, SQL_PUT_CHECK_CAUTION, number, &check->cautions);
	for (i = 0; i < check->outcome_count && status == LW_OK; i++)
		status = put_outcome(put, number, i, &check->outcomes[i]);
	if (status == LW_OK)
		status = index_check(put->book, number, check, put->err);
	return status;
}

static enum lw_status
put_step(
    struct put *put, int64_t number, size_t seq, const struct lw_step *step)
{
	struct query query;
	enum lw_status status;
	size_t i;

	query_start(&query, put->book, SQL_PUT_TREE_STEP, put->err);
	query_int(&query, 1, number);
	query_int(&query, 2, (int64_t)seq);
	query_text(&query, 3, step->id);
	query_text(&query, 4, step->check);
	status = query_run(&query);
	for (i = 0; i < step->branch_count && status == LW_OK; i++) {
		const struct lw_branch *branch = &step->branches[i];

		query_start(&query, put->book, SQL_PUT_TREE_BRANCH, put->err);
		query_int(&query, 1, number);
		query_int(&query, 2, (int64_t)seq);
		query_int(&query, 3, (int64_t)i);
		query_text(&query, 4, branch->outcome);
		query_text(&query, 5, catalogue_branch_word(branch->kind));
		query_text(&query, 6, branch->target);
		status = query_run(&query);
	}
	return status;
}

static enum lw_status
put_tree(struct put *put, size_t seq, const struct lw_tree *tree)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;
	size_t i;

	status = put_item(put, "tree", seq, tree->id, tree->title, tree->source,
	    &tree->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_TREE, put->err);
	query_int(&query, 1, number);
	status = query_run(&query);
	if (status == LW_OK)
		status =
		    put_ids(put, SQL_PUT_TREE_FAULT, number, &tree->faults);
	if (status == LW_OK)
		status =
		    put_ids(put, SQL_PUT_TREE_SYMPTOM, number, &tree->symptoms);
	for (i = 0; i < tree->step_count && status == LW_OK; i++)
		status = put_step(put, number, i, &tree->steps[i]);
	return status;
}

static enum lw_status
put_row(struct put *put)
{
	const struct lw_pack *pack = put->pack;
	struct query query;

	query_start(&query, put->book, SQL_PUT_PACK, put->err);
	query_text(&query, 1, pack->name);
	query_text(&query, 2, pack->title);
	query_text(&query, 3, pack->version);
	query_text(&query, 4, pack->license);
	query_text(&query, 5, pack->source);
	query_text(&query, 6, pack->digest);
	query_int(&query, 7, pack->shipped);
	query_int(&query, 8, put->now_s);
	return query_run(&query);
}

static enum lw_status
put_all(struct put *put)
{
	const struct lw_pack *pack = put->pack;
	enum lw_status status;
	size_t i;

	status = put_row(put);
	for (i = 0; i < pack->device_count && status == LW_OK; i++)
		status = put_device(put, i, &pack->devices[i]);
	for (i = 0; i < pack->fault_count && status == LW_OK; i++)
		status = put_fault(put, i, &pack->faults[i]);
	for (i = 0; i < pack->symptom_count && status == LW_OK; i++)
		status = put_symptom(put, i, &pack->symptoms[i]);
	for (i = 0; i < pack->cause_count && status == LW_OK; i++)
		status = put_cause(put, i, &pack->causes[i]);
	for (i = 0; i < pack->check_count && status == LW_OK; i++)
		status = put_check(put, i, &pack->checks[i]);
	for (i = 0; i < pack->point_count && status == LW_OK; i++)
		status = put_point(put, i, &pack->points[i]);
	for (i = 0; i < pack->tree_count && status == LW_OK; i++)
		status = put_tree(put, i, &pack->trees[i]);
	for (i = 0; i < pack->caution_count && status == LW_OK; i++)
		status = put_caution(put, i, &pack->cautions[i]);
	return status;
}

/* The pack with all its items, out of the tables and out of the index. */
static enum lw_status
take_out(struct lw_book *book, const char *name, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	query_start(&query, book, SQL_UNINDEX_PACK, err);
	query_text(&query, 1, name);
	status = query_run(&query);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_DELETE_PACK, err);
	query_text(&query, 1, name);
	return query_run(&query);
}

enum lw_status
lw_book_put_pack(struct lw_book *book, const struct lw_pack *pack,
    int64_t now_s, struct lw_err *err)
{
	struct put put = {book, pack, now_s, err};
	enum lw_status status;

	if (pack->name == NULL || pack->name[0] == '\0')
		return err_set(err, LW_BAD_INPUT, "the pack has no name");
	if (strcmp(pack->name, "own") == 0)
		return err_set(err, LW_BAD_INPUT,
		    "the pack \"own\" is the builder's; give the pack another "
		    "name");
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = take_out(book, pack->name, err);
	if (status == LW_OK)
		status = put_all(&put);
	return store_end_write(book, status, err);
}

enum lw_status
lw_book_remove_pack(struct lw_book *book, const char *name, struct lw_err *err)
{
	struct lw_pack_state state;
	struct lw_arena *scratch;
	struct query query;
	char shown[NEAREST_NAME_MAX];
	enum lw_status status;

	if (strcmp(name, "own") == 0)
		return err_set(err, LW_BAD_INPUT,
		    "the pack \"own\" is yours and stays; remove your devices "
		    "one by one");
	scratch = lw_arena_new();
	if (scratch == NULL)
		return err_no_memory(err);
	status = store_begin_write(book, err);
	if (status != LW_OK)
		goto out;
	status = lw_book_pack_state(book, scratch, name, &state, err);
	if (status == LW_OK && state.removed)
		status = err_set(err, LW_NOT_FOUND,
		    "the pack \"%s\" has been removed already",
		    nearest_name(shown, name));
	if (status == LW_OK)
		status = take_out(book, name, err);
	if (status == LW_OK && state.shipped) {
		/* So that it is not put in again by itself. */
		query_start(&query, book, SQL_MARK_REMOVED, err);
		query_text(&query, 1, name);
		query_text(&query, 2, state.digest);
		status = query_run(&query);
	}
	status = store_end_write(book, status, err);
out:
	lw_arena_free(scratch);
	return status;
}
