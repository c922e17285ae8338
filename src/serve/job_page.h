/* What the pages and forms of a job share: which job it is, its page, and
 * what is shown when a form could not be taken. */
#ifndef SERVE_JOB_PAGE_H
#define SERVE_JOB_PAGE_H

#include "serve/reply.h"
#include "serve/request.h"

#include <lampwright/job.h>

/* The job that the address names; 0, which no job has, where it is not a
 * plain number. */
int64_t job_page_of(const struct request *request);

/* On to the job's page, with a word for said.c or NULL. */
void job_page_go(struct reply *reply, int64_t job, const char *said);

/* A failure as a page of one sentence, with a way on: to the list of jobs, or
 * back to the job where it was something else that is not there. */
void job_page_fail(const struct request *request, struct reply *reply,
    const struct lw_err *err);

/* The job in a template, as this screen sees it; false when `reply` has an
 * error instead. */
bool job_page_show(const struct request *request, struct reply *reply,
    unsigned status, const char *template);

/* What a page of the job, at "/jobs/N" and `place`, needs to be followed by
 * its script: `follow`, what page_job_now() answers as long as the page is as
 * the job stands; `page`, its address; `page_job`; and `shown`, the time of
 * day (UTC). Nothing where there is no such job. The page must show the job
 * as it is in `job`; NULL: as it is now. */
void job_page_follow(const struct request *request, struct reply *reply,
    const char *place, const struct lw_job *job);

/* The job's page after a form that could not be taken; after a stale one or
 * one from a screen that does not hold the vehicle too (409), so that the
 * current step is seen. */
void job_page_again(const struct request *request, struct reply *reply,
    const struct lw_err *err);

/* Whether the form is about the job as it stands now; else `reply` shows
 * that. For the forms whose calls take no serial. */
bool job_page_is_current(const struct request *request, struct reply *reply);

/* The serial that a form carries; false where it has none. */
bool job_page_serial(const struct request *request, int64_t *serial);

/* One of the calls that take nothing but who does it. */
typedef enum lw_status job_page_call(struct lw_book *book, int64_t job,
    const struct lw_actor *actor, struct lw_err *err);

/* Do it, and go on to the job's page with a word for said.c. */
void job_page_act(const struct request *request, struct reply *reply,
    job_page_call *call, const char *said);

/* The end of a form: on to the job's page, or that page again. */
void job_page_end(const struct request *request, struct reply *reply,
    enum lw_status status, struct lw_err *err, const char *said);

#endif
