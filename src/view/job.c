/* A job as it stands: its state, what it started from, the step to do, who
 * holds the vehicle. What comes next is worked out in job; reasons, findings
 * and ends have files of their own. */
#include "view/job.h"

#include "view/item.h"

#include "base/err.h"

#include <stdio.h>
#include <string.h>

/* Whether a check or cause may be picked: not where the job is over or
 * stopped, nor while a fix or its proof is under way or waits. */
static bool
can_choose(const struct lw_job *job)
{
	/* A walk-through is led by its steps. */
	if (job->walk != NULL)
		return false;
	return job->state == LW_JOB_OPEN || job->state == LW_JOB_FOUND ||
	       job->state == LW_JOB_UNDECIDED ||
	       (job->state == LW_JOB_WAITING && job->cause == NULL);
}

static void
put_state(struct view *view, const struct lw_job *job)
{
	static const struct {
		const char *key;
		enum lw_job_state state;
	} bools[] = {
	    {"open", LW_JOB_OPEN},
	    {"is_found", LW_JOB_FOUND},
	    {"undecided", LW_JOB_UNDECIDED},
	    {"stopped", LW_JOB_STOPPED},
	    {"closed", LW_JOB_CLOSED},
	    {"waiting", LW_JOB_WAITING},
	    {"fixing", LW_JOB_FIXING},
	    {"proving", LW_JOB_PROVING},
	    {"given_up", LW_JOB_GIVEN_UP},
	    {"is_passed", LW_JOB_PASSED},
	};
	const char *state = lw_job_state_name(job->state);
	json_t *root = view->root;
	size_t i;

	view_words(view, root, "state", state);
	view_words(view, root, "state_title", view_state_title(state));
	for (i = 0; i < sizeof bools / sizeof bools[0]; i++)
		view_bool(
		    view, root, bools[i].key, job->state == bools[i].state);
	view_bool(view, root, "over", lw_job_is_over(job->state));
	view_bool(view, root, "cured", job->cured);
	view_words(view, root, "power", lw_power_name(job->power));
	view_words(view, root, "power_title", lw_power_title(job->power));
	view_bool(view, root, "make_safe", job->make_safe);
	view_bool(view, root, "safe_first",
	    job->step != NULL && job->step->purpose == LW_PURPOSE_SAFE);
	view_bool(view, root, "can_choose", can_choose(job));
	view_bool(view, root, "can_undo", job->can_undo);
}

static void
put_rig(struct view *view, const struct lw_job *job)
{
	const struct lw_rig *rig = job->rig;

	view_text(view, view->root, "rig", job->rig_name);
	view_text(view, view->root, "rig_title",
	    rig != NULL ? rig->title : job->rig_name);
	view_bool(view, view->root, "has_rig", rig != NULL);
}

static void
put_device(struct view *view, const struct lw_job *job)
{
	const struct lw_device *device = NULL;
	json_t *root = view->root, *list;
	size_t i;

	view_text(view, root, "device", job->device);
	if (job->device != NULL && view->status == LW_OK &&
	    !view_got(view, lw_book_device(view->book, view->arena, job->device,
				&device, &view->last)))
		device = NULL;
	view_text(view, root, "device_title",
	    device != NULL ? device->title : job->device);
	view_text(view, root, "lamp", job->lamp);
	list = view_list(view, root, "patterns");
	for (i = 0; i < job->finding_count; i++) {
		const struct lw_finding *finding = &job->findings[i];

		if (finding->kind == LW_FINDING_PATTERN && !finding->undone)
			view_add_text(view, list, finding->subject);
	}
}

static void
put_fault(struct view *view, const char *id)
{
	const struct lw_fault *fault;
	json_t *object;

	if (id == NULL || view->status != LW_OK ||
	    !view_got(view, lw_book_fault(view->book, view->arena, id, &fault,
				&view->last))) {
		view_null(view, view->root, "fault");
		return;
	}
	object = view_object(view, view->root, "fault");
	view_words(view, object, "fault", fault->id);
	view_words(view, object, "title", fault->title);
	view_text(view, object, "meaning", fault->meaning);
	view_text(view, object, "severity", lw_severity_name(fault->severity));
	view_text(view, object, "meanwhile", fault->meanwhile);
	view_bool(view, object, "stops", fault->severity == LW_SEVERITY_STOPS);
}

static void
put_symptom(struct view *view, const char *id)
{
	const struct lw_symptom *symptom;
	json_t *object;

	if (id == NULL || view->status != LW_OK ||
	    !view_got(view, lw_book_symptom(view->book, view->arena, id,
				&symptom, &view->last))) {
		view_null(view, view->root, "symptom");
		return;
	}
	object = view_object(view, view->root, "symptom");
	view_words(view, object, "symptom", symptom->id);
	view_words(view, object, "title", symptom->title);
	view_text(view, object, "description", symptom->description);
	view_cautions(
	    view, view_list(view, object, "cautions"), &symptom->cautions);
}

static void
put_tree(struct view *view, const char *id)
{
	const struct lw_tree *tree;
	json_t *object;

	if (id == NULL || view->status != LW_OK ||
	    !view_got(view, lw_book_tree(view->book, view->arena, id, &tree,
				&view->last))) {
		view_null(view, view->root, "tree");
		return;
	}
	object = view_object(view, view->root, "tree");
	view_words(view, object, "tree", tree->id);
	view_words(view, object, "title", tree->title);
}

static void
put_step(struct view *view, const struct lw_job *job)
{
	json_t *step;

	if (job->step == NULL) {
		view_null(view, view->root, "step");
		return;
	}
	step = view_object(view, view->root, "step");
	view_step(view, step, job->step);
	view_int(view, step, "serial", job->serial);
}

/* Who holds the vehicle, for the screen that looks; one without an id only
 * looks on. */
static void
put_hold(struct view *view, const struct lw_job *job, bool looks_on)
{
	const struct lw_hold *hold = &job->hold;
	json_t *object = view_object(view, view->root, "hold");

	view_bool(view, object, "held", hold->held);
	view_bool(view, object, "mine", hold->mine);
	view_bool(view, object, "free", hold->free);
	view_bool(view, object, "others", hold->held && !hold->mine);
	view_bool(
	    view, object, "may_act", !looks_on && (hold->mine || !hold->held));
	view_text(view, object, "name", hold->held ? hold->name : NULL);
	view_moment(view, object, "since", hold->held ? hold->since_s : 0);
	view_moment(view, object, "until", hold->held ? hold->until_s : 0);
	view_text(view, object, "asker_name", hold->asker_name);
	view_bool(view, object, "asked", hold->asker != NULL);
	view_bool(view, object, "i_ask", hold->i_ask);
	view_number(view, object, "job", hold->held ? hold->job : 0);
	view_bool(
	    view, object, "elsewhere", hold->held && hold->job != job->job);
}

/* What the vehicle's devices said, and which settings were changed. */
static void
put_kept(struct view *view, int64_t job)
{
	struct lw_records records = {0};
	struct lw_settings settings = {0};

	if (view->status == LW_OK &&
	    !view_got(view, lw_record_list(view->book, view->arena, NULL, job,
				&records, &view->last)))
		records.count = 0;
	view_records(view, view_list(view, view->root, "records"), &records);
	if (view->status == LW_OK &&
	    !view_got(view, lw_setting_of_job(view->book, view->arena, job,
				&settings, &view->last)))
		settings.count = 0;
	view_settings(view, view_list(view, view->root, "settings"), &settings);
}

static void
put_times(struct view *view, const struct lw_job *job)
{
	int64_t last = job->created_s, minutes = job->worked_s / 60;
	char worked[48];

	if (job->finding_count > 0)
		last = job->findings[job->finding_count - 1].time_s;
	view_moment(view, view->root, "created", job->created_s);
	view_moment(view, view->root, "last", last);
	if (minutes < 1)
		snprintf(worked, sizeof worked, "under a minute");
	else if (minutes < 60)
		snprintf(worked, sizeof worked, "%d min", (int)minutes);
	else if (minutes % 60 == 0)
		snprintf(
		    worked, sizeof worked, "%lld h", (long long)(minutes / 60));
	else
		snprintf(worked, sizeof worked, "%lld h %d min",
		    (long long)(minutes / 60), (int)(minutes % 60));
	view_text(view, view->root, "worked", worked);
	view_int(view, view->root, "worked_s", job->worked_s);
}

static void
put_job(struct view *view, const struct lw_job *job, bool looks_on)
{
	json_t *root = view->root;
	char number[24];

	view_int(view, root, "job", job->job);
	view_words(view, root, "title", job->title);
	put_state(view, job);
	view_int(view, root, "serial", job->serial);
	put_rig(view, job);
	put_device(view, job);
	put_fault(view, job->fault);
	put_symptom(view, job->symptom);
	put_tree(view, job->tree);
	put_step(view, job);
	view_walk(view, root, job);
	view_reasons(view, root, job);
	view_findings(view, root, job);
	view_ends(view, root, job);
	view_put_aside(view, root, job);
	view_bool(view, root, "has_put_aside", job->put_aside_count > 0);
	snprintf(number, sizeof number, "%lld", (long long)job->job);
	view_notes(view, view_list(view, root, "notes"), "job", number);
	put_hold(view, job, looks_on);
	put_kept(view, job->job);
	put_times(view, job);
}

enum lw_status
lw_view_job_with(struct lw_doc **doc, const struct lw_job **out,
    struct lw_book *book, struct lw_arena *arena, int64_t job,
    const char *screen, int64_t now_s, struct lw_err *err)
{
	enum lw_status status;
	struct view view;

	*out = NULL;
	view_begin(&view, book);
	if (view.status == LW_OK) {
		status = lw_job_get(
		    book, arena, job, screen, now_s, out, &view.last);
		if (status == LW_OK)
			put_job(&view, *out, screen == NULL);
		else
			view_fail(&view, status);
	}
	return view_end(&view, doc, LW_OK, err);
}

enum lw_status
lw_view_job(struct lw_doc **doc, struct lw_book *book, int64_t job,
    const char *screen, int64_t now_s, struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *found;
	enum lw_status status;

	*doc = NULL;
	if (arena == NULL)
		return err_no_memory(err);
	status =
	    lw_view_job_with(doc, &found, book, arena, job, screen, now_s, err);
	lw_arena_free(arena);
	return status;
}
