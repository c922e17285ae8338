/* Who holds the vehicle: take it, ask for it, hand it over, let it go. Who
 * may is left to the job. */
#include "serve/job_page.h"
#include "serve/pages.h"

void
page_job_take(const struct request *request, struct reply *reply)
{
	job_page_act(request, reply, lw_job_take, "taken");
}

void
page_job_ask(const struct request *request, struct reply *reply)
{
	job_page_act(request, reply, lw_job_ask, "asked");
}

void
page_job_hand(const struct request *request, struct reply *reply)
{
	const struct lw_actor actor = pages_actor(request);
	bool keep = form_get_or_null(&request->body, "keep") != NULL;
	struct lw_err err = {.code = LW_OK};
	enum lw_status status;

	status = lw_job_hand(
	    request->book, job_page_of(request), keep, &actor, &err);
	job_page_end(request, reply, status, &err, keep ? "kept" : "handed");
}

void
page_job_release(const struct request *request, struct reply *reply)
{
	job_page_act(request, reply, lw_job_release, "released");
}
