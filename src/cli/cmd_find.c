/* lampwright find: search the book. */
#include "cli/cli.h"

#include <stdlib.h>

static int
run_find(struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;
	char *words;
	int code;

	if (cli->args.word_count == 0)
		return cli_usage(cli, "it does not say what to look for");
	words = cli_join(cli, 0);
	if (words == NULL)
		return EXIT_BROKEN;
	status = lw_view_find(&doc, cli->book, words, &err);
	code = cli_finish(cli, "find", doc, status, &err);
	free(words);
	return code;
}

const struct command command_find = {
    .name = "find",
    .summary = "Search symptoms, faults, causes, checks, settings and notes.",
    .synopsis = "WORDS...",
    .help = "Say in your own words what the vehicle does. Beginnings of "
	    "words will do.\n",
    .options = NULL,
    .needs = NEEDS_BOOK,
    .run = run_find,
};
