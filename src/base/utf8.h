/* UTF-8: validity, characters and columns (Unicode 15, table 3-7). */
#ifndef BASE_UTF8_H
#define BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Bytes of the character at `text` (1-4), and its code point where `point`
 * is not NULL; 0 where the bytes are not UTF-8 or length is 0. */
size_t utf8_decode(const char *text, size_t length, uint32_t *point);

/* Bytes of the longest valid beginning; `length` when all of it is valid. */
size_t utf8_valid(const char *text, size_t length);

/* The largest n <= length at which a character does not begin before n and
 * end after it, for cutting a text that is valid. */
size_t utf8_whole(const char *text, size_t length);

/* Characters in the first `length` bytes; invalid bytes count one each. */
size_t utf8_count(const char *text, size_t length);

#endif
