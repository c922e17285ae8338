/* The paired screens, with what each holds. Pairing is left to src/serve, and
 * what a hold allows to job. */
#include "view/parts.h"

#include "book/jobs.h"
#include "job/hold.h"

#include <lampwright/screen.h>

static void
put_holds(struct view *view, json_t *list, const char *screen, int64_t now_s)
{
	const struct book_held *held = NULL;
	size_t count = 0, i;

	if (view->status != LW_OK ||
	    !view_got(view, book_hold_list(view->book, view->arena, screen,
				&held, &count, &view->last)))
		return;
	for (i = 0; i < count; i++) {
		json_t *object;

		if (hold_has_lapsed(held[i].last_s, now_s))
			continue;
		object = view_add(view, list);
		view_int(view, object, "job", held[i].job);
		view_words(view, object, "title", held[i].title);
		view_text(view, object, "rig", held[i].rig);
		view_text(view, object, "rig_title", held[i].rig_title);
	}
}

enum lw_status
lw_view_screens(struct lw_doc **doc, struct lw_book *book, int64_t now_s,
    int64_t own, struct lw_err *err)
{
	struct lw_screens screens = {0};
	bool others = false;
	struct view view;
	json_t *list;
	size_t i;

	view_begin(&view, book);
	list = view_list(&view, view.root, "screens");
	if (view.status == LW_OK &&
	    !view_got(&view,
		lw_screen_list(&screens, book, view.arena, now_s, &view.last)))
		screens.count = 0;
	for (i = 0; i < screens.count; i++) {
		const struct lw_screen *screen = &screens.items[i];
		json_t *object = view_add(&view, list);

		view_int(&view, object, "screen", screen->number);
		view_words(&view, object, "name", screen->name);
		view_text(&view, object, "agent", screen->agent);
		view_moment(&view, object, "since", screen->since_s);
		view_moment(&view, object, "last", screen->last_s);
		view_moment(&view, object, "until", screen->until_s);
		view_bool(&view, object, "own", screen->number == own);
		put_holds(&view, view_list(&view, object, "holds"), screen->key,
		    now_s);
		others = others || screen->number != own;
	}
	view_bool(&view, view.root, "others", others);
	return view_end(&view, doc, LW_OK, err);
}
