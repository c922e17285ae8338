/* Finds the book by options, environment and the XDG data folder, and opens
 * it. What is inside is left to the book. */
#include "cli/place.h"

#include "base/err.h"
#include "cli/cli.h"

#include <lampwright/pack.h>

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

/* Make a folder and those above it, for the owner alone. */
static enum lw_status
make_folders(const char *folder, struct lw_err *err)
{
	char *path = strdup(folder);
	enum lw_status status = LW_OK;
	char *slash, *at;

	if (path == NULL)
		return err_no_memory(err);
	for (at = path + 1;; at = slash + 1) {
		slash = strchr(at, '/');
		if (slash != NULL)
			*slash = '\0';
		if (mkdir(path, 0700) != 0 && errno != EEXIST) {
			status = err_set(err, LW_FAILED,
			    "the folder %.300s cannot be made: %s; give "
			    "another place with --book FILE",
			    path, strerror(errno));
			break;
		}
		if (slash == NULL)
			break;
		*slash = '/';
	}
	free(path);
	return status;
}

/* The book's path in the XDG data folder, which is made. */
static enum lw_status
default_path(char **path, struct lw_err *err)
{
	const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
	const char *below = "";
	enum lw_status status;
	size_t room;
	char *folder;

	/* The specification has relative paths ignored. */
	if (data == NULL || data[0] != '/') {
		data = home;
		below = "/.local/share";
	}
	if (data == NULL || data[0] != '/')
		return err_set(err, LW_FAILED,
		    "it is not known where the book is: HOME is not set; give "
		    "its place with --book FILE");
	room = strlen(data) + strlen(below) + sizeof "/lampwright/book.db";
	*path = malloc(room);
	folder = malloc(room);
	if (*path == NULL || folder == NULL) {
		status = err_no_memory(err);
	} else {
		snprintf(folder, room, "%s%s/lampwright", data, below);
		snprintf(*path, room, "%s/book.db", folder);
		status = make_folders(folder, err);
	}
	free(folder);
	return status;
}

enum lw_status
place_open(
    struct lw_book **book, char **opened, const char *path, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	bool created = false;
	size_t packs = 0;

	*book = NULL;
	*opened = NULL;
	if (path == NULL) {
		path = getenv("LAMPWRIGHT_BOOK");
		if (path != NULL && path[0] == '\0')
			path = NULL;
	}
	if (path == NULL)
		status = default_path(opened, err);
	else if ((*opened = strdup(path)) == NULL)
		status = err_no_memory(err);
	if (status != LW_OK)
		goto fail;
	status = lw_book_open(book, &created, *opened, err);
	if (status != LW_OK)
		goto fail;
	status = lw_pack_ship(*book, cli_now(), &packs, err);
	if (status != LW_OK && created)
		goto fail;
	if (status != LW_OK)
		/* A book that is there serves as it is. */
		cli_say("the packs that came with this version could not be "
			"put in: %s",
		    err != NULL ? err->text : lw_status_name(status));
	else if (created)
		cli_say("made a new book, %s, with %zu pack%s that ship with "
			"Lampwright",
		    *opened, packs, packs == 1 ? "" : "s");
	return LW_OK;
fail:
	lw_book_close(*book);
	free(*opened);
	*book = NULL;
	*opened = NULL;
	return status;
}
