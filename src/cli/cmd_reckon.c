/* lampwright reckon: electrical values from others. The sums are left to the
 * library, writing a plot's file to plot_file.c. */
#include "cli/cli.h"
#include "cli/plot_file.h"

#include "base/arena.h"
#include "base/err.h"

#include <lampwright/reckon.h>

#include <string.h>

static int
show_list(const struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_reckoners(&doc, &err);
	return cli_finish(cli, "reckoners", doc, status, &err);
}

/* KEY=VALUE words as pairs. A word without "=" goes on with the value before
 * it, so that resistor=470 ohm 5% needs no quotes. */
static enum lw_status
read_pairs(struct lw_reckon_pair **pairs, size_t *count, const struct cli *cli,
    struct lw_arena *arena, struct lw_err *err)
{
	const struct args *args = &cli->args;
	struct lw_reckon_pair *pair;
	const char *equals;
	size_t i, size = 0;
	char *end;

	*count = 0;
	for (i = 1; i < args->word_count; i++)
		size += strlen(args->words[i]) + 1;
	*pairs = arena_array(arena, args->word_count, sizeof **pairs);
	end = arena_alloc(arena, size + 1);
	if (*pairs == NULL || end == NULL)
		return err_no_memory(err);
	for (i = 1; i < args->word_count; i++) {
		const char *word = args->words[i];

		equals = strchr(word, '=');
		if (equals == word || (equals == NULL && *count == 0))
			return err_set(err, LW_BAD_INPUT,
			    "%.60s is not KEY=VALUE, such as resistor=10k; "
			    "lampwright reckon %.40s says what it takes",
			    word, args->words[0]);
		if (equals == NULL) {
			*end++ = ' ';
			end = stpcpy(end, word);
			continue;
		}
		pair = &(*pairs)[(*count)++];
		pair->key = arena_dup_n(arena, word, (size_t)(equals - word));
		if (pair->key == NULL)
			return err_no_memory(err);
		/* After the NUL of the one before. */
		pair->value = ++end;
		end = stpcpy(end, equals + 1);
		pair->from_rig = false;
	}
	return LW_OK;
}

/* Say what was wrong, under the value that it is about. */
static int
refuse(const struct cli *cli, const struct lw_err *err,
    const struct lw_reckon_pair *pairs, size_t count)
{
	size_t n;

	while (count-- > 0) {
		n = strlen(pairs[count].key);
		if (strncmp(err->text, pairs[count].key, n) == 0 &&
		    err->text[n] == ':')
			return cli_fail_at(cli, err, pairs[count].value);
	}
	return cli_fail(cli, err);
}

/* The plot goes to its file first, so that what is shown is the whole of what
 * was asked for; on standard output it is all that is shown. */
static int
show(const struct cli *cli, struct lw_doc *doc, const char *svg)
{
	struct lw_err err = {.code = LW_OK};
	int code;

	if (svg != NULL && plot_file_write(svg, doc, &err) != LW_OK) {
		code = cli_fail(cli, &err);
		lw_doc_free(doc);
		return code;
	}
	if (svg != NULL && strcmp(svg, "-") == 0) {
		lw_doc_free(doc);
		return EXIT_YES;
	}
	return cli_finish(cli, "reckon", doc, LW_OK, &err);
}

static int
reckon(const struct cli *cli, struct lw_arena *arena)
{
	const char *svg = args_value(&cli->args, "svg");
	const char *rig = args_value(&cli->args, "rig");
	struct lw_reckon_pair *pairs;
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;
	size_t count;

	if (args_has(&cli->args, "no-rig"))
		rig = "";
	if (read_pairs(&pairs, &count, cli, arena, &err) != LW_OK)
		return cli_fail(cli, &err);
	status = lw_view_reckon(
	    &doc, cli->book, cli->args.words[0], rig, pairs, count, &err);
	if (status == LW_OK)
		return show(cli, doc, svg);
	lw_doc_free(doc);
	return refuse(cli, &err, pairs, count);
}

static int
run(struct cli *cli)
{
	const char *rig = args_value(&cli->args, "rig");
	struct lw_arena *arena;
	int code;

	if (rig != NULL && (rig[0] == '\0' || args_has(&cli->args, "no-rig")))
		return cli_usage(cli, "--rig takes the name of a rig, and "
				      "does not go with --no-rig");
	if (cli->args.word_count == 0) {
		if (rig != NULL || args_has(&cli->args, "svg"))
			return cli_usage(cli, "it does not say what to reckon");
		return show_list(cli);
	}
	arena = lw_arena_new();
	if (arena == NULL) {
		cli_say("memory ran out");
		return EXIT_BROKEN;
	}
	code = reckon(cli, arena);
	lw_arena_free(arena);
	return code;
}

static const struct option options[] = {
    {"rig", "R", "take what is not given from this rig, not the one in hand"},
    {"no-rig", NULL, "take nothing from a rig"},
    {"svg", "FILE", "write the plot to a file; - is standard output"},
    {NULL, NULL, NULL},
};

const struct command command_reckon = {
    .name = "reckon",
    .summary = "Values worked out: pre-charge, bleed-down, cable, fuse ...",
    .synopsis = "\n"
		"NAME\n"
		"NAME KEY=VALUE... [--rig R | --no-rig] [--svg FILE]",
    .help =
	"Without a name it lists what can be reckoned, and with a name alone "
	"it says what that takes. Values are written as people write them, "
	"with a tolerance where there is one:\n\n"
	"    lampwright reckon precharge volts=48 resistor=\"10 kohm 5%\" "
	"capacitor=10mF\n\n"
	"What is not given comes from the rig in hand, and each value says "
	"where it is from. KEY= leaves out what the rig says. Some have a "
	"curve, which --svg FILE writes as a picture; its old content is "
	"replaced once the new one is whole.\n",
    .options = options,
    .needs = NEEDS_BOOK,
    .run = run,
};
