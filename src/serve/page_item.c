/* The catalogue: whole lists, and one item with everything on it. */
#include "serve/pages.h"

#include "base/err.h"

#include <lampwright/view.h>

#include <string.h>

static const struct {
	const char *place; /* the first segment of the address */
	const char *kind;
	const char *list; /* template of the list; an item's is the kind.
			   * NULL: the list is a page of its own */
} kinds[] = {
    {"devices", "device", "devices"},
    {"faults", "fault", "list"},
    {"symptoms", "symptom", "list"},
    {"causes", "cause", "list"},
    {"checks", "check", "list"},
    {"trees", "tree", "list"},
    {"settings", "setting", NULL},
    {"packs", "pack", "packs"},
    {"notes", "note", "notes"},
};

/* The routes let no other place through. */
static size_t
kind_at(const struct request *request)
{
	size_t i = 0;

	while (strcmp(kinds[i].place, request->path.segments[0]) != 0)
		i++;
	return i;
}

void
page_list(const struct request *request, struct reply *reply)
{
	size_t i = kind_at(request);
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	lw_view_list(&doc, request->book, kinds[i].kind, &err);
	if (doc == NULL) {
		reply_failure(reply, &err);
		return;
	}
	reply_page(reply, 200, kinds[i].list, doc);
	reply_bool(reply, "is_trees", strcmp(kinds[i].kind, "tree") == 0);
	pages_carry_device(request, reply);
}

/* What settings do, by part. */
void
page_known(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	lw_view_known_settings(&doc, request->book, &err);
	if (doc == NULL) {
		reply_failure(reply, &err);
		return;
	}
	reply_page(reply, 200, "known", doc);
	pages_carry_device(request, reply);
}

void
page_item(const struct request *request, struct reply *reply)
{
	size_t i = kind_at(request);
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	/* The standing suspect of every job is no cause of the catalogue. */
	if (strcmp(kinds[i].kind, "cause") == 0 &&
	    strcmp(request->path.segments[1], "unlisted") == 0) {
		reply_see_other(reply);
		buf_add(&reply->location, "/about#unlisted");
		return;
	}
	if (lw_view_item(&doc, request->book, kinds[i].kind,
		request->path.segments[1], &err) != LW_OK) {
		reply_failure(reply, &err);
		reply_textf(reply, "way", "/%s", kinds[i].place);
		reply_textf(reply, "way_title", "All %s", kinds[i].place);
		return;
	}
	reply_page(reply, 200, kinds[i].kind, doc);
	pages_carry_device(request, reply);
}

/* One that is gone already is what was asked for. */
void
page_tree_drop(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};

	if (lw_book_drop_tree(request->book, request->path.segments[1], &err) !=
		LW_OK &&
	    err.code != LW_NOT_FOUND) {
		reply_failure(reply, &err);
		reply_text(reply, "way", "/trees");
		reply_text(reply, "way_title", "All trees");
		return;
	}
	reply_see_other(reply);
	buf_add(&reply->location, "/trees?said=tree-dropped");
}
