/* Addresses: read strictly, written by helpers named for where the text is
 * to stand. */
#ifndef SERVE_URL_H
#define SERVE_URL_H

#include "base/buf.h"

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>

#define URL_SEGMENTS_MAX 5
#define URL_PATH_MAX 512 /* bytes of a path, decoded, with its NULs */

/* A decoded path: "/jobs/3" has two segments, "/" has none. */
struct url_path {
	size_t count;
	const char *segments[URL_SEGMENTS_MAX];
	char store[URL_PATH_MAX];
};

/*
 * Read the path of a request target, up to "?" or the end. LW_BAD_INPUT: it
 * does not begin with a slash, has an escape that is not one, or decodes to a
 * slash, a backslash, a control character or what is not UTF-8.
 * LW_TOO_BIG: longer or deeper than any address here.
 */
enum lw_status url_path_read(
    struct url_path *path, const char *target, struct lw_err *err);

/* Where the query of a target begins, after the "?"; "" when it has none. */
const char *url_query_of(const char *target);

/* The value of a hexadecimal digit; -1 for any other character. */
int url_hex(char c);

/* Add a text, escaped to stand as one segment of a path. */
void url_add_segment(struct buf *url, const char *text);
/* Add "?name=value" or "&name=value", the value escaped; nothing when the
 * value is NULL or empty. `name` is written as it is. */
void url_add_query(struct buf *url, const char *name, const char *value);
/* Add a target without its query's field `name`. */
void url_add_without(struct buf *url, const char *target, const char *name);

/* Whether a text is an address on this server and nothing else: a path, and
 * perhaps a query, of the characters that such addresses are made of. */
bool url_is_local(const char *text);

#endif
