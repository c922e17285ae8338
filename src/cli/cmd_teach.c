/* lampwright teach: the builder's own codes. Reading a list of them is left to
 * view, keeping them to the book. */
#include "cli/cli.h"

#include "base/buf.h"
#include "base/err.h"
#include "cli/prompt.h"
#include "fill/fill.h"
#include "view/hint.h"
#include "view/lesson.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Read what the lamp shows as one canonical pattern. LW_UNDECIDED: it could
 * be several. */
static enum lw_status
read_pattern(struct lw_pattern *pattern, const struct lw_lamp **lamp,
    const struct cli *cli, struct lw_arena *arena, const char *typed,
    struct lw_err *err)
{
	struct lw_pattern_readings readings;
	const struct lw_device *device;
	struct lw_lamp_hint hint;
	enum lw_status status;

	status =
	    lw_book_device(cli->book, arena, cli->args.words[0], &device, err);
	if (status == LW_OK)
		status = view_lamp(
		    lamp, device, args_value(&cli->args, "lamp"), err);
	if (status == LW_OK)
		status = view_hint(&hint, arena, device, *lamp, err);
	if (status == LW_OK)
		status = lw_pattern_read(&readings, typed, &hint, err);
	if (status != LW_OK)
		return status;
	if (readings.count == 0)
		return err_set(err, LW_UNDECIDED,
		    "%s does not say how fast %s is; write the rate, such as "
		    "2Hz",
		    device->id, readings.word);
	if (readings.count > 1)
		return err_set(err, LW_UNDECIDED,
		    "%.60s could be %s or %s; write one of them", typed,
		    readings.items[0].text, readings.items[1].text);
	*pattern = readings.items[0];
	return LW_OK;
}

/* The fault that the words name or speak of, and what they are besides. */
static enum lw_status
read_fault(struct lw_code *code, const struct cli *cli, struct lw_arena *arena,
    const char *words, struct lw_err *err)
{
	const struct lw_fault *fault;
	enum lw_status status;

	status = lw_book_fault(cli->book, arena, words, &fault, err);
	if (status == LW_OK) {
		code->fault = fault->id;
		return LW_OK;
	}
	if (status != LW_NOT_FOUND)
		return status;
	code->meaning = words;
	status = lesson_match(&fault, arena, cli->book, words, err);
	if (status != LW_OK)
		return status;
	if (fault != NULL) {
		code->fault = fault->id;
		cli_say("taken as the fault %s (%s); to say another, give its "
			"id: lampwright teach %s %s FAULT",
		    fault->id, fault->title, code->device, code->pattern);
	} else {
		cli_say("no fault of the book fits these words; they are kept "
			"as the meaning");
	}
	return LW_OK;
}

static int
teach_one(const struct cli *cli, struct lw_arena *arena)
{
	const char *typed = cli->args.words[1];
	struct lw_doc *doc = NULL;
	const struct lw_lamp *lamp;
	struct lw_pattern pattern;
	struct lw_code code;
	enum lw_status status;
	struct lw_err err;
	char *words;

	status = read_pattern(&pattern, &lamp, cli, arena, typed, &err);
	if (status == LW_BAD_INPUT)
		return cli_fail_at(cli, &err, typed);
	if (status != LW_OK)
		return cli_fail(cli, &err);
	words = cli_join(cli, 2);
	if (words == NULL)
		return EXIT_BROKEN;
	memset(&code, 0, sizeof code);
	code.device = cli->args.words[0];
	code.lamp = lamp->id;
	code.pattern = pattern.text;
	code.own = true;
	status = read_fault(&code, cli, arena, words, &err);
	if (status == LW_OK)
		status = lw_book_teach(
		    cli->book, code.device, &code, 1, cli_now(), &err);
	free(words);
	if (status == LW_OK)
		status = lw_view_read(
		    &doc, cli->book, pattern.text, code.device, lamp->id, &err);
	return cli_finish(cli, "read", doc, status, &err);
}

static int
remove_one(const struct cli *cli, struct lw_arena *arena)
{
	const char *typed = args_value(&cli->args, "remove");
	const char *device = cli->args.words[0];
	struct lw_doc *doc = NULL;
	const struct lw_lamp *lamp;
	struct lw_pattern pattern;
	enum lw_status status;
	struct lw_err err;

	status = read_pattern(&pattern, &lamp, cli, arena, typed, &err);
	if (status == LW_BAD_INPUT)
		return cli_fail_at(cli, &err, typed);
	if (status == LW_OK)
		status = lw_book_unteach(
		    cli->book, device, lamp->id, pattern.text, &err);
	if (status != LW_OK)
		return cli_fail(cli, &err);
	if (!cli->json) {
		printf("Your code %s is off %s.\n", pattern.text, device);
		return EXIT_YES;
	}
	status = lw_view_item(&doc, cli->book, "device", device, &err);
	return cli_finish(cli, "device", doc, status, &err);
}

/* All of standard input as text. */
static enum lw_status
read_input(struct buf *text, struct lw_err *err)
{
	char part[4096];
	ssize_t n;

	buf_add(text, "");
	while ((n = read(STDIN_FILENO, part, sizeof part)) != 0) {
		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0)
			return err_set(err, LW_FAILED,
			    "standard input cannot be read: %s",
			    strerror(errno));
		if (memchr(part, '\0', (size_t)n) != NULL)
			return err_set(err, LW_BAD_INPUT,
			    "the list has a zero byte in it; it has to be "
			    "text");
		buf_add_n(text, part, (size_t)n);
		if (text->status != LW_OK)
			break;
	}
	if (text->status == LW_TOO_BIG)
		return err_set(err, LW_TOO_BIG,
		    "the list is longer than %u KiB; teach it in parts",
		    LESSON_BYTES_MAX >> 10);
	return buf_check(text, err);
}

/* Whether the codes shown are to be kept; says so where nobody was asked. */
static bool
may_keep(const struct cli *cli)
{
	bool asked = false, yes;

	if (args_has(&cli->args, "yes"))
		return true;
	if (cli->json) {
		cli_say("nothing was kept; say --yes to keep the codes");
		return false;
	}
	yes = prompt_yes(&asked, "Keep these codes? (yes or no) ");
	if (!yes)
		cli_say(asked ? "nothing was kept"
			      : "nothing was kept; say --yes to keep the "
				"codes");
	return yes;
}

static int
teach_list(const struct cli *cli, struct lw_arena *arena)
{
	const char *device = cli->args.words[0];
	const char *lamp = args_value(&cli->args, "lamp");
	struct lw_doc *doc = NULL;
	struct lesson lesson;
	enum lw_status status;
	struct lw_err err;
	struct buf text;
	bool kept = false;
	int code;

	buf_init(&text, LESSON_BYTES_MAX);
	status = read_input(&text, &err);
	if (status == LW_OK)
		status = lw_view_lesson(
		    &doc, cli->book, device, lamp, buf_text(&text), &err);
	if (status != LW_OK) {
		buf_clear(&text);
		return cli_finish(cli, "lesson", doc, status, &err);
	}
	if (!cli->json && !cli_show(cli, "lesson", doc)) {
		code = EXIT_BROKEN;
		goto out;
	}
	status = lesson_read(
	    &lesson, arena, cli->book, device, lamp, buf_text(&text), &err);
	if (status == LW_OK && may_keep(cli)) {
		status = lw_book_teach(cli->book, device, lesson.codes,
		    lesson.good, cli_now(), &err);
		kept = status == LW_OK;
	}
	if (status != LW_OK) {
		code = cli_fail(cli, &err);
		goto out;
	}
	code = kept && lesson.bad == 0 ? EXIT_YES : EXIT_NO;
	if (kept && !cli->json)
		printf("Kept %zu code%s on %s.\n", lesson.good,
		    lesson.good == 1 ? "" : "s", lesson.device->id);
	if (cli->json && (fill_set_bool(doc, "kept", kept, &err) != LW_OK ||
			     !cli_show(cli, "lesson", doc)))
		code = EXIT_BROKEN;
out:
	lw_doc_free(doc);
	buf_clear(&text);
	return code;
}

static int
run_teach(struct cli *cli)
{
	const struct args *args = &cli->args;
	struct lw_arena *arena;
	int code;

	if (args->word_count == 0)
		return cli_usage(cli, "it does not say which device");
	if (args_has(args, "remove") && args->word_count > 1)
		return cli_usage(cli, "--remove takes the pattern alone");
	if (!args_has(args, "remove") && args->word_count < 2)
		return cli_usage(cli, "it does not say what the lamp shows");
	arena = lw_arena_new();
	if (arena == NULL) {
		cli_say("memory ran out");
		return EXIT_BROKEN;
	}
	if (args_has(args, "remove"))
		code = remove_one(cli, arena);
	else if (args->word_count == 2 && strcmp(args->words[1], "-") == 0)
		code = teach_list(cli, arena);
	else if (args->word_count == 2)
		code = cli_usage(
		    cli, "it does not say what %.60s means", args->words[1]);
	else
		code = teach_one(cli, arena);
	lw_arena_free(arena);
	return code;
}

static const struct option options[] = {
    {"lamp", "L", "which lamp, where the device has several"},
    {"remove", "PATTERN", "take your own code off"},
    {"yes", NULL, "with a list: keep the codes without asking"},
    {NULL, NULL, NULL},
};

const struct command command_teach = {
    .name = "teach",
    .summary = "Keep your own codes on a device.",
    .synopsis = "DEVICE PATTERN FAULT|WORDS... [--lamp L]\n"
		"DEVICE --remove PATTERN [--lamp L]\n"
		"DEVICE - [--lamp L] [--yes]",
    .help = "FAULT is the id of a fault in the book (lampwright find). Other "
	    "words are kept as the meaning, with the fault that fits them, if "
	    "one does.\n\n"
	    "With - the codes are read from standard input, a line each, such "
	    "as\n\n"
	    "    # from the sheet in the lid\n"
	    "    5 = supply voltage too low\n"
	    "    3-2 = throttle not at rest\n\n"
	    "A colon or a tab will do for the equals sign. They are shown with "
	    "the fault that fits each, and kept after a yes at the terminal, "
	    "or with --yes.\n",
    .options = options,
    .needs = NEEDS_BOOK,
    .run = run_teach,
};
