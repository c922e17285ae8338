/* Finds one cookie in a Cookie header; what it is good for is left to
 * screen.c. */
#include "serve/cookie.h"

#include <string.h>

/* RFC 6265, section 4.1.1: US-ASCII without controls, blanks, quotes, comma,
 * semicolon and backslash. */
static bool
is_octet(char c)
{
	return c > 0x20 && c < 0x7f && strchr("\",;\\", c) == NULL;
}

static bool
is_value(const char *text, size_t length)
{
	size_t i;

	for (i = 0; i < length; i++)
		if (!is_octet(text[i]))
			return false;
	return true;
}

bool
cookie_read(char *value, size_t size, const char *header, const char *name)
{
	size_t name_length = strlen(name), length = 0;
	const char *found = NULL, *at = header;

	if (size > 0)
		value[0] = '\0';
	if (header == NULL ||
	    strnlen(header, COOKIE_HEADER_MAX + 1) > COOKIE_HEADER_MAX)
		return false;
	for (;;) {
		size_t n = strcspn(at, ";");

		/* Other servers on this machine share its cookies, so what is
		 * in theirs is no reason to refuse ours. */
		if (n > name_length && at[name_length] == '=' &&
		    memcmp(at, name, name_length) == 0) {
			if (found != NULL)
				return false;
			found = at + name_length + 1;
			length = n - name_length - 1;
		}
		at += n;
		if (*at == '\0')
			break;
		at++;
		at += strspn(at, " ");
	}
	if (found == NULL || length >= size || !is_value(found, length))
		return false;
	memcpy(value, found, length);
	value[length] = '\0';
	return true;
}
