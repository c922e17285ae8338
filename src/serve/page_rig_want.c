/* Settings that are to be read or set once a tool for them is here: the form
 * that puts one on the list, the one that takes it off, and a wish that is to
 * be written down. The page is the ledger's. */
#include "serve/pages.h"
#include "serve/rig_page.h"

#include "base/num.h"

#include <lampwright/rig.h>

static int64_t
number_of(const struct form *form, const char *field)
{
	int64_t number;

	if (!num_parse_int(&number, form_get(form, field)) || number < 0)
		return 0;
	return number;
}

void
page_rig_want(const struct request *request, struct reply *reply)
{
	const struct form *form = &request->body;
	const struct lw_setting_wish wish = {
	    .device = form_get(form, "device"),
	    .setting = form_get(form, "setting"),
	    .value = form_get_or_null(form, "value"),
	    .why = form_get_or_null(form, "why"),
	    .job = rig_page_job(form),
	};
	struct lw_err err = {.code = LW_OK};

	if (lw_setting_want(request->book, rig_page_of(request), &wish,
		request->now_s, NULL, &err) == LW_OK) {
		rig_page_go(reply, rig_page_of(request), "/settings", "wish");
		if (wish.job > 0)
			url_add_query(
			    &reply->location, "job", form_get(form, "job"));
		return;
	}
	if (!rig_page_may_again(reply, &err) ||
	    !rig_page_settings_again(request, reply, &err))
		return;
	reply_bool(reply, "want_open", true);
	reply_text(reply, "want_device", wish.device);
	reply_text(reply, "want_setting", wish.setting);
	reply_text(reply, "want_value", wish.value);
	reply_text(reply, "want_why", wish.why);
}

void
page_rig_unwant(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};
	struct buf settings;

	/* One that is gone already is what was asked for. */
	if (lw_setting_unwant(request->book, number_of(&request->body, "wish"),
		&err) != LW_OK &&
	    err.code != LW_NOT_FOUND) {
		rig_page_fail(reply, &err);
		return;
	}
	buf_init(&settings, 400);
	buf_add(&settings, "/rigs");
	url_add_segment(&settings, rig_page_of(request));
	buf_add(&settings, "/settings");
	pages_go_back(request, reply, buf_text(&settings), "wish-away");
	buf_clear(&settings);
}

void
rig_page_fill_wish(const struct request *request, struct reply *reply)
{
	int64_t number = number_of(&request->query, "wish");
	struct lw_arena *arena = lw_arena_new();
	struct lw_setting_wishes wishes = {0};
	size_t i;

	if (arena == NULL || number == 0 ||
	    lw_setting_wishes(request->book, arena, rig_page_of(request),
		&wishes, NULL) != LW_OK)
		wishes.count = 0;
	for (i = 0; i < wishes.count; i++) {
		const struct lw_setting_wish *wish = &wishes.items[i];

		if (wish->wish != number)
			continue;
		reply_text(reply, "typed_device", wish->device);
		reply_text(reply, "typed_setting", wish->setting);
		reply_text(reply, "typed_became", wish->value);
		reply_text(reply, "typed_why", wish->why);
		if (wish->value != NULL)
			reply_text(reply, "typed_was", wish->last);
		if (wish->job > 0)
			reply_int(reply, "for_job", wish->job);
	}
	lw_arena_free(arena);
}
