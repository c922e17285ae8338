/* Rows of jobs and of their findings, which are only ever added to. What
 * they mean is left to src/job. */
#include "book/jobs.h"

#include "base/arena.h"
#include "base/err.h"
#include "book/holds.h"
#include "book/put.h"
#include "book/query.h"
#include "book/rows.h"

#include <inttypes.h>
#include <math.h>

static enum lw_status
no_job(int64_t job, struct lw_err *err)
{
	return err_set(err, LW_NOT_FOUND,
	    "there is no job %" PRId64
	    "; `lampwright job list` shows those there are",
	    job);
}

static enum lw_status
put_finding(struct lw_book *book, int64_t job, int64_t serial,
    const struct lw_finding *finding, int64_t now_s, struct lw_err *err)
{
	struct query query;

	if (finding->has_value && isnan(finding->value))
		return err_set(
		    err, LW_BAD_INPUT, "a reading has to be a number, or OL");
	query_start(&query, book, SQL_PUT_FINDING, err);
	query_int(&query, 1, job);
	query_int(&query, 2, serial);
	query_int(&query, 3, now_s);
	query_int(&query, 4, (int64_t)finding->kind);
	query_text(&query, 5, finding->subject);
	query_text(&query, 6, finding->title);
	query_text(&query, 7, finding->outcome);
	query_text(&query, 8, finding->outcome_title);
	if (finding->has_value)
		query_real(&query, 9, finding->value);
	query_text(&query, 10, finding->unit);
	query_text(&query, 11, finding->expected);
	query_text(&query, 12, finding->words);
	query_text(&query, 13, finding->ask);
	query_text(&query, 14, finding->about);
	query_text(&query, 15, put_power_word(finding->power));
	query_text(&query, 16, put_power_word(finding->leads));
	query_int(&query, 17, finding->passed);
	query_text(&query, 18, finding->stop);
	query_text(&query, 19, finding->say);
	put_real(&query, 20, finding->step, finding->step > 0);
	put_real(&query, 21, finding->spread, finding->spread > 0);
	query_text(&query, 22, finding->also);
	return query_run(&query);
}

/* The findings take the serials after `after`. */
static enum lw_status
put_findings(struct lw_book *book, int64_t job, int64_t after,
    const struct lw_finding *findings, size_t count, int64_t now_s,
    struct lw_err *err)
{
	enum lw_status status = LW_OK;
	size_t i;

	for (i = 0; i < count && status == LW_OK; i++)
		status = put_finding(book, job, after + 1 + (int64_t)i,
		    &findings[i], now_s, err);
	return status;
}

enum lw_status
book_job_new(struct lw_book *book, const char *rig, const char *device,
    const char *lamp, const char *title, const struct lw_finding *findings,
    size_t count, int64_t now_s, int64_t *job, struct lw_err *err)
{
	struct query query;
	int64_t number = 0;
	enum lw_status status;

	*job = 0;
	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	query_start(&query, book, SQL_NEW_JOB, err);
	query_int(&query, 1, now_s);
	query_text(&query, 2, device);
	query_text(&query, 3, lamp);
	query_text(&query, 4, title);
	query_text(&query, 5, rig);
	if (query_row(&query))
		number = query_get_int(&query, 0);
	status = query_run(&query);
	if (status == LW_OK)
		status =
		    put_findings(book, number, 0, findings, count, now_s, err);
	status = store_end_write(book, status, err);
	if (status == LW_OK)
		*job = number;
	return status;
}

static enum lw_status
last_serial(
    struct lw_book *book, int64_t job, int64_t *serial, struct lw_err *err)
{
	struct query query;
	bool found = false;
	enum lw_status status;

	query_start(&query, book, SQL_LAST_SERIAL, err);
	query_int(&query, 1, job);
	if (query_row(&query)) {
		found = true;
		*serial = query_get_int(&query, 0);
	}
	status = query_end(&query);
	if (status == LW_OK && !found)
		status = no_job(job, err);
	return status;
}

enum lw_status
book_job_append(struct lw_book *book, int64_t job, int64_t after,
    const struct lw_finding *findings, size_t count,
    const struct book_hold_change *hold, const struct book_cured *cured,
    int64_t now_s, struct lw_err *err)
{
	int64_t last = 0;
	enum lw_status status;

	status = store_begin_write(book, err);
	if (status != LW_OK)
		return status;
	status = last_serial(book, job, &last, err);
	if (status == LW_OK && last != after)
		status = err_set(err, LW_CONFLICT,
		    "job %" PRId64 " has gone on: its last finding is %" PRId64
		    ", not %" PRId64 "; look at it again",
		    job, last, after);
	if (status == LW_OK && hold != NULL)
		status = holds_change(book, hold, err);
	if (status == LW_OK)
		status =
		    put_findings(book, job, after, findings, count, now_s, err);
	if (status == LW_OK && cured != NULL)
		status = cures_put(book, job, cured, now_s, err);
	return store_end_write(book, status, err);
}

static enum lw_status
read_findings(struct lw_book *book, struct lw_arena *arena,
    struct book_job *out, struct lw_err *err)
{
	struct query query;
	struct lw_finding *items = NULL, *finding;
	size_t room = 0;

	query_start(&query, book, SQL_FINDINGS, err);
	query_int(&query, 1, out->job);
	while (query_row(&query)) {
		finding = query_grow(&query, arena, &items, &out->finding_count,
		    &room, sizeof *finding);
		if (finding == NULL)
			break;
		finding->serial = query_get_int(&query, 0);
		finding->time_s = query_get_int(&query, 1);
		finding->kind = (enum lw_finding_kind)query_get_int(&query, 2);
		finding->subject = query_get_text(&query, arena, 3);
		finding->title = query_get_text(&query, arena, 4);
		finding->outcome = query_get_text(&query, arena, 5);
		finding->outcome_title = query_get_text(&query, arena, 6);
		finding->has_value = !query_get_null(&query, 7);
		finding->value = query_get_real(&query, 7);
		finding->unit = query_get_text(&query, arena, 8);
		finding->expected = query_get_text(&query, arena, 9);
		finding->words = query_get_text(&query, arena, 10);
		finding->ask = query_get_text(&query, arena, 11);
		finding->about = query_get_text(&query, arena, 12);
		finding->power = rows_power(&query, 13);
		finding->leads = rows_power(&query, 14);
		finding->passed = query_get_int(&query, 15) != 0;
		finding->stop = query_get_text(&query, arena, 16);
		finding->say = query_get_text(&query, arena, 17);
		finding->step = query_get_real(&query, 18);
		finding->spread = query_get_real(&query, 19);
		finding->also = query_get_text(&query, arena, 20);
	}
	out->findings = items;
	return query_end(&query);
}

enum lw_status
book_job_is_closed(struct lw_book *book, int64_t job, bool *closed,
    bool *outcome, struct lw_err *err)
{
	struct query query;

	*closed = *outcome = false;
	query_start(&query, book, SQL_LAST_END, err);
	query_int(&query, 1, job);
	query_int(&query, 2, LW_FINDING_UNDO);
	query_int(&query, 3, LW_FINDING_CLOSE);
	query_int(&query, 4, LW_FINDING_REOPEN);
	if (query_row(&query)) {
		*closed = query_get_int(&query, 0) == LW_FINDING_CLOSE;
		*outcome = query_get_int(&query, 1) != 0;
	}
	return query_end(&query);
}

static enum lw_status
read_job(struct lw_book *book, struct lw_arena *arena, struct book_job *out,
    struct lw_err *err)
{
	struct query query;
	bool found = false;
	enum lw_status status;

	query_start(&query, book, SQL_JOB, err);
	query_int(&query, 1, out->job);
	if (query_row(&query)) {
		found = true;
		out->created_s = query_get_int(&query, 0);
		out->device = query_get_text(&query, arena, 1);
		out->lamp = query_get_text(&query, arena, 2);
		out->title = query_get_word(&query, arena, 3);
		out->rig = query_get_text(&query, arena, 4);
	}
	status = query_end(&query);
	if (status == LW_OK && !found)
		status = no_job(out->job, err);
	if (status == LW_OK)
		status = read_findings(book, arena, out, err);
	return status;
}

enum lw_status
book_job_load(struct lw_book *book, struct lw_arena *arena, int64_t job,
    const struct book_job **out, struct lw_err *err)
{
	struct book_job *loaded = arena_alloc(arena, sizeof *loaded);
	enum lw_status status;

	*out = NULL;
	if (loaded == NULL)
		return err_no_memory(err);
	loaded->job = job;
	status = store_begin_read(book, err);
	if (status != LW_OK)
		return status;
	status = read_job(book, arena, loaded, err);
	if (status == LW_OK)
		*out = loaded;
	return store_end_read(book, status);
}

enum lw_status
book_job_list(struct lw_book *book, struct lw_arena *arena,
    struct lw_entries *jobs, struct lw_err *err)
{
	struct query query;
	struct lw_entry *items = NULL, *entry;
	size_t room = 0;

	jobs->items = NULL;
	jobs->count = 0;
	query_start(&query, book, SQL_JOBS, err);
	while (query_row(&query)) {
		entry = query_grow(
		    &query, arena, &items, &jobs->count, &room, sizeof *entry);
		if (entry == NULL)
			break;
		entry->kind = "job";
		entry->id = query_get_word(&query, arena, 0);
		entry->title = query_get_word(&query, arena, 1);
		entry->detail = "";
		entry->subject_kind = "";
		entry->time_s = query_get_int(&query, 2);
		entry->subject = query_get_word(&query, arena, 3);
		entry->own = true;
	}
	jobs->items = items;
	return query_end(&query);
}
