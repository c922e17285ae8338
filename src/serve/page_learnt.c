/* What closed jobs have taught, and the form that begins to count anew.
 * Counting is left to the book. */
#include "serve/pages.h"

#include <lampwright/view.h>

/* False: `reply` has an error instead. */
static bool
show(const struct request *request, struct reply *reply, unsigned status,
    const char *device)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	lw_view_learnt(&doc, request->book, device, &err);
	if (doc == NULL) {
		reply_failure(reply, &err);
		reply_text(reply, "way", "/learnt");
		reply_text(reply, "way_title", "What all jobs have taught");
		return false;
	}
	reply_page(reply, status, "learnt", doc);
	return true;
}

void
page_learnt(const struct request *request, struct reply *reply)
{
	show(request, reply, 200, form_get_or_null(&request->query, "device"));
}

/* What is forgotten cannot be counted again, so a tick has to say it. */
void
page_learnt_forget(const struct request *request, struct reply *reply)
{
	const char *device = form_get_or_null(&request->body, "device");
	struct lw_err err = {.code = LW_OK};

	if (form_get_or_null(&request->body, "sure") == NULL) {
		if (show(request, reply, 400, device)) {
			reply_bool(reply, "forget_open", true);
			reply_sentence(reply, "error",
			    "nothing is changed: tick that the counts are to "
			    "go, then press the button");
		}
		return;
	}
	if (lw_book_forget(request->book, device, request->now_s, &err) !=
	    LW_OK) {
		reply_failure(reply, &err);
		return;
	}
	reply_see_other(reply);
	buf_add(&reply->location, "/learnt");
	url_add_query(&reply->location, "device", device);
	url_add_query(&reply->location, "said", "forgotten");
}
