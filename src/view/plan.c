/* The keys that every decision tree's document has; how it is drawn and
 * written is left to plan_draw and plan_text. */
#include "view/plan.h"

#include "base/num.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void
view_plan_cost(struct view *view, json_t *object, const char *key, double cost,
    const char *unit)
{
	char number[32], text[64];
	int digits = 4;

	if (!isfinite(cost)) {
		view_null(view, object, key);
		return;
	}
	if (unit != NULL && strcmp(unit, "min") == 0 && cost >= 90) {
		cost /= 60;
		unit = "h";
		digits = 3;
	}
	num_format(number, sizeof number, num_round(cost, digits));
	snprintf(text, sizeof text, "%s%s%.20s", number,
	    unit != NULL ? " " : "", unit != NULL ? unit : "");
	view_words(view, object, key, text);
}

void
view_plan_figures(struct view *view, const struct plan_figures *figures)
{
	json_t *root = view->root;

	view_real(view, root, "expected_cost", figures->cost);
	view_bool(view, root, "optimal", figures->optimal);
	view_real(view, root, "lower_bound", figures->lower_bound);
	view_int(view, root, "checks_used", (int64_t)figures->checks_used);
	view_int(view, root, "causes", (int64_t)figures->causes);
	view_int(view, root, "checks", (int64_t)figures->checks);
	view_bool(view, root, "stopped", figures->stopped);
	view_text(view, root, "unit", figures->unit);
	view_plan_cost(
	    view, root, "expected_text", figures->cost, figures->unit);
	view_plan_cost(
	    view, root, "bound_text", figures->lower_bound, figures->unit);
}
