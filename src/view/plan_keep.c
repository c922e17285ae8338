/* Keeps a compiled tree as one of the builder's own; the rows are left to
 * book. */
#include "view/plan_compile.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

enum { STEPS_MAX = 2000 };

struct keeping {
	struct plan_compiled *of;
	struct lw_step *steps;
	size_t count;
	size_t room;
	struct lw_err *err;
};

static enum lw_status keep_node(size_t *step, struct keeping *keeping,
    const struct policy_node *node, size_t depth);

/* Where one outcome leads. */
static enum lw_status
keep_branch(struct lw_branch *branch, struct keeping *keeping,
    const struct lw_check *check, size_t outcome,
    const struct policy_node *below, size_t depth)
{
	struct plan_compiled *of = keeping->of;
	struct lw_arena *arena = of->shelf.arena;
	const struct lw_cause *sure;
	enum lw_status status;
	size_t step;

	branch->outcome = check->outcomes[outcome].id;
	if (check->outcomes[outcome].stops) {
		branch->kind = LW_BRANCH_STOP;
		branch->target = plan_say_stop(check, outcome);
		return LW_OK;
	}
	branch->kind = LW_BRANCH_UNSURE;
	branch->target =
	    check->power > LW_POWER_ISOLATED
		? "This is not to be expected on this way. Make the vehicle "
		  "safe first. Then do the check once more, or leave the tree."
		: "This is not to be expected on this way. Do the check once "
		  "more, or leave the tree.";
	if (below == NULL)
		return LW_OK;
	if (below->check != REASON_NONE) {
		status = keep_node(&step, keeping, below, depth + 1);
		if (status != LW_OK)
			return status;
		branch->kind = LW_BRANCH_STEP;
		branch->target = arena_printf(arena, "s%zu", step + 1);
	} else if ((sure = plan_sure_cause(of, below)) != NULL) {
		branch->kind = LW_BRANCH_CAUSE;
		branch->target = sure->id;
	} else {
		branch->target = plan_say_end(of, below);
	}
	return branch->target == NULL ? err_no_memory(keeping->err) : LW_OK;
}

static enum lw_status
keep_node(size_t *step, struct keeping *keeping, const struct policy_node *node,
    size_t depth)
{
	struct plan_compiled *of = keeping->of;
	struct lw_arena *arena = of->shelf.arena;
	const struct reason_check *row = &of->table.check[node->check];
	const struct lw_check *check;
	struct lw_branch *branches;
	struct lw_step *added;
	enum lw_status status;
	size_t o;

	if (keeping->count >= STEPS_MAX || depth > PLAN_DEPTH_MAX)
		return err_set(keeping->err, LW_TOO_BIG,
		    "the tree has more than %d steps, which nobody follows; "
		    "compile it for a device, or with the tools of a rig",
		    STEPS_MAX);
	status = shelf_check(&check, &of->shelf,
	    of->weighing.speakers[of->speaker[node->check]].id, keeping->err);
	/* Working it out takes a while, in which the book may change. */
	if (status == LW_OK &&
	    (check == NULL || check->outcome_count != row->outcomes))
		status = err_set(keeping->err, LW_CONFLICT,
		    "the book has changed while the tree was worked out; "
		    "ask for it again");
	if (status != LW_OK)
		return status;
	branches = arena_array(arena, row->outcomes, sizeof *branches);
	added = arena_grow(arena, &keeping->steps, &keeping->count,
	    &keeping->room, sizeof *added);
	if (branches == NULL || added == NULL)
		return err_no_memory(keeping->err);
	*step = keeping->count - 1;
	added->id = arena_printf(arena, "s%zu", *step + 1);
	added->check = check->id;
	added->branches = branches;
	added->branch_count = row->outcomes;
	if (added->id == NULL)
		return err_no_memory(keeping->err);
	for (o = 0; o < row->outcomes && status == LW_OK; o++)
		status = keep_branch(
		    &branches[o], keeping, check, o, node->next[o], depth);
	return status;
}

/* An id of a title: "own", so that no pack's tree is in its way, then its
 * letters and digits, joined by hyphens. */
static const char *
make_id(struct lw_arena *arena, const char *title)
{
	char id[65] = "own-";
	size_t length = strlen(id);
	const char *at;

	for (at = title; *at != '\0' && length < 60; at++) {
		char c = *at;

		if (c >= 'A' && c <= 'Z')
			c = (char)(c - 'A' + 'a');
		if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'))
			id[length++] = c;
		else if (id[length - 1] != '-')
			id[length++] = '-';
	}
	while (id[length - 1] == '-')
		length--;
	id[length] = '\0';
	return arena_dup(arena, id);
}

static enum lw_status
keep(const char **id, struct plan_compiled *of, const char *title,
    int64_t now_s, struct lw_err *err)
{
	struct lw_arena *arena = of->shelf.arena;
	struct keeping keeping = {.of = of, .err = err};
	struct lw_tree tree = {.title = title,
	    .source = "compiled from the causes and checks of this book"};
	struct lw_ref *ref = arena_alloc(arena, sizeof *ref);
	enum lw_status status;
	size_t first;

	if (of->policy.root->check == REASON_NONE)
		return err_set(err, LW_NOT_FOUND,
		    "no check pays before a fix here, so there is no tree to "
		    "keep");
	tree.id = make_id(arena, title);
	if (ref == NULL || tree.id == NULL)
		return err_no_memory(err);
	/* Two such titles would be one tree. */
	if (strcmp(tree.id, "own") == 0)
		return err_set(err, LW_BAD_INPUT,
		    "the name \"%.60s\" has no letter a-z and no digit, which "
		    "its id is made of; add one",
		    title);
	ref->id = of->fault != NULL ? of->fault->id : of->symptom->id;
	if (of->fault != NULL)
		tree.faults = (struct lw_refs){ref, 1};
	else
		tree.symptoms = (struct lw_refs){ref, 1};
	status = keep_node(&first, &keeping, of->policy.root, 0);
	if (status != LW_OK)
		return status;
	tree.steps = keeping.steps;
	tree.step_count = keeping.count;
	*id = tree.id;
	return lw_book_keep_tree(of->shelf.book, &tree, now_s, err);
}

enum lw_status
lw_plan_save(struct lw_doc **doc, struct lw_book *book,
    const struct lw_plan_for *plan, const char *title,
    const struct lw_plan_limits *limits, int64_t now_s, struct lw_err *err)
{
	struct lw_arena *arena = lw_arena_new();
	const char *id = NULL;
	struct plan_compiled of;
	struct view view;
	enum lw_status status;

	*doc = NULL;
	if (arena == NULL)
		return err_no_memory(err);
	status = plan_compile(&of, book, arena, plan, limits, err);
	if (status == LW_OK)
		status = keep(&id, &of, title, now_s, err);
	if (status == LW_OK) {
		view_begin(&view, book);
		plan_put(&view, &of, id);
		status = view_end(&view, doc, LW_OK, err);
	}
	lw_arena_free(arena);
	return status;
}
