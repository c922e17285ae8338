/* What a search finds, in one list and by kind. Searching is left to the
 * book. */
#include "view/parts.h"

#include "base/err.h"

#include <string.h>

#define HITS_OF_A_KIND 8

static void
put_hit(struct view *view, json_t *list, const struct lw_entry *entry)
{
	json_t *object = view_add(view, list);

	view_words(view, object, "kind", entry->kind);
	view_words(view, object, "kind_title", view_kind_title(entry->kind));
	view_words(view, object, "id", entry->id);
	view_text(view, object, "title", entry->title);
	view_text(view, object, "snippet", entry->detail);
	view_real(view, object, "score", entry->score);
}

enum lw_status
lw_view_find(struct lw_doc **doc, struct lw_book *book, const char *words,
    struct lw_err *err)
{
	struct lw_entries hits = {0};
	enum lw_status outcome = LW_OK;
	json_t *all, *groups, *group = NULL, *of_kind = NULL;
	bool settings = false;
	struct view view;
	size_t i;

	view_begin(&view, book);
	if (view.status == LW_OK &&
	    !view_got(&view, lw_book_find(book, view.arena, words,
				 HITS_OF_A_KIND, &hits, &view.last))) {
		outcome = LW_NOT_FOUND;
		hits.count = 0;
		if (view.status == LW_OK)
			view.err = view.last;
	}
	view_words(&view, view.root, "query", words);
	view_bool(&view, view.root, "found", hits.count > 0);
	all = view_list(&view, view.root, "hits");
	groups = view_list(&view, view.root, "groups");
	for (i = 0; i < hits.count; i++) {
		const struct lw_entry *hit = &hits.items[i];

		put_hit(&view, all, hit);
		if (i == 0 || strcmp(hit->kind, hits.items[i - 1].kind) != 0) {
			group = view_add(&view, groups);
			view_words(&view, group, "kind", hit->kind);
			view_words(&view, group, "kind_title",
			    view_kind_titles(hit->kind));
			of_kind = view_list(&view, group, "hits");
		}
		put_hit(&view, of_kind, hit);
		settings = settings || strcmp(hit->kind, "setting") == 0;
	}
	view_bool(&view, view.root, "has_settings", settings);
	return view_end(&view, doc, outcome, err);
}
