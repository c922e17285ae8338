/* UTF-8 decoding after Unicode 15, table 3-7: no overlong forms, surrogates
 * or code points past U+10FFFF. */
#include "base/utf8.h"

size_t
utf8_decode(const char *text, size_t length, uint32_t *point)
{
	const unsigned char *s = (const unsigned char *)text;
	uint32_t value;
	size_t n, i;
	unsigned char low = 0x80, high = 0xBF;

	if (length == 0)
		return 0;
	if (s[0] < 0x80) {
		n = 1;
		value = s[0];
	} else if (s[0] >= 0xC2 && s[0] <= 0xDF) {
		n = 2;
		value = s[0] & 0x1Fu;
	} else if (s[0] >= 0xE0 && s[0] <= 0xEF) {
		n = 3;
		value = s[0] & 0x0Fu;
		if (s[0] == 0xE0)
			low = 0xA0;
		else if (s[0] == 0xED)
			high = 0x9F;
	} else if (s[0] >= 0xF0 && s[0] <= 0xF4) {
		n = 4;
		value = s[0] & 0x07u;
		if (s[0] == 0xF0)
			low = 0x90;
		else if (s[0] == 0xF4)
			high = 0x8F;
	} else {
		return 0;
	}
	if (n > length)
		return 0;
	for (i = 1; i < n; i++) {
		if (s[i] < low || s[i] > high)
			return 0;
		value = value << 6 | (s[i] & 0x3Fu);
		low = 0x80;
		high = 0xBF;
	}
	if (point != NULL)
		*point = value;
	return n;
}

size_t
utf8_valid(const char *text, size_t length)
{
	size_t at = 0, n;

	while (at < length) {
		if ((unsigned char)text[at] < 0x80) {
			at++;
			continue;
		}
		n = utf8_decode(text + at, length - at, NULL);
		if (n == 0)
			break;
		at += n;
	}
	return at;
}

size_t
utf8_whole(const char *text, size_t length)
{
	size_t start = length, n;

	/* Go back to the last lead byte, and see whether it is complete. */
	while (start > 0 && length - start < 4) {
		start--;
		if (((unsigned char)text[start] & 0xC0) != 0x80) {
			n = utf8_decode(text + start, length - start, NULL);
			return n == 0 ? start : length;
		}
	}
	return length;
}

size_t
utf8_count(const char *text, size_t length)
{
	size_t at = 0, count = 0, n;

	while (at < length) {
		n = utf8_decode(text + at, length - at, NULL);
		at += n == 0 ? 1 : n;
		count++;
	}
	return count;
}
