/* Finds templates and files in a table of assets, or live in a folder. Names
 * come from code and templates, never from a request. */
#include "fill/source.h"

#include "base/arena.h"
#include "base/err.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool
stays_inside(const char *name)
{
	return name[0] != '\0' && name[0] != '/' && strstr(name, "..") == NULL;
}

/* Add what the file holds to `out`. LW_NOT_FOUND where there is none. */
static enum lw_status
read_file(struct buf *out, const char *path, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	struct stat info;
	char part[4096];
	ssize_t n = 0;
	/* Not to wait for a pipe's other end. */
	int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);

	if (fd < 0 && (errno == ENOENT || errno == ENOTDIR)) {
		return LW_NOT_FOUND;
	} else if (fd < 0 || fstat(fd, &info) != 0) {
		status = err_set(err, LW_FAILED,
		    "the file cannot be opened: %s", strerror(errno));
	} else if (!S_ISREG(info.st_mode)) {
		status = err_set(err, LW_FAILED,
		    "this is no plain file; a file is needed here");
	} else {
		while (out->status == LW_OK &&
		       (n = read(fd, part, sizeof part)) > 0)
			buf_add_n(out, part, (size_t)n);
		if (n < 0)
			status = err_set(err, LW_FAILED,
			    "the file cannot be read: %s", strerror(errno));
		else
			status = buf_check(out, err);
	}
	if (fd >= 0)
		close(fd);
	if (status != LW_OK)
		err_in_file(err, path);
	return status;
}

static enum lw_status
find_live(const char **text, size_t *length, struct lw_arena *arena,
    const char *path, struct lw_err *err)
{
	struct buf buf;
	enum lw_status status;

	buf_init(&buf, FILL_TEMPLATE_MAX);
	status = read_file(&buf, path, err);
	if (status == LW_OK) {
		*length = buf.length;
		*text = arena_dup_n(arena, buf_text(&buf), buf.length);
		if (*text == NULL)
			status = err_no_memory(err);
	}
	buf_clear(&buf);
	return status;
}

enum lw_status
source_find(const char **text, size_t *length, const char **file,
    struct lw_arena *arena, const struct fill_source *from, const char *name,
    size_t name_length, struct lw_err *err)
{
	const struct asset *asset;
	const char *prefix, *suffix, *path;
	enum lw_status status;
	char *whole;

	if (from == NULL)
		return err_set(err, LW_NOT_FOUND,
		    "there is no template '%.*s'; none can be found here",
		    (int)(name_length > 60 ? 60 : name_length), name);
	prefix = from->prefix == NULL ? "" : from->prefix;
	suffix = from->suffix == NULL ? "" : from->suffix;
	whole = arena_printf(
	    arena, "%s%.*s%s", prefix, (int)name_length, name, suffix);
	if (whole == NULL)
		return err_no_memory(err);
	if (from->dir != NULL && stays_inside(whole + strlen(prefix))) {
		path = arena_printf(
		    arena, "%s/%s", from->dir, whole + strlen(prefix));
		if (path == NULL)
			return err_no_memory(err);
		status = find_live(text, length, arena, path, err);
		if (status != LW_NOT_FOUND) {
			*file = path;
			return status;
		}
	}
	asset = asset_find(from->table, whole);
	if (asset == NULL)
		return err_set(err, LW_NOT_FOUND,
		    "there is no template '%.200s'; it must be one of the "
		    "files built in",
		    whole);
	*text = (const char *)asset->data;
	*length = asset->size;
	*file = asset->name;
	return LW_OK;
}

enum lw_status
fill_file(struct buf *out, const struct fill_source *from, const char *name,
    struct lw_err *err)
{
	const char *prefix = from->prefix == NULL ? "" : from->prefix;
	size_t prefix_length = strlen(prefix), room;
	const struct asset *asset = NULL;
	enum lw_status status = LW_NOT_FOUND;
	char *path;

	if (strncmp(name, prefix, prefix_length) != 0 ||
	    !stays_inside(name + prefix_length))
		goto out;
	if (from->dir != NULL) {
		room = strlen(from->dir) + strlen(name) + 2;
		path = malloc(room);
		if (path == NULL)
			return err_no_memory(err);
		snprintf(path, room, "%s/%s", from->dir, name + prefix_length);
		status = read_file(out, path, err);
		free(path);
		if (status != LW_NOT_FOUND)
			return status;
	}
	asset = asset_find(from->table, name);
out:
	if (asset == NULL)
		return err_set(err, LW_NOT_FOUND,
		    "there is no file '%.200s'; it must be one of the files "
		    "built in",
		    name);
	buf_add_n(out, (const char *)asset->data, asset->size);
	return buf_check(out, err);
}
