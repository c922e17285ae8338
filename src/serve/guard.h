/* What a request must show before it is listened to. */
#ifndef SERVE_GUARD_H
#define SERVE_GUARD_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>

#define GUARD_TOKEN_SIZE 33 /* 128 bits in hexadecimal, and a NUL */

/* A token from the system's random numbers. LW_FAILED. */
enum lw_status guard_token_new(
    char token[GUARD_TOKEN_SIZE], struct lw_err *err);

/* Compared in a time that does not tell how much was right. */
bool guard_token_same(const char *token, const char *given);

/* Whether a Host header names this server: exactly 127.0.0.1, localhost or
 * [::1] with the port, which may be left out only where it is 80. This is
 * what keeps other sites' names for this address (DNS rebinding) out. */
bool guard_host_is_ours(const char *host, unsigned port);

/* Whether an Origin header is a page of the host that was asked. */
bool guard_origin_is_ours(const char *origin, const char *host);

/* Whether a Content-Type is that of a form. */
bool guard_type_is_form(const char *type);

#endif
