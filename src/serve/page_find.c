/* What a search finds: symptoms first, then the rest. */
#include "serve/pages.h"

#include "base/err.h"

#include <lampwright/pattern.h>
#include <lampwright/view.h>

#include <string.h>

void
page_find(const struct request *request, struct reply *reply)
{
	const char *words = form_get(&request->query, "q");
	struct lw_pattern_readings readings;
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;
	enum lw_status status;

	status = lw_view_find(&doc, request->book, words, &err);
	if (doc == NULL) {
		if (status == LW_BAD_INPUT || status == LW_TOO_BIG)
			page_home_again(request, reply, words, &err);
		else
			reply_failure(reply, &err);
		return;
	}
	reply_page(reply, 200, "find", doc);
	reply_text(reply, "typed", words);
	pages_carry_device(request, reply);
	/* It may have been meant as a pattern. */
	if ((status == LW_NOT_FOUND || strpbrk(words, "0123456789") != NULL) &&
	    lw_pattern_read(&readings, words, NULL, &err) == LW_BAD_INPUT)
		reply_sentence(reply, "as_pattern", err.text);
}
