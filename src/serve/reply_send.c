/* Turns a reply into a response: fills its template and puts on the headers
 * that every answer carries. What it says is left to the pages. */
#include "serve/reply.h"

#include "fill/fill.h"
#include "serve/request.h"
#include "serve/said.h"

#include <microhttpd.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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
		screen_token(token, &request->screen, server->secret);
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

#define POLICY                                                     \
	"default-src 'self'; object-src 'none'; base-uri 'none'; " \
	"form-action 'self'; frame-ancestors 'none'"

/* A film that was chosen has no other address than one of scheme blob, which
 * only a script of ours can make. */
static const char film_policy[] = POLICY "; media-src 'self' blob:";

static const struct {
	const char *name;
	const char *value;
} common[] = {
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
	bool good = MHD_add_response_header(response, "Content-Security-Policy",
			reply->plays ? film_policy : POLICY) == MHD_YES;

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

	buf_init(&out, REPLY_BYTES_MAX);
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
