/* Errors of fixed size: code, place and one sentence. What a status means to
 * a user (exit codes, HTTP) is left to cli and serve. */
#include "base/err.h"

#include "base/utf8.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void set_text(struct lw_err *err, const char *format, va_list args)
    __attribute__((format(printf, 2, 0)));

static void
set_text(struct lw_err *err, const char *format, va_list args)
{
	int length = vsnprintf(err->text, sizeof err->text, format, args);

	if (length < 0)
		err->text[0] = '\0';
	/* A cut text must not end inside a character. */
	if ((size_t)length >= sizeof err->text)
		err->text[utf8_whole(err->text, sizeof err->text - 1)] = '\0';
}

enum lw_status
err_set(struct lw_err *err, enum lw_status code, const char *format, ...)
{
	va_list args;

	if (err == NULL)
		return code;
	err->code = code;
	err->file[0] = '\0';
	err->line = 0;
	err->column = 0;
	va_start(args, format);
	set_text(err, format, args);
	va_end(args);
	return code;
}

enum lw_status
err_set_at(struct lw_err *err, enum lw_status code, unsigned line,
    unsigned column, const char *format, ...)
{
	va_list args;

	if (err == NULL)
		return code;
	err->code = code;
	err->file[0] = '\0';
	err->line = line;
	err->column = column;
	va_start(args, format);
	set_text(err, format, args);
	va_end(args);
	return code;
}

enum lw_status
err_no_memory(struct lw_err *err)
{
	return err_set(err, LW_NO_MEMORY,
	    "memory ran out; close other programs and try again");
}

void
err_in_file(struct lw_err *err, const char *file)
{
	if (err == NULL || file == NULL)
		return;
	snprintf(err->file, sizeof err->file, "%s", file);
}

const char *
lw_status_name(enum lw_status status)
{
	static const char *const names[] = {
	    [LW_OK] = "ok",
	    [LW_NOT_FOUND] = "not-found",
	    [LW_UNDECIDED] = "undecided",
	    [LW_CONFLICT] = "conflict",
	    [LW_BAD_INPUT] = "bad-input",
	    [LW_TOO_BIG] = "too-big",
	    [LW_CORRUPT] = "corrupt",
	    [LW_NEWER] = "newer",
	    [LW_FAILED] = "failed",
	    [LW_NO_MEMORY] = "no-memory",
	};

	if ((size_t)status >= sizeof names / sizeof names[0])
		return "unknown";
	return names[status];
}

const char *
lw_version(void)
{
	return LAMPWRIGHT_VERSION;
}
