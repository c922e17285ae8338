/* A growing text with a hard cap and a memory for its first error. */
#include "base/buf.h"

#include "base/err.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void
buf_init(struct buf *buf, size_t cap)
{
	memset(buf, 0, sizeof *buf);
	buf->cap = cap;
}

void
buf_clear(struct buf *buf)
{
	free(buf->data);
	buf_init(buf, buf->cap);
}

/* Make room for `more` bytes and a NUL. */
static int
make_room(struct buf *buf, size_t more)
{
	size_t room;
	char *data;

	if (buf->status != LW_OK)
		return 0;
	if (more > buf->cap || buf->length > buf->cap - more) {
		buf->status = LW_TOO_BIG;
		return 0;
	}
	if (buf->length + more + 1 <= buf->room)
		return 1;
	room = buf->room < 128 ? 128 : buf->room * 2;
	if (room < buf->length + more + 1)
		room = buf->length + more + 1;
	data = realloc(buf->data, room);
	if (data == NULL) {
		buf->status = LW_NO_MEMORY;
		return 0;
	}
	buf->data = data;
	buf->room = room;
	return 1;
}

void
buf_add_n(struct buf *buf, const char *text, size_t length)
{
	if (!make_room(buf, length))
		return;
	if (length > 0)
		memcpy(buf->data + buf->length, text, length);
	buf->length += length;
	buf->data[buf->length] = '\0';
}

void
buf_add(struct buf *buf, const char *text)
{
	buf_add_n(buf, text, strlen(text));
}

void
buf_add_char(struct buf *buf, char c)
{
	buf_add_n(buf, &c, 1);
}

void
buf_printf(struct buf *buf, const char *format, ...)
{
	va_list args;
	int length;

	va_start(args, format);
	length = vsnprintf(NULL, 0, format, args);
	va_end(args);
	if (length < 0 || !make_room(buf, (size_t)length))
		return;
	va_start(args, format);
	vsnprintf(buf->data + buf->length, (size_t)length + 1, format, args);
	va_end(args);
	buf->length += (size_t)length;
}

const char *
buf_text(const struct buf *buf)
{
	return buf->data == NULL ? "" : buf->data;
}

char *
buf_take(struct buf *buf)
{
	char *data;

	if (buf->data == NULL)
		buf_add_n(buf, "", 0);
	if (buf->status != LW_OK)
		return NULL;
	data = buf->data;
	buf_init(buf, buf->cap);
	return data;
}

enum lw_status
buf_check(const struct buf *buf, struct lw_err *err)
{
	if (buf->status == LW_NO_MEMORY)
		return err_no_memory(err);
	if (buf->status == LW_TOO_BIG)
		return err_set(err, LW_TOO_BIG,
		    "the text is longer than the %zu bytes allowed here",
		    buf->cap);
	return LW_OK;
}
