/* Looks at ids and texts that a builder gives. What packs carry is left to
 * the pack's lint. */
#include "book/texts.h"

#include "base/err.h"
#include "base/utf8.h"

#include <string.h>

enum { ID_MAX = 64 };

bool
texts_is_id(const char *text)
{
	size_t length = strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789-");

	return length > 0 && length <= ID_MAX && text[length] == '\0' &&
	       text[0] >= 'a' && text[0] <= 'z';
}

enum lw_status
texts_check(const char *what, const char *text, size_t most, bool lines,
    struct lw_err *err)
{
	size_t length = strlen(text), i;

	if (text[strspn(text, " \t\r\n")] == '\0')
		return err_set(err, LW_BAD_INPUT,
		    "%s is empty; it needs at least a word", what);
	if (length > most)
		return err_set(err, LW_BAD_INPUT,
		    "%s is %zu bytes long and may have %zu; make it shorter",
		    what, length, most);
	if (utf8_valid(text, length) != length)
		return err_set(err, LW_BAD_INPUT, "%s is not UTF-8 text", what);
	for (i = 0; i < length; i++) {
		if (lines && strchr("\t\r\n", text[i]) != NULL)
			continue;
		if ((unsigned char)text[i] < ' ' || text[i] == 127)
			return err_set(err, LW_BAD_INPUT,
			    "%s has a control character in it; %s", what,
			    lines ? "leave it out" : "it takes one line");
	}
	return LW_OK;
}
