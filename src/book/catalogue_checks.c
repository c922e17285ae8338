/* Reading one check or one tree by its number. */
#include "book/catalogue.h"

#include "book/rows.h"

#include <string.h>

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
		outcome->from_says = query_get_text(&query, arena, 9);
		outcome->has_from =
		    outcome->from_says != NULL || !query_get_null(&query, 2);
		outcome->from = query_get_real(&query, 2);
		outcome->below_says = query_get_text(&query, arena, 10);
		outcome->has_below =
		    outcome->below_says != NULL || !query_get_null(&query, 3);
		outcome->below = query_get_real(&query, 3);
		outcome->expected = query_get_int(&query, 4) != 0;
		outcome->say = query_get_text(&query, arena, 5);
		outcome->enters = rows_power(&query, 6);
		outcome->unproves = query_get_int(&query, 7) != 0;
		outcome->stops = query_get_int(&query, 8) != 0;
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = read_speaks(
		    book, arena, number, outcomes, check->outcome_count, err);
	check->outcomes = outcomes;
	return status;
}

static enum lw_status
read_instructions(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_instructions *steps, struct lw_err *err)
{
	struct query query;
	struct lw_instruction *items = NULL, *instruction;
	size_t room = 0;

	query_start(&query, book, SQL_CHECK_STEPS, err);
	query_int(&query, 1, number);
	while (query_row(&query)) {
		instruction = query_grow(&query, arena, &items, &steps->count,
		    &room, sizeof *instruction);
		if (instruction == NULL)
			break;
		instruction->text = query_get_word(&query, arena, 0);
		rows_rules(&query, arena, 1, &instruction->only);
	}
	steps->items = items;
	return query_end(&query);
}

enum lw_status
catalogue_check(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_check *check, struct lw_err *err)
{
	struct query query;
	enum lw_status status;

	memset(check, 0, sizeof *check);
	status = rows_item(book, arena, number, &check->id, &check->title,
	    &check->source, NULL, err);
	if (status != LW_OK)
		return status;
	if (rows_start(&query, book, SQL_CHECK, number, err)) {
		check->ask = query_get_text(&query, arena, 0);
		check->meter = rows_meter(&query, 1);
		check->unit = query_get_text(&query, arena, 2);
		check->power = rows_power(&query, 3);
		check->reason = query_get_text(&query, arena, 4);
		check->minutes = query_get_real(&query, 5);
		check->black = query_get_text(&query, arena, 6);
		check->red = query_get_text(&query, arena, 7);
		check->mistake = query_get_text(&query, arena, 8);
		rows_rules(&query, arena, 9, &check->only);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status =
		    read_instructions(book, arena, number, &check->steps, err);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_CHECK_POINTS, number, false,
		    &check->points, err);
	if (status == LW_OK)
		status = rows_texts(
		    book, arena, SQL_CHECK_TOOLS, number, &check->tools, err);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_CHECK_AFTER, number, false,
		    &check->after, err);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_CHECK_CAUTIONS, number,
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

static enum lw_status
read_tree_row(struct lw_book *book, struct lw_arena *arena, int64_t number,
    struct lw_tree *tree, struct lw_err *err)
{
	struct query query;

	if (rows_start(&query, book, SQL_TREE, number, err)) {
		tree->walk = query_get_int(&query, 0) != 0;
		tree->description = query_get_text(&query, arena, 1);
		tree->passed = query_get_text(&query, arena, 2);
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
	status = rows_item(book, arena, number, &tree->id, &tree->title,
	    &tree->source, NULL, err);
	if (status == LW_OK)
		status = read_tree_row(book, arena, number, tree, err);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_TREE_FAULTS, number, false,
		    &tree->faults, err);
	if (status == LW_OK)
		status = rows_refs(book, arena, SQL_TREE_SYMPTOMS, number,
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
		rows_rules(&query, arena, 2, &step->only);
	}
	status = query_end(&query);
	if (status == LW_OK)
		status = read_branches(
		    book, arena, number, steps, tree->step_count, err);
	tree->steps = steps;
	return status;
}
