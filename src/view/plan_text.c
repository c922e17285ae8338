/* A decision tree as indented lines, from its document; the drawing is left to
 * plan_draw. */
#include "view/plan.h"

#include "base/buf.h"

#include <string.h>

enum { INDENT = 2, INDENT_MOST = 36, LINES_MOST = 2000, LINE_MAX = 2000 };

/* Of an end; the document has more. */
enum { CAUSES_SHOWN = 3 };

struct lines {
	struct view *view;
	json_t *list;
	size_t count;
};

static const char *
text_of(const json_t *object, const char *key)
{
	const json_t *value = json_object_get(object, key);

	return value != NULL && json_is_string(value) ? json_string_value(value)
						      : "";
}

static bool
is_true(const json_t *object, const char *key)
{
	return json_is_true(json_object_get(object, key));
}

/* Begin a line, indented as deep as it lies. */
static void
begin_line(struct buf *line, size_t depth)
{
	size_t indent = depth * INDENT, i;

	if (indent > INDENT_MOST)
		indent = INDENT_MOST;
	buf_init(line, LINE_MAX);
	for (i = 0; i < indent; i++)
		buf_add(line, " ");
}

static void
end_line(struct lines *lines, struct buf *line)
{
	if (lines->count++ < LINES_MOST)
		view_add_text(lines->view, lines->list, buf_text(line));
	buf_clear(line);
}

/* "Open fuse 62 %, Flat pack 30 %". */
static void
add_causes(struct buf *line, const json_t *node)
{
	const json_t *causes = json_object_get(node, "causes"), *cause;
	size_t i;

	for (i = 0; i < json_array_size(causes); i++) {
		if (i == CAUSES_SHOWN) {
			buf_add(line, ", ...");
			break;
		}
		cause = json_array_get(causes, i);
		buf_printf(line, "%s%s %s", i > 0 ? ", " : "",
		    text_of(cause, "title"), text_of(cause, "percent"));
	}
}

static void
add_check(struct buf *line, const json_t *node)
{
	buf_printf(
	    line, "%s (%s", text_of(node, "title"), text_of(node, "cost_text"));
	if (text_of(node, "power_title")[0] != '\0')
		buf_printf(line, ", %s", text_of(node, "power_title"));
	buf_add(line, ")");
}

/* No deeper than PLAN_DEPTH_MAX. */
static void
put_node(struct lines *lines, const json_t *node, size_t depth)
{
	const json_t *outcomes = json_object_get(node, "outcomes"), *outcome;
	const json_t *next;
	struct buf line;
	size_t i;

	for (i = 0; i < json_array_size(outcomes); i++) {
		outcome = json_array_get(outcomes, i);
		next = json_object_get(outcome, "next");
		begin_line(&line, depth);
		buf_printf(&line, "%s, %s: ", text_of(outcome, "title"),
		    text_of(outcome, "percent"));
		if (text_of(outcome, "stop")[0] != '\0')
			buf_printf(&line, "stop. %s", text_of(outcome, "stop"));
		else if (is_true(next, "is_leaf"))
			add_causes(&line, next);
		else
			add_check(&line, next);
		end_line(lines, &line);
		if (text_of(outcome, "stop")[0] == '\0')
			put_node(lines, next, depth + 1);
	}
	if (is_true(node, "left_out")) {
		begin_line(&line, depth);
		buf_add(&line, "and further below");
		end_line(lines, &line);
	}
}

void
view_plan_text(struct view *view)
{
	struct lines lines = {
	    .view = view, .list = view_list(view, view->root, "text_tree")};
	const json_t *tree = json_object_get(view->root, "tree");
	struct buf line;

	if (view->status != LW_OK)
		return;
	begin_line(&line, 0);
	if (is_true(tree, "is_leaf"))
		add_causes(&line, tree);
	else
		add_check(&line, tree);
	end_line(&lines, &line);
	put_node(&lines, tree, 1);
	if (lines.count > LINES_MOST) {
		lines.count = 0;
		begin_line(&line, 0);
		buf_printf(&line,
		    "... and more; --json has all of it, or --svg a drawing");
		end_line(&lines, &line);
	}
}
