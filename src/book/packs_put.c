/* Putting a pack in and taking it out, each in one transaction. What the
 * items are worth is left to the pack's lint, reading them back to
 * packs_get.c. */
#include "base/err.h"
#include "book/nearest.h"
#include "book/put.h"

#include <string.h>

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
	for (i = 0; i < pack->value_count && status == LW_OK; i++)
		status = put_value(put, i, &pack->values[i]);
	for (i = 0; i < pack->setting_count && status == LW_OK; i++)
		status = put_known_setting(put, i, &pack->settings[i]);
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
		    "and trees one by one");
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
