/* Replays fixes, proofs, and what a person chose; which step follows from it
 * is left to situation. */
#include "job/repair.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

static bool
is(const char *text, const char *other)
{
	return text != NULL && other != NULL && strcmp(text, other) == 0;
}

static void
put_out(struct repair *repair, const char *cause, const char *title,
    const char *reason, bool repaired)
{
	struct repair_out *out;
	size_t i;

	if (cause == NULL)
		return;
	for (i = 0; i < repair->out_count; i++)
		if (strcmp(repair->out[i].cause, cause) == 0)
			break;
	out = &repair->out[i];
	if (i == repair->out_count)
		repair->out_count++;
	out->cause = cause;
	out->title = title != NULL ? title : cause;
	out->reason = reason;
	out->repaired = repaired;
	out->fixed = repair->fixed;
	out->check = repair->check;
	if (is(repair->supposed, cause))
		repair->supposed = NULL;
}

static void
end_fix(struct repair *repair)
{
	repair->phase = REPAIR_NONE;
	repair->cause = NULL;
	repair->cause_title = NULL;
	repair->fixed = 0;
	repair->check = NULL;
	repair->checked = false;
	repair->proved = false;
	repair->not_taken = false;
	repair->aside = NULL;
	repair->unseen = false;
}

/* The fix did not cure: the cause was real where its proof passed. */
static void
not_cured(struct repair *repair, const char *proved)
{
	if (repair->proved)
		put_out(
		    repair, repair->cause, repair->cause_title, proved, true);
	else
		put_out(repair, repair->cause, repair->cause_title,
		    "its fix did not cure the trouble", false);
	end_fix(repair);
}

static void
put_aside(struct repair *repair, const struct lw_finding *finding)
{
	if (is(finding->subject, LW_JOB_PROOF)) {
		/* What the job began with tells as well. */
		repair->checked = true;
		return;
	}
	if (is(finding->subject, LW_JOB_AGAIN) &&
	    finding->kind == LW_FINDING_NOT_SEEN)
		repair->unseen = true;
	if (is(finding->subject, LW_JOB_FIX) ||
	    is(finding->subject, LW_JOB_AGAIN))
		repair->aside = finding;
	if (is(finding->subject, repair->picked))
		repair->picked = NULL;
}

static void
take(struct repair *repair, const struct lw_finding *finding)
{
	switch (finding->kind) {
	case LW_FINDING_SUPPOSE:
		repair_take_back(repair, finding->subject);
		repair->supposed = finding->subject;
		repair->picked = NULL;
		repair->aside = NULL;
		repair->unseen = false;
		break;
	case LW_FINDING_PICK:
		repair->picked = finding->subject;
		break;
	case LW_FINDING_CHECK:
		if (is(finding->subject, repair->picked))
			repair->picked = NULL;
		break;
	case LW_FINDING_CANNOT:
	case LW_FINDING_SKIP:
	case LW_FINDING_DIFFERS:
	case LW_FINDING_NOT_SEEN:
		put_aside(repair, finding);
		break;
	case LW_FINDING_TAKE_UP:
		repair->aside = NULL;
		repair->unseen = false;
		break;
	case LW_FINDING_BEGUN:
	case LW_FINDING_FIXED:
		repair->phase = finding->kind == LW_FINDING_FIXED
				    ? REPAIR_FIXED
				    : REPAIR_BEGUN;
		repair->cause = finding->subject;
		repair->cause_title = finding->title;
		repair->fixed = finding->serial;
		repair->check = finding->outcome;
		repair->checked = false;
		repair->proved = false;
		repair->not_taken = false;
		repair->aside = NULL;
		break;
	case LW_FINDING_STRUCK:
		put_out(repair, finding->subject, finding->title, "found sound",
		    false);
		end_fix(repair);
		break;
	case LW_FINDING_PROVED:
		repair->checked = true;
		repair->proved = true;
		break;
	case LW_FINDING_NOT_PROVED:
		repair->phase = REPAIR_BEGUN;
		repair->not_taken = true;
		break;
	case LW_FINDING_GONE:
		repair->cured = true;
		break;
	case LW_FINDING_STILL:
		not_cured(repair,
		    "fixed and proved, and the trouble was still there");
		break;
	case LW_FINDING_REOPEN:
		/* It came back: what was mended is mended. */
		if (repair->cured) {
			repair->cured = false;
			repair->proved = true;
			not_cured(
			    repair, "fixed, it was gone, and it came back");
		}
		break;
	default:
		break;
	}
}

enum lw_status
repair_find(struct repair *repair, struct lw_arena *arena,
    const struct findings *findings, struct lw_err *err)
{
	size_t i, room = 0;

	memset(repair, 0, sizeof *repair);
	for (i = 0; i < findings->count; i++)
		room += findings->items[i].kind == LW_FINDING_STRUCK ||
			findings->items[i].kind == LW_FINDING_STILL ||
			findings->items[i].kind == LW_FINDING_REOPEN;
	if (room > 0) {
		repair->out = arena_array(arena, room, sizeof *repair->out);
		if (repair->out == NULL)
			return err_no_memory(err);
	}
	for (i = 0; i < findings->count; i++)
		if (!findings->items[i].undone)
			take(repair, &findings->items[i]);
	return LW_OK;
}

void
repair_take_back(struct repair *repair, const char *cause)
{
	size_t i, kept = 0;

	for (i = 0; i < repair->out_count; i++)
		if (!is(repair->out[i].cause, cause))
			repair->out[kept++] = repair->out[i];
	repair->out_count = kept;
}

bool
repair_is_out(const struct repair *repair, const char *cause)
{
	size_t i;

	for (i = 0; i < repair->out_count; i++)
		if (is(repair->out[i].cause, cause))
			return true;
	return false;
}
