/* The cheapest tree for a table of causes and checks, as a document; the
 * search is left to reason. */
#include "view/plan.h"

#include "base/arena.h"
#include "base/err.h"
#include "reason/matrix.h"
#include "reason/plan.h"

#include <lampwright/plan.h>

#include <math.h>

/* Above so many groups of causes there is no search (reason/plan.h): a tree
 * that is not proved was not stopped then. */
enum { SEARCHED = 1024 };

struct making {
	struct view *view;
	const struct matrix *matrix;
	size_t nodes;	/* put so far */
	double largest; /* weight; what is divided by it adds up to `sum` */
	double sum;
};

static void
put_leaf(struct making *making, json_t *object, const struct plan_node *node)
{
	const struct matrix *matrix = making->matrix;
	json_t *list = view_list(making->view, object, "causes"), *item;
	size_t i;

	for (i = 0; i < node->cause_count; i++) {
		item = view_add(making->view, list);
		view_words(making->view, item, "cause",
		    matrix->cause[node->causes[i]]);
		view_words(making->view, item, "title",
		    matrix->cause[node->causes[i]]);
		view_share(making->view, item,
		    matrix->grid.weight[node->causes[i]] / making->largest /
			making->sum);
	}
	view_bool(making->view, object, "told_apart", node->cause_count == 1);
}

/* No deeper than PLAN_DEPTH_MAX, so that it may call itself. */
static void
put_node(struct making *making, json_t *object, const struct plan_node *node,
    size_t depth)
{
	const struct matrix *matrix = making->matrix;
	struct view *view = making->view;
	json_t *list, *item, *next;
	bool left_out;
	size_t i;

	making->nodes++;
	view_bool(view, object, "is_leaf", node->check == REASON_NONE);
	view_share(view, object, node->share);
	if (node->check == REASON_NONE) {
		put_leaf(making, object, node);
		return;
	}
	view_words(view, object, "check", matrix->check[node->check]);
	view_words(view, object, "title", matrix->check[node->check]);
	view_real(view, object, "cost", matrix->grid.cost[node->check]);
	view_plan_cost(
	    view, object, "cost_text", matrix->grid.cost[node->check], NULL);
	view_real(view, object, "setup", 0);
	view_null(view, object, "setup_text");
	view_null(view, object, "power");
	view_null(view, object, "power_title");
	view_bool(view, object, "changes_power", false);
	list = view_list(view, object, "outcomes");
	left_out = depth >= PLAN_DEPTH_MAX || making->nodes >= PLAN_NODES_MAX;
	view_bool(view, object, "left_out", left_out);
	if (left_out)
		return;
	for (i = 0; i < node->branch_count; i++) {
		const struct plan_branch *branch = &node->branches[i];
		const char *name =
		    matrix->outcome[node->check][branch->outcome];

		item = view_add(view, list);
		view_words(view, item, "outcome", name);
		view_words(view, item, "title", name);
		view_share(view, item, branch->node->share);
		view_null(view, item, "stop");
		next = view_object(view, item, "next");
		put_node(making, next, branch->node, depth + 1);
	}
}

/* Checks that tell nothing apart. */
static void
put_mute(
    struct view *view, const struct matrix *matrix, const struct plan *plan)
{
	json_t *list = view_list(view, view->root, "mute");
	size_t i;

	for (i = 0; i < plan->mute_count; i++)
		view_add_text(view, list, matrix->check[plan->mute[i]]);
	view_bool(view, view->root, "has_mute", plan->mute_count > 0);
}

static void
put_group(struct view *view, json_t *list, const struct matrix *matrix,
    const struct plan_node *node)
{
	json_t *names = view_list(view, view_add(view, list), "causes");
	size_t i;

	for (i = 0; i < node->cause_count; i++)
		view_add_text(view, names, matrix->cause[node->causes[i]]);
}

/* Groups of causes that no check tells apart: the leaves with several. A tree
 * may be as deep as there are checks, so it is walked with a list. */
static void
put_groups(struct view *view, json_t *list, const struct matrix *matrix,
    const struct plan_node *root)
{
	const struct plan_node **waiting = NULL, **added, *node = root;
	size_t count = 0, room = 0, i;

	for (;;) {
		if (node->check == REASON_NONE && node->cause_count > 1)
			put_group(view, list, matrix, node);
		/* From the last to the first, which is taken up next. */
		for (i = node->branch_count; i-- > 0;) {
			added = arena_grow(view->arena, &waiting, &count, &room,
			    sizeof *added);
			if (added == NULL) {
				view_fail(view, err_no_memory(&view->last));
				return;
			}
			*added = node->branches[i].node;
		}
		if (count == 0)
			return;
		node = waiting[--count];
	}
}

static void
put_matrix_plan(
    struct view *view, const struct matrix *matrix, const struct plan *plan)
{
	bool large = plan->groups > SEARCHED;
	const struct plan_figures figures = {.cost = plan->cost,
	    .lower_bound = plan->lower_bound,
	    .optimal = plan->optimal,
	    .stopped = !plan->optimal && !large,
	    .checks_used = plan->checks_used,
	    .causes = matrix->grid.causes,
	    .checks = matrix->grid.checks};
	struct making making = {.view = view, .matrix = matrix};
	json_t *groups, *remarks;
	size_t i;

	/* Divided by the largest first, so that the sum cannot overflow. */
	for (i = 0; i < matrix->grid.causes; i++)
		making.largest = fmax(making.largest, matrix->grid.weight[i]);
	for (i = 0; i < matrix->grid.causes; i++)
		making.sum += matrix->grid.weight[i] / making.largest;
	view_plan_figures(view, &figures);
	view_null(view, view->root, "for");
	put_mute(view, matrix, plan);
	groups = view_list(view, view->root, "groups");
	put_groups(view, groups, matrix, plan->root);
	view_bool(view, view->root, "has_groups",
	    groups != NULL && json_array_size(groups) > 0);
	remarks = view_list(view, view->root, "remarks");
	if (large)
		view_add_text(view, remarks,
		    "So many causes are told apart check by check, without a "
		    "search for a cheaper tree.");
	view_null(view, view->root, "saved");
	put_node(&making, view_object(view, view->root, "tree"), plan->root, 0);
	view_plan_show(view);
}

enum lw_status
lw_plan_matrix(struct lw_doc **doc, const char *text, size_t length,
    const char *name, const struct lw_plan_limits *limits, struct lw_err *err)
{
	const struct reason_limits bounds = {limits != NULL ? limits->bytes : 0,
	    limits != NULL ? limits->stop : NULL,
	    limits != NULL ? limits->what : NULL};
	struct matrix matrix;
	struct plan plan;
	struct view view;
	enum lw_status status;

	view_begin(&view, NULL);
	view_words(&view, view.root, "title", name);
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	status =
	    matrix_read(&matrix, view.arena, text, length, name, &view.last);
	if (status == LW_OK)
		status = plan_make(&plan, view.arena, &matrix.grid, PLAN_BEST,
		    &bounds, &view.last);
	if (status == LW_OK)
		put_matrix_plan(&view, &matrix, &plan);
	else
		view_fail(&view, status);
	return view_end(&view, doc, LW_OK, err);
}
