/* Tells screens apart by their cookie and names them for people; whether one
 * is paired is left to the book, and what it may do to request.c and the
 * job. */
#include "serve/screen.h"

#include "serve/cookie.h"

#include <stdio.h>
#include <string.h>

static bool
is_cookie(const char *text)
{
	return strlen(text) == GUARD_TOKEN_SIZE - 1 &&
	       strspn(text, "0123456789abcdef") == GUARD_TOKEN_SIZE - 1;
}

enum lw_status
screen_read(struct screen *screen, const char *cookies, const char *agent,
    bool tls, struct lw_err *err)
{
	const char *kind = agent != NULL && strstr(agent, "Mobile") != NULL
			       ? "phone"
			       : "computer";
	enum lw_status status = LW_OK;

	memset(screen, 0, sizeof *screen);
	if (cookie_read(screen->cookie, sizeof screen->cookie, cookies,
		tls ? SCREEN_COOKIE_TLS : SCREEN_COOKIE) &&
	    is_cookie(screen->cookie)) {
		screen->brought = true;
		hash_text(screen->id, screen->cookie);
	} else {
		status = screen_renew(screen, err);
	}
	/* Of the hash, because the name is shown to everybody and must not
	 * say what the cookie is. */
	snprintf(
	    screen->name, sizeof screen->name, "%s %.2s", kind, screen->id);
	return status;
}

enum lw_status
screen_renew(struct screen *screen, struct lw_err *err)
{
	enum lw_status status = guard_token_new(screen->cookie, err);

	if (status == LW_OK)
		hash_text(screen->id, screen->cookie);
	screen->brought = false;
	return status;
}

void
screen_token(char token[GUARD_TOKEN_SIZE], const struct screen *screen,
    const char *secret)
{
	char whole[HASH_SIZE];

	hash_keyed(whole,
	    screen->brought || screen->give ? screen->cookie : secret, "form");
	memcpy(token, whole, GUARD_TOKEN_SIZE - 1);
	token[GUARD_TOKEN_SIZE - 1] = '\0';
}
