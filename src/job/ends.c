/* Ends of a job's way and their sentences; which one it comes to is left to
 * situation. */
#include "job/ends.h"

#include "job/reasoning.h"
#include "job/reasons.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"

#include <string.h>

enum { WAITS_MAX = 400 };

/* Why nothing is switched on for a check. */
static const char NOT_DEAD[] =
    "It could not be made safe and proved dead, so nothing is "
    "switched on for a check. Leave it switched off, and take up what "
    "was put aside when it can be proved dead.";
static const char BARRED[] =
    "It did something by itself when it was switched on, so it is not "
    "switched on again before a cause is fixed. Look for it isolated: "
    "pick a check, or take up a cause that is left.";

/* The same in a walk-through, which names no cause to be fixed. */
static const char BARRED_THROUGH[] =
    "It did something by itself when it was switched on, so it is not "
    "switched on again before that is put right. Put it right with "
    "everything off, and take up then what was put aside.";

/* End with a sentence, whose memory may have run out. */
static enum lw_status
end(struct situation *at, enum lw_job_state state, const char *ending,
    struct lw_err *err)
{
	if (ending == NULL)
		return err_no_memory(err);
	at->state = state;
	at->ending = ending;
	at->then = NULL;
	at->purpose = 0;
	memset(&at->way, 0, sizeof at->way);
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

/* What was put aside, each with the words that say what is missing. */
static enum lw_status
say_waits(struct situation *at, struct lw_arena *arena, struct lw_err *err)
{
	const struct lw_finding *item;
	struct buf text;
	size_t i;

	buf_init(&text, 4096);
	for (i = 0; i < at->walk.aside_count; i++) {
		item = at->walk.aside[i];
		if (text.length > WAITS_MAX) {
			buf_add(&text, "; ...");
			break;
		}
		buf_printf(&text, "%s%s", i > 0 ? "; " : "",
		    item->title != NULL ? item->title : item->subject);
		if (item->words != NULL && item->words[0] != '\0')
			buf_printf(&text, ": %.200s", item->words);
	}
	at->waits_for = arena_dup(arena, buf_text(&text));
	buf_clear(&text);
	return at->waits_for == NULL ? err_no_memory(err) : LW_OK;
}

static enum lw_status
end_waiting(struct situation *at, struct lw_arena *arena, const char *ending,
    struct lw_err *err)
{
	enum lw_status status = say_waits(at, arena, err);

	return status == LW_OK ? end(at, LW_JOB_WAITING, ending, err) : status;
}

static enum lw_status
end_likely(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct lw_cause *cause;
	enum lw_status status;

	status = shelf_cause(&cause, shelf, at->walk.target, err);
	if (status != LW_OK)
		return status;
	if (cause == NULL)
		return ends_cause_gone(at, shelf->work, at->walk.target, err);
	at->likely = cause->id;
	return end_waiting(at, shelf->work,
	    "Checks were put aside, so nothing is settled. Leave it switched "
	    "off, and take them up when they can be done.",
	    err);
}

enum lw_status
ends_of_tree(struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	struct walk *walk = &at->walk;

	switch (walk->end) {
	case WALK_STOP:
		return end(at, LW_JOB_STOPPED, walk->target, err);
	case WALK_UNSURE:
		/* The author's words hold for a way on which all was done. */
		if (walk->aside_count > 0)
			return end_waiting(at, shelf->work,
			    "Checks were put aside, so nothing is settled. "
			    "Leave it switched off, and take them up when "
			    "they can be done.",
			    err);
		return end(at, LW_JOB_UNDECIDED, walk->target, err);
	case WALK_CAUSE:
		return end_likely(at, shelf, err);
	case WALK_STUCK:
		return end_waiting(at, shelf->work,
		    arena_printf(shelf->work,
			"The tree cannot go on without \"%s\", which was put "
			"aside; take it up again when it can be done.",
			title_of(at, walk->check)),
		    err);
	case WALK_NO_BRANCH:
		return end(at, LW_JOB_UNDECIDED,
		    arena_printf(shelf->work,
			"The tree does not say what follows from this answer "
			"to \"%s\". Pick another check, or take the answer "
			"back and give it again.",
			title_of(at, walk->check)),
		    err);
	default:
		break;
	}
	return end(at, LW_JOB_UNDECIDED,
	    arena_printf(shelf->work,
		"The tree \"%s\" leads nowhere from here; read its pack in "
		"again after checking it.",
		at->tree->title),
	    err);
}

/* What a check gave last before it was put aside, where that was not what is
 * expected; NULL. */
static const struct lw_finding *
wrong_before(const struct findings *findings, const struct lw_finding *aside)
{
	const struct lw_finding *item;

	for (item = aside; item-- > findings->items;)
		if (!item->undone && findings_is_outcome(item->kind) &&
		    item->subject != NULL &&
		    strcmp(item->subject, aside->subject) == 0)
			return item->passed ? NULL : item;
	return NULL;
}

static void
say_not_done(struct buf *text, const struct findings *findings,
    const struct lw_finding *aside)
{
	const struct lw_finding *wrong = wrong_before(findings, aside);

	buf_printf(text, "%.200s",
	    aside->title != NULL ? aside->title : aside->subject);
	if (wrong != NULL && wrong->outcome_title != NULL)
		buf_printf(text, " (it gave: %.100s)", wrong->outcome_title);
}

/* What was put aside, by title, and that not all was done. */
static enum lw_status
end_incomplete(struct situation *at, struct lw_arena *arena, struct lw_err *err)
{
	const struct walk *walk = &at->walk;
	struct buf text;
	const char *ending;
	size_t i;

	buf_init(&text, 4096);
	buf_add(&text, "Not done: ");
	for (i = 0; i < walk->aside_count; i++) {
		if (text.length > WAITS_MAX) {
			buf_printf(
			    &text, " and %zu more", walk->aside_count - i);
			break;
		}
		buf_add(&text, i > 0 ? "; " : "");
		say_not_done(&text, &at->findings, walk->aside[i]);
	}
	buf_printf(&text,
	    ". %zu of %zu steps passed, so the walk-through is not complete. "
	    "Take up what was put aside when it can be done.",
	    walk->passed, walk->steps);
	ending = arena_dup(arena, buf_text(&text));
	buf_clear(&text);
	return end_waiting(at, arena, ending, err);
}

enum lw_status
ends_of_through(
    struct situation *at, struct lw_arena *arena, struct lw_err *err)
{
	if (at->walk.steps == 0)
		return end(at, LW_JOB_UNDECIDED,
		    "None of the steps of this walk-through is for this "
		    "vehicle, so it says nothing of it.",
		    err);
	if (at->walk.aside_count > 0)
		return end_incomplete(at, arena, err);
	return end(at, LW_JOB_PASSED,
	    at->tree->passed != NULL ? at->tree->passed : "Every step passed.",
	    err);
}

enum lw_status
ends_stop(struct situation *at, const struct lw_finding *stop)
{
	return end(at, LW_JOB_STOPPED, stop->stop, NULL);
}

const char *
ends_say_stop(struct lw_arena *arena, const struct lw_outcome *outcome)
{
	return arena_printf(arena,
	    "You answered \"%s\": stop here, keep away, and keep others away.",
	    outcome->title);
}

enum lw_status
ends_no_tree(struct situation *at, struct lw_arena *arena, struct lw_err *err)
{
	return end(at, LW_JOB_UNDECIDED,
	    arena_printf(arena,
		"The tree \"%s\" is no longer in the book; put its pack back "
		"to go on with it, or leave it.",
		at->led->title != NULL ? at->led->title : at->led->subject),
	    err);
}

/* What waits for a tool that is not there, after what was put aside. */
static enum lw_status
add_late(struct situation *at, struct lw_arena *arena, struct lw_err *err)
{
	const struct reasoning *r = at->reasoning;
	struct buf text;
	size_t i;

	buf_init(&text, 4096);
	if (at->waits_for != NULL)
		buf_add(&text, at->waits_for);
	for (i = 0; i < r->late.count && text.length < WAITS_MAX; i++) {
		const struct book_speaker *speaker =
		    &r->weighing.speakers[r->late_choices[i].check];

		buf_printf(
		    &text, "%s%s", text.length > 0 ? "; " : "", speaker->title);
	}
	at->waits_for = arena_dup(arena, buf_text(&text));
	buf_clear(&text);
	return at->waits_for == NULL ? err_no_memory(err) : LW_OK;
}

/* It waits: for a tool that pays, for what was put aside, or since a live
 * check would tell more and is not asked now. */
static enum lw_status
end_late(struct situation *at, struct lw_arena *arena, bool barred,
    const char *advice, struct lw_err *err)
{
	const struct reasoning *r = at->reasoning;
	enum lw_status status = LW_OK;
	const char *ending;

	if (at->walk.aside_count > 0)
		status = say_waits(at, arena, err);
	if (status == LW_OK && r->late.count > 0)
		status = add_late(at, arena, err);
	if (status != LW_OK)
		return status;
	if (r->fetch != REASON_NONE && advice != NULL)
		ending = advice;
	else if (r->held_back)
		ending = barred ? BARRED : NOT_DEAD;
	else
		ending = "What would tell more was put aside or needs a tool "
			 "that is not there. Leave it switched off, and go on "
			 "when it can be done.";
	return end(at, LW_JOB_WAITING, ending, err);
}

enum lw_status
ends_of_reasoning(
    struct situation *at, struct shelf *shelf, bool barred, struct lw_err *err)
{
	const struct reasoning *r = at->reasoning;
	const char *advice;
	bool ok;

	advice = reasons_advice(&ok, shelf->work, r);
	if (!ok)
		return err_no_memory(err);
	if (r->fetch != REASON_NONE ||
	    (r->next.count == 0 &&
		(r->late.count > 0 || r->held_back || r->aside)))
		return end_late(at, shelf->work, barred, advice, err);
	return end(at, LW_JOB_UNDECIDED,
	    advice != NULL ? advice
			   : "No check in the book tells more about what is "
			     "left.",
	    err);
}

enum lw_status
ends_check_gone(struct situation *at, struct lw_arena *arena, const char *check,
    struct lw_err *err)
{
	return end(at, LW_JOB_UNDECIDED,
	    arena_printf(arena,
		"The check \"%s\", which comes next, is no longer in the "
		"book; put its pack back to go on.",
		title_of(at, check)),
	    err);
}

enum lw_status
ends_cause_gone(struct situation *at, struct lw_arena *arena, const char *cause,
    struct lw_err *err)
{
	return end(at, LW_JOB_UNDECIDED,
	    arena_printf(arena,
		"The answers lead to the cause \"%s\", which is no longer in "
		"the book; put its pack back to read it.",
		at->repair.cause_title != NULL ? at->repair.cause_title
					       : cause),
	    err);
}

enum lw_status
ends_wait_for(struct situation *at, struct lw_arena *arena,
    const struct lw_finding *aside, bool unseen, struct lw_err *err)
{
	bool words = aside->words != NULL && aside->words[0] != '\0';

	at->waits_for = arena_printf(arena, "%s%s%.300s",
	    aside->title != NULL ? aside->title : aside->subject,
	    words ? ": " : "", words ? aside->words : "");
	if (at->waits_for == NULL)
		return err_no_memory(err);
	return end(at, LW_JOB_WAITING,
	    unseen ? "It did not show itself again, which proves nothing yet. "
		     "Note when and where it comes, try it again then, or "
		     "close the job."
		   : "It waits for what is missing. Leave it switched off, "
		     "and take it up when it can be done.",
	    err);
}

/* Whether it was put aside at a way in or before it: by the finding, or, in
 * one of a book of version 1, by the way in that it names. */
static bool
is_aside_at(const struct lw_finding *item, const struct lw_check *gate,
    enum lw_power power)
{
	size_t i;

	if (!findings_is_aside(item->kind) || item->outcome == NULL)
		return false;
	if (item->leads != LW_POWER_UNKNOWN || gate == NULL)
		return item->leads == power;
	if (strcmp(item->outcome, gate->id) == 0)
		return true;
	for (i = 0; i < gate->after.count; i++)
		if (strcmp(item->outcome, gate->after.items[i].id) == 0)
			return true;
	return false;
}

enum lw_status
ends_proof_put_aside(
    bool *aside, struct situation *at, struct shelf *shelf, struct lw_err *err)
{
	const struct lw_check *gate;
	const struct lw_finding *item;
	enum lw_status status;
	size_t i;

	*aside = false;
	status = shelf_gate(&gate, shelf, LW_POWER_ISOLATED, err);
	if (status != LW_OK)
		return status;
	for (i = at->findings.count; i-- > 0;) {
		item = &at->findings.items[i];
		if (item->undone)
			continue;
		if (item->kind == LW_FINDING_TAKE_UP ||
		    (item->kind == LW_FINDING_CHECK &&
			item->power == LW_POWER_ISOLATED))
			return LW_OK;
		*aside = is_aside_at(item, gate, LW_POWER_ISOLATED);
		if (*aside)
			return LW_OK;
	}
	return LW_OK;
}

enum lw_status
ends_not_dead(struct situation *at)
{
	return end(at, LW_JOB_WAITING, NOT_DEAD, NULL);
}

enum lw_status
ends_barred(struct situation *at)
{
	return end(
	    at, LW_JOB_WAITING, at->through ? BARRED_THROUGH : BARRED, NULL);
}

/* What waits, has stopped or is over stays so. */
static enum lw_job_state
state_besides(enum lw_job_state state, enum lw_job_state other)
{
	return state == LW_JOB_CLOSED || state == LW_JOB_GIVEN_UP ||
		       state == LW_JOB_STOPPED || state == LW_JOB_WAITING
		   ? state
		   : other;
}

enum lw_status
ends_no_way_back(struct situation *at)
{
	/* Where an answer said to stop and get away, that comes first. */
	if (at->state == LW_JOB_STOPPED)
		return end(at, at->state, at->ending, NULL);
	return end(at, state_besides(at->state, LW_JOB_UNDECIDED),
	    "The book has no way back to isolated any more, and the vehicle "
	    "may be on. Make it safe by its maker's instructions, keep hands "
	    "and people away until it measures dead, and put the pack back "
	    "to go on.",
	    NULL);
}

enum lw_status
ends_not_safe(struct situation *at, struct lw_arena *arena,
    const struct lw_finding *aside, struct lw_err *err)
{
	at->waits_for = arena_printf(arena, "proving it dead%s%.300s",
	    aside->words != NULL ? ": " : "",
	    aside->words != NULL ? aside->words : "");
	if (at->waits_for == NULL)
		return err_no_memory(err);
	return end(at, state_besides(at->state, LW_JOB_WAITING),
	    "It could not be made safe and proved dead. Keep hands and people "
	    "away from it, switch nothing on, and get help from a qualified "
	    "person. Take it up again when it can be done.",
	    err);
}

enum lw_status
ends_no_way(struct situation *at, struct lw_arena *arena, struct lw_err *err)
{
	const struct lw_check *check = at->then;

	return end(at, LW_JOB_UNDECIDED,
	    arena_printf(arena,
		"The check \"%s\" may only be done %s, and the book has no "
		"way in that proves it; add a pack that does.",
		check->title,
		lw_power_title(lw_meter_needs_isolation(check->meter)
				   ? LW_POWER_ISOLATED
				   : check->power)),
	    err);
}
