/* The checks a request has to pass, as plain functions of its headers; which
 * of them apply to which request is left to request.c. */
#include "serve/guard.h"

#include "base/err.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <sys/random.h>

enum lw_status
guard_token_new(char token[GUARD_TOKEN_SIZE], struct lw_err *err)
{
	unsigned char bytes[(GUARD_TOKEN_SIZE - 1) / 2];
	size_t i;

	/* Up to 256 bytes are given whole or not at all. */
	while (getrandom(bytes, sizeof bytes, 0) != (ssize_t)sizeof bytes) {
		if (errno != EINTR)
			return err_set(err, LW_FAILED,
			    "the system gives no random numbers: %s",
			    strerror(errno));
	}
	for (i = 0; i < sizeof bytes; i++)
		snprintf(token + 2 * i, 3, "%02x", bytes[i]);
	return LW_OK;
}

bool
guard_token_same(const char *token, const char *given)
{
	volatile unsigned char difference = 0;
	size_t i;

	if (strlen(given) != GUARD_TOKEN_SIZE - 1)
		return false;
	for (i = 0; i < GUARD_TOKEN_SIZE - 1; i++)
		difference |= (unsigned char)(token[i] ^ given[i]);
	return difference == 0;
}

bool
guard_type_is_form(const char *type)
{
	static const char form[] = "application/x-www-form-urlencoded";

	return strncasecmp(type, form, sizeof form - 1) == 0 &&
	       strchr("; \t", type[sizeof form - 1]) != NULL;
}
