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

/* The most of a body that is read, kept or not, before hanging up; more than
 * any page takes. */
#define REQUEST_DRAIN_MAX (2u << 20)
/* Bodies longer than FORM_BYTES_MAX that are kept at the same time. */
#define REQUEST_LONG_MAX 4
/* The longest that a body may take, in seconds. */
#define REQUEST_BODY_S 60

/* A request that gets another answer than the one it asks for. */
enum away {
	AWAY_NO = 0,
	AWAY_ONCE_MORE, /* from another site, which keeps the cookie back */
	AWAY_TO_PAIR	/* from a screen that is not paired */
};

struct request {
	struct server *server;
	struct lw_book *book;
	enum method method;
	char *target; /* path and query as they came */
	struct url_path path;
	struct form query;
	struct form body;
	int64_t now_s;
	const char *host;
	const char *agent;   /* what the browser says it is, or NULL */
	const char *page;    /* where a form was sent from: local, or NULL */
	char peer[46];	     /* its address, as text */
	bool says_where;     /* the browser tells which site it comes from */
	bool from_elsewhere; /* and it is another than this server */
	bool ours; /* it named this server, so it may be given the token */
	struct screen screen; /* which browser it is; known where it is ours */

	/* While it is coming in. */
	bool begun;
	bool unclear; /* where it ends is not known: answer, and hang up */
	bool answered;
	int64_t begun_s;
	size_t received;
	struct buf content;
	bool is_long; /* it is one of the few that hold a long body */
	const struct route *route;
	enum away away;
	unsigned refused;    /* the status to refuse it with, or 0 */
	const char *refusal; /* the sentence */
	const char *allow;   /* methods that would do, with 405 */
	struct lw_err err;   /* may be what `refusal` points to */
};

/* A request for a target; NULL when memory has run out. */
struct request *request_new(struct server *server, const char *target);
void request_free(struct request *request);

/* Look at method, address and headers before the body comes; decides on
 * `route`, `away` or `refused`. */
void request_begin(struct request *request, struct MHD_Connection *connection,
    const char *method);

/* The most bytes of a body that its page takes. */
size_t request_most(const struct request *request);

/* Take a part of the body. False: hang up. */
bool request_add(struct request *request, const char *data, size_t length);

/* The body is whole: look at it, and let the route's page answer. */
void request_answer(struct request *request, struct reply *reply);

#endif
