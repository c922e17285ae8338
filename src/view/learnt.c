/* What closed jobs have taught: which cause was proved how often, by device
 * and by what it began with. Counting is left to the book. */
#include "view/parts.h"

#include "base/err.h"

#include <stdio.h>
#include <string.h>

static bool
same_text(const char *one, const char *other)
{
	if (one == NULL || other == NULL)
		return one == other;
	return strcmp(one, other) == 0;
}

/* Whether two began alike, on the same device. */
static bool
same_beginning(const struct lw_learnt *one, const struct lw_learnt *other)
{
	return same_text(one->device, other->device) &&
	       same_text(one->began_kind, other->began_kind) &&
	       same_text(one->began, other->began);
}

static const char *
device_title(struct view *view, const char *id)
{
	const struct lw_device *device;

	if (id == NULL || view->status != LW_OK ||
	    !view_got(view, lw_book_device(view->book, view->arena, id, &device,
				&view->last)))
		return id;
	return device->title;
}

static const char *
title_of_device(const struct lw_learnt *learnt)
{
	return learnt->device_title != NULL ? learnt->device_title
					    : learnt->device;
}

static void
put_cause(struct view *view, json_t *list, const struct lw_learnt *learnt)
{
	json_t *object = view_add(view, list);
	char text[64];

	snprintf(text, sizeof text, "%lld of %lld times",
	    (long long)learnt->count, (long long)learnt->cases);
	view_words(view, object, "cause", learnt->cause);
	view_words(view, object, "title", learnt->title);
	view_int(view, object, "count", (int64_t)learnt->count);
	view_int(view, object, "cases", (int64_t)learnt->cases);
	view_words(view, object, "text", text);
	view_moment(view, object, "last", learnt->last_s);
}

/* A device and what the jobs began with, with what they came to. */
static json_t *
put_group(struct view *view, json_t *list, const struct lw_learnt *learnt)
{
	json_t *object = view_add(view, list);
	bool fault = same_text(learnt->began_kind, "fault");

	view_text(view, object, "device", learnt->device);
	view_text(view, object, "device_title", title_of_device(learnt));
	view_text(view, object, "began_kind", learnt->began_kind);
	view_bool(view, object, "is_fault", fault);
	view_text(view, object, "began", learnt->began);
	view_text(view, object, "began_title",
	    learnt->began_title != NULL ? learnt->began_title : learnt->began);
	view_int(view, object, "cases", (int64_t)learnt->cases);
	return view_list(view, object, "causes");
}

static void
put_learnt(struct view *view, const struct lw_learnts *learnts)
{
	json_t *list = view_list(view, view->root, "groups"), *causes = NULL;
	size_t i;

	for (i = 0; i < learnts->count; i++) {
		const struct lw_learnt *learnt = &learnts->items[i];

		if (i == 0 || !same_beginning(learnt, &learnts->items[i - 1]))
			causes = put_group(view, list, learnt);
		put_cause(view, causes, learnt);
	}
}

/* The devices that anything was learnt on. */
static void
put_devices(struct view *view, const struct lw_learnts *all)
{
	json_t *list = view_list(view, view->root, "devices"), *object;
	size_t i, k;

	for (i = 0; i < all->count; i++) {
		const char *id = all->items[i].device;

		for (k = 0; k < i; k++)
			if (same_text(all->items[k].device, id))
				break;
		if (id == NULL || k < i)
			continue;
		object = view_add(view, list);
		view_words(view, object, "device", id);
		view_words(
		    view, object, "title", title_of_device(&all->items[i]));
	}
	view_bool(view, view->root, "has_devices", json_array_size(list) > 1);
}

/* Of all devices, for the choice of one. */
static bool
find_all(struct view *view, struct lw_learnts *all)
{
	return view->status == LW_OK &&
	       view_got(view, lw_book_learnt(view->book, view->arena, NULL, all,
				  &view->last));
}

/* What was learnt on a device; one of which nothing is known is none, unless
 * something was counted on it before it left the book. */
static void
find(struct view *view, const char *device, struct lw_learnts *learnts)
{
	const struct lw_device *known;
	enum lw_status status;

	if (view->status != LW_OK)
		return;
	status = lw_book_learnt(
	    view->book, view->arena, device, learnts, &view->last);
	if (status == LW_OK && learnts->count == 0 && device != NULL)
		status = lw_book_device(
		    view->book, view->arena, device, &known, &view->last);
	if (status != LW_OK)
		view_fail(view, status);
}

enum lw_status
lw_view_learnt(struct lw_doc **doc, struct lw_book *book, const char *device,
    struct lw_err *err)
{
	struct lw_learnts learnts = {0}, all = {0};
	enum lw_status outcome = LW_OK;
	struct view view;

	view_begin(&view, book);
	view_text(&view, view.root, "device", device);
	view_text(
	    &view, view.root, "device_title", device_title(&view, device));
	find(&view, device, &learnts);
	if (!find_all(&view, &all))
		all.count = 0;
	put_learnt(&view, &learnts);
	put_devices(&view, &all);
	view_bool(&view, view.root, "empty", learnts.count == 0);
	if (view.status == LW_OK && learnts.count == 0)
		outcome = err_set(&view.err, LW_NOT_FOUND,
		    "nothing is counted yet%s%.64s; a job counts once its fix "
		    "is proved",
		    device != NULL ? " for " : "",
		    device != NULL ? device : "");
	return view_end(&view, doc, outcome, err);
}
