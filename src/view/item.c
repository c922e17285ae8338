/* One item of the catalogue with everything on it. A device's tables, a
 * check, a tree and a setting are left to files of their own; whole lists to
 * list.c. */
#include "view/item.h"

#include "base/err.h"

#include <string.h>

const char *
item_title(struct view *view, const char *kind, const char *id)
{
	const struct lw_cause *cause;
	const struct lw_check *check;
	const struct lw_fault *fault;
	const struct lw_symptom *symptom;

	if (view->status != LW_OK)
		return id;
	if (strcmp(kind, "cause") == 0 &&
	    view_got(view, lw_book_cause(view->book, view->arena, id, &cause,
			       &view->last)))
		return cause->title;
	if (strcmp(kind, "check") == 0 &&
	    view_got(view, lw_book_check_of(view->book, view->arena, id, &check,
			       &view->last)))
		return check->title;
	if (strcmp(kind, "fault") == 0 &&
	    view_got(view, lw_book_fault(view->book, view->arena, id, &fault,
			       &view->last)))
		return fault->title;
	if (strcmp(kind, "symptom") == 0 &&
	    view_got(view, lw_book_symptom(view->book, view->arena, id,
			       &symptom, &view->last)))
		return symptom->title;
	return id;
}

static void
put_head(struct view *view, const char *kind, const char *id, const char *title,
    const char *source)
{
	const char *pack = NULL;
	json_t *root = view->root;

	if (view->status == LW_OK &&
	    !view_got(view, lw_book_pack_of(view->book, view->arena, kind, id,
				&pack, &view->last)))
		pack = NULL;
	view_words(view, root, "kind", kind);
	view_words(view, root, "kind_title", view_kind_title(kind));
	view_words(view, root, "id", id);
	view_words(view, root, "title", title != NULL ? title : id);
	view_text(view, root, "pack", pack);
	view_bool(view, root, "own", pack != NULL && strcmp(pack, "own") == 0);
	view_text(view, root, "source", source);
	view_notes(view, view_list(view, root, "notes"), kind, id);
}

/* The devices whose lamp can mean this fault. */
static void
put_fault_devices(struct view *view, json_t *object, const char *fault)
{
	json_t *list = view_list(view, object, "devices"), *child;
	const struct lw_device *device;
	struct lw_entries entries;
	size_t i, k;

	if (view->status != LW_OK ||
	    !view_got(view, lw_book_list(view->book, view->arena, "device",
				&entries, &view->last)))
		return;
	for (i = 0; i < entries.count; i++) {
		if (!view_got(
			view, lw_book_device(view->book, view->arena,
				  entries.items[i].id, &device, &view->last)))
			continue;
		for (k = 0; k < device->code_count; k++) {
			const struct lw_code *code = &device->codes[k];

			if (code->fault == NULL ||
			    strcmp(code->fault, fault) != 0)
				continue;
			child = view_add(view, list);
			view_words(view, child, "device", device->id);
			view_text(view, child, "title", device->title);
			view_words(view, child, "lamp", code->lamp);
			view_words(view, child, "pattern", code->pattern);
		}
	}
}

/* The power state to see in whether a fix has cured it; see catalogue.h. */
static void
put_again(struct view *view, json_t *object, enum lw_power again)
{
	if (again == LW_POWER_UNKNOWN)
		again = LW_POWER_LIVE_FREE;
	view_words(view, object, "again_title", lw_power_title(again));
}

static enum lw_status
put_device(struct view *view, const char *id)
{
	const struct lw_device *device;
	enum lw_status status =
	    lw_book_device(view->book, view->arena, id, &device, &view->last);

	if (status != LW_OK)
		return status;
	put_head(view, "device", id, device->title, device->source);
	item_put_device(view, device);
	return LW_OK;
}

static enum lw_status
put_fault(struct view *view, const char *id)
{
	const struct lw_fault *fault;
	enum lw_status status =
	    lw_book_fault(view->book, view->arena, id, &fault, &view->last);
	json_t *object;

	if (status != LW_OK)
		return status;
	put_head(view, "fault", id, fault->title, fault->source);
	object = view_object(view, view->root, "fault");
	view_text(view, object, "meaning", fault->meaning);
	view_text(view, object, "severity", lw_severity_name(fault->severity));
	view_text(view, object, "clears", fault->clears);
	view_text(view, object, "meanwhile", fault->meanwhile);
	put_again(view, object, fault->again);
	view_causes(view, view_list(view, object, "causes"), &fault->causes);
	view_bool(view, object, "has_causes", fault->causes.count > 0);
	view_trees(view, view_list(view, object, "trees"), id, NULL);
	put_fault_devices(view, object, id);
	item_put_settings_like(view, object, id, NULL);
	return LW_OK;
}

static enum lw_status
put_symptom(struct view *view, const char *id)
{
	const struct lw_symptom *symptom;
	enum lw_status status =
	    lw_book_symptom(view->book, view->arena, id, &symptom, &view->last);
	json_t *object, *list;
	size_t i;

	if (status != LW_OK)
		return status;
	put_head(view, "symptom", id, symptom->title, symptom->source);
	object = view_object(view, view->root, "symptom");
	view_text(view, object, "description", symptom->description);
	put_again(view, object, symptom->again);
	list = view_list(view, object, "phrases");
	for (i = 0; i < symptom->phrases.count; i++)
		view_add_text(view, list, symptom->phrases.items[i].text);
	view_causes(view, view_list(view, object, "causes"), &symptom->causes);
	view_bool(view, object, "has_causes", symptom->causes.count > 0);
	view_trees(view, view_list(view, object, "trees"), NULL, id);
	view_cautions(
	    view, view_list(view, object, "cautions"), &symptom->cautions);
	item_put_settings_like(view, object, NULL, id);
	return LW_OK;
}

static enum lw_status
put_cause(struct view *view, const char *id)
{
	const struct lw_cause *cause;
	enum lw_status status =
	    lw_book_cause(view->book, view->arena, id, &cause, &view->last);
	struct lw_entries checks;
	json_t *object, *list, *child;
	size_t i;

	if (status != LW_OK)
		return status;
	put_head(view, "cause", id, cause->title, cause->source);
	object = view_object(view, view->root, "cause");
	view_words(view, object, "weight",
	    cause->weight != NULL ? cause->weight : "occasional");
	view_text(view, object, "why", cause->why);
	view_text(view, object, "fix", cause->fix);
	view_text(view, object, "parts", cause->parts);
	view_text(view, object, "tools", cause->tools);
	view_text(view, object, "damages", cause->damages);
	view_text(view, object, "proof", cause->proof);
	list = view_list(view, object, "checks");
	if (view->status != LW_OK ||
	    !view_got(view, lw_book_checks_for(view->book, view->arena, id,
				&checks, &view->last)))
		return LW_OK;
	for (i = 0; i < checks.count; i++) {
		child = view_add(view, list);
		view_words(view, child, "check", checks.items[i].id);
		view_words(view, child, "title", checks.items[i].title);
	}
	return LW_OK;
}

static enum lw_status
put_check(struct view *view, const char *id)
{
	const struct lw_check *check;
	enum lw_status status =
	    lw_book_check_of(view->book, view->arena, id, &check, &view->last);

	if (status != LW_OK)
		return status;
	put_head(view, "check", id, check->title, check->source);
	item_put_check(view, check);
	return LW_OK;
}

static enum lw_status
put_tree(struct view *view, const char *id)
{
	const struct lw_tree *tree;
	enum lw_status status =
	    lw_book_tree(view->book, view->arena, id, &tree, &view->last);

	if (status != LW_OK)
		return status;
	put_head(view, "tree", id, tree->title, tree->source);
	item_put_tree(view, tree);
	return LW_OK;
}

static enum lw_status
put_setting(struct view *view, const char *id)
{
	const struct lw_known_setting *setting;
	enum lw_status status = lw_book_known_setting(
	    view->book, view->arena, id, &setting, &view->last);

	if (status != LW_OK)
		return status;
	put_head(view, "setting", id, setting->title, setting->source);
	item_put_setting(view, setting);
	return LW_OK;
}

enum lw_status
lw_view_item(struct lw_doc **doc, struct lw_book *book, const char *kind,
    const char *id, struct lw_err *err)
{
	static const struct {
		const char *kind;
		enum lw_status (*put)(struct view *view, const char *id);
	} kinds[] = {
	    {"device", put_device},
	    {"fault", put_fault},
	    {"symptom", put_symptom},
	    {"cause", put_cause},
	    {"check", put_check},
	    {"tree", put_tree},
	    {"setting", put_setting},
	};
	enum lw_status status = LW_BAD_INPUT;
	struct view view;
	size_t i;

	view_begin(&view, book);
	if (view.status != LW_OK)
		return view_end(&view, doc, LW_OK, err);
	err_set(&view.last, LW_BAD_INPUT,
	    "%s is no kind; a kind is device, fault, symptom, cause, check, "
	    "tree or setting",
	    kind);
	for (i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
		if (strcmp(kinds[i].kind, kind) == 0)
			status = kinds[i].put(&view, id);
	}
	if (status != LW_OK)
		view_fail(&view, status);
	return view_end(&view, doc, LW_OK, err);
}
