/* Input: a Cookie header as it comes over the wire. What is found is what a
 * plain reading of RFC 6265 finds, and what a screen is made of; the rest
 * makes a new screen. */
#include "serve/cookie.h"
#include "serve/screen.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define NAME "screen"
#define OCTETS                                                            \
	"!#$%&'()*+-./0123456789:<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[]^_`abc" \
	"defghijklmnopqrstuvwxyz{|}~"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool good)
{
	if (!good)
		abort();
}

/* How often the cookie is there: pieces between semicolons, less the blanks
 * before them, that begin with its name. `value` gets the last one. */
static unsigned
count_named(const char *header, char *value)
{
	char *copy = strdup(header), *rest = copy, *piece;
	unsigned count = 0;

	require(copy != NULL);
	while ((piece = strsep(&rest, ";")) != NULL) {
		if (piece != copy)
			piece += strspn(piece, " ");
		if (strncmp(piece, NAME "=", sizeof NAME) == 0) {
			strcpy(value, piece + sizeof NAME);
			count++;
		}
	}
	free(copy);
	return count;
}

static void
check_reading(const char *header, char *scratch)
{
	size_t length = strlen(header);
	char value[40];
	bool found, wanted;

	memset(value, 'x', sizeof value);
	found = cookie_read(value, sizeof value, header, NAME);
	require(memchr(value, '\0', sizeof value) != NULL);
	wanted = length <= COOKIE_HEADER_MAX &&
		 count_named(header, scratch) == 1 &&
		 strlen(scratch) < sizeof value &&
		 strspn(scratch, OCTETS) == strlen(scratch);
	require(found == wanted);
	require(strcmp(value, wanted ? scratch : "") == 0);
}

static void
check_screen(const char *header)
{
	struct screen screen;
	bool tls;

	for (tls = false;; tls = true) {
		require(
		    screen_read(&screen, header, header, tls, NULL) == LW_OK);
		require(strlen(screen.cookie) == 32 && strlen(screen.id) == 64);
		require(strspn(screen.cookie, "0123456789abcdef") == 32);
		require(
		    !screen.brought || strstr(header, screen.cookie) != NULL);
		if (tls)
			return;
	}
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	char *text = malloc(size + 1), *scratch = malloc(size + 1);

	if (text != NULL && scratch != NULL) {
		if (size > 0)
			memcpy(text, data, size);
		text[size] = '\0';
		check_reading(text, scratch);
		check_screen(text);
	}
	free(text);
	free(scratch);
	return 0;
}
