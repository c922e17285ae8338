/* What a pattern means, on the chosen device or on all. */
#include "serve/pages.h"

#include "base/err.h"

#include <lampwright/view.h>

void
page_read(const struct request *request, struct reply *reply)
{
	const char *pattern = form_get(&request->query, "pattern");
	const char *device = form_get_or_null(&request->query, "device");
	const char *lamp = form_get_or_null(&request->query, "lamp");
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;
	enum lw_status status;

	status = lw_view_read(&doc, request->book, pattern, device, lamp, &err);
	if (doc == NULL) {
		if (status == LW_BAD_INPUT || status == LW_TOO_BIG)
			page_home_again(request, reply, pattern, &err);
		else
			reply_failure(reply, &err);
		return;
	}
	/* That a code is unknown is an answer too. */
	reply_page(reply, 200, "read", doc);
	if (status != LW_OK)
		reply_sentence(reply, "sentence", err.text);
	pages_carry_device(request, reply);
}
