/* Rows of jobs, lent to src/job: the book keeps them, job understands them. */
#ifndef BOOK_JOBS_H
#define BOOK_JOBS_H

#include <lampwright/book.h>
#include <lampwright/job.h>

struct book_job {
	int64_t job;
	int64_t created_s;
	const char *device; /* or NULL */
	const char *lamp;   /* or NULL */
	const char *title;
	const struct lw_finding *findings; /* in order; `undone` not set */
	size_t finding_count;
};

/* A new job with its first findings, in one transaction. Serials and times
 * of the findings are set here. */
enum lw_status book_job_new(struct lw_book *book, const char *device,
    const char *lamp, const char *title, const struct lw_finding *findings,
    size_t count, int64_t now_s, int64_t *job, struct lw_err *err);

/* Append one finding. `after` is the serial of the last finding that the
 * caller has seen: LW_CONFLICT when there is a later one by now.
 * LW_NOT_FOUND: no such job. */
enum lw_status book_job_append(struct lw_book *book, int64_t job,
    int64_t after, const struct lw_finding *finding, int64_t now_s,
    struct lw_err *err);

/* LW_NOT_FOUND: no such job; the sentence says how to list them. */
enum lw_status book_job_load(struct lw_book *book, struct lw_arena *arena,
    int64_t job, const struct book_job **out, struct lw_err *err);

/* All jobs, the last touched first. kind "job", id its number, title,
 * time_s of the last finding. */
enum lw_status book_job_list(struct lw_book *book, struct lw_arena *arena,
    struct lw_entries *jobs, struct lw_err *err);

#endif
