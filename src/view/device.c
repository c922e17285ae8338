/* A device's lamps and codes, as an item shows them. */
#include "view/item.h"

#include "base/buf.h"
#include "base/num.h"

static void
add_time(struct buf *words, const char *what, double seconds)
{
	char number[32];

	if (!(seconds > 0))
		return;
	num_format(number, sizeof number, seconds);
	buf_printf(
	    words, "%s%s %s s", words->length > 0 ? ", " : "", what, number);
}

/* "lit 0.25 s, dark 0.25 s, pause 1.5 s"; null where nothing is known. */
static void
put_timing(struct view *view, json_t *object, const struct lw_lamp *lamp)
{
	struct buf words;

	buf_init(&words, 400);
	add_time(&words, "lit", lamp->on_s);
	add_time(&words, "dark", lamp->gap_s);
	add_time(&words, "between digits", lamp->group_gap_s);
	add_time(&words, "pause", lamp->pause_s);
	view_text(view, object, "timing", buf_text(&words));
	buf_clear(&words);
}

void
item_put_device(struct view *view, const struct lw_device *device)
{
	json_t *object = view_object(view, view->root, "device");
	json_t *list, *child;
	size_t i;

	view_text(view, object, "kind", device->kind);
	view_text(view, object, "description", device->description);
	view_bool(view, object, "invented", device->invented);
	list = view_list(view, object, "lamps");
	for (i = 0; i < device->lamp_count; i++) {
		const struct lw_lamp *lamp = &device->lamps[i];

		child = view_add(view, list);
		view_words(view, child, "lamp", lamp->id);
		view_text(view, child, "title", lamp->title);
		view_text(view, child, "colour", lamp->colour);
		view_text(view, child, "coding", lw_coding_name(lamp->coding));
		put_timing(view, child, lamp);
		view_text(view, child, "source", lamp->source);
	}
	list = view_list(view, object, "codes");
	for (i = 0; i < device->code_count; i++) {
		const struct lw_code *code = &device->codes[i];
		const struct lw_fault *fault = NULL;

		if (code->fault != NULL && view->status == LW_OK &&
		    !view_got(view, lw_book_fault(view->book, view->arena,
					code->fault, &fault, &view->last)))
			fault = NULL;
		child = view_add(view, list);
		view_words(view, child, "lamp", code->lamp);
		view_words(view, child, "pattern", code->pattern);
		view_text(view, child, "fault", code->fault);
		view_text(view, child, "title",
		    fault != NULL && code->meaning == NULL ? fault->title
							   : code->meaning);
		view_text(view, child, "severity",
		    fault != NULL ? lw_severity_name(fault->severity) : NULL);
		view_bool(view, child, "own", code->own);
	}
}
