/* The points of a rig in the builder's own words: plug, pin, wire colour. One
 * small form a point, so that each is kept as it is found. */
#include "serve/pages.h"
#include "serve/rig_page.h"

#include <lampwright/rig.h>
#include <lampwright/view.h>

static bool
show(const struct request *request, struct reply *reply, unsigned status)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	if (lw_view_rig_points(
		&doc, request->book, rig_page_of(request), &err) != LW_OK) {
		rig_page_fail(reply, &err);
		return false;
	}
	reply_page(reply, status, "points", doc);
	return true;
}

void
page_rig_points(const struct request *request, struct reply *reply)
{
	const char *kept = form_get_or_null(&request->query, "kept");

	if (show(request, reply, 200) && kept != NULL)
		reply_text_in(
		    reply, "points", "point", kept, "just_kept", "Kept.");
}

void
page_rig_point_set(const struct request *request, struct reply *reply)
{
	const char *point = form_get(&request->body, "point");
	const char *words = form_get(&request->body, "words");
	struct lw_err err = {.code = LW_OK};

	if (lw_rig_set_point(request->book, rig_page_of(request), point, words,
		request->now_s, &err) == LW_OK) {
		rig_page_go(reply, rig_page_of(request), "/points", NULL);
		url_add_query(&reply->location, "kept", point);
		/* A point's id is of letters, digits and hyphens. */
		buf_add(&reply->location, "#point-");
		buf_add(&reply->location, point);
	} else if (err.code == LW_NOT_FOUND) {
		rig_page_fail(reply, &err);
	} else if (rig_page_may_again(reply, &err) &&
		   show(request, reply, reply_status_of(err.code))) {
		reply_sentence(reply, "error", err.text);
		reply_text_in(reply, "points", "point", point, "typed", words);
	}
}
