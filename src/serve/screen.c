/* Tells screens apart by their cookie and names them for people; what a
 * screen may do is left to the job. */
#include "serve/screen.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

static bool
is_id(const char *text)
{
	return text != NULL && strlen(text) == GUARD_TOKEN_SIZE - 1 &&
	       strspn(text, "0123456789abcdef") == GUARD_TOKEN_SIZE - 1;
}

/* FNV-1a, 32 bits (Fowler, Noll, Vo): the name is shown to everybody, and
 * must not say what the cookie is. */
static unsigned
short_of(const char *id)
{
	uint32_t hash = 0x811c9dc5u;

	for (; *id != '\0'; id++)
		hash = (hash ^ (unsigned char)*id) * 0x01000193u;
	return hash >> 24;
}

enum lw_status
screen_read(struct screen *screen, const char *cookie, const char *agent,
    const char *site, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	bool phone = agent != NULL && strstr(agent, "Mobile") != NULL;

	memset(screen, 0, sizeof *screen);
	if (is_id(cookie)) {
		strcpy(screen->id, cookie);
	} else {
		status = guard_token_new(screen->id, err);
		screen->give = site == NULL || strcmp(site, "cross-site") != 0;
	}
	snprintf(screen->name, sizeof screen->name, "%s %02x",
	    phone ? "phone" : "computer", short_of(screen->id));
	return status;
}
