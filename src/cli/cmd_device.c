/* lampwright device: the devices of the book. */
#include "cli/cli.h"

#include <stdio.h>

static int
show(const struct cli *cli, const char *id)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_item(&doc, cli->book, "device", id, &err);
	return cli_finish(cli, "device", doc, status, &err);
}

static int
list_devices(struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	if (cli->args.word_count > 0)
		return cli_usage(cli, "device list takes no words");
	status = lw_view_list(&doc, cli->book, "device", &err);
	return cli_finish(cli, "list", doc, status, &err);
}

static int
show_device(struct cli *cli)
{
	if (cli->args.word_count != 1)
		return cli_usage(cli, "it takes the name of one device");
	return show(cli, cli->args.words[0]);
}

static int
new_device(struct cli *cli)
{
	const char *coding_word = args_value(&cli->args, "coding");
	const char *kind = args_value(&cli->args, "kind");
	enum lw_coding coding;
	struct lw_err err;

	if (cli->args.word_count != 1)
		return cli_usage(cli, "it takes one name, such as my-drive");
	if (coding_word == NULL)
		return cli_usage(cli,
		    "it does not say how the lamp codes: --coding count, "
		    "digits, long-short, rate, steady or in-turn");
	if (lw_coding_parse(&coding, coding_word, &err) != LW_OK ||
	    lw_book_new_device(cli->book, cli->args.words[0],
		args_value(&cli->args, "title"),
		kind != NULL ? kind : "controller", coding, cli_now(),
		&err) != LW_OK)
		return cli_fail(cli, &err);
	return show(cli, cli->args.words[0]);
}

static const struct action actions[] = {
    {"list", list_devices},
    {"show", show_device},
    {"new", new_device},
    {NULL, NULL},
};

static const struct option options[] = {
    {"coding", "C", "with new: how its lamp codes"},
    {"title", "T", "with new: what it is called on a page"},
    {"kind", "K", "with new: controller (default), charger, ..."},
    {NULL, NULL, NULL},
};

const struct command command_device = {
    .name = "device",
    .summary = "Devices: list, show, and your own.",
    .synopsis = "list\n"
		"show NAME\n"
		"new NAME --coding C [--title T] [--kind K]",
    .help = "A name is a-z, 0-9 and hyphens. A coding is one of:\n\n"
	    "    count       5 flashes are code 5\n"
	    "    digits      3 flashes, then 2, are code 3-2\n"
	    "    long-short  long and short flashes\n"
	    "    rate        how fast it flashes\n"
	    "    steady      on or off\n"
	    "    in-turn     several codes one after the other\n",
    .options = options,
    .actions = actions,
    .needs = NEEDS_BOOK,
};
