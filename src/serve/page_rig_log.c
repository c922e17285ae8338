/* What a rig and its devices said about themselves: hours, firmware, logged
 * faults, live values; and a new record. */
#include "serve/pages.h"
#include "serve/rig_page.h"

#include "base/err.h"
#include "base/num.h"

#include <lampwright/rig.h>
#include <lampwright/view.h>

#include <stdio.h>

static bool
show(const struct request *request, struct reply *reply, unsigned status)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	lw_view_records(&doc, request->book, rig_page_of(request), &err);
	if (doc == NULL) {
		rig_page_fail(reply, &err);
		return false;
	}
	reply_page(reply, status, "log", doc);
	if (rig_page_job(&request->query) > 0)
		reply_int(reply, "for_job", rig_page_job(&request->query));
	return true;
}

void
page_rig_log(const struct request *request, struct reply *reply)
{
	if (!show(request, reply, 200))
		return;
	reply_bool(reply, "kind_fault", true);
	rig_page_fill_device(request, reply);
}

/* The form as a record. Each kind uses the fields that it has. */
static enum lw_status
read_record(
    struct lw_record *record, const struct form *form, struct lw_err *err)
{
	const char *count = form_get(form, "count");

	*record = (struct lw_record){
	    .device = form_get(form, "device"),
	    .subject = form_get_or_null(form, "subject"),
	    .value = form_get_or_null(form, "value"),
	    .words = form_get_or_null(form, "words"),
	    .job = rig_page_job(form),
	};
	if (lw_record_kind_parse(&record->kind, form_get(form, "kind"), err) !=
	    LW_OK)
		return err->code;
	if (count[0] != '\0' && record->kind == LW_RECORD_FAULT) {
		record->has_count = true;
		if (!num_parse_int(&record->count, count) || record->count < 0)
			return err_set(err, LW_BAD_INPUT,
			    "how often it was logged is a whole number, such "
			    "as 3; leave it empty where the device does not "
			    "say");
	}
	if (record->kind == LW_RECORD_FAULT)
		record->value = NULL;
	else if (record->kind != LW_RECORD_LIVE)
		record->subject = NULL;
	return LW_OK;
}

void
page_rig_record_add(const struct request *request, struct reply *reply)
{
	const struct form *form = &request->body;
	struct lw_err err = {.code = LW_OK};
	struct lw_record record;
	int64_t number;
	char key[32];

	if (read_record(&record, form, &err) == LW_OK &&
	    lw_record_add(request->book, rig_page_of(request), &record,
		request->now_s, &number, &err) == LW_OK) {
		rig_page_go(reply, rig_page_of(request), "/log", "record");
		if (record.job > 0)
			url_add_query(
			    &reply->location, "job", form_get(form, "job"));
		return;
	}
	if (!rig_page_may_again(reply, &err) ||
	    !show(request, reply, reply_status_of(err.code)))
		return;
	reply_sentence(reply, "error", err.text);
	snprintf(key, sizeof key, "kind_%.20s", form_get(form, "kind"));
	reply_bool(reply, key, true);
	reply_text(reply, "typed_device", form_get(form, "device"));
	reply_text(reply, "typed_subject", form_get(form, "subject"));
	reply_text(reply, "typed_value", form_get(form, "value"));
	reply_text(reply, "typed_count", form_get(form, "count"));
	reply_text(reply, "typed_words", form_get(form, "words"));
	if (rig_page_job(form) > 0)
		reply_int(reply, "for_job", rig_page_job(form));
}
