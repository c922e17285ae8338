/* Names the screen that a command is typed at. Whether a name is fit, and
 * what a screen may do, is left to the job. */
#include "cli/screen.h"

#include "cli/cli.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

struct lw_actor
screen_actor(void)
{
	static char id[40], name[40];
	const char *own = getenv("LAMPWRIGHT_SCREEN");
	struct lw_actor actor = {.now_s = cli_now()};
	long session = (long)getsid(0);

	if (own != NULL && own[0] != '\0') {
		actor.screen = own;
		actor.name = own;
		return actor;
	}
	snprintf(id, sizeof id, "terminal-%ld", session);
	snprintf(name, sizeof name, "terminal %ld", session);
	actor.screen = id;
	actor.name = name;
	return actor;
}
