/* Whole-file matters of a book: its check and its change counter. Copies are
 * left to save.c. */
#include "base/err.h"
#include "book/query.h"

#include <string.h>

static enum lw_status
damaged(const struct lw_book *book, struct lw_err *err, const char *what)
{
	return err_set(err, LW_CORRUPT,
	    "the book %.150s is damaged: %.200s; put a saved copy in its "
	    "place",
	    book->path, what);
}

static enum lw_status
check_file(struct lw_book *book, struct lw_err *err)
{
	struct query query;
	char what[200];

	what[0] = '\0';
	query_start(&query, book, SQL_CHECK_FILE, err);
	if (query_row(&query) && strcmp(query_peek(&query, 0), "ok") != 0)
		sqlite3_snprintf(
		    sizeof what, what, "%s", query_peek(&query, 0));
	if (query_end(&query) != LW_OK)
		return query.status;
	/* It may run over several lines; a sentence does not. */
	what[strcspn(what, "\n")] = '\0';
	return what[0] == '\0' ? LW_OK : damaged(book, err, what);
}

/* A statement that answers with the first thing wrong, by its columns. */
static enum lw_status
check_none(struct lw_book *book, enum statement which, const char *what,
    struct lw_err *err)
{
	struct query query;
	char text[200];

	text[0] = '\0';
	query_start(&query, book, which, err);
	if (query_row(&query)) {
		const char *one = query_peek(&query, 0);
		const char *other = sqlite3_column_count(query.statement) > 1
					? query_peek(&query, 1)
					: "";

		sqlite3_snprintf(sizeof text, text, "%s %s%s%s", what, one,
		    other[0] == '\0' ? "" : " ", other);
	}
	if (query_end(&query) != LW_OK)
		return query.status;
	return text[0] == '\0' ? LW_OK : damaged(book, err, text);
}

/* FTS5 looks into its index by a statement that writes nothing and needs
 * the right to; a book that may only be read goes without. */
static enum lw_status
check_index(struct lw_book *book, enum statement which, struct lw_err *err)
{
	struct query query;

	if (sqlite3_db_readonly(book->db, "main") == 1)
		return LW_OK;
	query_start(&query, book, which, err);
	return query_run(&query);
}

static enum lw_status
check_all(struct lw_book *book, struct lw_err *err)
{
	static const struct {
		enum statement which;
		const char *what;
	} checks[] = {
	    {SQL_CHECK_HOLD_JOBS, "no job is behind the hold of"},
	    {SQL_CHECK_HOLD_VEHICLES, "there is no vehicle behind the hold of"},
	    {SQL_CHECK_IN_HAND, "there is no rig behind the one in hand,"},
	    {SQL_CHECK_REFERENCES, "a reference leads nowhere in"},
	    {SQL_CHECK_SERIALS, "a finding is missing in job"},
	    {SQL_CHECK_CURES, "nothing was found to be gone in the cured job"},
	    {SQL_CHECK_ITEMS_INDEXED, "the index lacks the"},
	    {SQL_CHECK_INDEX_ITEMS, "the index has an unknown item,"},
	    {SQL_CHECK_NOTES_INDEXED, "the index lacks note"},
	    {SQL_CHECK_INDEX_NOTES, "the index has an unknown note,"},
	};
	enum lw_status status;
	size_t i;

	status = check_file(book, err);
	for (i = 0; i < sizeof checks / sizeof checks[0]; i++)
		if (status == LW_OK)
			status = check_none(
			    book, checks[i].which, checks[i].what, err);
	if (status == LW_OK)
		status = check_index(book, SQL_CHECK_ITEM_TEXT, err);
	if (status == LW_OK)
		status = check_index(book, SQL_CHECK_NOTE_TEXT, err);
	return status;
}

enum lw_status
lw_book_check(struct lw_book *book, struct lw_err *err)
{
	enum lw_status status;

	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	return store_end_read(book, check_all(book, err));
}

enum lw_status
lw_book_change(struct lw_book *book, int64_t *change, struct lw_err *err)
{
	struct query query;

	*change = 0;
	query_start(&query, book, SQL_CHANGE, err);
	if (query_row(&query))
		*change = query_get_int(&query, 0);
	return query_end(&query);
}
