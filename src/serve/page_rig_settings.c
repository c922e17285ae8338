/* The settings ledger of a rig: its history, how it stood on a day, what
 * differs between two, the list that puts settings back; and a new entry. */
#include "serve/pages.h"
#include "serve/rig_page.h"

#include <lampwright/rig.h>
#include <lampwright/view.h>

static const struct lw_ledger_days whole;

/* False: there is no page, and `err` says why. */
static bool
show(const struct request *request, struct reply *reply, unsigned status,
    const struct lw_ledger_days *days, struct lw_err *err)
{
	struct lw_doc *doc = NULL;

	lw_view_settings(&doc, request->book, rig_page_of(request), days,
	    request->now_s, err);
	if (doc == NULL)
		return false;
	reply_page(reply, status, "settings", doc);
	/* Where the forms of wishes lead back to. */
	reply_textf(
	    reply, "wish_back", "/rigs/%s/settings", rig_page_of(request));
	if (rig_page_job(&request->query) > 0)
		reply_int(reply, "for_job", rig_page_job(&request->query));
	return true;
}

void
page_rig_settings(const struct request *request, struct reply *reply)
{
	const struct lw_ledger_days days = {
	    .on = form_get_or_null(&request->query, "on"),
	    .from = form_get_or_null(&request->query, "from"),
	    .to = form_get_or_null(&request->query, "to"),
	    .back = form_get_or_null(&request->query, "back"),
	};
	struct lw_err err = {.code = LW_OK}, other = {.code = LW_OK};

	if (show(request, reply, 200, &days, &err)) {
		rig_page_fill_device(request, reply);
		rig_page_fill_wish(request, reply);
		return;
	}
	/* A day that is none leaves the whole ledger to be looked at. */
	if (err.code == LW_BAD_INPUT &&
	    show(request, reply, 400, &whole, &other))
		reply_sentence(reply, "error", err.text);
	else
		rig_page_fail(reply, &err);
}

bool
rig_page_settings_again(const struct request *request, struct reply *reply,
    const struct lw_err *why)
{
	const struct lw_err first = *why;
	struct lw_err other = {.code = LW_OK};
	int64_t job = rig_page_job(&request->body);

	if (!show(
		request, reply, reply_status_of(first.code), &whole, &other)) {
		rig_page_fail(reply, &other);
		return false;
	}
	reply_sentence(reply, "error", first.text);
	if (job > 0)
		reply_int(reply, "for_job", job);
	return true;
}

void
page_rig_setting_add(const struct request *request, struct reply *reply)
{
	const struct form *form = &request->body;
	const struct lw_setting setting = {
	    .device = form_get(form, "device"),
	    .setting = form_get(form, "setting"),
	    .was = form_get_or_null(form, "was"),
	    .became = form_get(form, "became"),
	    .why = form_get_or_null(form, "why"),
	    .job = rig_page_job(form),
	};
	struct lw_err err = {.code = LW_OK};
	int64_t entry;

	if (lw_setting_add(request->book, rig_page_of(request), &setting,
		request->now_s, &entry, &err) == LW_OK) {
		rig_page_go(
		    reply, rig_page_of(request), "/settings", "setting");
		/* The next one is mostly for the same job. */
		if (setting.job > 0)
			url_add_query(
			    &reply->location, "job", form_get(form, "job"));
		return;
	}
	if (!rig_page_may_again(reply, &err) ||
	    !rig_page_settings_again(request, reply, &err))
		return;
	reply_text(reply, "typed_device", setting.device);
	reply_text(reply, "typed_setting", setting.setting);
	reply_text(reply, "typed_was", setting.was);
	reply_text(reply, "typed_became", setting.became);
	reply_text(reply, "typed_why", setting.why);
}
