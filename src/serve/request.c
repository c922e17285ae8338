/* Decides whether a request is listened to (Host, address, Origin, form,
 * token), which screen it is from, and collects its body under a cap; what it
 * asks for is left to the pages, by way of route.c. */
#include "serve/request.h"

#include "base/err.h"
#include "serve/guard.h"
#include "serve/headers.h"
#include "serve/reply.h"
#include "serve/route.h"

#include <microhttpd.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

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

/* A header or cookie that is there exactly once. */
struct sought {
	const char *name;
	const char *value;
	unsigned count;
};

static enum MHD_Result
seek_value(
    void *closure, enum MHD_ValueKind kind, const char *name, const char *value)
{
	struct sought *sought = closure;

	(void)kind;
	if (strcasecmp(name, sought->name) == 0) {
		sought->value = value;
		sought->count++;
	}
	return MHD_YES;
}

/* The value of a header or cookie; NULL where it is missing, empty or given
 * twice. */
static const char *
only_value(struct MHD_Connection *connection, enum MHD_ValueKind kind,
    const char *name)
{
	struct sought sought = {name, NULL, 0};

	MHD_get_connection_values(connection, kind, seek_value, &sought);
	return sought.count == 1 ? sought.value : NULL;
}

static const char *
only_header(struct MHD_Connection *connection, const char *name)
{
	return only_value(connection, MHD_HEADER_KIND, name);
}

static void
check_post(struct request *request, struct MHD_Connection *connection,
    const char *host)
{
	const char *origin = only_header(connection, "Origin");
	const char *site = MHD_lookup_connection_value(
	    connection, MHD_HEADER_KIND, "Sec-Fetch-Site");
	const char *type = only_header(connection, "Content-Type");

	/* Browsers name the origin with every POST, and the newer ones say
	 * too whether it was the same site that asked. */
	if (origin == NULL ||
	    !lan_origin_is_ours(&request->server->lan, origin, host) ||
	    (site != NULL && strcmp(site, "same-origin") != 0))
		refuse(request, MHD_HTTP_FORBIDDEN,
		    "this form was not sent from a page of this server; open "
		    "the page here and send it again");
	else if (type == NULL || !guard_type_is_form(type))
		refuse(request, MHD_HTTP_BAD_REQUEST,
		    "what was sent is not a form; send it from a page of this "
		    "server");
}

void
request_begin(struct request *request, struct MHD_Connection *connection,
    const char *method)
{
	const char *host = only_header(connection, "Host");
	const char *query = url_query_of(request->target);

	if (strcmp(method, MHD_HTTP_METHOD_GET) == 0 ||
	    strcmp(method, MHD_HTTP_METHOD_HEAD) == 0)
		request->method = METHOD_GET;
	else if (strcmp(method, MHD_HTTP_METHOD_POST) == 0)
		request->method = METHOD_POST;

	if (!headers_are_clear(connection)) {
		request->unclear = true;
		refuse(request, MHD_HTTP_BAD_REQUEST,
		    "what was sent can be read in more than one way; send "
		    "it from a page of this server");
		return;
	}
	if (host == NULL ||
	    !lan_host_is_ours(&request->server->lan, host, request->now_s)) {
		refuse(request, MHD_HTTP_FORBIDDEN,
		    "this server answers only to its own address on this "
		    "machine; use the one that lampwright serve printed");
		return;
	}
	if (screen_read(&request->screen,
		only_value(connection, MHD_COOKIE_KIND, SCREEN_COOKIE),
		only_header(connection, MHD_HTTP_HEADER_USER_AGENT),
		only_header(connection, "Sec-Fetch-Site"),
		&request->err) != LW_OK) {
		refuse(
		    request, MHD_HTTP_INTERNAL_SERVER_ERROR, request->err.text);
		return;
	}
	request->ours = true;
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
		check_post(request, connection, host);
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
	if (request->received > FORM_BYTES_MAX)
		buf_clear(&request->content);
	else if (request->refused == 0)
		buf_add_n(&request->content, data, length);
	return true;
}

static void
check_body(struct request *request)
{
	const struct buf *content = &request->content;

	if (request->received > FORM_BYTES_MAX) {
		refuse(request, MHD_HTTP_CONTENT_TOO_LARGE,
		    "what was sent is longer than the 64 KiB taken here; send "
		    "it in parts");
	} else if (content->status != LW_OK) {
		err_no_memory(&request->err);
		refuse(
		    request, MHD_HTTP_INTERNAL_SERVER_ERROR, request->err.text);
	} else if (form_read(&request->body, buf_text(content), content->length,
		       &request->err) != LW_OK) {
		refuse(request, reply_status_of(request->err.code),
		    request->err.text);
	} else if (!guard_token_same(request->server->token,
		       form_get(&request->body, "token"))) {
		refuse(request, MHD_HTTP_FORBIDDEN,
		    "this form is from before the server was last started; "
		    "open the page anew and send it again");
	}
}

void
request_answer(struct request *request, struct reply *reply)
{
	if (request->refused == 0 && request->method == METHOD_POST)
		check_body(request);
	if (request->refused == 0) {
		route_answer(request->route, request, reply);
		return;
	}
	reply_error(reply, request->refused, request->refusal);
	if (request->refused == MHD_HTTP_METHOD_NOT_ALLOWED)
		reply->allow = request->allow;
}
