/* Provokes a pattern into running away, on texts made from its own letters,
 * so that one that does is refused before it stands in a pack. */
#include "regex/inside.h"

#include "base/err.h"
#include "base/utf8.h"

#include <stdlib.h>
#include <string.h>

enum {
	PIECES_MAX = 48,      /* letters and words taken from the pattern */
	PUMPED = 120,	      /* bytes of repeats in a provoking text */
	PROVOKING_MAX = 2048, /* bytes of one such text */
	RUN_STEPS = 300000,   /* of a run; what is linear needs few thousand */
	ALL_STEPS = 10000000, /* of all runs together: then enough is tried */
};

struct piece {
	const char *text;
	size_t length;
};

struct provoking {
	struct regex *regex;
	struct piece pumps[PIECES_MAX]; /* what is repeated */
	size_t pump_count;
	struct piece leads[PIECES_MAX]; /* what may have to stand before */
	size_t lead_count;
	unsigned long run_steps, all_steps;
};

/* PCRE2 calls this before every item of the pattern that it tries. */
static int
count_step(pcre2_callout_block *block, void *context)
{
	struct provoking *run = context;

	(void)block;
	run->run_steps++;
	run->all_steps++;
	if (run->run_steps > RUN_STEPS)
		return PCRE2_ERROR_MATCHLIMIT;
	return run->all_steps > ALL_STEPS ? PCRE2_ERROR_CALLOUT : 0;
}

static void
add_piece(struct piece *pieces, size_t *count, const char *text, size_t length)
{
	size_t i;

	if (length == 0 || *count == PIECES_MAX)
		return;
	for (i = 0; i < *count; i++)
		if (pieces[i].length == length &&
		    memcmp(pieces[i].text, text, length) == 0)
			return;
	pieces[*count].text = text;
	pieces[*count].length = length;
	(*count)++;
}

/* Letters, digits and whatever is not ASCII; the rest of ASCII is mostly the
 * pattern's own grammar. */
static bool
is_wordy(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
	       (c >= '0' && c <= '9') || (unsigned char)c >= 0x80;
}

/* Every stretch of letters (and spaces, where `spaced`) of the pattern. */
static void
collect_words(
    struct piece *pieces, size_t *count, const char *pattern, bool spaced)
{
	const char *s = pattern, *end;

	while (*s != '\0') {
		/* The letter of an escape is none of the text's. */
		if (*s == '\\' && s[1] != '\0' && (unsigned char)s[1] < 0x80) {
			s += 2;
			continue;
		}
		end = s;
		while (is_wordy(*end) || (spaced && *end == ' '))
			end++;
		add_piece(pieces, count, s, (size_t)(end - s));
		s = end == s ? s + 1 : end;
	}
}

/* What to repeat, and what to put before it: the pattern's own words and
 * letters, and some that stand for classes. */
static void
collect_pieces(struct provoking *run, const char *pattern)
{
	static const char *const usual[] = {"a", "0", " ", "a ", "ab", "A1 ",
	    "-", ".", "\n", "\xC3\xA9", "\xCE\xB1", "aa ", ", "};
	size_t length = strlen(pattern), at, n, i;

	for (i = 0; i < sizeof usual / sizeof usual[0]; i++)
		add_piece(
		    run->pumps, &run->pump_count, usual[i], strlen(usual[i]));
	collect_words(run->leads, &run->lead_count, pattern, true);
	collect_words(run->leads, &run->lead_count, pattern, false);
	collect_words(run->pumps, &run->pump_count, pattern, false);
	for (at = 0; at < length; at += n) {
		n = utf8_decode(pattern + at, length - at, NULL);
		if (n == 0)
			break;
		add_piece(run->pumps, &run->pump_count, pattern + at, n);
	}
}

/* Run the pattern on lead, repeated pump and an ending that fails. */
static int
provoke(struct provoking *run, const struct piece *lead,
    const struct piece *pump, const char *ending, pcre2_match_data *data)
{
	char text[PROVOKING_MAX];
	size_t at = 0, repeats, i;

	repeats = PUMPED / pump->length;
	if (repeats < 4)
		repeats = 4;
	if (lead != NULL && lead->length < PROVOKING_MAX / 2) {
		memcpy(text, lead->text, lead->length);
		at = lead->length;
	}
	for (i = 0; i < repeats; i++) {
		if (at + pump->length + 8 > PROVOKING_MAX)
			break;
		memcpy(text + at, pump->text, pump->length);
		at += pump->length;
	}
	memcpy(text + at, ending, strlen(ending));
	at += strlen(ending);
	run->run_steps = 0;
	return pcre2_match(run->regex->code, (PCRE2_SPTR)text, at, 0, 0, data,
	    run->regex->limits);
}

/* The worst that any provoking text does: a limit's code, or 0. */
static int
provoke_all(struct provoking *run, pcre2_match_data *data)
{
	static const char *const endings[] = {"\x01", " ~!"};
	size_t lead, pump, i;
	int code;

	for (lead = 0; lead <= run->lead_count; lead++)
		for (pump = 0; pump < run->pump_count; pump++)
			for (i = 0; i < 2; i++) {
				code = provoke(run,
				    lead == 0 ? NULL : &run->leads[lead - 1],
				    &run->pumps[pump], endings[i], data);
				if (code == PCRE2_ERROR_CALLOUT)
					return 0;
				if (code < 0 && code != PCRE2_ERROR_NOMATCH)
					return code;
			}
	return 0;
}

static enum lw_status
refuse_run(int code, struct lw_err *err)
{
	PCRE2_UCHAR said[200];

	if (code == PCRE2_ERROR_NOMEMORY)
		return err_no_memory(err);
	if (code == PCRE2_ERROR_MATCHLIMIT || code == PCRE2_ERROR_DEPTHLIMIT ||
	    code == PCRE2_ERROR_HEAPLIMIT)
		return err_set(err, LW_BAD_INPUT,
		    "the pattern runs away on some texts; avoid a repeat "
		    "inside a repeat, such as (a+)+, and more than two .*");
	if (pcre2_get_error_message(code, said, sizeof said) < 0)
		said[0] = '\0';
	return err_set(err, LW_BAD_INPUT,
	    "the pattern cannot be run on some texts: %s", (const char *)said);
}

enum lw_status
regex_check_safe(const char *pattern, struct lw_err *err)
{
	struct provoking run = {0};
	pcre2_compile_context *context = pcre2_compile_context_create(NULL);
	pcre2_match_data *data = NULL;
	enum lw_status status;
	int code;

	if (context == NULL)
		return err_no_memory(err);
	/* Without the start optimizations, which hide a runaway on one text
	 * and not on the next. */
	status = regex_compile_with(&run.regex, pattern,
	    PCRE2_CASELESS | PCRE2_AUTO_CALLOUT | PCRE2_NO_START_OPTIMIZE,
	    context, err);
	if (status == LW_TOO_BIG && err != NULL)
		err->code = LW_BAD_INPUT;
	if (status == LW_TOO_BIG)
		status = LW_BAD_INPUT;
	if (status != LW_OK)
		goto out;
	data = pcre2_match_data_create_from_pattern(run.regex->code, NULL);
	if (data == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	pcre2_set_match_limit(run.regex->limits, RUN_STEPS);
	pcre2_set_callout(run.regex->limits, count_step, &run);
	code = pcre2_match(
	    run.regex->code, (PCRE2_SPTR) "", 0, 0, 0, data, run.regex->limits);
	if (code > 0) {
		status = err_set(err, LW_BAD_INPUT,
		    "the pattern matches the empty text, and so every text; "
		    "make a part of it needed");
		goto out;
	}
	collect_pieces(&run, pattern);
	code = provoke_all(&run, data);
	if (code != 0)
		status = refuse_run(code, err);
out:
	pcre2_match_data_free(data);
	regex_free(run.regex);
	pcre2_compile_context_free(context);
	return status;
}
