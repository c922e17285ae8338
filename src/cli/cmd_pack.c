/* lampwright pack: packs in, out and checked. Reading them is left to pack,
 * keeping them to the book. */
#include "cli/cli.h"

#include "base/arena.h"
#include "base/err.h"
#include "fill/fill.h"

#include <lampwright/pack.h>

#include <stdio.h>
#include <stdlib.h>

static int
show_packs(const struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_list(&doc, cli->book, "pack", &err);
	return cli_finish(cli, "list", doc, status, &err);
}

static int
list_packs(struct cli *cli)
{
	if (cli->args.word_count > 0)
		return cli_usage(cli, "pack list takes no words");
	return show_packs(cli);
}

/* Packs read from the files that are named. */
struct reading {
	struct lw_arena *arena;
	struct lw_pack_text *texts;
	const struct lw_pack **packs;
	size_t count;
	bool unreadable; /* a file could not be read, and that was said */
	struct lw_problems problems;
};

/* lw_pack_read or lw_pack_check */
typedef enum lw_status read_fn(struct lw_arena *, const struct lw_pack_text *,
    size_t, struct lw_book *, const struct lw_pack **, struct lw_problems *,
    struct lw_err *);

static enum lw_status
read_packs(struct reading *reading, read_fn *read, const struct cli *cli,
    struct lw_err *err)
{
	size_t files = cli->args.word_count, i;

	reading->texts =
	    arena_array(reading->arena, files, sizeof *reading->texts);
	reading->packs =
	    arena_array(reading->arena, files, sizeof *reading->packs);
	if (reading->texts == NULL || reading->packs == NULL)
		return err_no_memory(err);
	for (i = 0; i < files; i++) {
		if (lw_pack_load(reading->arena, cli->args.words[i],
			&reading->texts[reading->count], err) == LW_OK) {
			reading->count++;
			continue;
		}
		reading->unreadable = true;
		cli_say("%s: %s", cli->args.words[i], err->text);
	}
	return read(reading->arena, reading->texts, reading->count, cli->book,
	    reading->packs, &reading->problems, err);
}

static int
show_problems(const struct cli *cli, const struct reading *reading)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;
	int code;

	status = lw_view_problems(&doc, &reading->problems, &err);
	code = cli_finish(cli, "problems", doc, status, &err);
	return code == EXIT_YES && reading->problems.count > 0 ? EXIT_NO : code;
}

static int
check_packs(struct cli *cli)
{
	struct reading reading = {.arena = lw_arena_new()};
	struct lw_err err;
	int code = EXIT_BROKEN;

	if (cli->args.word_count == 0) {
		code = cli_usage(cli, "it does not say which file");
	} else if (reading.arena == NULL) {
		cli_say("memory ran out");
	} else if (read_packs(&reading, lw_pack_check, cli, &err) != LW_OK) {
		cli_fail(cli, &err);
	} else {
		/* Nothing could be read: there is nothing to say of it. */
		if (reading.count > 0)
			code = show_problems(cli, &reading);
		if (reading.unreadable)
			code = EXIT_BROKEN;
	}
	lw_arena_free(reading.arena);
	return code;
}

static int
put_packs(const struct cli *cli, const struct reading *reading)
{
	struct lw_err err;
	size_t i;

	for (i = 0; i < reading->count; i++) {
		const struct lw_pack *pack = reading->packs[i];

		if (lw_book_put_pack(cli->book, pack, cli_now(), &err) != LW_OK)
			return cli_fail(cli, &err);
		if (!cli->json)
			printf("The pack %s%s%s is in the book, from %s.\n",
			    pack->name, pack->version != NULL ? " " : "",
			    pack->version != NULL ? pack->version : "",
			    reading->texts[i].name);
	}
	return cli->json ? show_packs(cli) : EXIT_YES;
}

static int
add_packs(struct cli *cli)
{
	struct reading reading = {.arena = lw_arena_new()};
	struct lw_err err;
	int code = EXIT_BROKEN;

	if (cli->args.word_count == 0) {
		code = cli_usage(cli, "it does not say which file");
	} else if (reading.arena == NULL) {
		cli_say("memory ran out");
	} else if (read_packs(&reading, lw_pack_read, cli, &err) != LW_OK) {
		cli_fail(cli, &err);
	} else if (reading.problems.count > 0) {
		code = show_problems(cli, &reading);
		cli_say("nothing was put in the book; mend the packs first");
		if (reading.unreadable)
			code = EXIT_BROKEN;
	} else if (reading.unreadable) {
		cli_say("nothing was put in the book; a file is missing");
	} else {
		code = put_packs(cli, &reading);
	}
	lw_arena_free(reading.arena);
	return code;
}

/* As YAML, or with --json as a document with the YAML in it. */
static int
print_pack(const struct cli *cli, const struct lw_pack *pack, const char *text,
    size_t length)
{
	struct lw_doc *doc = NULL;
	int code = EXIT_YES;

	cli_say("comments of the pack's author are not kept in the book");
	if (!cli->json) {
		fwrite(text, 1, length, stdout);
		return EXIT_YES;
	}
	if (fill_doc_empty(&doc, NULL) != LW_OK ||
	    fill_set_text(doc, "name", pack->name, NULL) != LW_OK ||
	    fill_set_text(doc, "text", text, NULL) != LW_OK ||
	    !cli_show(cli, NULL, doc))
		code = EXIT_BROKEN;
	lw_doc_free(doc);
	return code;
}

static int
write_pack(struct cli *cli)
{
	struct lw_arena *arena;
	const struct lw_pack *pack;
	enum lw_status status;
	const char *text;
	struct lw_err err;
	size_t length;
	int code;

	if (cli->args.word_count != 1)
		return cli_usage(cli, "it takes the name of one pack");
	arena = lw_arena_new();
	if (arena == NULL)
		status = err_no_memory(&err);
	else
		status = lw_book_get_pack(
		    cli->book, arena, cli->args.words[0], &pack, &err);
	if (status == LW_OK)
		status = lw_pack_write(arena, pack, &text, &length, &err);
	if (status == LW_OK)
		code = print_pack(cli, pack, text, length);
	else
		code = cli_fail(cli, &err);
	lw_arena_free(arena);
	return code;
}

static int
remove_pack(struct cli *cli)
{
	struct lw_err err;

	if (cli->args.word_count != 1)
		return cli_usage(cli, "it takes the name of one pack");
	if (lw_book_remove_pack(cli->book, cli->args.words[0], &err) != LW_OK)
		return cli_fail(cli, &err);
	if (cli->json)
		return show_packs(cli);
	printf("The pack %s is out of the book. Your own codes and notes "
	       "stay.\n",
	    cli->args.words[0]);
	return EXIT_YES;
}

static const struct action actions[] = {
    {"list", list_packs},
    {"add", add_packs},
    {"check", check_packs},
    {"write", write_pack},
    {"remove", remove_pack},
    {NULL, NULL},
};

const struct command command_pack = {
    .name = "pack",
    .summary = "Packs: list, add, check, write, remove.",
    .synopsis = "list\n"
		"add FILE...\n"
		"check FILE...\n"
		"write NAME\n"
		"remove NAME",
    .help =
	"    add\tput packs in the book, in place of earlier ones of their "
	"names\n"
	"    check\tevery problem, as file:line:column: rule: sentence; exit "
	"code 1 with problems, 3 where a file cannot be read\n"
	"    write\tprint a pack from the book as YAML; own is your own "
	"devices, codes and trees\n",
    .options = NULL,
    .actions = actions,
    .needs = NEEDS_BOOK,
};
