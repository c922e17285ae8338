/* The document of a tree that was compiled from the book; the compiling is left
 * to plan_compile, keeping it to plan_keep. */
#include "view/plan_compile.h"

#include <math.h>

#include "base/arena.h"
#include "base/err.h"

struct making {
	struct view *view;
	struct plan_compiled *of;
	size_t nodes;
	bool *asked; /* of each check: somewhere in what is shown */
	size_t checks_used;
};

static void
put_end(struct making *making, json_t *object, const struct policy_node *node)
{
	const struct plan_compiled *of = making->of;
	struct view *view = making->view;
	const struct lw_cause *sure = plan_sure_cause(of, node);
	json_t *causes = view_list(view, object, "causes"), *item;
	json_t *fixes = view_list(view, object, "fixes");
	size_t i, listed = 0;

	for (i = 0; i < of->play.count; i++) {
		size_t at = node->order[i];
		const struct play_cause *cause = &of->play.items[at];

		if (node->share[at] < PLAN_LISTED ||
		    listed++ >= PLAN_CAUSES_LISTED)
			continue;
		item = view_add(view, causes);
		view_words(view, item, "cause",
		    cause->cause != NULL ? cause->cause->id : "unlisted");
		view_words(view, item, "title", plan_cause_title(cause));
		view_share(view, item, node->share[at]);
		view_bool(view, item, "unlisted", cause->cause == NULL);
		if (cause->cause != NULL)
			view_add_text(view, fixes, cause->cause->title);
	}
	view_bool(view, object, "told_apart", sure != NULL);
	view_text(view, object, "sure", sure != NULL ? sure->id : NULL);
}

static void
put_node(struct making *making, json_t *object, const struct policy_node *node,
    size_t from, size_t depth)
{
	struct plan_compiled *of = making->of;
	struct view *view = making->view;
	const struct book_speaker *speaker;
	const struct lw_check *check;
	const struct reason_check *row;
	json_t *list, *item, *next;
	double setup;
	bool left_out;
	size_t o;

	making->nodes++;
	view_bool(view, object, "is_leaf", node->check == REASON_NONE);
	view_share(view, object, node->chance);
	if (node->check != REASON_NONE && !making->asked[node->check]) {
		making->asked[node->check] = true;
		making->checks_used++;
	}
	if (node->check == REASON_NONE) {
		put_end(making, object, node);
		return;
	}
	speaker = &of->weighing.speakers[of->speaker[node->check]];
	row = &of->table.check[node->check];
	if (view->status != LW_OK ||
	    !view_got(view,
		shelf_check(&check, &of->shelf, speaker->id, &view->last)) ||
	    check == NULL)
		return;
	view_words(view, object, "check", speaker->id);
	view_words(view, object, "title", speaker->title);
	view_real(view, object, "cost", check->minutes);
	view_plan_cost(view, object, "cost_text", check->minutes, "min");
	setup = of->table.setup[from * of->table.states + row->state];
	view_real(view, object, "setup", setup);
	view_plan_cost(
	    view, object, "setup_text", setup > 0 ? setup : NAN, "min");
	view_words(view, object, "power", lw_power_name(speaker->power));
	view_words(view, object, "power_title", lw_power_title(speaker->power));
	view_bool(view, object, "changes_power", from != row->state);
	list = view_list(view, object, "outcomes");
	left_out = depth >= PLAN_DEPTH_MAX || making->nodes >= PLAN_NODES_MAX;
	view_bool(view, object, "left_out", left_out);
	if (left_out)
		return;
	for (o = 0; o < row->outcomes && o < check->outcome_count; o++) {
		const struct policy_node *below = node->next[o];

		if (below == NULL)
			continue;
		item = view_add(view, list);
		view_words(view, item, "outcome", check->outcomes[o].id);
		view_words(view, item, "title", check->outcomes[o].title);
		view_share(view, item, below->chance);
		view_text(view, item, "stop",
		    speaker->outcomes[o].stops ? plan_say_stop(check, o)
					       : NULL);
		/* What lies below a stop is nobody's way. */
		if (speaker->outcomes[o].stops) {
			view_null(view, item, "next");
			continue;
		}
		next = view_object(view, item, "next");
		put_node(making, next, below, row->state, depth + 1);
	}
}

static void
put_remarks(struct view *view, const struct plan_compiled *of)
{
	json_t *list = view_list(view, view->root, "remarks");
	size_t i;
	bool parts = false;

	for (i = 0; i < of->play.count; i++)
		parts = parts || (of->play.items[i].cause != NULL &&
				     of->play.items[i].cause->parts != NULL);
	if (parts)
		view_add_text(view, list,
		    "Parts that have to be bought count as 2 h of work.");
	view_add_text(view, list,
	    "A check with power on counts up to 40 min more, for its hazard.");
	view_add_text(view, list,
	    "Ways into a power state, and what is compulsory before them, are "
	    "not drawn. They come first all the same: a job asks them.");
	if (of->late > 0)
		view_add_text(view, list,
		    "Checks whose tool is not at hand are left out.");
}

/* What a symptom says to beware of, before anybody begins. */
static void
put_cautions(struct view *view, const struct lw_symptom *symptom)
{
	json_t *list = view_list(view, view->root, "cautions");

	if (symptom != NULL)
		view_cautions(view, list, &symptom->cautions);
	view_bool(view, view->root, "has_cautions", json_array_size(list) > 0);
}

void
plan_put(struct view *view, struct plan_compiled *of, const char *saved)
{
	const struct policy *policy = &of->policy;
	struct plan_figures figures = {.cost = policy->cost,
	    .lower_bound = policy->lower_bound,
	    .optimal = policy->optimal,
	    .stopped = policy->stopped,
	    .causes = of->play.count,
	    .checks = of->table.checks,
	    .unit = "min"};
	struct making making = {.view = view, .of = of};
	json_t *root = view->root;

	making.asked = arena_array(
	    of->shelf.arena, of->table.checks + 1, sizeof *making.asked);
	if (making.asked == NULL) {
		view_fail(view, err_no_memory(&view->last));
		return;
	}
	view_words(view, root, "title", of->title);
	view_words(view, root, "for",
	    of->fault != NULL ? of->fault->id : of->symptom->id);
	view_words(
	    view, root, "for_kind", of->fault != NULL ? "fault" : "symptom");
	view_text(view, root, "device", of->device);
	put_cautions(view, of->symptom);
	view_list(view, root, "mute");
	view_bool(view, root, "has_mute", false);
	view_list(view, root, "groups");
	view_bool(view, root, "has_groups", false);
	put_remarks(view, of);
	view_text(view, root, "saved", saved);
	put_node(&making, view_object(view, root, "tree"), policy->root,
	    of->table.begin, 0);
	figures.checks_used = making.checks_used;
	view_plan_figures(view, &figures);
	view_plan_show(view);
}

enum lw_status
lw_plan_book(struct lw_doc **doc, struct lw_book *book,
    const struct lw_plan_for *plan, const struct lw_plan_limits *limits,
    struct lw_err *err)
{
	struct plan_compiled of;
	struct view view;
	enum lw_status status;

	view_begin(&view, book);
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	status = plan_compile(&of, book, view.arena, plan, limits, &view.last);
	if (status == LW_OK)
		plan_put(&view, &of, NULL);
	else
		view_fail(&view, status);
	return view_end(&view, doc, LW_OK, err);
}
