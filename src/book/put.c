/* What items of every kind put in: their own row, and their lists. */
#include "book/put.h"

#include "base/err.h"
#include "book/catalogue.h"
#include "book/nearest.h"

#include <string.h>

enum { RULES_MAX = 65536 }; /* bytes of rules at one place */

/* The word of an enumeration, NULL for "none" and for "". */
const char *
put_word(const char *word)
{
	return word[0] == '\0' ? NULL : word;
}

const char *
put_power_word(enum lw_power power)
{
	return power == LW_POWER_UNKNOWN ? NULL : lw_power_name(power);
}

void
put_real(struct query *query, int parameter, double value, bool has)
{
	if (has)
		query_real(query, parameter, value);
}

void
put_rules(struct query *query, int parameter, struct buf *joined,
    const struct lw_texts *only)
{
	size_t i;

	buf_init(joined, RULES_MAX);
	for (i = 0; i < only->count; i++)
		buf_printf(
		    joined, "%s%s", i > 0 ? " " : "", only->items[i].text);
	if (query->status == LW_OK)
		query->status = buf_check(joined, query->err);
	if (only->count > 0)
		query_text(query, parameter, buf_text(joined));
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
enum lw_status
put_item_row(struct put *put, const char *kind, size_t seq, const char *id,
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

enum lw_status
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
enum lw_status
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
enum lw_status
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
