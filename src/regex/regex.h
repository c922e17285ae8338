/*
 * PCRE2 behind one face: UTF-8, with match and depth limits, named groups.
 */
#ifndef REGEX_REGEX_H
#define REGEX_REGEX_H

#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>

struct regex;

enum regex_flags { REGEX_CASELESS = 1, REGEX_WHOLE = 2 /* all of the text */ };

#define REGEX_PATTERN_MAX 1000 /* bytes */
#define REGEX_GROUPS_MAX 16

struct regex_span {
	size_t start;
	size_t length;
	bool set;
};

struct regex_match {
	size_t count; /* groups, the whole match first */
	struct regex_span groups[REGEX_GROUPS_MAX];
};

/* LW_BAD_INPUT with err->column and the library's complaint; LW_TOO_BIG. */
enum lw_status regex_compile(struct regex **regex, const char *pattern,
    unsigned flags, struct lw_err *err);
void regex_free(struct regex *regex);

/* LW_OK: it matches. LW_NOT_FOUND: it does not. LW_TOO_BIG: a limit was hit.
 * LW_BAD_INPUT: the text is not UTF-8. `match` may be NULL. */
enum lw_status regex_run(const struct regex *regex, const char *text,
    size_t length, struct regex_match *match, struct lw_err *err);

/* The span of a named group; not set where there is no such group. */
struct regex_span regex_named(const struct regex *regex,
    const struct regex_match *match, const char *name);

/*
 * Whether a pattern may stand in a pack: it compiles, and does not run away
 * on texts made to provoke it (long repeats, and repeats of the pattern's
 * own letters, with an ending that fails), nor match the empty text and so
 * every text. LW_BAD_INPUT says why not.
 */
enum lw_status regex_check_safe(const char *pattern, struct lw_err *err);

#endif
