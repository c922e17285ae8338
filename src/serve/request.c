/* Decides whether a request is listened to (Host, size, screen, Origin, form,
 * token) and collects its body under a cap; what it asks for is left to the
 * pages, by way of route.c. */
#include "serve/request.h"

#include "base/err.h"
#include "serve/guard.h"
#include "serve/headers.h"
#include "serve/pages.h"
#include "serve/reply.h"
#include "serve/route.h"

#include <lampwright/arena.h>

#include <arpa/inet.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>

#define TARGET_BYTES_MAX 8192
#define HEADER_LINES_MAX 64

struct request *
request_new(struct server *server, const char *target)
{
	struct request *request = calloc(1, sizeof *request);

	if (request == NULL)
		return NULL;
	request->server = server;
	request->book = server->book;
	request->target = strdup(target);
	if (request->target == NULL) {
		free(request);
		return NULL;
	}
	buf_init(&request->content, FORM_BYTES_MAX);
	request->now_s = request->begun_s = (int64_t)time(NULL);
	return request;
}

void
request_free(struct request *request)
{
	if (request == NULL)
		return;
	if (request->is_long)
		request->server->long_bodies--;
	form_clear(&request->query);
	form_clear(&request->body);
	buf_clear(&request->content);
	free(request->target);
	free(request);
}

static void
refuse(struct request *request, unsigned status, const char *sentence)
{
	request->refused = status;
	request->refusal = sentence;
}

/* What a call came back with, which is not the browser's doing. */
static void
refuse_failure(struct request *request)
{
	refuse(request, MHD_HTTP_INTERNAL_SERVER_ERROR, request->err.text);
}

static void
note_peer(struct request *request, struct MHD_Connection *connection)
{
	const union MHD_ConnectionInfo *info = MHD_get_connection_info(
	    connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);

	if (info != NULL && info->client_addr->sa_family == AF_INET)
		inet_ntop(AF_INET,
		    &((const struct sockaddr_in *)(const void *)
			    info->client_addr)
			 ->sin_addr,
		    request->peer, sizeof request->peer);
	else
		strcpy(request->peer, "an unknown address");
}

/* The page that a form was sent from, as an address on this server; NULL
 * where the browser does not say, or it is another's. */
static const char *
page_of(const struct request *request, const char *referer)
{
	const char *scheme = request->server->lan.tls ? "https://" : "http://";
	size_t length = strlen(scheme), n = strlen(request->host);

	if (referer == NULL || strncmp(referer, scheme, length) != 0 ||
	    strncmp(referer + length, request->host, n) != 0 ||
	    !url_is_local(referer + length + n))
		return NULL;
	return referer + length + n;
}

/* What the book knows of the screen that the cookie stands for. */
static enum lw_status
look_up_screen(struct request *request)
{
	struct screen *screen = &request->screen;
	const struct lw_screen *found;
	struct lw_arena *arena = lw_arena_new();
	enum lw_status status;

	if (arena == NULL)
		return err_no_memory(&request->err);
	status = lw_screen_get(&found, request->book, arena, screen->id,
	    request->now_s, &request->err);
	if (status == LW_OK) {
		screen->paired = true;
		screen->number = found->number;
		snprintf(screen->name, sizeof screen->name, "%s", found->name);
		/* A book that cannot be written to just now can be read. */
		if (request->now_s < found->last_s ||
		    request->now_s - found->last_s >= LW_SCREEN_SEEN_S)
			lw_screen_seen(
			    request->book, screen->id, request->now_s, NULL);
	}
	lw_arena_free(arena);
	return status == LW_NOT_FOUND ? LW_OK : status;
}

static enum lw_status
know_screen(struct request *request, struct MHD_Connection *connection)
{
	struct server *server = request->server;
	struct screen *screen = &request->screen;

	if (screen_read(screen,
		headers_only(connection, MHD_HTTP_HEADER_COOKIE),
		request->agent, server->lan.tls, &request->err) != LW_OK)
		return request->err.code;
	if (server->pairing.on)
		return screen->brought ? look_up_screen(request) : LW_OK;
	/* On this machine alone each browser gets a cookie of its own; not
	 * one that comes from another site, because it leaves the cookie out
	 * that it may well have. */
	screen->give = !screen->brought && !request->from_elsewhere;
	return LW_OK;
}

/* Whether it is a screen that may have what it asks for. */
static bool
may_enter(struct request *request)
{
	const struct screen *screen = &request->screen;

	if (request->method == METHOD_GET && request->from_elsewhere &&
	    !screen->brought && !route_is_asset(&request->path)) {
		request->away = AWAY_ONCE_MORE;
		return false;
	}
	if (!request->server->pairing.on || screen->paired ||
	    route_is_open(&request->path))
		return true;
	request->away = AWAY_TO_PAIR;
	return false;
}

static void
check_post(struct request *request, struct MHD_Connection *connection)
{
	const char *origin = headers_only(connection, "Origin");
	const char *type =
	    headers_only(connection, MHD_HTTP_HEADER_CONTENT_TYPE);
	const char *site = MHD_lookup_connection_value(
	    connection, MHD_HEADER_KIND, "Sec-Fetch-Site");

	/* Browsers name the origin with every POST, and the newer ones say
	 * too whether it was the same site that asked. */
	if (origin == NULL ||
	    !lan_origin_is_ours(&request->server->lan, origin, request->host) ||
	    (site != NULL && strcmp(site, "same-origin") != 0))
		refuse(request, MHD_HTTP_FORBIDDEN,
		    "this form was not sent from a page of this server; open "
		    "the page here and send it again");
	else if (type == NULL || !guard_type_is_form(type))
		refuse(request, MHD_HTTP_BAD_REQUEST,
		    "what was sent is not a form; send it from a page of this "
		    "server");
}

/* Whether the request is for this server, and one that it can take. */
static bool
is_for_us(struct request *request, struct MHD_Connection *connection)
{
	struct server *server = request->server;

	if (!headers_are_clear(connection)) {
		request->unclear = true;
		refuse(request, MHD_HTTP_BAD_REQUEST,
		    "what was sent can be read in more than one way; send "
		    "it from a page of this server");
	} else if (request->host == NULL ||
		   !lan_host_is_ours(
		       &server->lan, request->host, request->now_s)) {
		refuse(request, MHD_HTTP_FORBIDDEN,
		    server->lan.open
			? "this server answers only to its own addresses; use "
			  "one that lampwright serve printed"
			: "this server answers only to its own address on this "
			  "machine; use the one that lampwright serve printed");
	} else if (strlen(request->target) > TARGET_BYTES_MAX) {
		refuse(request, MHD_HTTP_URI_TOO_LONG,
		    "this address is longer than the 8 KiB taken here");
	} else if (MHD_get_connection_values(connection, MHD_HEADER_KIND, NULL,
		       NULL) > HEADER_LINES_MAX) {
		refuse(request, MHD_HTTP_REQUEST_HEADER_FIELDS_TOO_LARGE,
		    "the request has more than the 64 header lines taken here");
	}
	return request->refused == 0;
}

void
request_begin(struct request *request, struct MHD_Connection *connection,
    const char *method)
{
	const char *query = url_query_of(request->target);
	const char *site = headers_only(connection, "Sec-Fetch-Site");

	if (strcmp(method, MHD_HTTP_METHOD_GET) == 0 ||
	    strcmp(method, MHD_HTTP_METHOD_HEAD) == 0)
		request->method = METHOD_GET;
	else if (strcmp(method, MHD_HTTP_METHOD_POST) == 0)
		request->method = METHOD_POST;
	request->host = headers_only(connection, MHD_HTTP_HEADER_HOST);
	request->agent = headers_only(connection, MHD_HTTP_HEADER_USER_AGENT);
	request->says_where = site != NULL;
	request->from_elsewhere =
	    site != NULL && strcmp(site, "cross-site") == 0;
	note_peer(request, connection);

	if (!is_for_us(request, connection))
		return;
	if (know_screen(request, connection) != LW_OK) {
		/* It may be a stranger, whom the book's folder is no business
		 * of. */
		refuse(request, MHD_HTTP_INTERNAL_SERVER_ERROR,
		    "the book cannot be read just now, so nobody is known; "
		    "try again, and at the server look at it with "
		    "`lampwright book check`");
		return;
	}
	request->ours = true;
	request->page =
	    page_of(request, headers_only(connection, MHD_HTTP_HEADER_REFERER));
	if (url_path_read(&request->path, request->target, &request->err) !=
		LW_OK ||
	    form_read(&request->query, query, strlen(query), &request->err) !=
		LW_OK) {
		refuse(request,
		    request->err.code == LW_NO_MEMORY
			? MHD_HTTP_INTERNAL_SERVER_ERROR
			: MHD_HTTP_BAD_REQUEST,
		    request->err.text);
		return;
	}
	if (!may_enter(request))
		return;
	request->route =
	    route_find(&request->path, request->method, &request->allow);
	if (request->route == NULL) {
		if (request->allow != NULL)
			refuse(request, MHD_HTTP_METHOD_NOT_ALLOWED,
			    "this address does not take that; go back to the "
			    "page and use its buttons");
		else
			refuse(request, MHD_HTTP_NOT_FOUND,
			    "there is no page at this address");
		return;
	}
	if (request->method == METHOD_POST)
		check_post(request, connection);
}

size_t
request_most(const struct request *request)
{
	return request->route != NULL ? route_most(request->route)
				      : FORM_BYTES_MAX;
}

/* Keep a part of the body. Only few long ones are kept at once, whatever
 * the number of connections. */
static void
keep(struct request *request, const char *data, size_t length)
{
	if (request->received > FORM_BYTES_MAX && !request->is_long) {
		if (request->server->long_bodies >= REQUEST_LONG_MAX) {
			buf_clear(&request->content);
			refuse(request, MHD_HTTP_SERVICE_UNAVAILABLE,
			    "several recordings are being read just now; send "
			    "yours again in a few seconds");
			return;
		}
		request->is_long = true;
		request->server->long_bodies++;
		request->content.cap = request_most(request);
	}
	buf_add_n(&request->content, data, length);
}

bool
request_add(struct request *request, const char *data, size_t length)
{
	request->received += length;
	if (request->received > REQUEST_DRAIN_MAX ||
	    (int64_t)time(NULL) - request->begun_s > REQUEST_BODY_S)
		return false;
	/* What is too long is still drained, because an answer given in the
	 * middle of an upload is lost with the connection. */
	if (request->received > request_most(request))
		buf_clear(&request->content);
	else if (request->refused == 0 && request->away == AWAY_NO)
		keep(request, data, length);
	return true;
}

static bool
has_token(const struct request *request)
{
	char token[GUARD_TOKEN_SIZE];

	screen_token(token, &request->screen, request->server->secret);
	/* A field that is given twice has made form_read refuse the form. */
	return guard_token_same(token, form_get(&request->body, "token"));
}

static void
check_body(struct request *request)
{
	const struct buf *content = &request->content;

	if (request->received > request_most(request)) {
		err_set(&request->err, LW_TOO_BIG,
		    "what was sent is longer than the %zu KiB taken here%s",
		    request_most(request) / 1024,
		    request_most(request) == FORM_BYTES_MAX
			? "; send it in parts"
		    : request_most(request) > FORM_BYTES_MAX
			? "; send a shorter recording, or read it with "
			  "`lampwright watch`"
			: "");
		refuse(request, MHD_HTTP_CONTENT_TOO_LARGE, request->err.text);
	} else if (content->status != LW_OK) {
		err_no_memory(&request->err);
		refuse_failure(request);
	} else if (form_read_most(&request->body, buf_text(content),
		       content->length, request_most(request),
		       &request->err) != LW_OK) {
		refuse(request, reply_status_of(request->err.code),
		    request->err.text);
	} else if (!has_token(request)) {
		refuse(request, MHD_HTTP_FORBIDDEN,
		    "this form does not fit this screen any more; load its "
		    "page anew and send it again");
	}
}

/* A form may have been on its way for a minute: whoever was sent away
 * meanwhile gets nothing in by it. */
static void
check_again(struct request *request)
{
	if (!request->screen.paired ||
	    (request->method == METHOD_GET &&
		(int64_t)time(NULL) == request->begun_s))
		return;
	request->screen.paired = false;
	request->screen.number = 0;
	if (look_up_screen(request) != LW_OK)
		refuse_failure(request);
	else
		may_enter(request);
}

void
request_answer(struct request *request, struct reply *reply)
{
	if (request->refused == 0)
		check_again(request);
	if (request->refused == 0 && request->away != AWAY_NO) {
		page_pair_away(request, reply);
		return;
	}
	if (request->refused == 0 && request->method == METHOD_POST)
		check_body(request);
	if (request->refused == 0) {
		route_answer(request->route, request, reply);
		return;
	}
	/* Whoever pairs has that page before him, and no other. */
	if (request->refused == MHD_HTTP_FORBIDDEN && request->route != NULL &&
	    route_is_open(&request->path)) {
		page_pair_again(
		    request, reply, request->refused, request->refusal);
		return;
	}
	reply_error(reply, request->refused, request->refusal);
	if (request->refused == MHD_HTTP_SERVICE_UNAVAILABLE)
		reply->retry_s = 5;
	if (request->refused == MHD_HTTP_METHOD_NOT_ALLOWED)
		reply->allow = request->allow;
	if (request->method == METHOD_POST && request->page != NULL) {
		reply_text(reply, "way", request->page);
		reply_text(reply, "way_title", "Load the page anew");
	}
}
