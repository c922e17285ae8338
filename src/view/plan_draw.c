/* A decision tree as a drawing, from its document; the lines are left to
 * plan_text. */
#include "view/plan.h"

void
view_plan_show(struct view *view)
{
	view_plan_text(view);
	view_null(view, view->root, "drawing");
}
