/* All jobs with their states; one job in full is left to job.c. */
#include "job/situation.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"

#include <string.h>

/* A job's rows, and what is reckoned from them, are let go again at once; the
 * catalogue is fetched once for all jobs. */
static enum lw_status
state_of(const char **name, struct shelf *shelf, const char *number,
    int64_t now_s, struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	const struct book_job *job;
	struct situation at;
	bool closed, outcome;
	enum lw_status status;
	int64_t id;

	if (arena == NULL)
		return err_no_memory(err);
	shelf->work = arena;
	if (!num_parse_int(&id, number)) {
		status = err_set(err, LW_CORRUPT,
		    "the book lists a job \"%.32s\", which is no number",
		    number);
		goto out;
	}
	/* What is over, as most are in the end, need not be worked out. */
	status = book_job_is_closed(shelf->book, id, &closed, &outcome, err);
	if (status == LW_OK && closed) {
		*name = lw_job_state_name(
		    outcome ? LW_JOB_GIVEN_UP : LW_JOB_CLOSED);
		goto out;
	}
	if (status == LW_OK)
		status = book_job_load(shelf->book, arena, id, &job, err);
	if (status == LW_OK)
		status = situation_find(&at, shelf, job, NULL, now_s, err);
	if (status == LW_OK)
		*name = lw_job_state_name(at.state);
out:
	shelf->work = shelf->arena;
	lw_arena_free(arena);
	return status;
}

enum lw_status
lw_job_list(struct lw_book *book, struct lw_arena *arena, int64_t now_s,
    struct lw_entries *jobs, struct lw_err *err)
{
	struct lw_arena *scratch = lw_arena_new();
	struct lw_entries found = {0};
	struct lw_entry *items = NULL;
	struct shelf shelf;
	enum lw_status status;
	size_t i;

	if (scratch == NULL)
		return err_no_memory(err);
	shelf_init(&shelf, book, scratch);
	status = book_job_list(book, arena, &found, err);
	if (status == LW_NOT_FOUND) {
		found.count = 0;
		status = LW_OK;
	}
	if (status != LW_OK)
		goto out;
	if (found.count > 0) {
		items = arena_array(arena, found.count, sizeof *items);
		if (items == NULL) {
			status = err_no_memory(err);
			goto out;
		}
	}
	for (i = 0; i < found.count; i++) {
		items[i] = found.items[i];
		status =
		    state_of(&items[i].detail, &shelf, items[i].id, now_s, err);
		if (status != LW_OK)
			goto out;
	}
	jobs->items = items;
	jobs->count = found.count;
out:
	lw_arena_free(scratch);
	return status;
}
