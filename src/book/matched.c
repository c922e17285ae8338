/* The SQL function matched_words, after SQLite's manual of FTS5, section
 * "Custom Auxiliary Functions". Which rows it serves is left to search.c. */
#include "book/matched.h"

#include "book/terms.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

/* Each word is a phrase of the query; count those with an instance here. */
static void
matched_words(const Fts5ExtensionApi *api, Fts5Context *row,
    sqlite3_context *context, int count, sqlite3_value **values)
{
	bool seen[TERMS_MAX] = {false};
	int instances = 0, i, phrase, column, offset, matched = 0;
	int code = api->xInstCount(row, &instances);

	(void)count;
	(void)values;
	for (i = 0; code == SQLITE_OK && i < instances; i++) {
		code = api->xInst(row, i, &phrase, &column, &offset);
		if (code == SQLITE_OK && phrase >= 0 && phrase < TERMS_MAX &&
		    !seen[phrase]) {
			seen[phrase] = true;
			matched++;
		}
	}
	if (code == SQLITE_OK)
		sqlite3_result_int(context, matched);
	else
		sqlite3_result_error_code(context, code);
}

int
matched_register(sqlite3 *db)
{
	sqlite3_stmt *statement = NULL;
	fts5_api *api = NULL;
	int code;

	code = sqlite3_prepare_v2(db, "SELECT fts5(?1)", -1, &statement, NULL);
	if (code != SQLITE_OK)
		return code;
	sqlite3_bind_pointer(statement, 1, &api, "fts5_api_ptr", NULL);
	sqlite3_step(statement);
	code = sqlite3_finalize(statement);
	if (code != SQLITE_OK)
		return code;
	if (api == NULL)
		return SQLITE_ERROR;
	return api->xCreateFunction(
	    api, "matched_words", NULL, matched_words, NULL);
}
