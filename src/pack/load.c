/* Pack files from disk or standard input. What is in them is left to
 * lw_pack_read. */
#include <lampwright/pack.h>

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

static enum lw_status
read_all(struct buf *buf, int fd, struct lw_err *err)
{
	char part[65536];
	ssize_t n;

	while (buf->status == LW_OK) {
		n = read(fd, part, sizeof part);
		if (n == 0)
			break;
		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0)
			return err_set(err, LW_FAILED,
			    "the pack cannot be read (%s); name a file that "
			    "can be",
			    strerror(errno));
		buf_add_n(buf, part, (size_t)n);
	}
	if (buf->status == LW_TOO_BIG)
		return err_set(err, LW_TOO_BIG,
		    "the file is larger than the %u bytes that a pack may "
		    "have",
		    LW_PACK_MAX_BYTES);
	return buf_check(buf, err);
}

enum lw_status
lw_pack_load(struct lw_arena *arena, const char *path,
    struct lw_pack_text *text, struct lw_err *err)
{
	bool input = strcmp(path, "-") == 0;
	enum lw_status status;
	struct buf buf;
	int fd = STDIN_FILENO;

	memset(text, 0, sizeof *text);
	buf_init(&buf, LW_PACK_MAX_BYTES);
	text->name = arena_dup(arena, input ? "standard input" : path);
	if (text->name == NULL)
		return err_no_memory(err);
	if (!input) {
		fd = open(path, O_RDONLY | O_CLOEXEC);
		if (fd < 0) {
			status = err_set(err, LW_FAILED,
			    "the pack cannot be opened (%s); name a file "
			    "that can be read",
			    strerror(errno));
			err_in_file(err, path);
			return status;
		}
	}
	status = read_all(&buf, fd, err);
	if (status != LW_OK) {
		err_in_file(err, text->name);
		goto out;
	}
	text->length = buf.length;
	text->text = arena_dup_n(arena, buf_text(&buf), buf.length);
	if (text->text == NULL)
		status = err_no_memory(err);
out:
	if (!input)
		close(fd);
	buf_clear(&buf);
	return status;
}
