/* lampwright rig: the builder's vehicles, what is known of them, and their
 * points in the builder's words. What devices say is left to rig_log.c. */
#include "cli/rig_named.h"

#include "base/arena.h"
#include "base/err.h"
#include "view/list.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum lw_status
rig_named(const char **rig, const struct cli *cli, struct lw_arena *arena,
    size_t place, struct lw_err *err)
{
	enum lw_status status;

	*rig = cli_word(cli, place);
	if (*rig != NULL)
		return LW_OK;
	status = lw_rig_in_hand(cli->book, arena, rig, err);
	if (status == LW_OK && *rig == NULL)
		return err_set(err, LW_NOT_FOUND,
		    "it does not say which rig, and none is in hand; give its "
		    "name, or take one in hand: lampwright rig use NAME");
	return status;
}

static int
show(const struct cli *cli, const char *rig)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_rig(&doc, cli->book, rig, cli_now(), &err);
	return cli_finish(cli, "rig", doc, status, &err);
}

static int
show_list(const struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_list(&doc, cli->book, "rig", &err);
	return cli_finish(cli, "rigs", doc, status, &err);
}

static int
show_points(const struct cli *cli, const char *rig)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_rig_points(&doc, cli->book, rig, &err);
	return cli_finish(cli, "points", doc, status, &err);
}

/* Show the rig at the first word, or the one in hand. */
static int
show_named(
    const struct cli *cli, int (*show_it)(const struct cli *, const char *))
{
	struct lw_arena *arena;
	struct lw_err err;
	const char *rig;
	int code;

	if (cli->args.word_count > 1)
		return cli_usage(
		    cli, "%.60s is one word too many", cli->args.words[1]);
	arena = lw_arena_new();
	if (arena == NULL) {
		cli_say("memory ran out");
		return EXIT_BROKEN;
	}
	if (rig_named(&rig, cli, arena, 0, &err) == LW_OK)
		code = show_it(cli, rig);
	else
		code = cli_fail(cli, &err);
	lw_arena_free(arena);
	return code;
}

static int
list_rigs(struct cli *cli)
{
	if (cli->args.word_count > 0)
		return cli_usage(cli, "rig list takes no words");
	return show_list(cli);
}

static int
show_rig(struct cli *cli)
{
	return show_named(cli, show);
}

static int
list_points(struct cli *cli)
{
	return show_named(cli, show_points);
}

/* One of a name that was there before comes back with all that is on it. */
static bool
is_back(const struct cli *cli, const char *name)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_rig *rig;
	bool back = false;

	if (arena != NULL &&
	    lw_rig_get(cli->book, arena, name, &rig, NULL) == LW_OK)
		back =
		    rig->fact_count + rig->device_count + rig->point_count > 0;
	lw_arena_free(arena);
	return back;
}

static int
new_rig(struct cli *cli)
{
	const char *name = cli_word(cli, 0);
	struct lw_err err;

	if (cli->args.word_count != 1)
		return cli_usage(cli, "it takes one name, such as cart48");
	if (lw_rig_new(cli->book, cli->args.words[0],
		args_value(&cli->args, "title"), cli_now(), &err) != LW_OK)
		return cli_fail(cli, &err);
	if (cli->json || is_back(cli, name))
		return show(cli, name);
	printf("%s is made. Nothing is known of it yet, so what is dangerous "
	       "counts.\n"
	       "To say what is known, and to have new jobs be for it:\n\n"
	       "    lampwright rig keys\n"
	       "    lampwright rig set %s motor=series pack.full=58.8V\n"
	       "    lampwright rig use %s\n",
	    name, name, name);
	return EXIT_YES;
}

static int
use_rig(struct cli *cli)
{
	const char *rig = cli_word(cli, 0);
	bool none = args_has(&cli->args, "none");
	struct lw_err err;

	if (cli->args.word_count != (none ? 0 : 1))
		return cli_usage(cli, "it takes one name, or --none");
	if (lw_rig_use(cli->book, rig, &err) != LW_OK)
		return cli_fail(cli, &err);
	if (cli->json)
		return rig != NULL ? show(cli, rig) : show_list(cli);
	if (rig != NULL)
		printf("%s is in hand; new jobs are for it.\n", rig);
	else
		printf("No rig is in hand.\n");
	return EXIT_YES;
}

static int
remove_rig(struct cli *cli)
{
	struct lw_err err;

	if (cli->args.word_count != 1)
		return cli_usage(cli, "it takes the name of one rig");
	if (lw_rig_remove(cli->book, cli->args.words[0], &err) != LW_OK)
		return cli_fail(cli, &err);
	if (cli->json)
		return show_list(cli);
	printf("%s is out of the lists. Its jobs, points and settings stay; "
	       "lampwright rig new %s brings it back.\n",
	    cli->args.words[0], cli->args.words[0]);
	return EXIT_YES;
}

/* "motor=series" as a pair whose texts live in the arena. */
static enum lw_status
read_pair(struct lw_rig_pair *pair, struct lw_arena *arena, const char *word,
    struct lw_err *err)
{
	const char *equals = strchr(word, '=');

	if (equals == NULL || equals == word)
		return err_set(err, LW_BAD_INPUT,
		    "%.60s is not KEY=VALUE, such as motor=series; lampwright "
		    "rig keys lists the keys",
		    word);
	pair->key = arena_dup_n(arena, word, (size_t)(equals - word));
	pair->value = equals + 1;
	return pair->key == NULL ? err_no_memory(err) : LW_OK;
}

static int
set_rig(struct cli *cli)
{
	const struct args *args = &cli->args;
	struct lw_arena *arena;
	struct lw_rig_pair *pairs;
	enum lw_status status;
	struct lw_err err;
	size_t i;
	int code;

	if (args->word_count == 0)
		return cli_usage(cli, "it does not say which rig");
	if (args->word_count == 1)
		return cli_usage(cli,
		    "it does not say what is known of %.60s, such as "
		    "motor=series; lampwright rig keys lists what can be said",
		    args->words[0]);
	arena = lw_arena_new();
	if (arena == NULL) {
		cli_say("memory ran out");
		return EXIT_BROKEN;
	}
	pairs = arena_array(arena, args->word_count, sizeof *pairs);
	status = pairs == NULL ? err_no_memory(&err) : LW_OK;
	for (i = 1; i < args->word_count && status == LW_OK; i++)
		status = read_pair(&pairs[i - 1], arena, args->words[i], &err);
	if (status == LW_OK)
		status = lw_rig_set(cli->book, args->words[0], pairs,
		    args->word_count - 1, cli_now(), &err);
	code =
	    status == LW_OK ? show(cli, args->words[0]) : cli_fail(cli, &err);
	lw_arena_free(arena);
	return code;
}

static int
set_point(struct cli *cli)
{
	bool none = args_has(&cli->args, "none");
	const struct args *args = &cli->args;
	enum lw_status status;
	struct lw_err err;
	char *words;

	if (args->word_count == 0)
		return cli_usage(cli, "it does not say which rig");
	if (none && args->word_count != 2)
		return cli_usage(
		    cli, "--none takes the rig and the point alone");
	if (args->word_count < (none ? 2 : 3))
		return show_points(cli, args->words[0]);
	words = cli_join(cli, 2);
	if (words == NULL)
		return EXIT_BROKEN;
	status = lw_rig_set_point(
	    cli->book, args->words[0], args->words[1], words, cli_now(), &err);
	if (status == LW_OK && !cli->json)
		printf(words[0] != '\0' ? "On %s, %s is now: %s\n"
					: "On %s, %s has no words now.\n",
		    args->words[0], args->words[1], words);
	free(words);
	if (status != LW_OK)
		return cli_fail(cli, &err);
	return cli->json ? show_points(cli, args->words[0]) : EXIT_YES;
}

static int
list_keys(struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	if (cli->args.word_count > 0)
		return cli_usage(cli, "rig keys takes no words");
	status = view_rig_keys(&doc, cli->book, &err);
	return cli_finish(cli, "keys", doc, status, &err);
}

static const struct action actions[] = {
    {"list", list_rigs},
    {"show", show_rig},
    {"new", new_rig},
    {"use", use_rig},
    {"remove", remove_rig},
    {"keys", list_keys},
    {"set", set_rig},
    {"point", set_point},
    {"points", list_points},
    {"log", rig_log},
    {NULL, NULL},
};

static const struct option options[] = {
    {"title", "T", "with new: what people call it"},
    {"none", NULL, "with use: no rig in hand; with point: no words for it"},
    {"job", "N", "with log: the job it belongs to"},
    {"words", "WORDS", "with log: what you want to say with it"},
    {NULL, NULL, NULL},
};

const struct command command_rig = {
    .name = "rig",
    .summary = "Your vehicles: what is known of them, points, hours, faults.",
    .synopsis = "list\n"
		"show [NAME]\n"
		"new NAME [--title T]\n"
		"use NAME | --none\n"
		"remove NAME\n"
		"keys\n"
		"set NAME KEY=VALUE...\n"
		"points [NAME]\n"
		"point NAME POINT WORDS...\n"
		"log [NAME]\n"
		"log NAME DEVICE KEY=VALUE... [--job N] [--words WORDS]",
    .help =
	"Where NAME may be left out it is the rig in hand, which new jobs are "
	"for.\n\n"
	"    set\tsays what is known: motor=series pack.full=58.8V "
	"device.drive=field-cart-drive; KEY=unknown takes it back. What is "
	"not known counts as what is dangerous\n"
	"    keys\twhat can be said, why it matters, and where to find it\n"
	"    point\tyour words for a place to put a probe; every step shows "
	"them:\n\n"
	"    lampwright rig point cart48 controller-plus \"grey 8-way plug, "
	"pin 3, red\"\n\n"
	"    log\tkeeps what a device says of itself: hours=1234 firmware=2.1 "
	"fault.5=3 (code 5 logged 3 times) live.\"battery volts\"=51.2V; "
	"without a device it lists\n",
    .options = options,
    .actions = actions,
    .needs = NEEDS_BOOK,
};
