/* A decision tree as indented lines, from its document; the drawing is left to
 * plan_draw. */
#include "view/plan.h"

#include "base/buf.h"
#include "base/utf8.h"

#include <string.h>

enum {
	COLUMNS = 80,
	INDENT = 2,
	INDENT_MOST = 36,
	HANGING = 4, /* more, where a line goes on */
	LINES_MOST = 2000,
	LINE_MAX = 4000
};

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

static void
add_spaces(struct buf *line, size_t count)
{
	while (count-- > 0)
		buf_add(line, " ");
}

static size_t
indent_of(size_t depth)
{
	return depth * INDENT < INDENT_MOST ? depth * INDENT : INDENT_MOST;
}

/* Bytes of what fits into so many columns, and at least a word. */
static size_t
fitting(const char *text, size_t columns)
{
	size_t fits = 0, at = 0, length = strlen(text);

	while (at < length) {
		at += strcspn(text + at, " ");
		if (fits > 0 && utf8_count(text, at) > columns)
			break;
		/* A number stays with its sign. */
		if (strncmp(text + at, " %", 2) != 0)
			fits = at;
		at += strspn(text + at, " ");
	}
	return fits;
}

/* A text as lines, as deep as it lies; where it goes on, a bit deeper. */
static void
put_text(struct lines *lines, struct buf *text, size_t depth)
{
	const char *at = buf_text(text);
	size_t indent = indent_of(depth), length;
	struct buf line;

	do {
		length = fitting(at, COLUMNS - indent);
		buf_init(&line, LINE_MAX);
		add_spaces(&line, indent);
		buf_add_n(&line, at, length);
		if (lines->count++ < LINES_MOST)
			view_add_text(
			    lines->view, lines->list, buf_text(&line));
		buf_clear(&line);
		at += length + strspn(at + length, " ");
		indent = indent_of(depth) + HANGING;
	} while (*at != '\0');
	buf_clear(text);
}

/* "=> Open fuse 62 %, Flat pack 30 %". */
static void
add_causes(struct buf *text, const json_t *node)
{
	const json_t *causes = json_object_get(node, "causes"), *cause;
	/* Its share is that of the way. */
	bool alone = json_array_size(causes) == 1 &&
		     json_object_get(node, "fixes") == NULL;
	size_t i;

	buf_add(text, "=> ");
	for (i = 0; i < json_array_size(causes); i++) {
		if (i == CAUSES_SHOWN) {
			buf_printf(text, ", and %zu more",
			    json_array_size(causes) - i);
			break;
		}
		cause = json_array_get(causes, i);
		buf_printf(
		    text, "%s%s", i > 0 ? ", " : "", text_of(cause, "title"));
		if (!alone)
			buf_printf(text, " %s", text_of(cause, "percent"));
	}
}

/* The power state stands where it changes. */
static void
add_check(struct lines *lines, struct buf *text, const json_t *node)
{
	bool unit = json_is_string(json_object_get(lines->view->root, "unit"));

	buf_printf(text, "%s (%s%s", text_of(node, "title"),
	    unit ? "" : "cost ", text_of(node, "cost_text"));
	if (text_of(node, "setup_text")[0] != '\0')
		buf_printf(text, ", and %s to change to %s",
		    text_of(node, "setup_text"), text_of(node, "power_title"));
	else if (is_true(node, "changes_power"))
		buf_printf(text, ", %s", text_of(node, "power_title"));
	buf_add(text, ")");
}

/* No deeper than PLAN_DEPTH_MAX. */
static void
put_node(struct lines *lines, const json_t *node, size_t depth)
{
	const json_t *outcomes = json_object_get(node, "outcomes"), *outcome;
	const json_t *next;
	struct buf text;
	size_t i;

	for (i = 0; i < json_array_size(outcomes); i++) {
		outcome = json_array_get(outcomes, i);
		next = json_object_get(outcome, "next");
		buf_init(&text, LINE_MAX);
		buf_printf(&text, "%s, %s: ", text_of(outcome, "title"),
		    text_of(outcome, "percent"));
		if (text_of(outcome, "stop")[0] != '\0')
			buf_printf(&text, "STOP. %s", text_of(outcome, "stop"));
		else if (is_true(next, "is_leaf"))
			add_causes(&text, next);
		else
			add_check(lines, &text, next);
		put_text(lines, &text, depth);
		if (text_of(outcome, "stop")[0] == '\0')
			put_node(lines, next, depth + 1);
	}
	if (is_true(node, "left_out")) {
		buf_init(&text, LINE_MAX);
		buf_add(&text, "and so on; it is too large to show whole");
		put_text(lines, &text, depth);
	}
}

void
view_plan_text(struct view *view)
{
	struct lines lines = {
	    .view = view, .list = view_list(view, view->root, "text_tree")};
	const json_t *tree = json_object_get(view->root, "tree");
	struct buf text;

	if (view->status != LW_OK)
		return;
	buf_init(&text, LINE_MAX);
	if (is_true(tree, "is_leaf"))
		add_causes(&text, tree);
	else
		add_check(&lines, &text, tree);
	put_text(&lines, &text, 0);
	put_node(&lines, tree, 1);
	if (lines.count > LINES_MOST) {
		lines.count = 0;
		buf_init(&text, LINE_MAX);
		buf_printf(&text,
		    "... and more than %d lines; --json has all of it",
		    LINES_MOST);
		put_text(&lines, &text, 0);
	}
}
