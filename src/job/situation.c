/* Works out how a job stands from its findings, and says so in words where
 * the book has lost something the job needs. What is shown with a step is
 * left to step, belief to suspects. */
#include "job/situation.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

/* End undecided with a sentence, whose memory may have run out. */
static enum lw_status
undecided(struct situation *at, const char *ending, struct lw_err *err)
{
	if (ending == NULL)
		return err_no_memory(err);
	at->state = LW_JOB_UNDECIDED;
	at->ending = ending;
	return LW_OK;
}

/* What a check was called when it was last answered, else its id. */
static const char *
title_of(const struct situation *at, const char *check)
{
	const struct lw_finding *finding = findings_on(&at->findings, check);

	if (finding != NULL && finding->title != NULL)
		return finding->title;
	return check;
}

/* Whether proving it dead was itself put aside, for a check of this way:
 * `outcome` names the way in then. */
static enum lw_status
proof_put_aside(bool *aside, struct situation *at, struct shelf *shelf,
    struct lw_err *err)
{
	const struct lw_check *way;
	enum lw_status status = LW_OK;
	size_t i;

	*aside = false;
	for (i = 0; i < at->walk.aside_count && !*aside && status == LW_OK;
	     i++) {
		status =
		    shelf_check(&way, shelf, at->walk.aside[i]->outcome, err);
		*aside = status == LW_OK && way != NULL &&
			 power_enters(way, LW_POWER_ISOLATED);
	}
	return status;
}

static enum lw_status
ask(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct lw_check *check, *way;
	enum lw_status status;
	bool not_dead;

	status = shelf_check(&check, shelf, at->walk.check, err);
	if (status == LW_OK)
		status = proof_put_aside(&not_dead, at, shelf, err);
	if (status != LW_OK)
		return status;
	/* Who cannot make it safe is not sent on to switch it on. */
	if (check != NULL && not_dead && check->power > LW_POWER_ISOLATED)
		return undecided(at,
		    "It could not be made safe and proved dead, so nothing is "
		    "switched on for a check. Leave it switched off, and take "
		    "up what was put aside when it can be proved dead.",
		    err);
	if (check == NULL)
		return undecided(at,
		    arena_printf(shelf->arena,
			"The check \"%s\", which comes next, is no longer in "
			"the book; put its pack back to go on.",
			at->walk.check),
		    err);
	status = power_way(&way, shelf, check, at->power.proved, err);
	if (status != LW_OK)
		return status;
	if (way == NULL)
		return undecided(at,
		    arena_printf(shelf->arena,
			"The check \"%s\" may only be done %s, and the book "
			"has no check that proves it; add a pack that does.",
			check->title,
			lw_power_title(lw_meter_needs_isolation(check->meter)
					   ? LW_POWER_ISOLATED
					   : check->power)),
		    err);
	at->state = LW_JOB_OPEN;
	at->ask = way;
	at->then = check;
	return LW_OK;
}

static enum lw_status
reach_cause(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct lw_cause *cause;
	enum lw_status status;

	status = shelf_cause(&cause, shelf, at->walk.target, err);
	if (status != LW_OK)
		return status;
	if (cause == NULL)
		return undecided(at,
		    arena_printf(shelf->arena,
			"The answers lead to the cause \"%s\", which is no "
			"longer in the book; put its pack back to read it.",
			at->walk.target),
		    err);
	if (at->walk.aside_count > 0) {
		at->state = LW_JOB_UNDECIDED;
		at->likely = cause->id;
	} else {
		at->state = LW_JOB_FOUND;
		at->cause = cause->id;
	}
	return LW_OK;
}

/* What the tree comes to. */
static enum lw_status
arrive(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	struct walk *walk = &at->walk;

	switch (walk->end) {
	case WALK_ASK:
		return ask(at, shelf, err);
	case WALK_CAUSE:
		return reach_cause(at, shelf, err);
	case WALK_UNSURE:
	case WALK_STOP:
		at->state =
		    walk->end == WALK_STOP ? LW_JOB_STOPPED : LW_JOB_UNDECIDED;
		/* The author's words hold for a way on which all was done. */
		at->ending =
		    walk->end == WALK_UNSURE && walk->aside_count > 0
			? "Checks were put aside, so nothing is settled. Leave "
			  "it switched off, and take them up when they can be "
			  "done."
			: walk->target;
		return LW_OK;
	case WALK_STUCK:
		return undecided(at,
		    arena_printf(shelf->arena,
			"The tree cannot go on without \"%s\", which was put "
			"aside; take it up again when it can be done.",
			title_of(at, walk->check)),
		    err);
	case WALK_NO_BRANCH:
		return undecided(at,
		    arena_printf(shelf->arena,
			"The tree has changed and no longer says what follows "
			"from \"%s\"; take the answer back and give it again.",
			title_of(at, walk->check)),
		    err);
	case WALK_LOST:
		break;
	}
	return undecided(at,
	    arena_printf(shelf->arena,
		"The tree \"%s\" leads nowhere from here; read its pack in "
		"again after checking it.",
		at->tree->title),
	    err);
}

enum lw_status
situation_find(struct situation *at, struct shelf *shelf,
    const struct book_job *job, int64_t now_s, struct lw_err *err)
{
	enum lw_status status;

	memset(at, 0, sizeof *at);
	at->job = job;
	at->state = LW_JOB_UNDECIDED;
	status = findings_settle(&at->findings, shelf->arena, job->findings,
	    job->finding_count, err);
	if (status == LW_OK)
		status =
		    power_find(&at->power, shelf, &at->findings, now_s, err);
	if (status != LW_OK)
		return status;
	at->led = findings_first(&at->findings, LW_FINDING_TREE);
	if (at->led != NULL) {
		status = shelf_tree(&at->tree, shelf, at->led->subject, err);
		if (status == LW_OK && at->tree != NULL)
			status = walk_tree(&at->walk, shelf->arena, at->tree,
			    &at->findings, err);
		if (status == LW_OK && at->tree != NULL)
			status = arrive(at, shelf, err);
		else if (status == LW_OK)
			status = undecided(at,
			    arena_printf(shelf->arena,
				"The tree \"%s\" is no longer in the book; put "
				"its pack back to go on.",
				at->led->title != NULL ? at->led->title
						       : at->led->subject),
			    err);
		if (status != LW_OK)
			return status;
	}
	at->beneath = at->state;
	if (at->findings.closed != NULL) {
		at->state = LW_JOB_CLOSED;
		at->ending = at->findings.closed->words;
	}
	return LW_OK;
}
