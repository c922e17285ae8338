/* The form of a step that asks for a value of the vehicle. What a value may be
 * is left to the job. */
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
