/* The builder's own trees, which no pack ever touches; how one is made is left
 * to view. */
#include "base/err.h"
#include "book/catalogue.h"
#include "book/nearest.h"
#include "book/put.h"
#include "book/query.h"
#include "book/texts.h"

#include <string.h>

enum { TITLE_MAX = 100 };

/* Whether the book has what a tree names. */
static enum lw_status
check_there(struct lw_book *book, struct lw_arena *scratch, const char *kind,
    const char *id, struct lw_err *err)
{
	const char *owner;
	enum lw_status status;

	status = catalogue_owner(book, scratch, kind, id, NULL, &owner, err);
	if (status == LW_OK && owner == NULL)
		status = nearest_not_found(book, kind, id, err);
	return status;
}

static enum lw_status
check_all_there(struct lw_book *book, struct lw_arena *scratch,
    const struct lw_tree *tree, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i, b;

	for (i = 0; i < tree->faults.count && status == LW_OK; i++)
		status = check_there(
		    book, scratch, "fault", tree->faults.items[i].id, err);
	for (i = 0; i < tree->symptoms.count && status == LW_OK; i++)
		status = check_there(
		    book, scratch, "symptom", tree->symptoms.items[i].id, err);
	for (i = 0; i < tree->step_count && status == LW_OK; i++) {
		const struct lw_step *step = &tree->steps[i];

		status = check_there(book, scratch, "check", step->check, err);
		for (b = 0; b < step->branch_count && status == LW_OK; b++)
			if (step->branches[b].kind == LW_BRANCH_CAUSE)
				status = check_there(book, scratch, "cause",
				    step->branches[b].target, err);
	}
	return status;
}

static enum lw_status
delete_tree(struct lw_book *book, int64_t number, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_DELETE_ITEM, err);
	query_int(&query, 1, number);
	return query_run(&query);
}

enum lw_status
lw_book_keep_tree(struct lw_book *book, const struct lw_tree *tree,
    int64_t now_s, struct lw_err *err)
{
	static const struct lw_pack own = {.name = "own"};
	struct put put = {book, &own, now_s, err};
	char name[NEAREST_NAME_MAX];
	struct lw_arena *scratch;
	const char *owner;
	int64_t number = 0;
	enum lw_status status;

	if (!texts_is_id(tree->id))
		return err_set(err, LW_BAD_INPUT,
		    "\"%s\" cannot name a tree; a name has a-z, 0-9 and "
		    "hyphens, begins with a letter, and has at most 64",
		    nearest_name(name, tree->id));
	status = texts_check("the title", tree->title, TITLE_MAX, false, err);
	if (status != LW_OK)
		return status;
	scratch = lw_arena_new();
	if (scratch == NULL)
		return err_no_memory(err);
	status = store_begin_write(book, err);
	if (status != LW_OK)
		goto out;
	status = catalogue_owner(
	    book, scratch, "tree", tree->id, &number, &owner, err);
	if (status == LW_OK && owner != NULL && strcmp(owner, "own") != 0)
		status = err_set(err, LW_CONFLICT,
		    "the pack \"%.64s\" has a tree \"%s\"; give yours another "
		    "name",
		    owner, tree->id);
	if (status == LW_OK)
		status = check_all_there(book, scratch, tree, err);
	if (status == LW_OK && owner != NULL)
		status = delete_tree(book, number, err);
	if (status == LW_OK)
		status = put_tree(&put, 0, tree);
	status = store_end_write(book, status, err);
out:
	lw_arena_free(scratch);
	return status;
}

enum lw_status
lw_book_drop_tree(struct lw_book *book, const char *id, struct lw_err *err)
{
	struct lw_arena *scratch = lw_arena_new();
	const char *owner;
	int64_t number = 0;
	enum lw_status status;

	if (scratch == NULL)
		return err_no_memory(err);
	status = store_begin_write(book, err);
	if (status != LW_OK)
		goto out;
	status =
	    catalogue_owner(book, scratch, "tree", id, &number, &owner, err);
	if (status == LW_OK && owner == NULL)
		status = nearest_not_found(book, "tree", id, err);
	if (status == LW_OK && strcmp(owner, "own") != 0)
		status = err_set(err, LW_CONFLICT,
		    "the tree \"%s\" belongs to the pack \"%.64s\"; remove "
		    "that pack instead",
		    id, owner);
	if (status == LW_OK)
		status = delete_tree(book, number, err);
	status = store_end_write(book, status, err);
out:
	lw_arena_free(scratch);
	return status;
}
