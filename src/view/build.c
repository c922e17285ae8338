/* Builds JSON values with one remembered failure. What a document contains is
 * left to the views. */
#include "view/parts.h"

#include "base/err.h"
#include "base/utf8.h"
#include "book/look.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void
view_begin(struct view *view, struct lw_book *book)
{
	memset(view, 0, sizeof *view);
	view->book = book;
	view->arena = lw_arena_new();
	view->root = json_object();
	if (view->arena == NULL || view->root == NULL) {
		err_no_memory(&view->last);
		view_fail(view, LW_NO_MEMORY);
	} else if (book != NULL) {
		view->looks = view_got(view, look_begin(book, &view->last));
	}
}

enum lw_status
view_fail(struct view *view, enum lw_status status)
{
	if (view->status == LW_OK) {
		view->status = status;
		view->err = view->last;
	}
	return view->status;
}

bool
view_got(struct view *view, enum lw_status status)
{
	if (view->status != LW_OK)
		return false;
	if (status != LW_OK && status != LW_NOT_FOUND)
		view_fail(view, status);
	return status == LW_OK;
}

enum lw_status
view_end(struct view *view, struct lw_doc **doc, enum lw_status outcome,
    struct lw_err *err)
{
	*doc = NULL;
	if (view->looks)
		look_end(view->book);
	if (view->status != LW_OK) {
		outcome = view->status;
		json_decref(view->root);
	} else if ((*doc = doc_new(view->root)) == NULL) {
		outcome = err_no_memory(&view->err);
	}
	if (outcome != LW_OK && err != NULL)
		*err = view->err;
	lw_arena_free(view->arena);
	return outcome;
}

static void
no_memory(struct view *view)
{
	err_no_memory(&view->last);
	view_fail(view, LW_NO_MEMORY);
}

/* A JSON text; what is not UTF-8 becomes U+FFFD. */
static json_t *
text_value(const char *text)
{
	size_t length = strlen(text), from = 0, to = 0, good;
	char *clean;
	json_t *value;

	if (utf8_valid(text, length) == length)
		return json_stringn_nocheck(text, length);
	clean = malloc(length * 3 + 1);
	if (clean == NULL)
		return NULL;
	while (from < length) {
		good = utf8_valid(text + from, length - from);
		memcpy(clean + to, text + from, good);
		from += good;
		to += good;
		if (from < length) {
			memcpy(clean + to, "\xef\xbf\xbd", 3);
			from++;
			to += 3;
		}
	}
	value = json_stringn_nocheck(clean, to);
	free(clean);
	return value;
}

/* Put a value, whose reference is taken over, into an object. */
static void
put(struct view *view, json_t *object, const char *key, json_t *value)
{
	if (view->status != LW_OK) {
		json_decref(value);
		return;
	}
	if (json_object_set_new(object, key, value) != 0)
		no_memory(view);
}

static void
append(struct view *view, json_t *list, json_t *value)
{
	if (view->status != LW_OK) {
		json_decref(value);
		return;
	}
	if (json_array_append_new(list, value) != 0)
		no_memory(view);
}

void
view_text(struct view *view, json_t *object, const char *key, const char *text)
{
	if (text == NULL || text[0] == '\0')
		put(view, object, key, json_null());
	else
		put(view, object, key, text_value(text));
}

void
view_words(struct view *view, json_t *object, const char *key, const char *text)
{
	put(view, object, key, text_value(text == NULL ? "" : text));
}

void
view_int(struct view *view, json_t *object, const char *key, int64_t value)
{
	put(view, object, key, json_integer(value));
}

void
view_number(struct view *view, json_t *object, const char *key, int64_t value)
{
	put(view, object, key, value == 0 ? json_null() : json_integer(value));
}

void
view_bool(struct view *view, json_t *object, const char *key, bool value)
{
	put(view, object, key, json_boolean(value));
}

void
view_real(struct view *view, json_t *object, const char *key, double value)
{
	put(view, object, key,
	    isfinite(value) ? json_real(value) : json_null());
}

void
view_null(struct view *view, json_t *object, const char *key)
{
	put(view, object, key, json_null());
}

json_t *
view_object(struct view *view, json_t *object, const char *key)
{
	put(view, object, key, json_object());
	return view->status == LW_OK ? json_object_get(object, key) : NULL;
}

json_t *
view_list(struct view *view, json_t *object, const char *key)
{
	put(view, object, key, json_array());
	return view->status == LW_OK ? json_object_get(object, key) : NULL;
}

json_t *
view_add(struct view *view, json_t *list)
{
	append(view, list, json_object());
	if (view->status != LW_OK)
		return NULL;
	return json_array_get(list, json_array_size(list) - 1);
}

void
view_add_text(struct view *view, json_t *list, const char *text)
{
	append(view, list, text_value(text == NULL ? "" : text));
}

void
view_add_again(struct view *view, json_t *list, json_t *object)
{
	append(view, list, json_incref(object));
}

void
view_put_again(
    struct view *view, json_t *object, const char *key, json_t *child)
{
	put(view, object, key, json_incref(child));
}
