/* The one box: sends a pattern to page_read.c and anything else to
 * page_find.c. */
#include "serve/pages.h"

#include "base/err.h"

#include <lampwright/pattern.h>

#include <string.h>

/* Whether nothing in it could be a word: such a text is meant as a pattern,
 * even where it cannot be read. */
static bool
has_no_letter(const char *text)
{
	for (; *text != '\0'; text++)
		if ((*text >= 'a' && *text <= 'z') ||
		    (*text >= 'A' && *text <= 'Z') ||
		    (unsigned char)*text >= 0x80)
			return false;
	return true;
}

static bool
is_blank(const char *text)
{
	return text[strspn(text, " \t\n")] == '\0';
}

void
page_ask(const struct request *request, struct reply *reply)
{
	const char *typed = form_get(&request->query, "q");
	const char *device = form_get(&request->query, "device");
	struct lw_pattern_readings readings;
	struct lw_err err = {.code = LW_OK};

	if (is_blank(typed)) {
		err_set(&err, LW_BAD_INPUT,
		    "the box is empty; type what the lamp shows, or what the "
		    "vehicle does");
		page_home_again(request, reply, "", &err);
		return;
	}
	reply_see_other(reply);
	if (has_no_letter(typed) ||
	    lw_pattern_read(&readings, typed, NULL, NULL) == LW_OK) {
		buf_add(&reply->location, "/read");
		url_add_query(&reply->location, "pattern", typed);
	} else {
		buf_add(&reply->location, "/find");
		url_add_query(&reply->location, "q", typed);
	}
	url_add_query(&reply->location, "device", device);
}
