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

/* Whether a Content-Type is that of a form. */
bool guard_type_is_form(const char *type);

#endif
