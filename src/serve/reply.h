/* What a page answers with, and how it goes out. */
#ifndef SERVE_REPLY_H
#define SERVE_REPLY_H

#include "base/buf.h"
#include "serve/guard.h"

#include <lampwright/doc.h>
#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct MHD_Connection;
struct request;

#define REPLY_BYTES_MAX (8u << 20) /* of a page, or a file read live */

struct reply {
	unsigned status;      /* of HTTP; 0 until there is an answer */
	const char *template; /* a page: template and document */
	struct lw_doc *doc;   /* owned */
	struct buf location;  /* 303: the address */
	const char *data;     /* an asset */
	size_t size;
	struct buf owned; /* holds the asset when it was read live */
	const char *type;
	char etag[24];	   /* with quotes; "" for none */
	const char *allow; /* 405: the methods that would do */
	unsigned retry_s;  /* 429, 503: when to come again; 0 for any other */
	char given[GUARD_TOKEN_SIZE]; /* the cookie that reply_give_cookie keeps
				       */
	bool plays;	    /* the page plays a film that the browser holds */
	const char *cookie; /* the browser's from now on; "" takes it away */
	struct lw_err err;  /* what went wrong while building it */
};

void reply_init(struct reply *reply);
void reply_clear(struct reply *reply);

/* A page. `doc` is taken over; NULL stands for an empty one. */
void reply_page(struct reply *reply, unsigned status, const char *template,
    struct lw_doc *doc);
/* More keys for the page; a value of NULL is left out. Failures are kept and
 * make the answer an error. */
void reply_text(struct reply *reply, const char *key, const char *value);
void reply_int(struct reply *reply, const char *key, int64_t value);
void reply_bool(struct reply *reply, const char *key, bool value);
/* The same, with numbers in a text. */
void reply_textf(struct reply *reply, const char *key, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* A text for one item of a list of the page: the one whose `key` is `is`.
 * Nothing where there is none. */
void reply_text_in(struct reply *reply, const char *list, const char *key,
    const char *is, const char *name, const char *value);

/* A sentence as pages show it, with a capital and a full stop. */
void reply_sentence(struct reply *reply, const char *key, const char *sentence);

/* What somebody typed and what was wrong with it, to be shown in the form
 * again: `error`, and `typed_before`, `typed_at`, `typed_after` around the
 * character that err->column points to. */
void reply_typed(
    struct reply *reply, const char *typed, const struct lw_err *err);

/* An error page of one sentence. */
void reply_error(struct reply *reply, unsigned status, const char *sentence);
/* The same, for what a call came back with. */
void reply_failure(struct reply *reply, const struct lw_err *err);
/* The HTTP status of a call's status. */
unsigned reply_status_of(enum lw_status status);

/* On with a GET. The address is added to reply->location afterwards. */
void reply_see_other(struct reply *reply);

/* Another cookie for the browser. */
void reply_give_cookie(struct reply *reply, const char *cookie);
/* The browser has no cookie from now on. */
void reply_take_cookie(struct reply *reply);

/* Fill, label and queue it. False: hang up. */
bool reply_send(struct reply *reply, const struct request *request,
    struct MHD_Connection *connection);

#endif
