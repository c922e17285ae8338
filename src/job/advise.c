/* Puts what was reasoned into a job, with its words; what is shown of it is
 * left to view. */
#include "job/advise.h"

#include "base/arena.h"
#include "base/err.h"
#include "job/reasons.h"

#include <math.h>

enum { NEXT_MAX = 8, DEFERRED_MAX = 20, FIXES_MAX = 8 };

/* A fix is listed where its cause has this share or more. */
static const double FIX_SHARE = 0.01;

static enum lw_status
find_missing(struct lw_next *next, struct lw_arena *arena,
    const struct lw_rig *rig, struct lw_err *err)
{
	const struct lw_texts *tools = &next->check->tools;
	const char **missing;
	size_t i;

	if (tools->count == 0)
		return LW_OK;
	missing = arena_array(arena, tools->count, sizeof *missing);
	if (missing == NULL)
		return err_no_memory(err);
	next->missing = missing;
	for (i = 0; i < tools->count; i++)
		if (weigh_lacks(rig, tools->items[i].text))
			missing[next->missing_count++] = tools->items[i].text;
	return LW_OK;
}

static enum lw_status
put_next(struct lw_next *next, struct shelf *shelf, const struct reasoning *r,
    const struct situation *at, const struct next_choice *choice,
    struct lw_err *err)
{
	enum lw_status status;

	status = shelf_check(
	    &next->check, shelf, r->weighing.speakers[choice->check].id, err);
	if (status != LW_OK || next->check == NULL)
		return status;
	next->bits = choice->bits;
	next->minutes = next->check->minutes;
	next->setup_minutes = reasons_setup(r, choice->check);
	next->why = reasons_next(shelf->arena, r, choice);
	if (next->why == NULL)
		return err_no_memory(err);
	if (choice->yields != REASON_NONE)
		status = shelf_check(&next->yields, shelf,
		    r->weighing.speakers[choice->yields].id, err);
	return status == LW_OK ? find_missing(next, shelf->arena, at->rig, err)
			       : status;
}

static enum lw_status
put_list(const struct lw_next **out, size_t *count, struct shelf *shelf,
    const struct reasoning *r, const struct situation *at,
    const struct next_choice *choices, size_t most, struct lw_err *err)
{
	struct lw_next *list =
	    arena_array(shelf->arena, most + 1, sizeof *list);
	enum lw_status status = LW_OK;
	size_t i;

	*count = 0;
	if (list == NULL)
		return err_no_memory(err);
	for (i = 0; i < most && status == LW_OK; i++) {
		status =
		    put_next(&list[*count], shelf, r, at, &choices[i], err);
		*count += list[*count].check != NULL;
	}
	*out = list;
	return status;
}

static size_t
at_most(size_t count, size_t most)
{
	return count < most ? count : most;
}

static enum lw_status
put_fixes(struct lw_job *job, struct lw_arena *arena, const struct reasoning *r,
    struct lw_err *err)
{
	struct lw_fix *list = arena_array(arena, FIXES_MAX, sizeof *list);
	size_t i;

	if (list == NULL)
		return err_no_memory(err);
	for (i = 0; i < r->play.count && job->fix_count < FIXES_MAX; i++) {
		size_t item = r->order[i];
		const struct play_cause *cause = &r->play.items[item];
		struct lw_fix *fix = &list[job->fix_count];

		if (cause->cause == NULL || r->share[item] < FIX_SHARE)
			continue;
		fix->cause = cause->cause->id;
		fix->title = cause->also == NULL
				 ? cause->cause->title
				 : arena_printf(arena, "%s; and then %s",
				       cause->cause->title, cause->also->title);
		fix->share = r->share[item];
		fix->minutes = weigh_fix_minutes(cause->cause);
		if (cause->also != NULL)
			fix->minutes += weigh_fix_minutes(cause->also);
		if (fix->title == NULL)
			return err_no_memory(err);
		job->fix_count++;
	}
	job->fixes = list;
	return LW_OK;
}

static enum lw_status
put_conflict(struct lw_job *job, struct lw_arena *arena,
    const struct reasoning *r, struct lw_err *err)
{
	job->conflict_bits = r->conflict;
	job->pairs = r->pairs;
	if (r->conflict < REASONING_CONFLICT_BITS || r->rare)
		return LW_OK;
	job->repeat = r->evidence.items[r->repeat];
	job->conflict = reasons_conflict(arena, r);
	return job->conflict == NULL ? err_no_memory(err) : LW_OK;
}

/* Whether a person may still choose: not where something is being fixed or
 * proved, or the job is over or stopped. */
static bool
is_looking(const struct situation *at)
{
	return at->state == LW_JOB_OPEN || at->state == LW_JOB_FOUND ||
	       at->state == LW_JOB_UNDECIDED || at->state == LW_JOB_WAITING;
}

enum lw_status
advise(struct lw_job *job, struct shelf *shelf, const struct reasoning *r,
    const struct situation *at, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	bool ok;

	job->can_leave = at->led != NULL && !at->left && is_looking(at);
	if (!lw_job_is_over(at->state))
		status = put_conflict(job, shelf->arena, r, err);
	if (status != LW_OK || !is_looking(at))
		return status;
	status = put_list(&job->next, &job->next_count, shelf, r, at,
	    r->choices, at_most(r->next.count, NEXT_MAX), err);
	if (status == LW_OK)
		status = put_list(&job->deferred, &job->deferred_count, shelf,
		    r, at, r->late_choices,
		    at_most(r->late.count, DEFERRED_MAX), err);
	if (status == LW_OK)
		status = put_fixes(job, shelf->arena, r, err);
	if (status != LW_OK)
		return status;
	/* A tree or a person leads: nothing is said against it before there is
	 * something to go by. */
	if (at->state == LW_JOB_OPEN && at->purpose != LW_PURPOSE_NEXT &&
	    r->evidence.count == 0)
		return LW_OK;
	job->fix_first = r->next.fix_first && r->fetch == REASON_NONE;
	job->fix_minutes = r->next.fix_now;
	job->check_minutes =
	    isfinite(r->next.fix_after) ? r->next.fix_after : 0;
	job->advice = reasons_advice(&ok, shelf->arena, r);
	return ok ? LW_OK : err_no_memory(err);
}
