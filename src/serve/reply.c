/* Turns a reply into a response with the headers that every answer carries;
 * what it says is left to the pages and their templates. */
#include "serve/reply.h"

#include "base/err.h"
#include "base/utf8.h"
#include "fill/fill.h"
#include "serve/request.h"
#include "serve/said.h"

#include <microhttpd.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PAGE_BYTES_MAX (8u << 20)

void
reply_init(struct reply *reply)
{
	memset(reply, 0, sizeof *reply);
	buf_init(&reply->location, 4096);
	buf_init(&reply->owned, PAGE_BYTES_MAX);
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

/* Fill the page into `out`, with what every page has. */
static enum lw_status
fill_page(struct buf *out, struct reply *reply, const struct request *request,
    struct lw_err *err)
{
	const struct server *server = request->server;
	char token[GUARD_TOKEN_SIZE];
	struct buf here;

	buf_init(&here, 8192);
	url_add_without(&here, request->target, "said");
	/* Where a form says to come back to; a POST's own address is not a
	 * page. */
	reply_text(reply, "here",
	    request->method == METHOD_GET && here.status == LW_OK &&
		    url_is_local(buf_text(&here))
		? buf_text(&here)
		: NULL);
	buf_clear(&here);
	if (request->ours) {
		screen_token(token, &request->screen, server->token);
		reply_text(reply, "token", token);
	}
	reply_bool(
	    reply, "page_paired", server->pairing.on && request->screen.paired);
	reply_bool(reply, "page_unpaired",
	    server->pairing.on && !request->screen.paired);
	reply_text(
	    reply, "said", said_sentence(form_get(&request->query, "said")));
	reply_text(reply, "assets", server->assets);
	reply_text(reply, "version", lw_version());
	if (reply->err.code != LW_OK) {
		*err = reply->err;
		return err->code;
	}
	return fill_template(out, &server->templates, FILL_HTML,
	    reply->template, reply->doc, err);
}

/* The page for when no page can be made: no template, no document. */
static void
add_last_resort(struct buf *out, const struct lw_err *err)
{
	const char *c;

	buf_add(out,
	    "<!DOCTYPE html>\n"
	    "<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\">\n"
	    "<head><title>Lampwright</title></head>\n<body>\n<p>");
	if (err->file[0] != '\0')
		buf_printf(out, "%s:%u: ", err->file, err->line);
	for (c = err->text; *c != '\0'; c++) {
		if (*c == '<')
			buf_add(out, "&lt;");
		else if (*c == '&')
			buf_add(out, "&amp;");
		else
			buf_add_char(out, *c);
	}
	buf_add(
	    out, "</p>\n<p><a href=\"/\">First page</a></p>\n</body></html>\n");
}

static const struct {
	const char *name;
	const char *value;
} common[] = {
    {"Content-Security-Policy",
	"default-src 'self'; object-src 'none'; base-uri 'none'; "
	"form-action 'self'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    /* To other sites it sends as little as no-referrer: nothing. With that one,
     * browsers send "Origin: null" with the forms of our own pages, and POST
     * could not be told from a stranger's. */
    {"Referrer-Policy", "same-origin"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
};

/* The cookie that makes a browser a screen of its own; "" takes it away. */
static bool
add_cookie(struct MHD_Response *response, const struct request *request,
    const char *value)
{
	bool tls = request->server->lan.tls;
	char cookie[160];

	snprintf(cookie, sizeof cookie,
	    "%s=%s; Path=/; Max-Age=%d; HttpOnly; SameSite=Strict%s",
	    tls ? SCREEN_COOKIE_TLS : SCREEN_COOKIE, value,
	    *value == '\0' ? 0 : LW_SCREEN_HOLDS_S, tls ? "; Secure" : "");
	return MHD_add_response_header(
		   response, MHD_HTTP_HEADER_SET_COOKIE, cookie) == MHD_YES;
}

static bool
add_headers(struct MHD_Response *response, const struct reply *reply,
    const struct request *request)
{
	char retry[16];
	size_t i;
	bool good = true;

	for (i = 0; i < sizeof common / sizeof common[0]; i++)
		good &= MHD_add_response_header(response, common[i].name,
			    common[i].value) == MHD_YES;
	if (reply->status == MHD_HTTP_SEE_OTHER)
		good &=
		    MHD_add_response_header(response, MHD_HTTP_HEADER_LOCATION,
			buf_text(&reply->location)) == MHD_YES;
	else
		good &= MHD_add_response_header(response,
			    MHD_HTTP_HEADER_CONTENT_TYPE,
			    reply->type != NULL
				? reply->type
				: "text/html; charset=utf-8") == MHD_YES;
	if (reply->etag[0] != '\0') {
		/* Addresses of assets change with their content. */
		good &= MHD_add_response_header(response,
			    MHD_HTTP_HEADER_CACHE_CONTROL,
			    "max-age=86400") == MHD_YES;
		good &= MHD_add_response_header(response, MHD_HTTP_HEADER_ETAG,
			    reply->etag) == MHD_YES;
	} else {
		/* No cache that others share keeps a page. The browser itself
		 * may, so that going back finds a form as it was left. */
		good &=
		    MHD_add_response_header(response,
			MHD_HTTP_HEADER_CACHE_CONTROL,
			reply->data != NULL ? "no-store"
					    : "private, no-cache") == MHD_YES;
	}
	if (reply->allow != NULL)
		good &= MHD_add_response_header(response, MHD_HTTP_HEADER_ALLOW,
			    reply->allow) == MHD_YES;
	if (reply->retry_s > 0) {
		snprintf(retry, sizeof retry, "%u", reply->retry_s);
		good &= MHD_add_response_header(response,
			    MHD_HTTP_HEADER_RETRY_AFTER, retry) == MHD_YES;
	}
	/* An asset may be kept by the browser, and a cookie with it. */
	if (reply->cookie != NULL)
		good &= add_cookie(response, request, reply->cookie);
	else if (request->ours && request->screen.give && reply->data == NULL)
		good &= add_cookie(response, request, request->screen.cookie);
	return good;
}

/* Whether the browser has this very asset already. */
static bool
has_it(const struct reply *reply, struct MHD_Connection *connection)
{
	const char *tag = MHD_lookup_connection_value(
	    connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_IF_NONE_MATCH);

	return tag != NULL && reply->etag[0] != '\0' &&
	       strcmp(tag, reply->etag) == 0;
}

bool
reply_send(struct reply *reply, const struct request *request,
    struct MHD_Connection *connection)
{
	struct MHD_Response *response;
	struct lw_err err = {.code = LW_OK};
	struct buf out;
	unsigned status = reply->status;
	bool sent = false;
	char *data;
	size_t size;

	buf_init(&out, PAGE_BYTES_MAX);
	if (buf_check(&reply->location, &err) != LW_OK) {
		reply_failure(reply, &err);
		status = reply->status;
	}
	if (reply->template != NULL &&
	    fill_page(&out, reply, request, &err) != LW_OK) {
		buf_clear(&out);
		add_last_resort(&out, &err);
		status = MHD_HTTP_INTERNAL_SERVER_ERROR;
	} else if (reply->data != NULL && has_it(reply, connection)) {
		status = MHD_HTTP_NOT_MODIFIED;
	} else if (reply->data != NULL) {
		buf_add_n(&out, reply->data, reply->size);
	}
	size = out.length;
	data = buf_take(&out);
	if (data == NULL)
		goto out;
	response =
	    MHD_create_response_from_buffer(size, data, MHD_RESPMEM_MUST_FREE);
	if (response == NULL) {
		free(data);
		goto out;
	}
	sent = add_headers(response, reply, request) &&
	       MHD_queue_response(connection, status, response) == MHD_YES;
	MHD_destroy_response(response);
out:
	buf_clear(&out);
	return sent;
}
