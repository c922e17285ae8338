/* Finds the command, opens the book where it needs one, and runs it. What a
 * command does is left to its own file. */
#include "cli/cli.h"

#include "base/buf.h"
#include "cli/place.h"
#include "cli/wrap.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* In the order of the overview. */
static const struct command *const commands[] = {&command_read, &command_tap,
    &command_watch, &command_find, &command_trace, &command_job, &command_plan,
    &command_rig, &command_setting, &command_reckon, &command_device,
    &command_teach, &command_note, &command_pack, &command_serve,
    &command_screen, &command_book};

#define ACTIONS_MAX 32
#define COMMAND_COUNT (sizeof commands / sizeof commands[0])

static const struct option common[] = {
    {"book", "FILE", "the book to use"},
    {"json", NULL, "print the whole document as JSON"},
    {"help", NULL, "how the command is used"},
    {NULL, NULL, NULL},
};

static const struct option only_first[] = {
    {"version", NULL, "the version"},
    {NULL, NULL, NULL},
};

static const struct command *
find_command(const char *name)
{
	size_t i;

	for (i = 0; i < COMMAND_COUNT; i++) {
		if (strcmp(commands[i]->name, name) == 0)
			return commands[i];
	}
	return NULL;
}

static int
unknown_command(const char *name)
{
	const char *names[COMMAND_COUNT + 1], *nearest;
	size_t i;

	for (i = 0; i < COMMAND_COUNT; i++)
		names[i] = commands[i]->name;
	names[i] = "help";
	nearest = args_nearest(name, names, COMMAND_COUNT + 1);
	if (nearest != NULL)
		cli_say("there is no command %.60s; the nearest is %s", name,
		    nearest);
	else
		cli_say("there is no command %.60s; lampwright help lists "
			"them",
		    name);
	return EXIT_USAGE;
}

static void
add_options(struct buf *text, const struct option *options)
{
	for (; options != NULL && options->name != NULL; options++)
		buf_printf(text, "    --%s%s%s\t%s\n", options->name,
		    options->value != NULL ? " " : "",
		    options->value != NULL ? options->value : "",
		    options->help);
}

static int
print_overview(void)
{
	size_t i;

	printf("Lampwright reads a fault lamp and finds the cause, one check "
	       "at a time.\n\n"
	       "usage: lampwright COMMAND [WORDS] [--json] [--book FILE]\n\n");
	for (i = 0; i < COMMAND_COUNT; i++)
		printf(
		    "    %-8s %s\n", commands[i]->name, commands[i]->summary);
	printf("    %-8s %s\n\n", "help", "How a command is used.");
	printf("Begin with what you see:\n\n"
	       "    lampwright read 5\n"
	       "    lampwright find creeps after letting go\n\n"
	       "The book is FILE, else $LAMPWRIGHT_BOOK, else "
	       "lampwright/book.db in the XDG\n"
	       "data folder (~/.local/share).\n"
	       "Exit codes: 0 yes; 1 nothing found, undecided or problems "
	       "found; 2 asked in a\n"
	       "way that cannot be read; 3 failure.\n");
	return EXIT_YES;
}

static int
print_help(const struct command *command)
{
	const char *line = command->synopsis;
	struct buf text, out;
	size_t length;

	buf_init(&text, 1u << 16);
	buf_init(&out, 1u << 16);
	buf_printf(&text, "%s\n\n", command->summary);
	for (;; line += length + 1) {
		length = strcspn(line, "\n");
		buf_printf(&text, "    lampwright %s %.*s\n", command->name,
		    (int)length, line);
		if (line[length] == '\0')
			break;
	}
	buf_printf(&text, "\n%s\n\n", command->help);
	add_options(&text, command->options);
	add_options(&text, common);
	wrap_text(&out, buf_text(&text), false);
	fputs(buf_text(&out), stdout);
	buf_clear(&out);
	buf_clear(&text);
	return EXIT_YES;
}

static int
help(const char *name)
{
	const struct command *command;

	if (name == NULL || strcmp(name, "help") == 0)
		return print_overview();
	command = find_command(name);
	return command != NULL ? print_help(command) : unknown_command(name);
}

/* What to run: the command's own function, or the one that the first word
 * names, with that word taken off. False, with the usage said: none. */
static bool
find_run(struct cli *cli, int (**run)(struct cli *cli))
{
	const struct action *actions = cli->command->actions;
	const char *names[ACTIONS_MAX], *word = cli_word(cli, 0), *nearest;
	size_t count = 0, i;

	*run = cli->command->run;
	if (actions == NULL)
		return true;
	for (i = 0; actions[i].name != NULL; i++) {
		if (word != NULL && strcmp(actions[i].name, word) == 0) {
			cli->args.words++;
			cli->args.word_count--;
			cli->action = &actions[i];
			*run = actions[i].run;
			return true;
		}
		if (count < sizeof names / sizeof names[0])
			names[count++] = actions[i].name;
	}
	nearest = word != NULL ? args_nearest(word, names, count) : NULL;
	if (word == NULL)
		cli_usage(cli, "it does not say what to do");
	else if (nearest != NULL)
		cli_usage(cli,
		    "\"%s %.60s\" is no command; the nearest is \"%s %s\"",
		    cli->command->name, word, cli->command->name, nearest);
	else
		cli_usage(cli, "\"%s %.60s\" is no command", cli->command->name,
		    word);
	return false;
}

static bool
needs_book(const struct cli *cli)
{
	const struct command *command = cli->command;

	return command->needs == NEEDS_BOOK &&
	       (command->bookless == NULL ||
		   !args_has(&cli->args, command->bookless));
}

static int
open_and_run(struct cli *cli, const char *book)
{
	enum lw_status status = LW_OK;
	int (*run)(struct cli * cli);
	char *path = NULL;
	struct lw_err err;
	int code;

	if (!find_run(cli, &run))
		return EXIT_USAGE;
	if (needs_book(cli))
		status = place_open(&cli->book, &path, book, &err);
	if (status != LW_OK) {
		cli_fail(cli, &err);
		code = EXIT_BROKEN;
	} else {
		cli->book_path = path;
		code = run(cli);
	}
	lw_book_close(cli->book);
	free(path);
	return code;
}

/* Read the arguments and do what they ask. */
static int
start(struct cli *cli, int argc, char **argv)
{
	char sentence[ARGS_SENTENCE];
	const char *verb;
	int at = 1;

	if (!args_read(&cli->args, common, only_first, argc, argv, &at, true,
		sentence)) {
		cli_say("%s", sentence);
		return EXIT_USAGE;
	}
	if (args_has(&cli->args, "version")) {
		printf("lampwright %s\n", lw_version());
		return EXIT_YES;
	}
	verb = at < argc ? argv[at++] : NULL;
	if (verb == NULL || strcmp(verb, "help") == 0) {
		if (at < argc && strcmp(argv[at], "--help") == 0)
			at++;
		return help(verb != NULL && at < argc ? argv[at] : NULL);
	}
	cli->command = find_command(verb);
	if (cli->command == NULL)
		return unknown_command(verb);
	if (!args_read(&cli->args, cli->command->options, common, argc, argv,
		&at, false, sentence))
		return cli_usage(cli, "%s", sentence);
	if (args_has(&cli->args, "help"))
		return print_help(cli->command);
	cli->json = args_has(&cli->args, "json");
	return open_and_run(cli, args_value(&cli->args, "book"));
}

int
main(int argc, char **argv)
{
	struct cli cli;
	const char **words;
	int code;

	memset(&cli, 0, sizeof cli);
	if (!args_init(&cli.args, argc)) {
		cli_say("memory ran out");
		return EXIT_BROKEN;
	}
	words = cli.args.words;
	code = start(&cli, argc, argv);
	if (fflush(stdout) != 0 || ferror(stdout)) {
		cli_say("the result could not be written: %s",
		    errno != 0 ? strerror(errno) : "unknown reason");
		code = EXIT_BROKEN;
	}
	cli.args.words = words;
	args_free(&cli.args);
	return code;
}
