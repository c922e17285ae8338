/*
 * The document of a decision tree, whatever it was made from.
 */
#ifndef VIEW_PLAN_H
#define VIEW_PLAN_H

#include "view/parts.h"

/* A tree deeper, or with more nodes, is cut in the document: `left_out` of a
 * node says that something stands below. */
enum { PLAN_DEPTH_MAX = 200, PLAN_NODES_MAX = 20000 };

struct plan_figures {
	double cost;
	double lower_bound;
	bool optimal;
	bool stopped; /* by a limit */
	size_t checks_used;
	size_t causes;
	size_t checks;
	const char *unit; /* of costs, or NULL */
};

/* The keys of every plan, besides `tree`. */
void view_plan_figures(struct view *view, const struct plan_figures *figures);

/* A cost with its unit as people read it: "12.5 min", "2.18". */
void view_plan_cost(struct view *view, json_t *object, const char *key,
    double cost, const char *unit);

/* What is drawn and written of it: text_tree and drawing, from `tree` as it
 * stands in the document. */
void view_plan_show(struct view *view);
/* `text_tree` alone. */
void view_plan_text(struct view *view);

#endif
