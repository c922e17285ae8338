/* The builder's rigs: all of them, one with its facts, which is in hand. What
 * can be said of a rig, and what it means, is left to the book. */
#include "serve/pages.h"
#include "serve/rig_page.h"

#include "base/arena.h"
#include "base/err.h"

#include <lampwright/rig.h>
#include <lampwright/view.h>

#include <stdio.h>
#include <string.h>

static bool
show_list(const struct request *request, struct reply *reply, unsigned status)
{
	struct lw_err err = {.code = LW_OK};
	struct lw_doc *doc = NULL;

	lw_view_list(&doc, request->book, "rig", &err);
	if (doc == NULL) {
		reply_failure(reply, &err);
		return false;
	}
	reply_page(reply, status, "rigs", doc);
	return true;
}

void
page_rigs(const struct request *request, struct reply *reply)
{
	show_list(request, reply, 200);
}

void
page_rig_new(const struct request *request, struct reply *reply)
{
	const char *title = form_get(&request->body, "title");
	const char *typed = form_get(&request->body, "rig");
	struct lw_err err = {.code = LW_OK};
	char rig[65];

	if (typed[0] != '\0')
		snprintf(rig, sizeof rig, "%s",
		    strlen(typed) < sizeof rig ? typed : "");
	else
		pages_make_id(rig, title);
	if (title[0] == '\0')
		err_set(&err, LW_BAD_INPUT,
		    "the rig has no name; give it the one you call it by");
	else if (rig[0] == '\0')
		err_set(&err, LW_BAD_INPUT,
		    "no short name can be made from that; give one of a-z, "
		    "0-9 and hyphens, beginning with a letter");
	else if (lw_rig_new(request->book, rig, title, request->now_s, &err) ==
		     LW_OK &&
		 lw_rig_use(request->book, rig, &err) == LW_OK) {
		rig_page_go(reply, rig, NULL, "rig");
		return;
	}
	if (!rig_page_may_again(reply, &err) ||
	    !show_list(request, reply, reply_status_of(err.code)))
		return;
	reply_sentence(reply, "error", err.text);
	reply_text(reply, "typed_title", title);
	reply_text(reply, "typed_rig", typed[0] != '\0' ? typed : rig);
}

void
page_rig(const struct request *request, struct reply *reply)
{
	if (rig_page_show(request, reply, 200))
		reply_text_in(reply, "parts", "id",
		    form_get(&request->query, "part"), "open", "yes");
}

void
page_rig_back(const struct request *request, struct reply *reply)
{
	rig_page_go(reply, rig_page_of(request), NULL, NULL);
}

void
page_rig_use(const struct request *request, struct reply *reply)
{
	bool put_down = form_get_or_null(&request->body, "put_down") != NULL;
	struct lw_err err = {.code = LW_OK};

	if (lw_rig_use(request->book, put_down ? NULL : rig_page_of(request),
		&err) != LW_OK)
		rig_page_fail(reply, &err);
	else
		rig_page_go(reply, rig_page_of(request), NULL,
		    put_down ? "rig-put-down" : "rig-in-hand");
}

void
page_rig_remove(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};

	/* Behind a tick, for a thumb slips. */
	if (form_get_or_null(&request->body, "sure") == NULL) {
		if (rig_page_show(request, reply, 400)) {
			reply_text(reply, "error",
			    "Tick that it is to leave the list, and press the "
			    "button again.");
			reply_bool(reply, "remove_open", true);
		}
		return;
	}
	if (lw_rig_remove(request->book, rig_page_of(request), &err) != LW_OK) {
		rig_page_fail(reply, &err);
		return;
	}
	reply_see_other(reply);
	buf_add(&reply->location, "/rigs?said=rig-removed");
}

/* What a field of the form says, where it is about a fact and no longer what
 * the page was opened with; else NULL. Fields are "fact.KEY", with "was.KEY"
 * beside them, so that two people who fill in a rig do not undo each other. */
static const char *
changed_key(const struct form *form, const struct form_field *field)
{
	static const char prefix[] = "fact.";
	const char *key = field->name + sizeof prefix - 1;
	char was[120];

	if (strncmp(field->name, prefix, sizeof prefix - 1) != 0)
		return NULL;
	snprintf(was, sizeof was, "was.%.100s", key);
	return strcmp(field->value, form_get(form, was)) != 0 ? key : NULL;
}

/* Where a quantity could mean two things, the page asks which, beside what was
 * typed ("asked.KEY"); the answer ("sure.KEY") counts as long as that is what
 * still stands there. */
static const char *
settled_value(const struct form *form, const char *key, const char *value)
{
	char name[120];
	const char *sure;

	snprintf(name, sizeof name, "asked.%.100s", key);
	if (strcmp(form_get(form, name), value) != 0)
		return value;
	snprintf(name, sizeof name, "sure.%.100s", key);
	sure = form_get_or_null(form, name);
	return sure != NULL ? sure : value;
}

/* Each fact by itself: what cannot be read holds nothing else up, and is
 * shown again beside what was wrong with it. */
struct refused {
	const char *key;
	const char *value;
	struct lw_err err;
};

static size_t
set_facts(const struct request *request, struct refused *refused)
{
	const struct form *form = &request->body;
	size_t i, count = 0;

	for (i = 0; i < form->count; i++) {
		const char *typed = form->fields[i].value;
		struct lw_rig_pair pair = {
		    .key = changed_key(form, &form->fields[i]),
		};
		struct refused *next = &refused[count];

		if (pair.key == NULL)
			continue;
		pair.value = settled_value(form, pair.key, typed);
		memset(&next->err, 0, sizeof next->err);
		if (lw_rig_set(request->book, rig_page_of(request), &pair, 1,
			request->now_s, &next->err) == LW_OK)
			continue;
		next->key = pair.key;
		next->value = typed;
		count++;
	}
	return count;
}

static void
show_spellings(struct reply *reply, const struct lw_rig *rig,
    const struct refused *refused)
{
	const struct lw_rig_value *item = lw_rig_value(rig, refused->key);
	char written[LW_SPELLING_MAX], meant[LW_SPELLING_MAX];

	if (refused->err.code != LW_UNDECIDED || item == NULL ||
	    !lw_rig_spellings(item->value, refused->value, written, meant))
		return;
	reply_text_in(
	    reply, "facts", "key", refused->key, "spelling_written", written);
	reply_text_in(
	    reply, "facts", "key", refused->key, "spelling_meant", meant);
}

/* The part is opened, with what was typed and what was wrong with it. */
static void
show_one(
    struct reply *reply, const struct lw_rig *rig, const struct refused *one)
{
	const struct lw_rig_value *item = lw_rig_value(rig, one->key);

	if (strcmp(one->key, "title") == 0) { /* the name is no fact */
		reply_text(reply, "typed_title", one->value);
		reply_text(reply, "title_problem", one->err.text);
		return;
	}
	reply_text_in(reply, "facts", "key", one->key, "typed", one->value);
	reply_text_in(reply, "facts", "key", one->key, "problem",
	    rig_page_without_key(one->err.text, one->key));
	show_spellings(reply, rig, one);
	if (item != NULL)
		reply_text_in(reply, "parts", "part",
		    item->value->part == NULL ? "Other" : item->value->part,
		    "open", "yes");
}

static void
show_refused(const struct request *request, struct reply *reply,
    const struct refused *refused, size_t count)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_err why = refused[0].err;
	const struct lw_rig *rig = NULL;
	size_t i;

	if (arena != NULL)
		lw_rig_get(
		    request->book, arena, rig_page_of(request), &rig, NULL);
	if (rig_page_may_again(reply, &why) &&
	    rig_page_show(request, reply, reply_status_of(why.code))) {
		reply_text(reply, "error",
		    count == 1
			? "One fact could not be taken; it is marked below. "
			  "All else is kept."
			: "Some facts could not be taken; they are marked "
			  "below. All else is kept.");
		for (i = 0; i < count; i++)
			show_one(reply, rig, &refused[i]);
	}
	lw_arena_free(arena);
}

/* Back to the part whose button was pressed, which stays open. */
static void
go_on(const struct request *request, struct reply *reply)
{
	static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789-";
	const char *part = form_get(&request->body, "part");

	rig_page_go(reply, rig_page_of(request), NULL, "facts");
	if (part[0] == '\0' || part[strspn(part, letters)] != '\0')
		return;
	url_add_query(&reply->location, "part", part);
	buf_printf(&reply->location, "#part-%s", part);
}

/* A device of the rig: its name there, and which of the book's it is. */
static void
set_device(const struct request *request, struct reply *reply, const char *name)
{
	struct lw_err err = {.code = LW_OK};
	struct buf key;

	buf_init(&key, FORM_BYTES_MAX);
	buf_add(&key, "device.");
	buf_add(&key, name);
	if (buf_check(&key, &err) == LW_OK) {
		const struct lw_rig_pair pair = {
		    .key = buf_text(&key),
		    .value = form_get(&request->body, "device"),
		};

		lw_rig_set(request->book, rig_page_of(request), &pair, 1,
		    request->now_s, &err);
	}
	buf_clear(&key);
	if (err.code == LW_OK) {
		rig_page_go(reply, rig_page_of(request), NULL, "facts");
	} else if (rig_page_may_again(reply, &err) &&
		   rig_page_show(request, reply, reply_status_of(err.code))) {
		reply_sentence(reply, "error", err.text);
		reply_text(reply, "typed_device_name", name);
		reply_text_in(reply, "choices", "device",
		    form_get(&request->body, "device"), "picked", "yes");
	}
}

void
page_rig_set(const struct request *request, struct reply *reply)
{
	const char *name = form_get_or_null(&request->body, "device_name");
	struct lw_arena *arena;
	struct refused *refused;
	struct lw_err err = {.code = LW_OK};
	size_t count;

	if (name != NULL) {
		set_device(request, reply, name);
		return;
	}
	arena = lw_arena_new();
	refused = arena == NULL ? NULL
				: arena_array(arena, request->body.count + 1,
				      sizeof *refused);
	if (refused == NULL) {
		err_no_memory(&err);
		reply_failure(reply, &err);
	} else {
		count = set_facts(request, refused);
		if (count > 0)
			show_refused(request, reply, refused, count);
		else
			go_on(request, reply);
	}
	lw_arena_free(arena);
}
