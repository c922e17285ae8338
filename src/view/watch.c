/* What a recording or taps show. First sketch. */
#include "view/parts.h"

#include <lampwright/light.h>

static enum lw_status
finish(struct view *view, struct lw_doc **doc, enum lw_status status,
    const struct lw_seen *seen, struct lw_err *err)
{
	if (status != LW_OK && status != LW_UNDECIDED) {
		view_fail(view, status);
		return view_end(view, doc, LW_OK, err);
	}
	view_text(view, view->root, "pattern", seen->text);
	view_real(view, view->root, "confidence", seen->confidence);
	view_int(view, view->root, "cycles", (int64_t)seen->cycles);
	view_list(view, view->root, "also");
	view_list(view, view->root, "remarks");
	view_list(view, view->root, "lamps");
	return view_end(view, doc, status, err);
}

enum lw_status
lw_view_watch(struct lw_doc **doc, struct lw_book *book,
    const struct lw_series *series, const char *device, const char *lamp,
    struct lw_err *err)
{
	const struct lw_seen *seen = NULL;
	struct view view;

	(void)device;
	(void)lamp;
	view_begin(&view, book);
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	return finish(&view, doc,
	    lw_light_read(&seen, view.arena, series, NULL, &view.last), seen,
	    err);
}

enum lw_status
lw_view_taps(struct lw_doc **doc, struct lw_book *book, const double *seconds,
    size_t count, double until_s, const char *device, const char *lamp,
    struct lw_err *err)
{
	const struct lw_seen *seen = NULL;
	struct view view;

	(void)device;
	(void)lamp;
	view_begin(&view, book);
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	return finish(&view, doc,
	    lw_taps_read(
		&seen, view.arena, seconds, count, until_s, NULL, &view.last),
	    seen, err);
}
