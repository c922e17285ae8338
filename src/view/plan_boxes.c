/* What stands in the boxes of a drawn tree, and on its edges; where they stand
 * is left to plan_draw. */
#include "view/plan_draw.h"

#include "base/arena.h"
#include "base/utf8.h"

#include <string.h>

enum {
	TITLE_LINES = 3,
	STOP_LINES = 5,
	CAUSES = 4,
	CAUSE_LINES = 2,
	LETTERS = (TREE_BOX - 2 * TREE_PAD) * 10 / TREE_LETTER,
	SMALL_LETTERS = (TREE_BOX - 2 * TREE_PAD) * 10 / TREE_SMALL_LETTER,
	EDGE_LETTERS =
	    (TREE_GAP - TREE_BEND - TREE_PAD) * 10 / TREE_SMALL_LETTER
};

/* --- wrapping ------------------------------------------------------------ */

/* Bytes of the first `letters` letters, or of all. */
static size_t
bytes_of(const char *text, size_t letters)
{
	size_t at = 0, length = strlen(text), n;

	while (letters-- > 0 && at < length) {
		n = utf8_decode(text + at, length - at, NULL);
		at += n > 0 ? n : 1;
	}
	return at;
}

/* Bytes of the next line, and where the one after it begins. */
static size_t
cut_line(const char **rest, const char *text, size_t letters)
{
	size_t most = bytes_of(text, letters), at;

	*rest = text + most;
	if (text[most] == '\0')
		return most;
	for (at = most; at > 0 && text[at] != ' '; at--)
		;
	if (at == 0)
		return most; /* a word that is too long is cut */
	*rest = text + at + strspn(text + at, " ");
	while (at > 0 && text[at - 1] == ' ')
		at--;
	return at;
}

size_t
tree_wrap(const char **lines, size_t most, size_t letters,
    struct lw_arena *arena, const char *text)
{
	size_t count = 0, length;
	const char *rest;

	text += strspn(text, " ");
	do {
		length = cut_line(&rest, text, letters);
		if (count + 1 == most && *rest != '\0') {
			length = cut_line(&rest, text, letters - 3);
			lines[count] =
			    arena_printf(arena, "%.*s...", (int)length, text);
		} else {
			lines[count] = arena_dup_n(arena, text, length);
		}
		if (lines[count++] == NULL)
			return 0;
		text = rest;
	} while (*text != '\0' && count < most);
	return count;
}

/* --- boxes --------------------------------------------------------------- */

static const char *
text_of(const json_t *object, const char *key)
{
	const char *text = json_string_value(json_object_get(object, key));

	return text != NULL ? text : "";
}

static bool
add_lines(struct tree_drawing *drawing, struct tree_box *box, const char *text,
    bool strong, size_t most)
{
	const char *lines[TREE_LINES];
	size_t count, i;

	if (text == NULL)
		return false;
	if (most > TREE_LINES - box->line_count)
		most = TREE_LINES - box->line_count;
	if (most == 0)
		return true;
	count = tree_wrap(lines, most, strong ? LETTERS : SMALL_LETTERS,
	    drawing->view->arena, text);
	for (i = 0; i < count; i++)
		box->lines[box->line_count++] =
		    (struct tree_line){lines[i], strong};
	return count > 0;
}

static bool
write_check(struct tree_drawing *drawing, struct tree_box *box)
{
	struct lw_arena *arena = drawing->view->arena;
	const char *setup = text_of(box->node, "setup_text");
	const char *power = text_of(box->node, "power_title");
	const char *cost = text_of(box->node, "cost_text");

	if (json_is_null(json_object_get(drawing->view->root, "unit")))
		cost = arena_printf(arena, "cost %s", cost);
	else if (setup[0] != '\0')
		cost =
		    arena_printf(arena, "%s, and %s to change to", cost, setup);
	return add_lines(drawing, box, text_of(box->node, "title"), true,
		   TITLE_LINES) &&
	       add_lines(drawing, box, cost, false, 2) &&
	       (power[0] == '\0' || add_lines(drawing, box, power, false, 2));
}

/* One of several causes of an end: in the order of fixes, or as those that
 * nothing tells apart. */
static const char *
say_cause(struct lw_arena *arena, const json_t *cause, size_t number)
{
	if (number == 0)
		return arena_printf(arena, "%s %s", text_of(cause, "percent"),
		    text_of(cause, "title"));
	return arena_printf(arena, "%zu. %s %s", number,
	    text_of(cause, "percent"), text_of(cause, "title"));
}

static bool
write_leaf(struct tree_drawing *drawing, struct tree_box *box)
{
	struct lw_arena *arena = drawing->view->arena;
	const json_t *causes = json_object_get(box->node, "causes");
	size_t count = json_array_size(causes), i;
	bool fixes = json_object_get(box->node, "fixes") != NULL, good = true;

	if (count == 1 && !fixes)
		return add_lines(drawing, box,
		    text_of(json_array_get(causes, 0), "title"), true,
		    TITLE_LINES);
	for (i = 0; i < count && i < CAUSES && good; i++) {
		/* The last line is not "and 1 more". */
		if (i + 1 == CAUSES && count > CAUSES)
			break;
		good = add_lines(drawing, box,
		    say_cause(arena, json_array_get(causes, i),
			fixes && count > 1 ? i + 1 : 0),
		    i == 0, i == 0 ? TITLE_LINES : CAUSE_LINES);
	}
	if (good && i < count)
		good = add_lines(drawing, box,
		    arena_printf(arena, "and %zu more", count - i), false, 1);
	return good;
}

static bool
write_stop(struct tree_drawing *drawing, struct tree_box *box)
{
	return add_lines(drawing, box, "Stop", true, 1) &&
	       add_lines(drawing, box, text_of(box->outcome, "stop"), false,
		   STOP_LINES);
}

bool
tree_write_box(struct tree_drawing *drawing, struct tree_box *box)
{
	const char *lines[2];
	bool good;
	size_t i;

	if (box->kind == TREE_CHECK)
		good = write_check(drawing, box);
	else if (box->kind == TREE_LEAF)
		good = write_leaf(drawing, box);
	else
		good = write_stop(drawing, box);
	box->height = 2 * TREE_PAD;
	for (i = 0; i < box->line_count; i++)
		box->height += box->lines[i].strong ? TREE_TALL : TREE_SMALL;
	if (!good || box->outcome == NULL)
		return good;
	box->edge_count = tree_wrap(lines, 2, EDGE_LETTERS,
	    drawing->view->arena, text_of(box->outcome, "title"));
	for (i = 0; i < box->edge_count; i++)
		box->edge[i].text = lines[i];
	return box->edge_count > 0;
}
