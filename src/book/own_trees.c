/* The builder's own trees, which no pack ever touches: kept and dropped. What
 * a tree has to be like is left to sound_tree.c, how one is compiled to view.
 */
#include "base/err.h"
#include "book/catalogue.h"
#include "book/nearest.h"
#include "book/put.h"
#include "book/sound_tree.h"

#include <string.h>

static enum lw_status
delete_tree(struct lw_book *book, int64_t number, struct lw_err *err)
{
	struct query query;

	query_start(&query, book, SQL_DELETE_ITEM, err);
	query_int(&query, 1, number);
	return query_run(&query);
}

/* In place of the own one of that id. */
static enum lw_status
keep_tree(struct lw_book *book, struct lw_arena *scratch,
    const struct lw_tree *tree, int64_t now_s, struct lw_err *err)
{
	static const struct lw_pack own = {.name = "own"};
	struct put put = {book, &own, now_s, err};
	const char *owner;
	int64_t number = 0;
	enum lw_status status;

	status = catalogue_owner(
	    book, scratch, "tree", tree->id, &number, &owner, err);
	if (status == LW_OK && owner != NULL && strcmp(owner, "own") != 0)
		status = err_set(err, LW_CONFLICT,
		    "the pack \"%.64s\" has a tree \"%s\"; give yours another "
		    "name",
		    owner, tree->id);
	if (status == LW_OK)
		status = sound_tree(book, scratch, tree, err);
	if (status == LW_OK && owner != NULL)
		status = delete_tree(book, number, err);
	if (status == LW_OK)
		status = put_tree(&put, 0, tree);
	return status;
}

enum lw_status
lw_book_keep_tree(struct lw_book *book, const struct lw_tree *tree,
    int64_t now_s, struct lw_err *err)
{
	struct lw_arena *scratch;
	enum lw_status status;

	status = sound_tree_texts(tree, err);
	if (status != LW_OK)
		return status;
	scratch = lw_arena_new();
	if (scratch == NULL)
		return err_no_memory(err);
	status = store_begin_write(book, err);
	if (status == LW_OK) {
		status = keep_tree(book, scratch, tree, now_s, err);
		status = store_end_write(book, status, err);
	}
	lw_arena_free(scratch);
	return status;
}

static enum lw_status
drop_tree(struct lw_book *book, struct lw_arena *scratch, const char *id,
    struct lw_err *err)
{
	char name[NEAREST_NAME_MAX];
	const char *owner;
	int64_t number = 0;
	enum lw_status status;

	status =
	    catalogue_owner(book, scratch, "tree", id, &number, &owner, err);
	if (status == LW_OK && owner == NULL)
		status = nearest_not_found(book, "tree", id, err);
	if (status == LW_OK && strcmp(owner, "own") != 0)
		status = err_set(err, LW_CONFLICT,
		    "the tree \"%s\" belongs to the pack \"%.64s\"; remove "
		    "that pack instead",
		    nearest_name(name, id), owner);
	if (status == LW_OK)
		status = delete_tree(book, number, err);
	return status;
}

enum lw_status
lw_book_drop_tree(struct lw_book *book, const char *id, struct lw_err *err)
{
	struct lw_arena *scratch = lw_arena_new();
	enum lw_status status;

	if (scratch == NULL)
		return err_no_memory(err);
	status = store_begin_write(book, err);
	if (status == LW_OK) {
		status = drop_tree(book, scratch, id, err);
		status = store_end_write(book, status, err);
	}
	lw_arena_free(scratch);
	return status;
}
