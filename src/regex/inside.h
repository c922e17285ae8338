/* What a compiled pattern is inside; for the files of this folder alone. */
#ifndef REGEX_INSIDE_H
#define REGEX_INSIDE_H

#define PCRE2_CODE_UNIT_WIDTH 8

#include "regex/regex.h"

#include <pcre2.h>

struct regex {
	pcre2_code *code;
	pcre2_match_context *limits;
};

/* As regex_compile, with PCRE2's own options and a context. */
enum lw_status regex_compile_with(struct regex **out, const char *pattern,
    uint32_t options, pcre2_compile_context *context, struct lw_err *err);

#endif
