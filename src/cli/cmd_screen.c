/* lampwright screen: phones and computers that may use the book over the
 * network. Pairing them is left to the server. */
#include "cli/cli.h"

#include <lampwright/screen.h>

#include <inttypes.h>
#include <stdio.h>

static int
show_screens(const struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_screens(&doc, cli->book, cli_now(), 0, &err);
	return cli_finish(cli, "screens", doc, status, &err);
}

static int
list_screens(struct cli *cli)
{
	if (args_has(&cli->args, "all"))
		return cli_usage(cli, "--all goes with remove");
	if (cli->args.word_count > 0)
		return cli_usage(cli, "screen list takes no words");
	return show_screens(cli);
}

static int
remove_all(const struct cli *cli)
{
	struct lw_err err;
	size_t count;

	if (lw_screen_remove_all(&count, cli->book, 0, &err) != LW_OK)
		return cli_fail(cli, &err);
	if (cli->json)
		return show_screens(cli);
	printf("%s\n",
	    count == 0 ? "No screen is paired." : "Every screen is sent away.");
	return EXIT_YES;
}

/* Every number that is one is sent away, though another is not. */
static int
remove_screens(struct cli *cli)
{
	bool all = args_has(&cli->args, "all");
	int code = EXIT_YES, failed;
	struct lw_err err;
	size_t i;

	if (all && cli->args.word_count > 0)
		return cli_usage(cli, "it takes numbers or --all, not both");
	if (all)
		return remove_all(cli);
	if (cli->args.word_count == 0)
		return cli_usage(cli, "it takes numbers of screens, or --all");
	for (i = 0; i < cli->args.word_count; i++)
		if (cli_number(cli, "screen", cli->args.words[i]) < 0)
			return EXIT_USAGE;
	for (i = 0; i < cli->args.word_count; i++) {
		int64_t number = cli_number(cli, "screen", cli->args.words[i]);

		if (lw_screen_remove(cli->book, number, &err) == LW_OK) {
			if (!cli->json)
				printf("Screen %" PRId64 " is sent away.\n",
				    number);
			continue;
		}
		cli_say("%s", err.text);
		failed = cli_code(err.code);
		if (failed > code)
			code = failed;
	}
	if (cli->json) {
		failed = show_screens(cli);
		if (failed > code)
			code = failed;
	}
	return code;
}

static const struct action actions[] = {
    {"list", list_screens},
    {"remove", remove_screens},
    {NULL, NULL},
};

static const struct option options[] = {
    {"all", NULL, "with remove: every screen"},
    {NULL, NULL, NULL},
};

const struct command command_screen = {
    .name = "screen",
    .summary = "Paired phones and computers: list, send away.",
    .synopsis = "list\n"
		"remove N...\n"
		"remove --all",
    .help = "A screen is a browser that was paired with the code of "
	    "`lampwright serve --lan`. It stays paired for 90 days, or until "
	    "it is sent away: then it is asked for a code at its next touch, "
	    "and the vehicles that it holds are free to be taken.\n",
    .options = options,
    .actions = actions,
    .needs = NEEDS_BOOK,
};
