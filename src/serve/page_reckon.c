/* Values worked out: the list, and one with its form. A form is sent as an
 * address, so that what was reckoned can be kept and passed on. */
#include "serve/pages.h"

#include "base/arena.h"
#include "base/err.h"

#include <lampwright/reckon.h>
#include <lampwright/rig.h>
#include <lampwright/view.h>

#include <string.h>

void
page_reckoners(const struct request *request, struct reply *reply)
{
	const char *name = form_get_or_null(&request->query, "rig");
	struct lw_err err = {.code = LW_OK};
	struct lw_arena *arena = NULL;
	struct lw_doc *doc = NULL;
	const struct lw_rig *rig;

	if (lw_view_reckoners(&doc, &err) != LW_OK) {
		reply_failure(reply, &err);
		return;
	}
	reply_page(reply, 200, "reckoners", doc);
	if (name != NULL && (arena = lw_arena_new()) != NULL &&
	    lw_rig_get(request->book, arena, name, &rig, NULL) == LW_OK)
		reply_text(reply, "for_rig", rig->rig);
	lw_arena_free(arena);
}

/* Whose values stand in for what is not said: the query's `rig`; where it
 * names none, no rig, and where it is not there, the one in hand. */
static const char *
rig_of(const struct request *request)
{
	size_t i;

	for (i = 0; i < request->query.count; i++)
		if (strcmp(request->query.fields[i].name, "rig") == 0)
			return request->query.fields[i].value;
	return NULL;
}

static bool
takes(const struct lw_reckoner *reckoner, const char *key)
{
	size_t i;

	for (i = 0; i < reckoner->input_count; i++)
		if (strcmp(reckoner->inputs[i].key, key) == 0)
			return true;
	return false;
}

/* Whether a sentence begins with a field, beside which it is shown. */
static bool
is_about_field(const struct lw_reckoner *reckoner, const char *sentence)
{
	char key[64];
	size_t n = strcspn(sentence, ":");

	if (sentence[n] == '\0' || n >= sizeof key)
		return false;
	memcpy(key, sentence, n);
	key[n] = '\0';
	return takes(reckoner, key);
}

/* The fields that the reckoner takes, in `pairs`, which has room for all;
 * *ignored is the first other one, or NULL. */
static size_t
read_fields(struct lw_reckon_pair *pairs, const char **ignored,
    const struct form *query, const struct lw_reckoner *reckoner)
{
	size_t i, count = 0;

	*ignored = NULL;
	for (i = 0; i < query->count; i++) {
		const struct form_field *field = &query->fields[i];

		if (takes(reckoner, field->name)) {
			pairs[count].key = field->name;
			pairs[count].value = field->value;
			pairs[count++].from_rig = false;
		} else if (*ignored == NULL &&
			   strcmp(field->name, "rig") != 0) {
			*ignored = field->name;
		}
	}
	return count;
}

/* "volts=48V resistor=10k" as an address. A value has no space in it, but
 * where a word without "=" goes on with it. */
static void
put_example(struct reply *reply, const struct lw_reckoner *reckoner)
{
	const char *at = reckoner->example;
	struct buf link;
	size_t n;

	buf_init(&link, 4096);
	buf_add(&link, "/reckon");
	url_add_segment(&link, reckoner->name);
	buf_add(&link, "?rig=");
	while (*at != '\0') {
		char word[200], *equals;

		n = strcspn(at, " ");
		if (n > 0 && n < sizeof word) {
			memcpy(word, at, n);
			word[n] = '\0';
			equals = strchr(word, '=');
			if (equals != NULL) {
				*equals = '\0';
				url_add_query(&link, word, equals + 1);
			}
		}
		at += n + (at[n] == ' ');
	}
	if (link.status == LW_OK)
		reply_text(reply, "example_link", buf_text(&link));
	buf_clear(&link);
}

static void
show(const struct request *request, struct reply *reply,
    const struct lw_reckoner *reckoner, struct lw_reckon_pair *pairs)
{
	const char *rig = rig_of(request), *ignored;
	struct lw_err err = {.code = LW_OK}, lost = {.code = LW_OK};
	struct lw_doc *doc = NULL;
	enum lw_status status;
	size_t count = read_fields(pairs, &ignored, &request->query, reckoner);

	status = lw_view_reckon(
	    &doc, request->book, reckoner->name, rig, pairs, count, &err);
	/* An address may come from another book, where there is such a rig. */
	if (status == LW_NOT_FOUND) {
		lost = err;
		status = lw_view_reckon(&doc, request->book, reckoner->name, "",
		    pairs, count, &err);
	}
	if (doc == NULL) {
		reply_failure(reply, &err);
		return;
	}
	reply_page(reply, reply_status_of(status), "reckon", doc);
	reply_text(reply, "ignored", ignored);
	if (count == 0)
		put_example(reply, reckoner);
	if (status != LW_OK)
		reply_sentence(reply, "error",
		    is_about_field(reckoner, err.text)
			? "One value is missing or cannot be taken; it is "
			  "marked below"
			: err.text);
	else if (lost.code != LW_OK)
		reply_sentence(reply, "error", lost.text);
}

void
page_reckon(const struct request *request, struct reply *reply)
{
	const struct lw_reckoner *reckoner;
	struct lw_reckon_pair *pairs;
	struct lw_arena *arena;
	struct lw_err err = {.code = LW_OK};

	if (lw_reckoner_find(&reckoner, request->path.segments[1], &err) !=
	    LW_OK) {
		reply_failure(reply, &err);
		reply_text(reply, "way", "/reckon");
		reply_text(reply, "way_title", "All that can be reckoned");
		return;
	}
	arena = lw_arena_new();
	pairs = arena == NULL ? NULL
			      : arena_array(arena, request->query.count + 1,
				    sizeof *pairs);
	if (pairs == NULL) {
		err_no_memory(&err);
		reply_failure(reply, &err);
	} else {
		show(request, reply, reckoner, pairs);
	}
	lw_arena_free(arena);
}
