/* Replays a job's findings to say which of them stand; what follows from
 * them is left to walk, power and suspects. */
#include "job/findings.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

const char *
lw_finding_kind_name(enum lw_finding_kind kind)
{
	switch (kind) {
	case LW_FINDING_PATTERN:
		return "pattern";
	case LW_FINDING_SYMPTOM:
		return "symptom";
	case LW_FINDING_TREE:
		return "tree";
	case LW_FINDING_CHECK:
		return "check";
	case LW_FINDING_CANNOT:
		return "cannot";
	case LW_FINDING_SKIP:
		return "skip";
	case LW_FINDING_TAKE_UP:
		return "take-up";
	case LW_FINDING_RESUME:
		return "resume";
	case LW_FINDING_UNDO:
		return "undo";
	case LW_FINDING_CLOSE:
		return "close";
	case LW_FINDING_REOPEN:
		return "reopen";
	case LW_FINDING_DIFFERS:
		return "differs";
	case LW_FINDING_NOT_SEEN:
		return "not-reproduced";
	case LW_FINDING_PICK:
		return "pick";
	case LW_FINDING_SUPPOSE:
		return "suppose";
	case LW_FINDING_BEGUN:
		return "begun";
	case LW_FINDING_FIXED:
		return "fixed";
	case LW_FINDING_STRUCK:
		return "struck";
	case LW_FINDING_PROVED:
		return "proved";
	case LW_FINDING_NOT_PROVED:
		return "not-proved";
	case LW_FINDING_GONE:
		return "gone";
	case LW_FINDING_STILL:
		return "still";
	case LW_FINDING_WAIT:
		return "wait";
	case LW_FINDING_MAKE_SAFE:
		return "make-safe";
	case LW_FINDING_TAKE:
		return "take";
	}
	return "";
}

bool
findings_is_outcome(enum lw_finding_kind kind)
{
	return kind == LW_FINDING_CHECK || kind == LW_FINDING_PROVED ||
	       kind == LW_FINDING_NOT_PROVED;
}

bool
findings_is_aside(enum lw_finding_kind kind)
{
	return kind == LW_FINDING_CANNOT || kind == LW_FINDING_SKIP ||
	       kind == LW_FINDING_DIFFERS || kind == LW_FINDING_NOT_SEEN;
}

bool
findings_is_bar(const struct lw_finding *finding)
{
	if (finding->undone || finding->outcome == NULL)
		return false;
	return finding->kind == LW_FINDING_STILL ||
	       (finding->kind == LW_FINDING_CANNOT && finding->about != NULL &&
		   strcmp(finding->about, LW_JOB_SAFE) == 0);
}

static bool
is_answer(enum lw_finding_kind kind)
{
	switch (kind) {
	case LW_FINDING_CHECK:
	case LW_FINDING_CANNOT:
	case LW_FINDING_SKIP:
	case LW_FINDING_TAKE_UP:
	case LW_FINDING_DIFFERS:
	case LW_FINDING_NOT_SEEN:
	case LW_FINDING_PICK:
	case LW_FINDING_SUPPOSE:
	case LW_FINDING_BEGUN:
	case LW_FINDING_FIXED:
	case LW_FINDING_STRUCK:
	case LW_FINDING_PROVED:
	case LW_FINDING_NOT_PROVED:
	case LW_FINDING_GONE:
	case LW_FINDING_STILL:
	case LW_FINDING_WAIT:
		return true;
	default:
		return false;
	}
}

enum lw_status
findings_settle(struct findings *findings, struct lw_arena *arena,
    const struct lw_finding *items, size_t count, struct lw_err *err)
{
	struct lw_finding **stack, *closed = NULL, *item;
	size_t depth = 0, i;

	memset(findings, 0, sizeof *findings);
	if (count == 0)
		return LW_OK;
	findings->items = arena_array(arena, count, sizeof *items);
	stack = arena_array(arena, count, sizeof(struct lw_finding *));
	if (findings->items == NULL || stack == NULL)
		return err_no_memory(err);
	memcpy(findings->items, items, count * sizeof *items);
	findings->count = count;
	for (i = 0; i < count; i++) {
		item = &findings->items[i];
		item->undone = false;
		if (is_answer(item->kind))
			stack[depth++] = item;
		else if (item->kind == LW_FINDING_CLOSE)
			closed = item;
		else if (item->kind == LW_FINDING_REOPEN)
			closed = NULL;
		else if (item->kind == LW_FINDING_UNDO && closed != NULL) {
			closed->undone = true;
			closed = NULL;
		} else if (item->kind == LW_FINDING_UNDO && depth > 0)
			stack[--depth]->undone = true;
	}
	findings->answer = depth > 0 ? stack[depth - 1] : NULL;
	findings->closed = closed;
	findings->last = closed != NULL ? closed : findings->answer;
	return LW_OK;
}

const struct lw_finding *
findings_on(const struct findings *findings, const char *check)
{
	const struct lw_finding *item;
	bool taken_up = false;
	size_t i;

	for (i = findings->count; i-- > 0;) {
		item = &findings->items[i];
		if (item->undone)
			continue;
		if (item->kind == LW_FINDING_TAKE_UP)
			taken_up = true;
		if (!findings_is_outcome(item->kind) &&
		    !(findings_is_aside(item->kind) && !taken_up))
			continue;
		if (item->subject != NULL && strcmp(item->subject, check) == 0)
			return item;
	}
	return NULL;
}

const struct lw_finding *
findings_first(const struct findings *findings, enum lw_finding_kind kind)
{
	size_t i;

	for (i = 0; i < findings->count; i++)
		if (findings->items[i].kind == kind &&
		    !findings->items[i].undone)
			return &findings->items[i];
	return NULL;
}

int64_t
findings_serial(const struct findings *findings)
{
	return findings->count == 0
		   ? 0
		   : findings->items[findings->count - 1].serial;
}
