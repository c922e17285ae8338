/* Makes the checks of a fix and of its last proof; when they are due is left
 * to situation, what their answers mean to answering. */
#include "job/goal.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

static struct lw_check *
new_check(struct shelf *shelf, size_t steps, size_t outcomes)
{
	struct lw_check *check = arena_alloc(shelf->arena, sizeof *check);
	struct lw_instruction *items;
	struct lw_outcome *list;

	if (check == NULL)
		return NULL;
	items = arena_array(shelf->arena, steps, sizeof *items);
	list = arena_array(shelf->arena, outcomes, sizeof *list);
	if (items == NULL || list == NULL)
		return NULL;
	check->steps.items = items;
	check->outcomes = list;
	return check;
}

static void
add_step(struct lw_check *check, const char *text)
{
	struct lw_instruction *items =
	    (struct lw_instruction *)check->steps.items;

	if (text != NULL)
		items[check->steps.count++].text = text;
}

static void
add_outcome(
    struct lw_check *check, const char *id, const char *title, const char *say)
{
	struct lw_outcome *list = (struct lw_outcome *)check->outcomes;
	struct lw_outcome *outcome = &list[check->outcome_count++];

	outcome->id = id;
	outcome->title = title;
	outcome->say = say;
}

static enum lw_status
add_tool(struct lw_check *check, struct lw_arena *arena, const char *text,
    struct lw_err *err)
{
	struct lw_text *tool;

	if (text == NULL)
		return LW_OK;
	tool = arena_alloc(arena, sizeof *tool);
	if (tool == NULL)
		return err_no_memory(err);
	tool->text = text;
	check->tools.items = tool;
	check->tools.count = 1;
	return LW_OK;
}

enum lw_status
goal_fix(const struct lw_check **out, struct shelf *shelf,
    const struct lw_cause *cause, bool begun, struct lw_err *err)
{
	struct lw_check *check = new_check(shelf, 2, 3);

	if (check == NULL)
		return err_no_memory(err);
	check->id = LW_JOB_FIX;
	check->title = arena_printf(shelf->arena, "Fix: %s", cause->title);
	if (check->title == NULL)
		return err_no_memory(err);
	check->ask = begun ? "Is the fix done?" : "Is it this, and is it done?";
	check->power = LW_POWER_ISOLATED;
	add_step(check, cause->fix);
	add_step(check, "Put back, to their marks, all parts and cables that "
			"were taken off.");
	if (!begun)
		add_outcome(check, "begun", "I am at it", NULL);
	add_outcome(check, "fixed", "The fix is done", NULL);
	add_outcome(check, "wrong", "It is not this: the part is sound", NULL);
	check->source = cause->source;
	*out = check;
	return add_tool(check, shelf->arena, cause->tools, err);
}

/* What the job began with: its symptom first, since that is what a person
 * sees; else the lamp. */
static enum lw_status
find_beginning(const struct lw_finding **begun, enum lw_power *power,
    struct shelf *shelf, const struct findings *findings, struct lw_err *err)
{
	const struct lw_symptom *symptom;
	const struct lw_fault *fault;
	enum lw_status status = LW_OK;

	*power = LW_POWER_UNKNOWN;
	*begun = findings_first(findings, LW_FINDING_SYMPTOM);
	if (*begun != NULL) {
		status = shelf_symptom(&symptom, shelf, (*begun)->subject, err);
		if (status == LW_OK && symptom != NULL)
			*power = symptom->again;
	} else {
		*begun = findings_first(findings, LW_FINDING_PATTERN);
		if (*begun != NULL)
			status =
			    shelf_fault(&fault, shelf, (*begun)->outcome, err);
		if (*begun != NULL && status == LW_OK && fault != NULL)
			*power = fault->again;
	}
	if (*power == LW_POWER_UNKNOWN)
		*power = LW_POWER_LIVE_FREE;
	return status;
}

enum lw_status
goal_again(const struct lw_check **out, struct shelf *shelf,
    const struct findings *findings, struct lw_err *err)
{
	struct lw_check *check = new_check(shelf, 3, 3);
	const struct lw_finding *begun;
	enum lw_status status;
	const char *what;

	if (check == NULL)
		return err_no_memory(err);
	status = find_beginning(&begun, &check->power, shelf, findings, err);
	if (status != LW_OK)
		return status;
	what =
	    begun == NULL ? "what it began with"
	    : begun->kind == LW_FINDING_PATTERN && begun->outcome_title != NULL
		? arena_printf(shelf->arena, "%s (%s)", begun->subject,
		      begun->outcome_title)
	    : begun->title != NULL ? begun->title
				   : begun->subject;
	if (what == NULL)
		return err_no_memory(err);
	check->id = LW_JOB_AGAIN;
	check->title = arena_printf(shelf->arena, "Once more: %s", what);
	check->ask = "Is it gone?";
	check->minutes = 5;
	if (check->power > LW_POWER_ISOLATED)
		check->reason = "Only with power on can what was wrong show "
				"itself again. Stop at the first sign of it.";
	add_step(check, "Bring about, gently, what showed the trouble at "
			"first.");
	add_step(check, "Watch the lamp, and look, listen and smell for "
			"anything new.");
	add_step(check, "Do it three times, or as long as it took before.");
	add_outcome(
	    check, "gone", "It is gone, and nothing else is wrong", NULL);
	((struct lw_outcome *)check->outcomes)[0].expected = true;
	add_outcome(check, "still", "It is still there", NULL);
	add_outcome(check, "not-reproduced",
	    "I could not bring it about the way it was", NULL);
	if (check->title == NULL)
		return err_no_memory(err);
	*out = check;
	return LW_OK;
}
