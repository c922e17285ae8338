/* The first page: one box, the devices, the open jobs. What was typed is
 * sorted out in page_ask.c. */
#include "serve/pages.h"

#include "base/err.h"

#include <lampwright/view.h>

void
pages_carry_device(const struct request *request, struct reply *reply)
{
	const char *id = form_get_or_null(&request->query, "device");
	const struct lw_device *device;
	struct lw_arena *arena = NULL;

	if (id == NULL || (arena = lw_arena_new()) == NULL)
		return;
	if (lw_book_device(request->book, arena, id, &device, NULL) == LW_OK) {
		reply_text(reply, "for_device", device->id);
		reply_text(reply, "for_device_title",
		    device->title != NULL ? device->title : device->id);
	}
	lw_arena_free(arena);
}

void
pages_go_back(const struct request *request, struct reply *reply,
    const char *otherwise, const char *said)
{
	const char *back = form_get(&request->body, "back");

	reply_see_other(reply);
	buf_add(&reply->location, url_is_local(back) ? back : otherwise);
	url_add_query(&reply->location, "said", said);
}

struct lw_actor
pages_actor(const struct request *request)
{
	return (struct lw_actor){
	    .screen = request->screen.id,
	    .name = request->screen.name,
	    .now_s = request->now_s,
	};
}

static bool
show_home(const struct request *request, struct reply *reply, unsigned status)
{
	struct lw_doc *doc = NULL;
	struct lw_err err = {.code = LW_OK};

	if (lw_view_home(&doc, request->book, request->now_s, &err) != LW_OK) {
		reply_failure(reply, &err);
		return false;
	}
	reply_page(reply, status, "home", doc);
	pages_carry_device(request, reply);
	return true;
}

void
page_home(const struct request *request, struct reply *reply)
{
	show_home(request, reply, 200);
}

void
page_home_again(const struct request *request, struct reply *reply,
    const char *typed, const struct lw_err *why)
{
	if (show_home(request, reply, reply_status_of(why->code)))
		reply_typed(reply, typed, why);
}

void
page_about(const struct request *request, struct reply *reply)
{
	(void)request;
	reply_page(reply, 200, "about", NULL);
}
