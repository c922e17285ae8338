/* What the pages and forms of a rig share; what each of them does is left to
 * page_rig.c and its sisters. */
#include "serve/rig_page.h"

#include "base/num.h"

#include <lampwright/rig.h>
#include <lampwright/view.h>

#include <string.h>

const char *
rig_page_of(const struct request *request)
{
	return request->path.segments[1];
}

void
rig_page_go(
    struct reply *reply, const char *rig, const char *more, const char *said)
{
	reply_see_other(reply);
	buf_add(&reply->location, "/rigs");
	url_add_segment(&reply->location, rig);
	if (more != NULL)
		buf_add(&reply->location, more);
	url_add_query(&reply->location, "said", said);
}

void
rig_page_fail(struct reply *reply, const struct lw_err *err)
{
	const struct lw_err why = *err;

	reply_failure(reply, &why);
	reply_text(reply, "way", "/rigs");
	reply_text(reply, "way_title", "All rigs");
}

bool
rig_page_show(
    const struct request *request, struct reply *reply, unsigned status)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	if (lw_view_rig(&doc, request->book, rig_page_of(request),
		request->now_s, &err) != LW_OK) {
		rig_page_fail(reply, &err);
		return false;
	}
	reply_page(reply, status, "rig", doc);
	return true;
}

bool
rig_page_may_again(struct reply *reply, const struct lw_err *err)
{
	if (reply_status_of(err->code) != reply_status_of(LW_FAILED))
		return true;
	rig_page_fail(reply, err);
	return false;
}

const char *
rig_page_without_key(const char *sentence, const char *key)
{
	size_t length = strlen(key);

	if (strncmp(sentence, "for ", 4) == 0 &&
	    strncmp(sentence + 4, key, length) == 0 &&
	    strncmp(sentence + 4 + length, ", ", 2) == 0)
		return sentence + 4 + length + 2;
	return sentence;
}

void
rig_page_fill_device(const struct request *request, struct reply *reply)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_rig *rig;

	if (arena != NULL &&
	    lw_rig_get(request->book, arena, rig_page_of(request), &rig,
		NULL) == LW_OK &&
	    rig->device_count == 1)
		reply_text(reply, "typed_device", rig->devices[0].name);
	lw_arena_free(arena);
}

int64_t
rig_page_job(const struct form *form)
{
	int64_t job;

	if (!num_parse_int(&job, form_get(form, "job")) || job < 0)
		return 0;
	return job;
}
