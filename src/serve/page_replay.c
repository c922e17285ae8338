/* A pattern played, once somebody asks for it, with a still picture of it. */
#include "serve/pages.h"

#include "base/err.h"

#include <lampwright/view.h>

#include <string.h>

/* The same page, moving or not. */
static void
put_link(const struct request *request, struct reply *reply, const char *key,
    const char *play)
{
	struct buf link;

	buf_init(&link, 4096);
	buf_add(&link, "/replay");
	url_add_query(&link, "pattern", form_get(&request->query, "pattern"));
	url_add_query(&link, "device", form_get(&request->query, "device"));
	url_add_query(&link, "lamp", form_get(&request->query, "lamp"));
	url_add_query(&link, "play", play);
	if (link.status == LW_OK)
		reply_text(reply, key, buf_text(&link));
	buf_clear(&link);
}

void
page_replay(const struct request *request, struct reply *reply)
{
	const char *pattern = form_get(&request->query, "pattern");
	const char *device = form_get_or_null(&request->query, "device");
	const char *lamp = form_get_or_null(&request->query, "lamp");
	bool playing = strcmp(form_get(&request->query, "play"), "1") == 0;
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	if (*pattern == '\0') {
		reply_page(reply, 200, "replay", NULL);
	} else if (lw_view_replay(&doc, request->book, pattern, device, lamp,
		       playing, &err) == LW_OK) {
		reply_page(reply, 200, "replay", doc);
		put_link(request, reply, "play_link", "1");
		put_link(request, reply, "stop_link", NULL);
	} else if (err.code == LW_BAD_INPUT || err.code == LW_TOO_BIG) {
		reply_page(reply, 400, "replay", NULL);
		reply_typed(reply, pattern, &err);
	} else {
		reply_failure(reply, &err);
		return;
	}
	reply_text(reply, "asked", pattern);
	pages_carry_device(request, reply);
	reply_text(reply, "for_lamp", lamp);
}
