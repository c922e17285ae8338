/* A decision tree as lines and as a drawing. */
#include "view/plan.h"

void
view_plan_show(struct view *view)
{
	view_list(view, view->root, "text_tree");
	view_null(view, view->root, "drawing");
}
