/* Shows what closed jobs have taught, and begins to count anew. Counting is
 * left to the book. */
#include "cli/learnt.h"

#include <stdio.h>

static int
forget(const struct cli *cli, const char *device)
{
	struct lw_err err;

	if (lw_book_forget(cli->book, device, cli_now(), &err) != LW_OK)
		return cli_fail(cli, &err);
	if (!cli->json)
		printf("Counting begins anew%s%s. The jobs stay as they are.\n",
		    device != NULL ? " for " : "",
		    device != NULL ? device : "");
	return EXIT_YES;
}

int
learnt_show(struct cli *cli)
{
	const char *device = args_value(&cli->args, "device");
	bool forgets = args_has(&cli->args, "forget");
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;
	int code;

	if (cli->args.word_count > 0)
		return cli_usage(cli, "job learnt takes no words; one device "
				      "alone is named with --device D");
	if (forgets) {
		code = forget(cli, device);
		if (code != EXIT_YES || !cli->json)
			return code;
	}
	status = lw_view_learnt(&doc, cli->book, device, &err);
	/* Nothing is what was asked for. */
	if (forgets && status == LW_NOT_FOUND && doc != NULL)
		status = LW_OK;
	return cli_finish(cli, "learnt", doc, status, &err);
}
