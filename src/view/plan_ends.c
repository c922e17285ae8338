/* What the ends of a compiled tree say. */
#include "view/plan_compile.h"

#include "base/arena.h"
#include "base/buf.h"

/* From this share on an end names its cause, which its fix and proof have to
 * bear out; below, it is not sure. Judgement. */
static const double SURE = 0.9;

enum { WORDS_MAX = 1900 };

/* The cause that an end is sure of, or NULL. */
const struct lw_cause *
plan_sure_cause(const struct plan_compiled *of, const struct policy_node *node)
{
	size_t i;

	for (i = 0; i < of->play.count; i++)
		if (node->share[i] >= SURE)
			return of->play.items[i].cause;
	return NULL;
}

const char *
plan_cause_title(const struct play_cause *item)
{
	return item->cause != NULL ? item->cause->title
				   : "something that is not in the book";
}

/* "No further check pays. Try the fixes in this order: ...". */
const char *
plan_say_end(struct plan_compiled *of, const struct policy_node *node)
{
	struct buf text;
	const char *copy;
	size_t i, listed = 0;

	buf_init(&text, WORDS_MAX);
	buf_add(&text, "No further check pays. Try the fixes in this order: ");
	for (i = 0; i < of->play.count && listed < PLAN_CAUSES_LISTED; i++) {
		size_t item = node->order[i];

		if (node->share[item] < PLAN_LISTED)
			continue;
		buf_printf(&text, "%s%s (%.0f %%)", listed > 0 ? "; " : "",
		    plan_cause_title(&of->play.items[item]),
		    node->share[item] * 100);
		listed++;
	}
	buf_add(&text, ".");
	copy = arena_dup(of->shelf.arena, buf_text(&text));
	buf_clear(&text);
	return copy;
}

/* What an outcome that ends the way says. */
const char *
plan_say_stop(const struct lw_check *check, size_t outcome)
{
	const char *say = outcome < check->outcome_count
			      ? check->outcomes[outcome].say
			      : NULL;

	return say != NULL ? say
			   : "Stop here, keep away, and keep others away.";
}
