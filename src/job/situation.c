/* Works out how a job stands from its findings: what is to be done, and what
 * has to be asked for it. The words of ends are left to ends, what is shown
 * with a step to step, belief to suspects. */
#include "job/situation.h"

#include "base/arena.h"
#include "base/err.h"
#include "job/ends.h"
#include "job/goal.h"
#include "job/proof.h"
#include "job/reasoning.h"
#include "job/through.h"

#include <string.h>

/* --- waiting, and the way back ------------------------------------------- */

/* The wait that lasts: nobody has gone on, nor chosen something, since. */
static const struct lw_finding *
find_wait(const struct findings *findings)
{
	const struct lw_finding *wait = NULL, *item;
	size_t i;

	for (i = 0; i < findings->count; i++) {
		item = &findings->items[i];
		if (item->undone)
			continue;
		if (item->kind == LW_FINDING_WAIT)
			wait = item;
		else if (item->kind == LW_FINDING_RESUME ||
			 item->kind == LW_FINDING_TAKE_UP ||
			 item->kind == LW_FINDING_REOPEN ||
			 item->kind == LW_FINDING_PICK ||
			 item->kind == LW_FINDING_LEAVE ||
			 item->kind == LW_FINDING_SUPPOSE)
			wait = NULL;
	}
	return wait;
}

/* Whether the way back to isolated was asked for, or is due since the vehicle
 * did something by itself, and is still to be done;
 * *aside: a person could not do it. */
static bool
find_wish(const struct lw_finding **aside, const struct findings *findings)
{
	const struct lw_finding *item;
	bool wished = false;
	size_t i;

	*aside = NULL;
	for (i = 0; i < findings->count; i++) {
		item = &findings->items[i];
		if (item->undone)
			continue;
		if (item->kind == LW_FINDING_MAKE_SAFE ||
		    findings_is_bar(item)) {
			wished = true;
			*aside = NULL;
		}
		if (!wished)
			continue;
		if (findings_is_aside(item->kind) && item->subject != NULL &&
		    strcmp(item->subject, LW_JOB_SAFE) == 0)
			*aside = item;
		if (item->kind == LW_FINDING_TAKE_UP)
			*aside = NULL;
		if (item->kind == LW_FINDING_CHECK &&
		    item->power == LW_POWER_ISOLATED)
			wished = false;
	}
	return wished;
}

/* The first answer that says to stop, and was not taken back nor answered
 * anew; NULL for none. */
static const struct lw_finding *
find_stop(const struct findings *findings)
{
	const struct lw_finding *stop = NULL, *item;
	size_t i;

	for (i = 0; i < findings->on_count; i++) {
		item = findings->on[i];
		if (item->stop != NULL && (stop == NULL || item < stop))
			stop = item;
	}
	return stop;
}

/* --- what is to be done -------------------------------------------------- */

static enum lw_status
set_goal(struct situation *at, enum lw_job_state state, enum lw_purpose purpose,
    const struct lw_check *check)
{
	at->state = state;
	at->purpose = purpose;
	at->then = check;
	return LW_OK;
}

/* A check of the book by its id, for a purpose. */
static enum lw_status
set_goal_check(struct situation *at, struct shelf *shelf,
    enum lw_job_state state, enum lw_purpose purpose, const char *id,
    struct lw_err *err)
{
	const struct lw_check *check;
	enum lw_status status;

	status = shelf_check(&check, shelf, id, err);
	if (status != LW_OK)
		return status;
	if (check == NULL)
		return ends_check_gone(at, shelf->work, id, err);
	return set_goal(at, state, purpose, check);
}

/* The fix of a cause: its own step. */
static enum lw_status
go_fix(struct situation *at, struct shelf *shelf, const char *id,
    enum lw_job_state state, struct lw_err *err)
{
	const struct lw_cause *cause;
	const struct lw_check *check;
	enum lw_status status;

	status = shelf_cause(&cause, shelf, id, err);
	if (status != LW_OK)
		return status;
	if (cause == NULL)
		return ends_cause_gone(at, shelf->work, id, err);
	at->cause = cause->id;
	status = proof_find(at, shelf, err);
	if (status == LW_OK && at->repair.check != NULL)
		at->led_by = at->repair.check;
	if (status == LW_OK)
		status =
		    goal_fix(&check, shelf, cause, state == LW_JOB_FIXING, err);
	return status == LW_OK ? set_goal(at, state, LW_PURPOSE_FIX, check)
			       : status;
}

/* The proof of a fix: the cause's own check, then what it began with. */
static enum lw_status
go_prove(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct repair *repair = &at->repair;
	const struct lw_check *check = NULL;
	enum lw_status status;

	at->cause = repair->cause;
	if (!repair->checked && repair->check != NULL) {
		status = shelf_check(&check, shelf, repair->check, err);
		if (status != LW_OK)
			return status;
		if (check != NULL)
			return set_goal(
			    at, LW_JOB_PROVING, LW_PURPOSE_PROOF, check);
	}
	status = goal_again(&check, shelf, &at->findings, err);
	return status == LW_OK
		   ? set_goal(at, LW_JOB_PROVING, LW_PURPOSE_AGAIN, check)
		   : status;
}

static enum lw_status
go_repair(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct repair *repair = &at->repair;

	if (repair->aside != NULL) {
		at->cause = repair->cause;
		return ends_wait_for(
		    at, shelf->work, repair->aside, repair->unseen, err);
	}
	if (repair->phase == REPAIR_FIXED)
		return go_prove(at, shelf, err);
	if (repair->not_taken)
		at->ending =
		    "The check that led here is still not as it should be, so "
		    "the fix has not taken. Do it again, or say that the part "
		    "is sound.";
	return go_fix(at, shelf, repair->cause, LW_JOB_FIXING, err);
}

/* A cause that is certain, by the tree or because a person says so. */
static enum lw_status
go_cause(struct situation *at, struct shelf *shelf, const char *cause,
    struct lw_err *err)
{
	const struct lw_finding *aside = at->repair.aside;

	/* The fix of another cause may wait. */
	if (aside != NULL &&
	    (aside->about == NULL || strcmp(aside->about, cause) == 0)) {
		at->cause = cause;
		return ends_wait_for(at, shelf->work, aside, false, err);
	}
	return go_fix(at, shelf, cause, LW_JOB_FOUND, err);
}

/* What moved by itself is not switched on again before something was fixed,
 * or a person takes it up. */
static bool
is_barred(const struct findings *findings)
{
	bool barred = false;
	size_t i;

	for (i = 0; i < findings->count; i++) {
		const struct lw_finding *item = &findings->items[i];

		if (findings_is_bar(item))
			barred = true;
		else if (!item->undone && (item->kind == LW_FINDING_FIXED ||
					      item->kind == LW_FINDING_TAKE_UP))
			barred = false;
	}
	return barred;
}

enum lw_status
situation_reason(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	struct reasoning *reasoning;
	enum lw_status status;
	bool aside;

	if (at->reasoning != NULL)
		return LW_OK;
	reasoning = arena_alloc(shelf->work, sizeof *reasoning);
	if (reasoning == NULL)
		return err_no_memory(err);
	/* Nothing is switched on for a check that cannot be proved dead, or
	 * that moved by itself. */
	status = ends_proof_put_aside(&aside, at, shelf, err);
	if (status == LW_OK)
		status = reasoning_find(reasoning, shelf, at,
		    aside || is_barred(&at->findings), err);
	if (status == LW_OK)
		at->reasoning = reasoning;
	return status;
}

/* Checks that were put aside where no tree says which count. */
static enum lw_status
find_aside(struct situation *at, struct lw_arena *arena, struct lw_err *err)
{
	const struct findings *findings = &at->findings;
	struct walk *walk = &at->walk;
	size_t i;

	walk->aside = arena_array(
	    arena, findings->on_count + 1, sizeof(const struct lw_finding *));
	if (walk->aside == NULL)
		return err_no_memory(err);
	walk->aside_count = 0;
	for (i = 0; i < findings->count; i++) {
		const struct lw_finding *item = &findings->items[i];

		if (!item->undone && findings_is_aside(item->kind) &&
		    item->subject != NULL && item->subject[0] != '=' &&
		    findings_on(findings, item->subject) == item)
			walk->aside[walk->aside_count++] = item;
	}
	return LW_OK;
}

/* Without a tree, or where it was left: the check that tells most for what it
 * costs, as long as that is worth it. */
static enum lw_status
go_next(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct reasoning *reasoning;
	enum lw_status status;

	status = situation_reason(at, shelf, err);
	if (status == LW_OK)
		status = find_aside(at, shelf->work, err);
	if (status != LW_OK)
		return status;
	reasoning = at->reasoning;
	if (reasoning->next.count == 0 || reasoning->next.fix_first)
		return ends_of_reasoning(
		    at, shelf, is_barred(&at->findings), err);
	return set_goal_check(at, shelf, LW_JOB_OPEN, LW_PURPOSE_NEXT,
	    reasoning->weighing.speakers[reasoning->choices[0].check].id, err);
}

static enum lw_status
go_tree(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct walk *walk = &at->walk;

	if (at->led == NULL || at->left)
		return go_next(at, shelf, err);
	if (at->tree == NULL)
		return ends_no_tree(at, shelf->work, err);
	if (walk->end == WALK_THROUGH)
		return ends_of_through(at, shelf->work, err);
	if (walk->end == WALK_ASK)
		return set_goal_check(
		    at, shelf, LW_JOB_OPEN, LW_PURPOSE_TREE, walk->check, err);
	/* It is another one, or a second one: on from the same findings. */
	if (walk->end == WALK_CAUSE && repair_is_out(&at->repair, walk->target))
		return go_next(at, shelf, err);
	if (walk->end == WALK_CAUSE && walk->aside_count == 0)
		return go_cause(at, shelf, walk->target, err);
	return ends_of_tree(at, shelf, err);
}

/* What comes next, the grave things first. */
static enum lw_status
find_goal(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct repair *repair = &at->repair;
	const struct lw_finding *wait = find_wait(&at->findings);
	const struct lw_finding *stop = find_stop(&at->findings);

	if (at->findings.closed != NULL) {
		at->state = at->findings.closed->outcome != NULL
				? LW_JOB_GIVEN_UP
				: LW_JOB_CLOSED;
		at->ending = at->findings.closed->words;
		at->cause = repair->cause;
		if (at->cause == NULL && at->walk.end == WALK_CAUSE &&
		    at->walk.aside_count == 0 &&
		    !repair_is_out(repair, at->walk.target))
			at->cause = at->walk.target;
		return LW_OK;
	}
	if (stop != NULL)
		return ends_stop(at, stop);
	if (at->walk.end == WALK_STOP)
		return ends_of_tree(at, shelf, err);
	if (repair->cured) {
		at->state = LW_JOB_CLOSED;
		at->cause = repair->cause;
		return LW_OK;
	}
	if (wait != NULL) {
		at->state = LW_JOB_WAITING;
		at->waits_for = wait->words;
		at->paused = true;
		at->cause = repair->cause;
		return LW_OK;
	}
	if (repair->phase != REPAIR_NONE)
		return go_repair(at, shelf, err);
	if (repair->picked != NULL)
		return set_goal_check(at, shelf, LW_JOB_OPEN, LW_PURPOSE_PICK,
		    repair->picked, err);
	if (repair->supposed != NULL)
		return go_cause(at, shelf, repair->supposed, err);
	return go_tree(at, shelf, err);
}

/* --- what has to be asked for it ----------------------------------------- */

/* Who cannot make it safe is not sent on to switch it on. */
static enum lw_status
find_way(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	enum lw_status status;
	bool aside;

	if (at->then == NULL)
		return LW_OK;
	if (at->then->power > LW_POWER_ISOLATED) {
		status = ends_proof_put_aside(&aside, at, shelf, err);
		if (status != LW_OK)
			return status;
		if (aside)
			return ends_not_dead(at);
		if (is_barred(&at->findings))
			return ends_barred(at);
	}
	status = power_way(
	    &at->way, shelf, at->then, &at->power, &at->findings, at->rig, err);
	if (status != LW_OK || at->way.ask != NULL)
		return status;
	return ends_no_way(at, shelf->work, err);
}

/* The way back to isolated comes before everything else. */
static enum lw_status
find_way_back(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct lw_finding *aside;
	const struct lw_check *gate;
	enum lw_status status;
	struct way way = {0};

	if (!find_wish(&aside, &at->findings))
		return LW_OK;
	if (aside != NULL)
		return ends_not_safe(at, shelf->work, aside, err);
	status = shelf_gate(&gate, shelf, LW_POWER_ISOLATED, err);
	if (status == LW_OK && gate != NULL)
		status = power_way(
		    &way, shelf, gate, &at->power, &at->findings, at->rig, err);
	if (status != LW_OK)
		return status;
	if (way.ask == NULL)
		return ends_no_way_back(at);
	at->way = way;
	at->then = NULL;
	at->purpose = LW_PURPOSE_SAFE;
	return LW_OK;
}

static enum lw_status
find_rig(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	enum lw_status status;

	if (at->job->rig == NULL)
		return LW_OK;
	status =
	    lw_rig_get(shelf->book, shelf->work, at->job->rig, &at->rig, err);
	if (status == LW_NOT_FOUND) {
		at->rig = NULL;
		status = LW_OK;
	}
	return status;
}

/* What was said of a vehicle that is no rig, the last word on each. */
static enum lw_status
find_said(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct findings *findings = &at->findings;
	struct lw_rig_pair *pairs;
	size_t count = 0, i, k;

	pairs = arena_array(shelf->work, findings->count, sizeof *pairs);
	if (pairs == NULL && findings->count > 0)
		return err_no_memory(err);
	for (i = 0; i < findings->count; i++) {
		const struct lw_finding *item = &findings->items[i];

		if (item->kind != LW_FINDING_VALUE || item->subject == NULL)
			continue;
		for (k = 0; k < count; k++)
			if (strcmp(pairs[k].key, item->subject) == 0)
				break;
		pairs[k].key = item->subject;
		pairs[k].value = item->outcome;
		count += k == count;
	}
	for (i = k = 0; i < count; i++)
		if (pairs[i].value != NULL)
			pairs[k++] = pairs[i];
	return lw_rig_of(shelf->book, shelf->work, pairs, k, &at->vehicle, err);
}

/* What readings are judged by. Without a rig it is looked up where something
 * hangs on it alone. */
static enum lw_status
find_vehicle(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	at->vehicle = at->rig;
	if (at->rig != NULL || at->way.ask == NULL ||
	    (at->way.ask->unit == NULL && !at->way.gate))
		return LW_OK;
	return find_said(at, shelf, err);
}

enum lw_status
situation_find(struct situation *at, struct shelf *shelf,
    const struct book_job *job, const char *screen, int64_t now_s,
    struct lw_err *err)
{
	enum lw_status status;

	memset(at, 0, sizeof *at);
	at->job = job;
	at->state = LW_JOB_UNDECIDED;
	status = find_rig(at, shelf, err);
	if (status == LW_OK)
		status = hold_find(
		    &at->hold, shelf->book, shelf->work, job, now_s, err);
	if (status == LW_OK)
		status = findings_settle(&at->findings, shelf->work,
		    job->findings, job->finding_count, err);
	if (status == LW_OK)
		status = power_find(
		    &at->power, shelf, &at->findings, at->rig, now_s, err);
	if (status == LW_OK)
		status =
		    repair_find(&at->repair, shelf->work, &at->findings, err);
	if (status == LW_OK)
		status = proof_take_back(at, shelf, err);
	if (status != LW_OK)
		return status;
	/* Proved for whom holds the vehicle, and who looks on. */
	if (!hold_is_for(&at->hold, job->job, NULL) ||
	    (screen != NULL && !hold_is_others(&at->hold, screen) &&
		!hold_is_for(&at->hold, job->job, screen))) {
		at->power.proved = LW_POWER_UNKNOWN;
		at->power.fresh = false;
	}
	at->led = findings_first(&at->findings, LW_FINDING_TREE);
	if (at->led != NULL) {
		at->left =
		    findings_first(&at->findings, LW_FINDING_LEAVE) != NULL;
		status = shelf_tree(&at->tree, shelf, at->led->subject, err);
		at->through = status == LW_OK && at->tree != NULL &&
			      at->tree->walk && !at->left;
		if (at->through)
			status = through_find(&at->walk, shelf, at->tree,
			    &at->findings, at->rig, err);
		else if (status == LW_OK && at->tree != NULL && !at->left)
			status = walk_tree(&at->walk, shelf, at->tree,
			    &at->findings, at->rig, err);
		if (status != LW_OK)
			return status;
	}
	status = find_goal(at, shelf, err);
	if (status == LW_OK)
		status = find_way(at, shelf, err);
	if (status == LW_OK)
		status = find_way_back(at, shelf, err);
	if (status == LW_OK)
		status = find_vehicle(at, shelf, err);
	return status;
}
