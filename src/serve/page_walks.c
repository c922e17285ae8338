/* The walk-throughs, each with a button that begins it for a rig: the one
 * that is named, or else the one in hand. */
#include "serve/pages.h"

#include "base/err.h"

#include <lampwright/view.h>

void
page_walks(const struct request *request, struct reply *reply)
{
	const char *rig = form_get_or_null(&request->query, "rig");
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	lw_view_walks(&doc, request->book, rig, &err);
	if (doc == NULL) {
		reply_failure(reply, &err);
		reply_text(reply, "way", "/walks");
		reply_text(reply, "way_title", "All walk-throughs");
		return;
	}
	reply_page(reply, 200, "walks", doc);
}
