/* Replays a job's findings to say which of them stand; what follows from
 * them is left to walk, power and suspects. */
#include "job/findings.h"

#include "base/arena.h"
#include "base/err.h"

#include <stdlib.h>
#include <string.h>

const char *
lw_finding_kind_name(enum lw_finding_kind kind)
{
	switch (kind) {
	case LW_FINDING_PATTERN:
		return "pattern";
	case LW_FINDING_VALUE:
		return "value";
	case LW_FINDING_LEAVE:
		return "leave";
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
	case LW_FINDING_LEAVE:
		return true;
	default:
		return false;
	}
}

/* What an undo may take back, the last on top. */
struct stack {
	struct lw_finding **items;
	size_t depth;
	size_t waits; /* how many of them are waits */
};

static void
push(struct stack *stack, struct lw_finding *item)
{
	stack->items[stack->depth++] = item;
	stack->waits += item->kind == LW_FINDING_WAIT;
}

static void
take_back(struct stack *stack)
{
	if (stack->depth == 0)
		return;
	stack->depth--;
	stack->items[stack->depth]->undone = true;
	stack->waits -= stack->items[stack->depth]->kind == LW_FINDING_WAIT;
}

/* A wait that has ended is no longer what an undo takes back. */
static void
drop_waits(struct stack *stack)
{
	size_t i, kept = 0;

	for (i = 0; stack->waits > 0 && i < stack->depth; i++)
		if (stack->items[i]->kind != LW_FINDING_WAIT)
			stack->items[kept++] = stack->items[i];
	if (stack->waits > 0)
		stack->depth = kept;
	stack->waits = 0;
}

static int
by_check(const void *a, const void *b)
{
	const struct lw_finding *one = *(const struct lw_finding *const *)a;
	const struct lw_finding *other = *(const struct lw_finding *const *)b;
	int order = strcmp(one->subject, other->subject);

	/* They lie in one array, in the order in which they were given. */
	return order != 0 ? order : (one > other) - (one < other);
}

/* Find what stands for each check; see findings_on. */
static enum lw_status
find_standing(
    struct findings *findings, struct lw_arena *arena, struct lw_err *err)
{
	const struct lw_finding **on, *item;
	bool taken_up = false;
	size_t count = 0, kept = 0, i;

	on = arena_array(
	    arena, findings->count, sizeof(const struct lw_finding *));
	if (on == NULL)
		return err_no_memory(err);
	for (i = findings->count; i-- > 0;) {
		item = &findings->items[i];
		if (item->undone)
			continue;
		if (item->kind == LW_FINDING_TAKE_UP)
			taken_up = true;
		if (item->subject != NULL &&
		    (findings_is_outcome(item->kind) ||
			(findings_is_aside(item->kind) && !taken_up)))
			on[count++] = item;
	}
	qsort(on, count, sizeof(const struct lw_finding *), by_check);
	for (i = 0; i < count; i++)
		if (i + 1 == count ||
		    strcmp(on[i]->subject, on[i + 1]->subject) != 0)
			on[kept++] = on[i];
	findings->on = on;
	findings->on_count = kept;
	return LW_OK;
}

enum lw_status
findings_settle(struct findings *findings, struct lw_arena *arena,
    const struct lw_finding *items, size_t count, struct lw_err *err)
{
	struct lw_finding *closed = NULL, *item;
	struct stack stack = {0};
	size_t i;

	memset(findings, 0, sizeof *findings);
	if (count == 0)
		return LW_OK;
	findings->items = arena_array(arena, count, sizeof *items);
	stack.items = arena_array(arena, count, sizeof(struct lw_finding *));
	if (findings->items == NULL || stack.items == NULL)
		return err_no_memory(err);
	memcpy(findings->items, items, count * sizeof *items);
	findings->count = count;
	for (i = 0; i < count; i++) {
		item = &findings->items[i];
		item->undone = false;
		if (is_answer(item->kind)) {
			push(&stack, item);
		} else if (item->kind == LW_FINDING_CLOSE) {
			closed = item;
		} else if (item->kind == LW_FINDING_RESUME) {
			drop_waits(&stack);
		} else if (item->kind == LW_FINDING_REOPEN) {
			drop_waits(&stack);
			closed = NULL;
		} else if (item->kind == LW_FINDING_UNDO && closed != NULL) {
			closed->undone = true;
			closed = NULL;
		} else if (item->kind == LW_FINDING_UNDO) {
			take_back(&stack);
		}
	}
	if (stack.depth > 0)
		findings->answer = stack.items[stack.depth - 1];
	findings->closed = closed;
	findings->last = closed != NULL ? closed : findings->answer;
	return find_standing(findings, arena, err);
}

const struct lw_finding *
findings_on(const struct findings *findings, const char *check)
{
	size_t from = 0, to = findings->on_count, middle;
	int order;

	while (from < to) {
		middle = from + (to - from) / 2;
		order = strcmp(findings->on[middle]->subject, check);
		if (order == 0)
			return findings->on[middle];
		if (order < 0)
			from = middle + 1;
		else
			to = middle;
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

void
findings_began(
    const char **fault, const char **symptom, const struct findings *findings)
{
	const struct lw_finding *item;
	size_t i;

	*fault = *symptom = NULL;
	for (i = 0; i < findings->count; i++) {
		item = &findings->items[i];
		if (item->undone)
			continue;
		if (item->kind == LW_FINDING_PATTERN && *fault == NULL &&
		    item->outcome != NULL && item->outcome[0] != '\0')
			*fault = item->outcome;
		if (item->kind == LW_FINDING_SYMPTOM && *symptom == NULL)
			*symptom = item->subject;
	}
}

int64_t
findings_serial(const struct findings *findings)
{
	return findings->count == 0
		   ? 0
		   : findings->items[findings->count - 1].serial;
}
