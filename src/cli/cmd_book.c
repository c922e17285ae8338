/* lampwright book: is the book sound, and a safe copy of it. */
#include "cli/cli.h"

#include "fill/fill.h"

/* A document of the book's path, and what was done with it. */
static int
show_book(
    const struct cli *cli, bool sound, const char *problem, const char *copy)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = fill_doc_empty(&doc, &err);
	if (status == LW_OK)
		status = fill_set_text(doc, "book", cli->book_path, &err);
	if (status == LW_OK && copy == NULL)
		status = fill_set_bool(doc, "sound", sound, &err);
	if (status == LW_OK && problem != NULL)
		status = fill_set_text(doc, "problem", problem, &err);
	if (status == LW_OK && copy != NULL)
		status = fill_set_text(doc, "copy", copy, &err);
	if (status != LW_OK) {
		lw_doc_free(doc);
		cli_fail(cli, &err);
		return EXIT_BROKEN;
	}
	return cli_finish(cli, "book", doc, LW_OK, &err);
}

static int
check_book(struct cli *cli)
{
	enum lw_status status;
	struct lw_err err;
	int code;

	if (cli->args.word_count > 0)
		return cli_usage(cli, "book check takes no words");
	status = lw_book_check(cli->book, &err);
	if (status != LW_OK && status != LW_CORRUPT)
		return cli_fail(cli, &err);
	code = show_book(
	    cli, status == LW_OK, status == LW_OK ? NULL : err.text, NULL);
	return code == EXIT_YES && status != LW_OK ? EXIT_NO : code;
}

static int
save_book(struct cli *cli)
{
	struct lw_err err;

	if (cli->args.word_count != 1)
		return cli_usage(cli, "it takes the name of one file");
	if (lw_book_save(cli->book, cli->args.words[0], &err) != LW_OK)
		return cli_fail(cli, &err);
	return show_book(cli, true, NULL, cli->args.words[0]);
}

static const struct action actions[] = {
    {"check", check_book},
    {"save", save_book},
    {NULL, NULL},
};

const struct command command_book = {
    .name = "book",
    .summary = "The book itself: check it, save a copy.",
    .synopsis = "check\n"
		"save FILE",
    .help = "Save gives a safe copy also while the book is in use. The copy "
	    "has no paired screens in it, and nobody holds a vehicle: given "
	    "to a friend it opens no door.\n",
    .options = NULL,
    .actions = actions,
    .needs = NEEDS_BOOK,
};
