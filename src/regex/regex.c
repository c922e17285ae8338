/* PCRE2 behind one face: compiled with limits, run with limits. Whether a
 * pattern may stand in a pack is left to regex/safe.c. */
#include "regex/inside.h"

#include "base/err.h"
#include "base/utf8.h"

#include <stdlib.h>
#include <string.h>

enum {
	TEXT_MAX = 1 << 16,   /* bytes of a text */
	STEPS_MAX = 20000000, /* of one run, over all starting places */
	START_MAX = 200000,   /* of one starting place */
	DEPTH_MAX = 5000,     /* backtracking points held at a time */
	HEAP_MAX = 4096,      /* KiB */
	NEST_MAX = 30,	      /* parentheses in one another */
};

/* What to say of a pattern that PCRE2 refuses. */
static enum lw_status
refuse_pattern(const char *pattern, size_t length, int code, PCRE2_SIZE at,
    struct lw_err *err)
{
	PCRE2_UCHAR said[200];

	if (code == PCRE2_ERROR_HEAP_FAILED || code == PCRE2_ERROR_NOMEMORY)
		return err_no_memory(err);
	if (pcre2_get_error_message(code, said, sizeof said) < 0)
		said[0] = '\0';
	if (at > length)
		at = length;
	return err_set_at(err, LW_BAD_INPUT, 0,
	    (unsigned)utf8_count(pattern, at) + 1,
	    "the pattern cannot be read as PCRE2: %s", (const char *)said);
}

enum lw_status
regex_compile_with(struct regex **out, const char *pattern, uint32_t options,
    pcre2_compile_context *context, struct lw_err *err)
{
	size_t length = strnlen(pattern, REGEX_PATTERN_MAX + 1);
	struct regex *regex = NULL;
	enum lw_status status = LW_OK;
	uint32_t groups = 0;
	PCRE2_SIZE at = 0;
	int code = 0;

	*out = NULL;
	if (length > REGEX_PATTERN_MAX)
		return err_set(err, LW_TOO_BIG,
		    "the pattern is too long; at most %d bytes are read",
		    REGEX_PATTERN_MAX);
	regex = calloc(1, sizeof *regex);
	if (regex == NULL)
		return err_no_memory(err);
	regex->limits = pcre2_match_context_create(NULL);
	if (regex->limits == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	pcre2_set_parens_nest_limit(context, NEST_MAX);
	regex->code = pcre2_compile((PCRE2_SPTR)pattern, length,
	    options | PCRE2_UTF | PCRE2_UCP | PCRE2_NEVER_BACKSLASH_C, &code,
	    &at, context);
	if (regex->code == NULL) {
		status = refuse_pattern(pattern, length, code, at, err);
		goto out;
	}
	pcre2_pattern_info(regex->code, PCRE2_INFO_CAPTURECOUNT, &groups);
	if (groups >= REGEX_GROUPS_MAX) {
		status = err_set(err, LW_TOO_BIG,
		    "the pattern has %u groups; at most %d are kept, so write "
		    "(?:...) for those that only hold parts together",
		    (unsigned)groups, REGEX_GROUPS_MAX - 1);
		goto out;
	}
	pcre2_set_depth_limit(regex->limits, DEPTH_MAX);
	pcre2_set_heap_limit(regex->limits, HEAP_MAX);
	*out = regex;
	regex = NULL;
out:
	regex_free(regex);
	return status;
}

enum lw_status
regex_compile(struct regex **regex, const char *pattern, unsigned flags,
    struct lw_err *err)
{
	pcre2_compile_context *context = pcre2_compile_context_create(NULL);
	enum lw_status status;
	uint32_t options = 0;

	*regex = NULL;
	if (context == NULL)
		return err_no_memory(err);
	if (flags & REGEX_CASELESS)
		options |= PCRE2_CASELESS;
	if (flags & REGEX_WHOLE)
		options |= PCRE2_ANCHORED | PCRE2_ENDANCHORED;
	status = regex_compile_with(regex, pattern, options, context, err);
	pcre2_compile_context_free(context);
	return status;
}

void
regex_free(struct regex *regex)
{
	if (regex == NULL)
		return;
	pcre2_code_free(regex->code);
	pcre2_match_context_free(regex->limits);
	free(regex);
}

/* What to say of a run that neither matched nor failed to. */
static enum lw_status
refuse_text(const char *text, size_t length, int code, struct lw_err *err)
{
	PCRE2_UCHAR said[200];

	if (code <= PCRE2_ERROR_UTF8_ERR1 && code >= PCRE2_ERROR_UTF8_ERR21)
		return err_set_at(err, LW_BAD_INPUT, 0,
		    (unsigned)utf8_count(text, utf8_valid(text, length)) + 1,
		    "the text is not valid UTF-8");
	if (code == PCRE2_ERROR_MATCHLIMIT || code == PCRE2_ERROR_DEPTHLIMIT ||
	    code == PCRE2_ERROR_HEAPLIMIT)
		return err_set(err, LW_TOO_BIG,
		    "the pattern needs too many tries on this text");
	if (code == PCRE2_ERROR_NOMEMORY)
		return err_no_memory(err);
	if (pcre2_get_error_message(code, said, sizeof said) < 0)
		said[0] = '\0';
	return err_set(err, LW_FAILED, "the pattern cannot be run: %s",
	    (const char *)said);
}

/* PCRE2 counts tries afresh at every starting place; share them out, so that
 * a run as a whole has a bound. */
static uint32_t
limit_for(size_t length)
{
	size_t limit = STEPS_MAX / (length + 1);

	return limit < START_MAX ? (uint32_t)limit : START_MAX;
}

static void
copy_spans(struct regex_match *match, pcre2_match_data *data, int count)
{
	const PCRE2_SIZE *at = pcre2_get_ovector_pointer(data);
	size_t i;

	memset(match, 0, sizeof *match);
	match->count = (size_t)count;
	for (i = 0; i < match->count && i < REGEX_GROUPS_MAX; i++) {
		/* \K may put the end before the start. */
		if (at[2 * i] == PCRE2_UNSET || at[2 * i + 1] < at[2 * i])
			continue;
		match->groups[i].start = at[2 * i];
		match->groups[i].length = at[2 * i + 1] - at[2 * i];
		match->groups[i].set = true;
	}
}

enum lw_status
regex_run(const struct regex *regex, const char *text, size_t length,
    struct regex_match *match, struct lw_err *err)
{
	pcre2_match_data *data;
	enum lw_status status = LW_OK;
	int count;

	if (length > TEXT_MAX)
		return err_set(err, LW_TOO_BIG,
		    "the text is too long to search; at most %d bytes are",
		    TEXT_MAX);
	data = pcre2_match_data_create_from_pattern(regex->code, NULL);
	if (data == NULL)
		return err_no_memory(err);
	pcre2_set_match_limit(regex->limits, limit_for(length));
	count = pcre2_match(
	    regex->code, (PCRE2_SPTR)text, length, 0, 0, data, regex->limits);
	if (count > 0 && match != NULL)
		copy_spans(match, data, count);
	if (count == PCRE2_ERROR_NOMATCH)
		status = err_set(
		    err, LW_NOT_FOUND, "the text does not match the pattern");
	else if (count <= 0)
		status = refuse_text(text, length, count, err);
	pcre2_match_data_free(data);
	return status;
}

struct regex_span
regex_named(const struct regex *regex, const struct regex_match *match,
    const char *name)
{
	const struct regex_span none = {0, 0, false};
	int group =
	    pcre2_substring_number_from_name(regex->code, (PCRE2_SPTR)name);

	if (group < 0 || (size_t)group >= match->count)
		return none;
	return match->groups[group];
}
