/* The Cookie header: RFC 6265, section 5.4, read strictly. */
#ifndef SERVE_COOKIE_H
#define SERVE_COOKIE_H

#include <stdbool.h>
#include <stddef.h>

#define COOKIE_HEADER_MAX 4096 /* bytes of a Cookie header that is looked at \
				*/

/*
 * The value of the cookie `name`, put into `value` (of `size` bytes, with a
 * NUL). False, and "": the header has no such cookie, has it twice, is longer
 * than COOKIE_HEADER_MAX, or its value is longer than `size` allows or not of
 * cookie-octets (RFC 6265, section 4.1.1).
 */
bool cookie_read(
    char *value, size_t size, const char *header, const char *name);

#endif
