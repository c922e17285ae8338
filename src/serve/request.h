/* One request, from its first line to its answer. */
#ifndef SERVE_REQUEST_H
#define SERVE_REQUEST_H

#include "base/buf.h"
#include "serve/form.h"
#include "serve/screen.h"
#include "serve/server.h"
#include "serve/url.h"

#include <lampwright/book.h>

#include <stdbool.h>
#include <stdint.h>

struct MHD_Connection;
struct reply;
struct route;

enum method {
	METHOD_OTHER = 0,
	METHOD_GET = 1, /* HEAD too: the answer without its body */
	METHOD_POST = 2
};

/* The most of a body that is read, kept or not, before hanging up. */
#define REQUEST_DRAIN_MAX (1u << 20)
/* The longest that a body may take, in seconds. */
#define REQUEST_BODY_S 60

struct request {
	struct server *server;
	struct lw_book *book;
	enum method method;
	char *target; /* path and query as they came */
	struct url_path path;
	struct form query;
	struct form body;
	int64_t now_s;
	bool ours; /* it named this server, so it may be given the token */
	struct screen screen; /* which browser it is; known where it is ours */

	/* While it is coming in. */
	bool begun;
	bool unclear; /* where it ends is not known: answer, and hang up */
	bool answered;
	int64_t begun_s;
	size_t received;
	struct buf content;
	const struct route *route;
	unsigned refused;    /* the status to refuse it with, or 0 */
	const char *refusal; /* the sentence */
	const char *allow;   /* methods that would do, with 405 */
	struct lw_err err;   /* may be what `refusal` points to */
};

/* A request for a target; NULL when memory has run out. */
struct request *request_new(struct server *server, const char *target);
void request_free(struct request *request);

/* Look at method, address and headers before the body comes; decides on
 * `route` or `refused`. */
void request_begin(struct request *request, struct MHD_Connection *connection,
    const char *method);

/* Take a part of the body. False: hang up. */
bool request_add(struct request *request, const char *data, size_t length);

/* The body is whole: look at it, and let the route's page answer. */
void request_answer(struct request *request, struct reply *reply);

#endif
