/* The forms that say something of the vehicle: a value that a step asks for,
 * and which tools are at hand. What may be said is left to the job. */
#include "serve/job_page.h"
#include "serve/pages.h"
#include "serve/rig_page.h"

#include "base/err.h"

#include <string.h>

/* The step again, with what was typed and why it could not be taken. */
static void
show_refused(
    const struct request *request, struct reply *reply, struct lw_err *err)
{
	const struct lw_err why = *err;

	job_page_again(request, reply, err);
	if (reply->template == NULL || strcmp(reply->template, "job") != 0 ||
	    why.code == LW_CONFLICT)
		return;
	reply_text(reply, "typed_value", form_get(&request->body, "value"));
	reply_sentence(reply, "value_problem",
	    rig_page_without_key(why.text, form_get(&request->body, "key")));
}

void
page_job_value(const struct request *request, struct reply *reply)
{
	const struct lw_actor actor = pages_actor(request);
	const char *value = form_get(&request->body, "value");
	bool unknown = form_get_or_null(&request->body, "unknown") != NULL;
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;

	if (!unknown && value[strspn(value, " \t")] == '\0')
		status = err_set(&err, LW_BAD_INPUT,
		    "nothing was said; give the value, or press \"Not "
		    "known\"");
	else
		status = lw_job_value(request->book, job_page_of(request),
		    form_get(&request->body, "key"), unknown ? NULL : value,
		    &actor, &err);
	if (status == LW_OK) {
		job_page_go(reply, job_page_of(request), NULL);
		/* Where the band stands that it was asked for. */
		buf_add(&reply->location, "#expect");
	} else {
		show_refused(request, reply, &err);
	}
}

/* The tools that are ticked, fields "tool.NAME", and those typed besides. */
static void
add_tools(struct buf *tools, const struct form *form)
{
	static const char prefix[] = "tool.";
	const char *more = form_get(form, "more");
	size_t i;

	for (i = 0; i < form->count; i++) {
		if (strncmp(form->fields[i].name, prefix, sizeof prefix - 1) !=
		    0)
			continue;
		buf_add(tools, tools->length > 0 ? ", " : "");
		buf_add(tools, form->fields[i].name + sizeof prefix - 1);
	}
	if (more[strspn(more, " \t,")] != '\0') {
		buf_add(tools, tools->length > 0 ? ", " : "");
		buf_add(tools, more);
	}
	if (tools->length == 0)
		buf_add(tools, "none");
}

void
page_job_tools(const struct request *request, struct reply *reply)
{
	const struct lw_actor actor = pages_actor(request);
	struct lw_err err = {.code = LW_OK};
	struct buf tools;

	buf_init(&tools, FORM_BYTES_MAX);
	add_tools(&tools, &request->body);
	if (buf_check(&tools, &err) == LW_OK &&
	    lw_job_value(request->book, job_page_of(request), "tools",
		buf_text(&tools), &actor, &err) == LW_OK) {
		job_page_go(reply, job_page_of(request), "tools");
	} else {
		job_page_again(request, reply, &err);
		if (reply->template != NULL &&
		    strcmp(reply->template, "job") == 0) {
			reply_bool(reply, "tools_open", true);
			reply_text(reply, "typed_tools",
			    form_get(&request->body, "more"));
		}
	}
	buf_clear(&tools);
}
