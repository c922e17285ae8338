/* The problems that reading packs has found. */
#include "view/parts.h"

#include "base/err.h"

enum lw_status
lw_view_problems(
    struct lw_doc **doc, const struct lw_problems *problems, struct lw_err *err)
{
	enum lw_status outcome = LW_OK;
	json_t *list, *object;
	struct view view;
	size_t i;

	view_begin(&view, NULL);
	list = view_list(&view, view.root, "problems");
	for (i = 0; i < problems->count; i++) {
		const struct lw_problem *problem = &problems->items[i];

		object = view_add(&view, list);
		view_text(&view, object, "file", problem->file);
		view_int(&view, object, "line", problem->line);
		view_int(&view, object, "column", problem->column);
		view_text(&view, object, "rule", problem->rule);
		view_text(&view, object, "text", problem->text);
	}
	view_int(&view, view.root, "count", (int64_t)problems->count);
	if (problems->count > 0)
		outcome = err_set(&view.err, LW_UNDECIDED, "%zu problem%s",
		    problems->count, problems->count == 1 ? "" : "s");
	return view_end(&view, doc, outcome, err);
}
