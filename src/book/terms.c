/* Turns what was typed into search terms. What is done with them is left to
 * search.c. */
#include "book/terms.h"

#include "base/utf8.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

enum { BEGINNING_MIN = 3 }; /* bytes: shorter words stand for themselves */

/* Too common to tell anything; looked for only where there is nothing else. */
static const char *const small_words[] = {"a", "an", "and", "at", "but", "for",
    "i", "in", "is", "it", "its", "my", "of", "or", "that", "the", "then",
    "this", "to", "was", "when", "with"};

/* Between words. Hyphens, points and apostrophes hold one together: FTS5 makes
 * a phrase of it. */
static const char separators[] = " \"!#$%&()*+,/:;<=>?@[\\]^_`{|}~";

/* Copy, with a space for all that is not printable UTF-8. */
static void
clean(struct terms *terms, const char *typed)
{
	size_t length = strnlen(typed, TERMS_TEXT_MAX + 4), at = 0, used = 0;
	size_t n;

	while (at < length) {
		n = utf8_decode(typed + at, length - at, NULL);
		if (used + (n == 0 ? 1 : n) > TERMS_TEXT_MAX)
			break;
		if (n == 0 || (n == 1 && ((unsigned char)typed[at] < ' ' ||
					     typed[at] == 127))) {
			terms->text[used++] = ' ';
			at++;
			continue;
		}
		memcpy(terms->text + used, typed + at, n);
		used += n;
		at += n;
	}
	terms->text[used] = '\0';
}

/* FTS5 would find no token in a word of nothing but marks. */
static bool
tells(const char *start, size_t length)
{
	size_t i;

	for (i = 0; i < length; i++)
		if ((unsigned char)start[i] >= 0x80 ||
		    isalnum((unsigned char)start[i]))
			return true;
	return false;
}

static bool
is_small(const char *start, size_t length)
{
	size_t i;

	for (i = 0; i < sizeof small_words / sizeof small_words[0]; i++)
		if (strlen(small_words[i]) == length &&
		    strncasecmp(small_words[i], start, length) == 0)
			return true;
	return false;
}

static void
split(struct terms *terms, bool small)
{
	const char *at = terms->text;
	size_t length;

	terms->count = 0;
	while (terms->count < TERMS_MAX) {
		at += strspn(at, separators);
		length = strcspn(at, separators);
		if (length == 0)
			return;
		if (tells(at, length) && (small || !is_small(at, length))) {
			terms->items[terms->count].start = at;
			terms->items[terms->count].length = length;
			terms->count++;
		}
		at += length;
	}
}

void
terms_read(struct terms *terms, const char *typed)
{
	clean(terms, typed);
	split(terms, false);
	if (terms->count == 0)
		split(terms, true);
}

void
terms_write(const struct terms *terms, bool all, struct buf *out)
{
	size_t i;

	for (i = 0; i < terms->count; i++) {
		if (i > 0)
			buf_add(out, all ? " AND " : " OR ");
		buf_add_char(out, '"');
		buf_add_n(out, terms->items[i].start, terms->items[i].length);
		buf_add(
		    out, terms->items[i].length < BEGINNING_MIN ? "\"" : "\"*");
	}
}
