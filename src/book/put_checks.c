/* Putting in checks with their outcomes, and trees with their steps. */
#include "book/put.h"

#include "book/catalogue.h"
#include "book/index.h"

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
	put_real(&query, 5, outcome->from,
	    outcome->has_from && outcome->from_says == NULL);
	put_real(&query, 6, outcome->below,
	    outcome->has_below && outcome->below_says == NULL);
	query_int(&query, 7, outcome->expected);
	query_text(&query, 8, outcome->say);
	query_text(&query, 9, put_power_word(outcome->enters));
	query_int(&query, 10, outcome->unproves);
	query_int(&query, 11, outcome->stops);
	query_text(&query, 12, outcome->from_says);
	query_text(&query, 13, outcome->below_says);
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
put_instruction(struct put *put, int64_t number, size_t seq,
    const struct lw_instruction *instruction)
{
	struct query query;
	struct buf rules;
	enum lw_status status;

	query_start(&query, put->book, SQL_PUT_CHECK_STEP, put->err);
	query_int(&query, 1, number);
	query_int(&query, 2, (int64_t)seq);
	query_text(&query, 3, instruction->text);
	put_rules(&query, 4, &rules, &instruction->only);
	status = query_run(&query);
	buf_clear(&rules);
	return status;
}

/* The row that every check has. */
static enum lw_status
put_check_row(struct put *put, int64_t number, const struct lw_check *check)
{
	struct query query;
	struct buf rules;
	enum lw_status status;

	query_start(&query, put->book, SQL_PUT_CHECK, put->err);
	query_int(&query, 1, number);
	query_text(&query, 2, check->ask);
	query_text(&query, 3, put_word(lw_meter_name(check->meter)));
	query_text(&query, 4, check->unit);
	query_text(&query, 5, put_power_word(check->power));
	query_text(&query, 6, check->reason);
	query_real(&query, 7, check->minutes);
	query_text(&query, 8, check->black);
	query_text(&query, 9, check->red);
	query_text(&query, 10, check->mistake);
	put_rules(&query, 11, &rules, &check->only);
	status = query_run(&query);
	buf_clear(&rules);
	return status;
}

enum lw_status
put_check(struct put *put, size_t seq, const struct lw_check *check)
{
	int64_t number = 0;
	enum lw_status status;
	size_t i;

	status = put_item_row(put, "check", seq, check->id, check->title,
	    check->source, &check->at, &number);
	if (status == LW_OK)
		status = put_check_row(put, number, check);
	for (i = 0; i < check->steps.count && status == LW_OK; i++)
		status =
		    put_instruction(put, number, i, &check->steps.items[i]);
	if (status == LW_OK)
		status =
		    put_ids(put, SQL_PUT_CHECK_POINT, number, &check->points);
	if (status == LW_OK)
		status =
		    put_texts(put, SQL_PUT_CHECK_TOOL, number, &check->tools);
	if (status == LW_OK)
		status =
		    put_ids(put, SQL_PUT_CHECK_AFTER, number, &check->after);
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
	struct buf rules;
	enum lw_status status;
	size_t i;

	query_start(&query, put->book, SQL_PUT_TREE_STEP, put->err);
	query_int(&query, 1, number);
	query_int(&query, 2, (int64_t)seq);
	query_text(&query, 3, step->id);
	query_text(&query, 4, step->check);
	put_rules(&query, 5, &rules, &step->only);
	status = query_run(&query);
	buf_clear(&rules);
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

enum lw_status
put_tree(struct put *put, size_t seq, const struct lw_tree *tree)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;
	size_t i;

	status = put_item_row(put, "tree", seq, tree->id, tree->title,
	    tree->source, &tree->at, &number);
	if (status != LW_OK)
		return status;
	query_start(&query, put->book, SQL_PUT_TREE, put->err);
	query_int(&query, 1, number);
	query_int(&query, 2, tree->walk);
	query_text(&query, 3, tree->description);
	query_text(&query, 4, tree->passed);
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
