/* Makes the checks of a fix and of its last proof; when they are due is left
 * to situation, what their answers mean to answering. */
#include "job/goal.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

enum { STEPS = 3, OUTCOMES = 3 };

/* A check that is being made. */
struct made {
	struct lw_check *check;
	struct lw_instruction steps[STEPS];
	struct lw_outcome outcomes[OUTCOMES];
};

static struct made *
new_check(struct shelf *shelf)
{
	struct made *made = arena_alloc(shelf->work, sizeof *made);

	if (made == NULL)
		return NULL;
	made->check = arena_alloc(shelf->work, sizeof *made->check);
	if (made->check == NULL)
		return NULL;
	made->check->steps.items = made->steps;
	made->check->outcomes = made->outcomes;
	return made;
}

static void
add_step(struct made *made, const char *text)
{
	if (text != NULL)
		made->steps[made->check->steps.count++].text = text;
}

static struct lw_outcome *
add_outcome(struct made *made, const char *id, const char *title)
{
	struct lw_outcome *outcome =
	    &made->outcomes[made->check->outcome_count++];

	outcome->id = id;
	outcome->title = title;
	return outcome;
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
	struct made *made = new_check(shelf);
	struct lw_check *check;

	if (made == NULL)
		return err_no_memory(err);
	check = made->check;
	check->id = LW_JOB_FIX;
	check->title = arena_printf(shelf->work, "Fix: %s", cause->title);
	if (check->title == NULL)
		return err_no_memory(err);
	check->ask = begun ? "Is the fix done?" : "Is it this, and is it done?";
	check->power = LW_POWER_ISOLATED;
	add_step(made, cause->fix);
	add_step(made, "Put back, to their marks, all parts and cables that "
		       "were taken off.");
	if (!begun)
		add_outcome(made, "begun", "I am at it");
	add_outcome(made, "fixed", "The fix is done");
	add_outcome(made, "wrong", "It is not this: the part is sound");
	check->source = cause->source;
	*out = check;
	return add_tool(check, shelf->work, cause->tools, err);
}

/* What the job began with: its symptom first, since that is what a person
 * sees; else the lamp. */
static enum lw_status
find_beginning(const struct lw_finding **begun, enum lw_power *power,
    struct shelf *shelf, const struct findings *findings, struct lw_err *err)
{
	const struct lw_symptom *symptom = NULL;
	const struct lw_fault *fault = NULL;
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
	struct made *made = new_check(shelf);
	const struct lw_finding *begun;
	struct lw_check *check;
	enum lw_status status;
	const char *what;

	if (made == NULL)
		return err_no_memory(err);
	check = made->check;
	status = find_beginning(&begun, &check->power, shelf, findings, err);
	if (status != LW_OK)
		return status;
	what =
	    begun == NULL ? "what it began with"
	    : begun->kind == LW_FINDING_PATTERN && begun->outcome_title != NULL
		? arena_printf(shelf->work, "%s (%s)", begun->subject,
		      begun->outcome_title)
	    : begun->title != NULL ? begun->title
				   : begun->subject;
	if (what == NULL)
		return err_no_memory(err);
	check->id = LW_JOB_AGAIN;
	check->title = arena_printf(shelf->work, "Once more: %s", what);
	check->ask = "Is it gone?";
	check->minutes = 5;
	if (check->power > LW_POWER_ISOLATED)
		check->reason = "Only with power on can what was wrong show "
				"itself again. Stop at the first sign of it.";
	add_step(made, "Bring about, gently, what showed the trouble at "
		       "first. Measure where you would have to touch.");
	add_step(made, "Watch the lamp, and look, listen and smell for "
		       "anything new.");
	add_step(made, "Repeat it until you are sure, unless the fix says "
		       "to try it once alone.");
	add_outcome(made, "gone", "It is gone, and nothing else is wrong")
	    ->expected = true;
	add_outcome(made, "still", "It is still there");
	add_outcome(made, "not-reproduced",
	    "I could not bring it about the way it was");
	if (check->title == NULL)
		return err_no_memory(err);
	*out = check;
	return LW_OK;
}
