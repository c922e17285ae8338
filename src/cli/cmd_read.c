/* lampwright read: what a pattern means. */
#include "cli/cli.h"

#include <stdlib.h>

static int
run_read(struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;
	char *pattern;
	int code;

	if (cli->args.word_count == 0)
		return cli_usage(cli, "it does not say what the lamp shows");
	pattern = cli_join(cli, 0);
	if (pattern == NULL)
		return EXIT_BROKEN;
	status = lw_view_read(&doc, cli->book, pattern,
	    args_value(&cli->args, "device"), args_value(&cli->args, "lamp"),
	    &err);
	if (doc == NULL && status == LW_BAD_INPUT)
		code = cli_fail_at(cli, &err, pattern);
	else
		code = cli_finish(cli, "read", doc, status, &err);
	free(pattern);
	return code;
}

static const struct option options[] = {
    {"device", "D", "only this device"},
    {"lamp", "L", "only this lamp of it"},
    {NULL, NULL, NULL},
};

const struct command command_read = {
    .name = "read",
    .summary = "What a lamp's pattern means.",
    .synopsis = "PATTERN [--device D] [--lamp L]",
    .help = "Without a device every device that has the pattern answers. It "
	    "is written as a code or as people say it:\n\n"
	    "    7, seven, \"blinks 7 times\"\tflashes, then a pause\n"
	    "    3-2, \"3,2\", \"3 then 2\"\tdigits\n"
	    "    2L3S, LLSSS, \"2 long 3 short\"\tlong and short flashes\n"
	    "    2.5Hz, \"1 Hz 50%\", fast\ta rate\n"
	    "    on, off, steady, dark\tno flashing\n"
	    "    3+7\tcodes shown in turn\n"
	    "    \"red 3, green on\"\tseveral lamps at once\n",
    .options = options,
    .needs = NEEDS_BOOK,
    .run = run_read,
};
