/* What a request's headers have to be like before its body is read. */
#ifndef SERVE_HEADERS_H
#define SERVE_HEADERS_H

#include <stdbool.h>

struct MHD_Connection;

/*
 * Whether it is clear where the body ends (RFC 9112, section 6.3). False:
 * there is a Content-Length twice or beside a Transfer-Encoding, or the latter
 * is not "chunked" alone. What follows such a request could be its body or
 * another request, so nothing more is read.
 */
bool headers_are_clear(struct MHD_Connection *connection);

/* The value of a header; NULL where it is missing, empty or given twice. */
const char *headers_only(struct MHD_Connection *connection, const char *name);

#endif
