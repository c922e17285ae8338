/* Finds headers, and those that can be read in two ways; what such a request
 * is answered with is left to request.c. */
#include "serve/headers.h"

#include <microhttpd.h>
#include <string.h>
#include <strings.h>

struct seen {
	unsigned lengths;
	unsigned codings;
	bool other; /* a coding that is not "chunked" */
};

static enum MHD_Result
look_at(
    void *closure, enum MHD_ValueKind kind, const char *name, const char *value)
{
	struct seen *seen = closure;

	(void)kind;
	if (strcasecmp(name, MHD_HTTP_HEADER_CONTENT_LENGTH) == 0)
		seen->lengths++;
	if (strcasecmp(name, MHD_HTTP_HEADER_TRANSFER_ENCODING) == 0) {
		seen->codings++;
		if (value == NULL || strcasecmp(value, "chunked") != 0)
			seen->other = true;
	}
	return MHD_YES;
}

bool
headers_are_clear(struct MHD_Connection *connection)
{
	struct seen seen = {0, 0, false};

	MHD_get_connection_values(connection, MHD_HEADER_KIND, look_at, &seen);
	return !seen.other && seen.lengths + seen.codings <= 1;
}

struct sought {
	const char *name;
	const char *value;
	unsigned count;
};

static enum MHD_Result
seek_value(
    void *closure, enum MHD_ValueKind kind, const char *name, const char *value)
{
	struct sought *sought = closure;

	(void)kind;
	if (strcasecmp(name, sought->name) == 0) {
		sought->value = value;
		sought->count++;
	}
	return MHD_YES;
}

const char *
headers_only(struct MHD_Connection *connection, const char *name)
{
	struct sought sought = {name, NULL, 0};

	MHD_get_connection_values(
	    connection, MHD_HEADER_KIND, seek_value, &sought);
	return sought.count == 1 ? sought.value : NULL;
}
