/* The words for the ways in which a lamp codes. */
#include <lampwright/pattern.h>

#include "base/err.h"
#include "base/utf8.h"

#include <string.h>

static const char *const names[] = {
    [LW_CODING_UNKNOWN] = "",
    [LW_CODING_COUNT] = "count",
    [LW_CODING_DIGITS] = "digits",
    [LW_CODING_LONG_SHORT] = "long-short",
    [LW_CODING_RATE] = "rate",
    [LW_CODING_STEADY] = "steady",
    [LW_CODING_IN_TURN] = "in-turn",
    [LW_CODING_LAMPS] = "lamps",
};

enum { NAMES = sizeof names / sizeof names[0] };

const char *
lw_coding_name(enum lw_coding coding)
{
	return (size_t)coding < NAMES ? names[coding] : "";
}

enum lw_status
lw_coding_parse(enum lw_coding *coding, const char *word, struct lw_err *err)
{
	size_t i;

	for (i = 1; i < NAMES; i++) {
		if (strcmp(names[i], word) == 0) {
			*coding = (enum lw_coding)i;
			return LW_OK;
		}
	}
	return err_set(err, LW_BAD_INPUT,
	    "\"%.*s\" is not a coding; write count, digits, long-short, rate, "
	    "steady, in-turn or lamps",
	    (int)utf8_whole(word, strnlen(word, 40)), word);
}
