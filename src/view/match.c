/* Finds the generic fault that a meaning in somebody's own words speaks of.
 * Searching is left to the book; this says whether a hit convinces. */
#include "view/lesson.h"

#include "base/err.h"

#include <ctype.h>
#include <string.h>

#define HITS 5
#define WORDS_MAX 24
#define WORD_MAX 24

/* Words that say nothing about which fault it is. */
static const char *const idle[] = {"a", "an", "and", "any", "are", "at", "be",
    "been", "by", "code", "detected", "error", "fault", "for", "from", "has",
    "in", "is", "it", "its", "not", "of", "on", "or", "out", "problem", "the",
    "than", "that", "then", "this", "to", "too", "was", "while", "with"};

/* A word's stem, roughly: what is left without the common endings. */
static void
stem(char *word)
{
	static const char *const endings[] = {
	    "ations", "ation", "ings", "ing", "ers", "ed", "er", "es", "s"};
	size_t length = strlen(word), i, end;

	for (i = 0; i < sizeof endings / sizeof endings[0]; i++) {
		end = strlen(endings[i]);
		if (length >= end + 4 &&
		    strcmp(word + length - end, endings[i]) == 0) {
			word[length - end] = '\0';
			return;
		}
	}
	if (length >= 5 && word[length - 1] == 'e')
		word[length - 1] = '\0';
}

/* The next word of a text, in lower case and stemmed; false at its end. */
static bool
next_word(char word[WORD_MAX], const char **text)
{
	const unsigned char *at = (const unsigned char *)*text;
	size_t length = 0;

	while (*at != '\0' && *at < 0x80 && !isalnum(*at))
		at++;
	while (*at != '\0' && (*at >= 0x80 || isalnum(*at))) {
		if (length + 1 < WORD_MAX)
			word[length++] = (char)tolower(*at);
		at++;
	}
	word[length] = '\0';
	*text = (const char *)at;
	if (length == 0)
		return false;
	stem(word);
	return true;
}

static bool
is_idle(const char *word)
{
	size_t i;

	if (strlen(word) < 2 || strspn(word, "0123456789") == strlen(word))
		return true;
	for (i = 0; i < sizeof idle / sizeof idle[0]; i++) {
		if (strcmp(word, idle[i]) == 0)
			return true;
	}
	return false;
}

static bool
text_has(const char *text, const char *word)
{
	char other[WORD_MAX];

	while (text != NULL && next_word(other, &text)) {
		if (strcmp(other, word) == 0)
			return true;
	}
	return false;
}

/*
 * How well a fault answers the words: 2 for each in its title, 1 for each in
 * its meaning. 0 where it does not convince: no word in the title, or fewer than
 * two thirds of the words in either.
 */
static unsigned
score(const struct lw_fault *fault, const char *meaning)
{
	char seen[WORDS_MAX][WORD_MAX], word[WORD_MAX];
	unsigned count = 0, found = 0, in_title = 0, i;

	while (count < WORDS_MAX && next_word(word, &meaning)) {
		if (is_idle(word))
			continue;
		for (i = 0; i < count; i++) {
			if (strcmp(seen[i], word) == 0)
				break;
		}
		if (i < count)
			continue;
		memcpy(seen[count++], word, sizeof word);
		if (text_has(fault->title, word))
			in_title++;
		else if (text_has(fault->meaning, word))
			found += 1;
	}
	if (in_title == 0 || 3 * (in_title + found) < 2 * count)
		return 0;
	return found + 2 * in_title;
}

enum lw_status
lesson_match(const struct lw_fault **fault, struct lw_arena *arena,
    struct lw_book *book, const char *meaning, struct lw_err *err)
{
	struct lw_entries hits;
	unsigned best = 0, points;
	struct lw_err quiet;
	enum lw_status status;
	size_t i;

	*fault = NULL;
	status = lw_book_find_kind(
	    book, arena, "fault", meaning, HITS, &hits, &quiet);
	if (status == LW_NOT_FOUND)
		return LW_OK;
	if (status != LW_OK)
		goto fail;
	for (i = 0; i < hits.count; i++) {
		const struct lw_fault *hit;

		status =
		    lw_book_fault(book, arena, hits.items[i].id, &hit, &quiet);
		if (status == LW_NOT_FOUND)
			continue;
		if (status != LW_OK)
			goto fail;
		points = score(hit, meaning);
		if (points > best) {
			best = points;
			*fault = hit;
		}
	}
	return LW_OK;
fail:
	if (err != NULL)
		*err = quiet;
	return status;
}
