/* Rows of jobs, lent to src/job: the book keeps them, job understands them. */
#ifndef BOOK_JOBS_H
#define BOOK_JOBS_H

#include "book/cures.h"

#include <lampwright/book.h>
#include <lampwright/job.h>

struct book_job {
	int64_t job;
	int64_t created_s;
	const char *rig;    /* its name, or NULL */
	const char *device; /* or NULL */
	const char *lamp;   /* or NULL */
	const char *title;
	const struct lw_finding *findings; /* in order; `undone` not set */
	size_t finding_count;
};

/* Who holds a vehicle, as the book has it. */
struct book_hold {
	bool held; /* there is a row; it may have run out */
	int64_t job;
	const char *screen;
	const char *name;
	int64_t since_s;
	int64_t last_s;
	const char *asker; /* or NULL */
	const char *asker_name;
	int64_t asked_s;
};

/* A vehicle that a screen holds. */
struct book_held {
	int64_t job; /* for which */
	const char *title;
	const char *rig; /* its name, or NULL */
	const char *rig_title;
	int64_t last_s; /* as in book_hold */
};

/* What is to become of a hold. */
struct book_hold_change {
	const char *vehicle;   /* "rig NAME" or "job N" */
	struct book_hold seen; /* as it was read */
	struct book_hold next; /* held false: the row is removed */
};

/* held false where there is none. */
enum lw_status book_hold_get(struct lw_book *book, struct lw_arena *arena,
    const char *vehicle, struct book_hold *hold, struct lw_err *err);

/* What a screen holds, by job; some may have run out. */
enum lw_status book_hold_list(struct lw_book *book, struct lw_arena *arena,
    const char *screen, const struct book_held **held, size_t *count,
    struct lw_err *err);

/* A new job with its first findings, in one transaction. Serials and times
 * of the findings are set here. */
enum lw_status book_job_new(struct lw_book *book, const char *rig,
    const char *device, const char *lamp, const char *title,
    const struct lw_finding *findings, size_t count, int64_t now_s,
    int64_t *job, struct lw_err *err);

/* Whether the last undo, closing or reopening of a job, if there is any, is a
 * closing; *outcome: whether that has one. */
enum lw_status book_job_is_closed(struct lw_book *book, int64_t job,
    bool *closed, bool *outcome, struct lw_err *err);

/*
 * Append findings (maybe none) and change the hold (NULL: not), all in one
 * transaction. `after` is the serial of the last finding that the caller has
 * seen: LW_CONFLICT when there is a later one by now, or when the hold's
 * holder, job or asker are no longer those of `seen`, or another screen is to
 * have it and its holder has done something since. `cured` is what the job has
 * come to with them (NULL: as before). LW_NOT_FOUND: no such job.
 */
enum lw_status book_job_append(struct lw_book *book, int64_t job, int64_t after,
    const struct lw_finding *findings, size_t count,
    const struct book_hold_change *hold, const struct book_cured *cured,
    int64_t now_s, struct lw_err *err);

/* LW_NOT_FOUND: no such job; the sentence says how to list them. */
enum lw_status book_job_load(struct lw_book *book, struct lw_arena *arena,
    int64_t job, const struct book_job **out, struct lw_err *err);

/* All jobs, the last touched first. kind "job", id its number, title,
 * subject the rig's name or "", time_s of the last finding. */
enum lw_status book_job_list(struct lw_book *book, struct lw_arena *arena,
    struct lw_entries *jobs, struct lw_err *err);

#endif
