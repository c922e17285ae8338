/* What a builder's text must be like before it is kept. */
#ifndef BOOK_TEXTS_H
#define BOOK_TEXTS_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>

/* a-z, 0-9, hyphens; begins with a letter; at most 64 bytes. */
bool texts_is_id(const char *text);

/*
 * LW_BAD_INPUT where the text is blank, not UTF-8, longer than `most` bytes,
 * or has control characters (of which line ends and tabs are allowed when
 * `lines`). `what` names it in the sentence: "the note".
 */
enum lw_status texts_check(const char *what, const char *text, size_t most,
    bool lines, struct lw_err *err);

#endif
