/* Rules by rig in plain words. Whether they hold for a rig is left to the
 * book. */
#include "view/parts.h"

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"

#include <ctype.h>
#include <string.h>

enum { RULES_BYTES = 4096 };

/* A title within a sentence: "Kind of motor" without its capital, "DC-DC
 * converter" with it. */
static void
add_lowered(struct buf *words, const char *title)
{
	unsigned char first = (unsigned char)title[0];
	bool capital = isupper(first) &&
		       (title[1] == ' ' || islower((unsigned char)title[1]));

	buf_add_char(words, (char)(capital ? tolower(first) : first));
	buf_add(words, title + 1);
}

/* The title of a key within a sentence, and what comes between it and its
 * values: "kind of motor: ", "a main contactor: " for "Is there a main
 * contactor?", "is the pack tied to the frame? ". */
static void
add_title(struct buf *words, const char *title)
{
	static const char there[] = "Is there ";
	size_t length = strlen(title);

	if (strncmp(title, there, sizeof there - 1) == 0 &&
	    title[length - 1] == '?') {
		title += sizeof there - 1;
		buf_add_n(words, title, strlen(title) - 1);
		buf_add(words, ": ");
		return;
	}
	add_lowered(words, title);
	buf_add(words, title[length - 1] == '?' ? " " : ": ");
}

/* How many bytes of a rule are its key. */
static size_t
key_length(const char *rule)
{
	return strcspn(rule, "=");
}

static bool
same_key(const char *one, const char *other)
{
	size_t length = key_length(one);

	return length == key_length(other) && strncmp(one, other, length) == 0;
}

/* The value of a rule, by the title of the choice where it is one. */
static void
add_value(struct buf *words, const struct lw_value *key, const char *rule)
{
	const char *value = rule + key_length(rule);
	size_t i;

	value += value[0] == '=';
	if (key != NULL && key->kind == LW_VALUE_CHOICE) {
		for (i = 0; key->choices[i] != NULL; i++) {
			if (strcmp(key->choices[i], value) != 0 ||
			    key->choice_titles[i][0] == '\0')
				continue;
			add_lowered(words, key->choice_titles[i]);
			return;
		}
	}
	buf_add(words, value);
}

/* The rules of the key of rule `first`, which begins it, in words; NULL after
 * a failure. */
static const char *
words_of(struct view *view, const struct lw_texts *rules, size_t first)
{
	const char *rule = rules->items[first].text, *text;
	const char *name = arena_dup_n(view->arena, rule, key_length(rule));
	const struct lw_value *key;
	struct buf words;
	bool more = false;
	size_t i;

	if (name == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
		return NULL;
	}
	key = lw_rig_built_in_value(name);
	buf_init(&words, RULES_BYTES);
	if (key != NULL && key->title[0] != '\0')
		add_title(&words, key->title);
	else
		buf_printf(&words, "%s: ", name);
	for (i = first; i < rules->count; i++) {
		if (!same_key(rules->items[i].text, rule))
			continue;
		buf_add(&words, more ? " or " : "");
		add_value(&words, key, rules->items[i].text);
		more = true;
	}
	text = arena_dup(view->arena, buf_text(&words));
	buf_clear(&words);
	if (text == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	}
	return text;
}

/* Whether a rule is the first one of its key. */
static bool
begins(const struct lw_texts *rules, size_t at)
{
	size_t i;

	for (i = 0; i < at; i++) {
		if (same_key(rules->items[i].text, rules->items[at].text))
			return false;
	}
	return true;
}

void
view_rules(struct view *view, json_t *list, const struct lw_texts *rules)
{
	size_t i;

	for (i = 0; i < rules->count && view->status == LW_OK; i++) {
		if (begins(rules, i))
			view_add_text(view, list, words_of(view, rules, i));
	}
}

const char *
view_rules_text(struct view *view, const struct lw_texts *rules)
{
	const char *all = "", *words;
	size_t i;

	for (i = 0; i < rules->count && view->status == LW_OK; i++) {
		if (!begins(rules, i))
			continue;
		words = words_of(view, rules, i);
		if (words == NULL)
			return "";
		all = arena_printf(view->arena, "%s%s%s", all,
		    all[0] != '\0' ? "; " : "", words);
		if (all == NULL) {
			err_no_memory(&view->last);
			view_fail(view, LW_NO_MEMORY);
			return "";
		}
	}
	return all;
}
