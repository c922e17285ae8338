/* The one way to show a document, and the one way to complain. What is in a
 * document is left to view, and what it looks like to the templates. */
#include "cli/cli.h"

#include "base/asset.h"
#include "base/buf.h"
#include "base/num.h"
#include "base/utf8.h"
#include "cli/wrap.h"
#include "fill/fill.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define OUTPUT_MAX (64u << 20)

int64_t
cli_now(void)
{
	return (int64_t)time(NULL);
}

/* Print to stderr with control characters left out: a sentence may carry
 * what somebody typed or wrote into a file. */
static void
print_plain(const char *text)
{
	const unsigned char *at = (const unsigned char *)text;

	for (; *at != '\0'; at++) {
		/* C1 controls are 0xC2 0x80 to 0x9F in UTF-8. */
		if (*at == 0xc2 && at[1] >= 0x80 && at[1] < 0xa0)
			at++;
		else if (*at >= ' ' && *at != 0x7f)
			putc(*at, stderr);
	}
}

__attribute__((format(printf, 1, 0))) static void
say(const char *format, va_list args)
{
	char sentence[1024];

	vsnprintf(sentence, sizeof sentence, format, args);
	fflush(stdout);
	fputs("lampwright: ", stderr);
	print_plain(sentence);
	putc('\n', stderr);
}

void
cli_say(const char *format, ...)
{
	va_list args;

	va_start(args, format);
	say(format, args);
	va_end(args);
}

int
cli_usage(const struct cli *cli, const char *format, ...)
{
	const char *line = cli->command->synopsis, *end;
	bool first = true;
	va_list args;

	va_start(args, format);
	say(format, args);
	va_end(args);
	for (;; line = end + 1) {
		end = strchr(line, '\n');
		fprintf(stderr, "%s lampwright %s %.*s\n",
		    first ? "usage:" : "      ", cli->command->name,
		    end != NULL ? (int)(end - line) : (int)strlen(line), line);
		first = false;
		if (end == NULL)
			break;
	}
	return EXIT_USAGE;
}

int
cli_code(enum lw_status status)
{
	switch (status) {
	case LW_OK:
		return EXIT_YES;
	case LW_NOT_FOUND:
	case LW_UNDECIDED:
	case LW_CONFLICT:
		return EXIT_NO;
	case LW_BAD_INPUT:
	case LW_TOO_BIG:
		return EXIT_USAGE;
	case LW_CORRUPT:
	case LW_NEWER:
	case LW_FAILED:
	case LW_NO_MEMORY:
		break;
	}
	return EXIT_BROKEN;
}

static void
complain(const struct lw_err *err)
{
	if (err->file[0] != '\0' && err->line > 0 && err->column == 0)
		cli_say("%s:%u: %s", err->file, err->line, err->text);
	else if (err->file[0] != '\0' && err->line > 0)
		cli_say("%s:%u:%u: %s", err->file, err->line, err->column,
		    err->text);
	else if (err->file[0] != '\0')
		cli_say("%s: %s", err->file, err->text);
	else
		cli_say("%s", err->text);
}

int
cli_fail(const struct cli *cli, const struct lw_err *err)
{
	int code = cli_code(err->code);
	struct lw_doc *doc = NULL;

	complain(err);
	if (code == EXIT_NO && cli->json) {
		if (fill_doc_empty(&doc, NULL) != LW_OK ||
		    fill_set_text(doc, "error", err->text, NULL) != LW_OK ||
		    !cli_show(cli, NULL, doc))
			code = EXIT_BROKEN;
		lw_doc_free(doc);
	}
	return code;
}

int
cli_fail_at(const struct cli *cli, const struct lw_err *err, const char *typed)
{
	size_t length = strlen(typed), n, before = 0, column = 0;
	int code = cli_fail(cli, err);
	const char *at = typed;

	if (err->column == 0 || length > LW_TYPED_MAX)
		return code;
	fputs("    ", stderr);
	while (*at != '\0') {
		n = utf8_decode(at, length, NULL);
		if (n == 0) {
			putc('?', stderr);
			n = 1;
		} else if (n == 1 && ((unsigned char)*at < ' ' || *at == 127)) {
			putc(' ', stderr);
		} else {
			fwrite(at, 1, n, stderr);
		}
		if (++column < err->column)
			before = column;
		at += n;
		length -= n;
	}
	fprintf(stderr, "\n    %*s^\n", (int)before, "");
	return code;
}

static bool
styled(void)
{
	const char *no_color = getenv("NO_COLOR"), *term = getenv("TERM");

	return isatty(STDOUT_FILENO) &&
	       (no_color == NULL || no_color[0] == '\0') && term != NULL &&
	       strcmp(term, "dumb") != 0;
}

static enum lw_status
show_text(const char *name, const struct lw_doc *doc, struct lw_err *err)
{
	const struct fill_source from = {
	    .table = program_assets, .prefix = "cli/", .suffix = ".txt"};
	struct buf filled, out;
	enum lw_status status;

	buf_init(&filled, OUTPUT_MAX);
	buf_init(&out, OUTPUT_MAX);
	status = fill_template(&filled, &from, FILL_TEXT, name, doc, err);
	if (status != LW_OK)
		goto out;
	wrap_text(&out, buf_text(&filled), styled());
	status = buf_check(&out, err);
	if (status == LW_OK)
		fwrite(buf_text(&out), 1, out.length, stdout);
out:
	buf_clear(&out);
	buf_clear(&filled);
	return status;
}

bool
cli_show(const struct cli *cli, const char *name, const struct lw_doc *doc)
{
	enum lw_status status;
	struct lw_err err;
	char *text = NULL;
	size_t length;

	if (cli->json) {
		status = lw_doc_json(&text, &length, doc, &err);
		if (status == LW_OK)
			fwrite(text, 1, length, stdout);
		free(text);
	} else {
		status = show_text(name, doc, &err);
	}
	if (status != LW_OK)
		complain(&err);
	return status == LW_OK;
}

int
cli_finish(const struct cli *cli, const char *name, struct lw_doc *doc,
    enum lw_status status, const struct lw_err *err)
{
	int code = cli_code(status);

	if (doc == NULL && status != LW_OK)
		return cli_fail(cli, err);
	if (doc != NULL && !cli_show(cli, name, doc))
		code = EXIT_BROKEN;
	if (status != LW_OK)
		complain(err);
	lw_doc_free(doc);
	return code;
}

int64_t
cli_number(const struct cli *cli, const char *what, const char *text)
{
	int64_t number;

	if (text == NULL) {
		cli_usage(cli, "the number of the %s is missing", what);
		return -1;
	}
	if (!num_parse_int(&number, text) || number < 1) {
		cli_usage(cli, "%.60s is not the number of a %s", text, what);
		return -1;
	}
	return number;
}

char *
cli_join(const struct cli *cli, size_t first)
{
	const struct args *args = &cli->args;
	struct buf buf;
	size_t i;

	buf_init(&buf, 1u << 20);
	buf_add(&buf, "");
	for (i = first; i < args->word_count; i++) {
		buf_add(&buf, i > first ? " " : "");
		buf_add(&buf, args->words[i]);
	}
	if (buf_check(&buf, NULL) != LW_OK) {
		cli_say("the words are too long; they may be up to 1 MiB");
		buf_clear(&buf);
		return NULL;
	}
	return buf_take(&buf);
}

const char *
cli_word(const struct cli *cli, size_t place)
{
	return place < cli->args.word_count ? cli->args.words[place] : NULL;
}
