/* Runs one template case through the renderer; comparing is the caller's. */
#include "reference/fill_case.h"

#include "fill/doc.h"
#include "fill/fill.h"

#include <stdlib.h>
#include <string.h>

enum lw_status
fill_case(struct buf *out, json_t *test, struct lw_err *err)
{
	json_t *template = json_object_get(test, "template");
	json_t *data = json_object_get(test, "data");
	json_t *partials = json_object_get(test, "partials");
	const char *kind = json_string_value(json_object_get(test, "kind"));
	struct asset *table =
	    calloc(json_object_size(partials) + 1, sizeof *table);
	struct fill_source from = {.table = table};
	struct lw_doc doc = {.root = data};
	struct lw_doc *empty = NULL;
	const char *name;
	json_t *text;
	size_t count = 0;
	enum lw_status status = LW_NO_MEMORY;

	if (table == NULL)
		goto out;
	json_object_foreach(partials, name, text)
	{
		table[count].name = name;
		table[count].data =
		    (const unsigned char *)json_string_value(text);
		table[count++].size = json_string_length(text);
	}
	if (data == NULL) {
		status = fill_doc_empty(&empty, err);
		if (status != LW_OK)
			goto out;
	}
	status = fill_string(out, &from,
	    kind != NULL && strcmp(kind, "text") == 0 ? FILL_TEXT : FILL_HTML,
	    json_string_value(template), json_string_length(template),
	    data == NULL ? empty : &doc, err);
out:
	lw_doc_free(empty);
	free(table);
	return status;
}
