/* Writes a picture as an SVG file, whole or not at all. What is in it is left
 * to view, and to web/plot.html and web/timeline.html. */
#include "cli/plot_file.h"

#include "base/err.h"
#include "fill/fill.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PICTURE_MAX = 4 << 20, PATH_LONGEST = 4000 };

static enum lw_status
fail(struct lw_err *err, const char *path)
{
	return err_set(err, LW_FAILED,
	    "cannot write the picture to %.200s: %s; the folder must exist and "
	    "allow writing",
	    path, strerror(errno));
}

/* All bytes; false with errno set. */
static bool
write_all(int file, const struct buf *picture)
{
	size_t at = 0;
	ssize_t n;

	while (at < picture->length) {
		n = write(file, picture->data + at, picture->length - at);
		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0)
			return false;
		at += (size_t)n;
	}
	return true;
}

/* What is no ordinary file (a pipe, a device) takes the bytes as they come. */
static enum lw_status
write_into(const char *path, const struct buf *picture, struct lw_err *err)
{
	int file = open(path, O_WRONLY | O_CLOEXEC | O_NOCTTY);
	bool written;

	if (file < 0)
		return fail(err, path);
	written = write_all(file, picture);
	if (!written)
		fail(err, path);
	if (close(file) != 0 && written)
		return fail(err, path);
	return written ? LW_OK : LW_FAILED;
}

/* In a new file beside it, which then takes its place; a link has to be
 * followed before. */
static enum lw_status
put_in_place(const char *path, const struct buf *picture, struct lw_err *err)
{
	char beside[PATH_LONGEST + 40];
	bool good;
	int file, why;

	if (strlen(path) > PATH_LONGEST) {
		errno = ENAMETOOLONG;
		return fail(err, path);
	}
	snprintf(beside, sizeof beside, "%s.%ld.new", path, (long)getpid());
	file = open(beside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
	if (file < 0)
		return fail(err, path);
	good = write_all(file, picture) && fsync(file) == 0;
	why = errno;
	if (close(file) != 0 && good) {
		good = false;
		why = errno;
	}
	if (good && rename(beside, path) != 0) {
		good = false;
		why = errno;
	}
	if (good)
		return LW_OK;
	unlink(beside);
	errno = why;
	return fail(err, path);
}

static enum lw_status
put(const char *path, const struct buf *picture, struct lw_err *err)
{
	enum lw_status status;
	struct stat found;
	char *aim;

	/* By the entry itself, so that no link is ever replaced. */
	if (lstat(path, &found) != 0 || S_ISREG(found.st_mode))
		return put_in_place(path, picture, err);
	if (!S_ISLNK(found.st_mode))
		return write_into(path, picture, err);
	aim = realpath(path, NULL);
	if (aim == NULL)
		return fail(err, path);
	if (lstat(aim, &found) == 0 && S_ISREG(found.st_mode) &&
	    strncmp(path, "/dev/", 5) != 0 && strncmp(path, "/proc/", 6) != 0)
		status = put_in_place(aim, picture, err);
	else
		status = write_into(path, picture, err);
	free(aim);
	return status;
}

/* Fill a template that is a whole picture, and write it. `needs` is said where
 * it is empty. */
static enum lw_status
write_picture(const char *path, const char *name, const char *needs,
    const struct lw_doc *doc, struct lw_err *err)
{
	const struct fill_source from = {
	    .table = program_assets, .prefix = "web/", .suffix = ".html"};
	enum lw_status status;
	struct buf picture;

	buf_init(&picture, PICTURE_MAX);
	status = fill_template(&picture, &from, FILL_HTML, name, doc, err);
	if (status == LW_OK && picture.length == 0)
		status = err_set(err, LW_BAD_INPUT,
		    "there is nothing to draw in %.200s; it needs %s", path,
		    needs);
	else if (status == LW_OK && strcmp(path, "-") == 0)
		fwrite(buf_text(&picture), 1, picture.length, stdout);
	else if (status == LW_OK)
		status = put(path, &picture, err);
	buf_clear(&picture);
	return status;
}

enum lw_status
plot_file_write(const char *path, const struct lw_doc *doc, struct lw_err *err)
{
	return write_picture(path, "plot", "the values of a curve", doc, err);
}

enum lw_status
timeline_file_write(
    const char *path, const struct lw_doc *doc, struct lw_err *err)
{
	return write_picture(
	    path, "timeline", "a recording of light and dark", doc, err);
}

enum lw_status
tree_file_write(const char *path, const struct lw_doc *doc, struct lw_err *err)
{
	return write_picture(path, "tree-drawing", "a decision tree", doc, err);
}
