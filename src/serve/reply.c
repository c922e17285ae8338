/* Builds a reply: a page of a template and a document, an error, the way on.
 * What it says is left to the pages and their templates, sending it to
 * reply_send.c. */
#include "serve/reply.h"

#include "base/err.h"
#include "base/utf8.h"
#include "fill/fill.h"

#include <microhttpd.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void
reply_init(struct reply *reply)
{
	memset(reply, 0, sizeof *reply);
	buf_init(&reply->location, 4096);
	buf_init(&reply->owned, REPLY_BYTES_MAX);
}

void
reply_clear(struct reply *reply)
{
	lw_doc_free(reply->doc);
	buf_clear(&reply->location);
	buf_clear(&reply->owned);
	reply_init(reply);
}

void
reply_page(struct reply *reply, unsigned status, const char *template,
    struct lw_doc *doc)
{
	reply_clear(reply);
	reply->status = status;
	reply->template = template;
	reply->doc = doc;
	if (doc == NULL)
		fill_doc_empty(&reply->doc, &reply->err);
}

void
reply_text(struct reply *reply, const char *key, const char *value)
{
	if (reply->err.code == LW_OK && value != NULL)
		fill_set_text(reply->doc, key, value, &reply->err);
}

void
reply_int(struct reply *reply, const char *key, int64_t value)
{
	if (reply->err.code == LW_OK)
		fill_set_int(reply->doc, key, value, &reply->err);
}

void
reply_bool(struct reply *reply, const char *key, bool value)
{
	if (reply->err.code == LW_OK)
		fill_set_bool(reply->doc, key, value, &reply->err);
}

void
reply_text_in(struct reply *reply, const char *list, const char *key,
    const char *is, const char *name, const char *value)
{
	if (reply->err.code == LW_OK && value != NULL)
		fill_set_text_in(
		    reply->doc, list, key, is, name, value, &reply->err);
}

void
reply_textf(struct reply *reply, const char *key, const char *format, ...)
{
	char text[512];
	va_list args;

	va_start(args, format);
	vsnprintf(text, sizeof text, format, args);
	va_end(args);
	text[utf8_valid(text, strlen(text))] = '\0';
	reply_text(reply, key, text);
}

void
reply_sentence(struct reply *reply, const char *key, const char *sentence)
{
	static const char letters[] = "abcdefghijklmnopqrstuvwxyz";
	char text[sizeof reply->err.text + 2];
	size_t length;

	if (sentence == NULL || *sentence == '\0')
		return;
	snprintf(text, sizeof text - 1, "%s", sentence);
	text[utf8_valid(text, strlen(text))] = '\0';
	length = strlen(text);
	if (length > 0 && strchr(".?!", text[length - 1]) == NULL)
		strcpy(text + length, ".");
	/* An id or a number stays as it is; a word gets its capital. */
	if (text[0] >= 'a' && text[0] <= 'z' &&
	    strchr(" ,;:.'", text[strspn(text, letters)]) != NULL)
		text[0] = (char)(text[0] - 'a' + 'A');
	reply_text(reply, key, text);
}

void
reply_typed(struct reply *reply, const char *typed, const struct lw_err *err)
{
	size_t length = strlen(typed), at = 0, n, column;
	char *piece;

	reply_sentence(reply, "error", err->text);
	reply_text(reply, "typed", typed);
	if (err->column == 0 || utf8_valid(typed, length) != length)
		return;
	for (column = 1; column < err->column && at < length; column++)
		at += utf8_decode(typed + at, length - at, NULL);
	n = at < length ? utf8_decode(typed + at, length - at, NULL) : 0;
	piece = strdup(typed);
	if (piece == NULL) {
		err_no_memory(&reply->err);
		return;
	}
	piece[at] = '\0';
	reply_bool(reply, "typed_place", true);
	reply_text(reply, "typed_before", piece);
	memcpy(piece, typed + at, n);
	piece[n] = '\0';
	/* Past the end there is nothing to mark but the place itself. */
	reply_text(reply, "typed_at", n == 0 ? "_" : piece);
	reply_text(reply, "typed_after", typed + at + n);
	free(piece);
}

unsigned
reply_status_of(enum lw_status status)
{
	switch (status) {
	case LW_OK:
		return MHD_HTTP_OK;
	case LW_NOT_FOUND:
		return MHD_HTTP_NOT_FOUND;
	case LW_UNDECIDED:
	case LW_BAD_INPUT:
		return MHD_HTTP_BAD_REQUEST;
	case LW_CONFLICT:
		return MHD_HTTP_CONFLICT;
	case LW_TOO_BIG:
		return MHD_HTTP_CONTENT_TOO_LARGE;
	case LW_CORRUPT:
	case LW_NEWER:
	case LW_FAILED:
	case LW_NO_MEMORY:
		break;
	}
	return MHD_HTTP_INTERNAL_SERVER_ERROR;
}

static const char *
error_title(unsigned status)
{
	switch (status) {
	case MHD_HTTP_BAD_REQUEST:
		return "That could not be read";
	case MHD_HTTP_FORBIDDEN:
		return "Not from here";
	case MHD_HTTP_NOT_FOUND:
		return "Nothing here";
	case MHD_HTTP_METHOD_NOT_ALLOWED:
		return "Not that way";
	case MHD_HTTP_CONFLICT:
		return "That has changed meanwhile";
	case MHD_HTTP_CONTENT_TOO_LARGE:
	case MHD_HTTP_URI_TOO_LONG:
	case MHD_HTTP_REQUEST_HEADER_FIELDS_TOO_LARGE:
		return "That is too long";
	case MHD_HTTP_SERVICE_UNAVAILABLE:
		return "Busy just now";
	default:
		return "Something went wrong here";
	}
}

void
reply_error(struct reply *reply, unsigned status, const char *sentence)
{
	struct lw_err err;

	/* The sentence may lie in the reply that is about to be cleared. */
	err_set(&err, LW_FAILED, "%s", sentence);
	reply_page(reply, status, "error", NULL);
	reply_text(reply, "title", error_title(status));
	reply_sentence(reply, "sentence", err.text);
	reply_int(reply, "status", status);
}

void
reply_failure(struct reply *reply, const struct lw_err *err)
{
	reply_error(reply, reply_status_of(err->code), err->text);
}

void
reply_see_other(struct reply *reply)
{
	reply_clear(reply);
	reply->status = MHD_HTTP_SEE_OTHER;
}

void
reply_give_cookie(struct reply *reply, const char *cookie)
{
	snprintf(reply->given, sizeof reply->given, "%s", cookie);
	reply->cookie = reply->given;
}

void
reply_take_cookie(struct reply *reply)
{
	reply->cookie = "";
}
