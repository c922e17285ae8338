/*
 * A text that grows, with a hard cap. It remembers its first error, so a
 * writer adds away and checks once, at the end.
 */
#ifndef BASE_BUF_H
#define BASE_BUF_H

#include <lampwright/status.h>

#include <stddef.h>

struct buf {
	char *data; /* NUL-terminated once anything was added; NULL before */
	size_t length;
	size_t room;
	size_t cap; /* most bytes that it may hold */
	enum lw_status status; /* LW_OK, LW_TOO_BIG or LW_NO_MEMORY */
};

/* An empty buffer that holds at most `cap` bytes. */
void buf_init(struct buf *buf, size_t cap);
/* Free what it holds; it can be used again. */
void buf_clear(struct buf *buf);

void buf_add(struct buf *buf, const char *text);
void buf_add_n(struct buf *buf, const char *text, size_t length);
void buf_add_char(struct buf *buf, char c);
void buf_printf(struct buf *buf, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The text, "" where nothing was added. Valid until the next call. */
const char *buf_text(const struct buf *buf);

/* The text, handed over: the caller frees it. NULL after an error. */
char *buf_take(struct buf *buf);

/* The first error as a sentence; LW_OK when all went well. */
enum lw_status buf_check(const struct buf *buf, struct lw_err *err);

#endif
