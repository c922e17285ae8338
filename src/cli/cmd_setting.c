/* lampwright setting: the ledger of a rig's settings, and what settings do.
 * What stood when is left to the book. */
#include "cli/rig_named.h"

#include "view/list.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

static int
show(const struct cli *cli, const char *rig, const char *device,
    const struct lw_ledger_days *days)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = view_settings_of(
	    &doc, cli->book, rig, device, days, cli_now(), &err);
	return cli_finish(cli, "settings", doc, status, &err);
}

/* Whether the ledger had another value before an entry; *had is that value,
 * or NULL. */
static enum lw_status
find_gap(const char **had, const struct cli *cli, struct lw_arena *arena,
    const struct lw_setting *kept, int64_t entry, struct lw_err *err)
{
	struct lw_settings history;
	const char *before = NULL;
	enum lw_status status;
	size_t i;

	*had = NULL;
	status = lw_setting_history(
	    cli->book, arena, cli->args.words[0], kept->device, &history, err);
	for (i = 0; status == LW_OK && i < history.count; i++) {
		const struct lw_setting *item = &history.items[i];

		if (strcmp(item->setting, kept->setting) != 0)
			continue;
		if (item->entry == entry && item->unexplained)
			*had = before;
		before = item->became;
	}
	return status;
}

/* Say what was written down. */
static int
say_kept(const struct cli *cli, const struct lw_setting *kept, int64_t entry)
{
	struct lw_arena *arena = lw_arena_new();
	const char *had = NULL;
	struct lw_err err;
	int code = EXIT_YES;

	if (kept->was != NULL)
		printf("%s: %s was %s and is %s (entry %" PRId64 ").\n",
		    kept->device, kept->setting, kept->was, kept->became,
		    entry);
	else
		printf("%s: %s is %s, as read (entry %" PRId64 ").\n",
		    kept->device, kept->setting, kept->became, entry);
	if (arena == NULL) {
		cli_say("memory ran out");
		return EXIT_BROKEN;
	}
	if (find_gap(&had, cli, arena, kept, entry, &err) != LW_OK)
		code = cli_fail(cli, &err);
	else if (had != NULL)
		cli_say("the ledger had %.200s last, so it was changed in "
			"between without a word, or one of the two was misread",
		    had);
	lw_arena_free(arena);
	return code;
}

static int
keep(const struct cli *cli, const struct lw_setting *setting)
{
	const char *job = args_value(&cli->args, "job");
	struct lw_setting kept = *setting;
	struct lw_err err;
	int64_t entry;

	kept.device = cli->args.words[1];
	kept.setting = cli->args.words[2];
	kept.why = args_value(&cli->args, "why");
	if (job != NULL)
		kept.job = cli_number(cli, "job", job);
	if (kept.job < 0)
		return EXIT_USAGE;
	if (lw_setting_add(cli->book, cli->args.words[0], &kept, cli_now(),
		&entry, &err) != LW_OK)
		return cli_fail(cli, &err);
	if (cli->json)
		return show(cli, cli->args.words[0], NULL, NULL);
	return say_kept(cli, &kept, entry);
}

static int
change_setting(struct cli *cli)
{
	struct lw_setting setting = {0};

	if (cli->args.word_count == 4)
		return cli_usage(cli,
		    "it does not say what %.60s was before; what was only "
		    "read is kept with lampwright setting read",
		    cli->args.words[2]);
	if (cli->args.word_count != 5)
		return cli_usage(cli,
		    "it takes the rig, its device, the setting, and its value "
		    "before and after; put words that belong together in "
		    "quotes");
	setting.was = cli->args.words[3];
	setting.became = cli->args.words[4];
	return keep(cli, &setting);
}

static int
read_setting(struct cli *cli)
{
	struct lw_setting setting = {0};

	if (cli->args.word_count != 4)
		return cli_usage(cli,
		    "it takes the rig, its device, the setting and its value; "
		    "put words that belong together in quotes");
	setting.became = cli->args.words[3];
	return keep(cli, &setting);
}

static int
want_setting(struct cli *cli)
{
	const char *job = args_value(&cli->args, "job");
	struct lw_setting_wish wish = {
	    .device = cli_word(cli, 1),
	    .setting = cli_word(cli, 2),
	    .value = cli_word(cli, 3),
	    .why = args_value(&cli->args, "why"),
	};
	struct lw_err err;
	int64_t number;

	if (cli->args.word_count < 3 || cli->args.word_count > 4)
		return cli_usage(cli,
		    "it takes the rig, its device, the setting, and the value "
		    "that it is to have (none: it is to be read); put words "
		    "that belong together in quotes");
	if (job != NULL)
		wish.job = cli_number(cli, "job", job);
	if (wish.job < 0)
		return EXIT_USAGE;
	if (lw_setting_want(cli->book, cli->args.words[0], &wish, cli_now(),
		&number, &err) != LW_OK)
		return cli_fail(cli, &err);
	if (cli->json)
		return show(cli, cli->args.words[0], NULL, NULL);
	if (wish.value != NULL)
		printf("%s: %s is to be set to %s (wish %" PRId64 ").\n",
		    wish.device, wish.setting, wish.value, number);
	else
		printf("%s: %s is to be read (wish %" PRId64 ").\n",
		    wish.device, wish.setting, number);
	return EXIT_YES;
}

static int
unwant_setting(struct cli *cli)
{
	int64_t wish;
	struct lw_err err;

	if (cli->args.word_count != 1)
		return cli_usage(cli, "it takes the number of a wish, as "
				      "lampwright setting list shows it");
	wish = cli_number(cli, "wish", cli->args.words[0]);
	if (wish < 0)
		return EXIT_USAGE;
	if (lw_setting_unwant(cli->book, wish, &err) != LW_OK)
		return cli_fail(cli, &err);
	if (!cli->json)
		printf("Wish %" PRId64 " is taken off the list.\n", wish);
	return EXIT_YES;
}

static int
list_settings(struct cli *cli)
{
	const struct lw_ledger_days days = {
	    .on = args_value(&cli->args, "on"),
	    .from = args_value(&cli->args, "from"),
	    .to = args_value(&cli->args, "to"),
	    .back = args_value(&cli->args, "back"),
	};
	struct lw_arena *arena;
	struct lw_err err;
	const char *rig;
	int code;

	if (cli->args.word_count > 1)
		return cli_usage(cli,
		    "%.60s is one word too many; one device is listed with "
		    "--device D",
		    cli->args.words[1]);
	arena = lw_arena_new();
	if (arena == NULL) {
		cli_say("memory ran out");
		return EXIT_BROKEN;
	}
	if (rig_named(&rig, cli, arena, 0, &err) == LW_OK)
		code = show(cli, rig, args_value(&cli->args, "device"), &days);
	else
		code = cli_fail(cli, &err);
	lw_arena_free(arena);
	return code;
}

/* What packs know of settings: all of them, or one whole. */
static int
known_setting(struct cli *cli)
{
	const char *id = cli_word(cli, 0);
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	if (cli->args.word_count > 1)
		return cli_usage(cli,
		    "%.60s is one word too many; it takes the name of one "
		    "setting, as lampwright setting known lists them",
		    cli->args.words[1]);
	if (id == NULL)
		status = lw_view_known_settings(&doc, cli->book, &err);
	else
		status = lw_view_item(&doc, cli->book, "setting", id, &err);
	return cli_finish(
	    cli, id == NULL ? "known" : "setting", doc, status, &err);
}

static const struct action actions[] = {
    {"change", change_setting},
    {"read", read_setting},
    {"want", want_setting},
    {"unwant", unwant_setting},
    {"list", list_settings},
    {"known", known_setting},
    {NULL, NULL},
};

static const struct option options[] = {
    {"why", "WORDS", "with change, read and want: why"},
    {"job", "N", "with change, read and want: the job it belongs to"},
    {"on", "DAY", "with list: as the settings stood at the end of that day"},
    {"from", "DAY", "with list: what differs between that day and --to"},
    {"to", "DAY", "with --from: the later day; else now"},
    {"back", "DAY", "with list: what to set to be back at that day"},
    {"device", "D", "with list: of this device alone"},
    {NULL, NULL, NULL},
};

const struct command command_setting = {
    .name = "setting",
    .summary = "The ledger: which settings were what, since when, and why; "
	       "and what settings do.",
    .synopsis = "change RIG DEVICE SETTING FROM TO [--why WORDS] [--job N]\n"
		"read RIG DEVICE SETTING VALUE [--why WORDS] [--job N]\n"
		"want RIG DEVICE SETTING [VALUE] [--why WORDS] [--job N]\n"
		"unwant WISH\n"
		"list [RIG] [--device D]\n"
		"list [RIG] --on DAY | --from DAY [--to DAY] | --back DAY\n"
		"known [NAME]",
    .help = "DEVICE is the rig's name for it. A DAY is written 2026-11-25, "
	    "and counts in UTC. Without RIG, list takes the rig in hand. "
	    "Nothing in the ledger is ever changed or removed.\n\n"
	    "    want\tput it on the list of what to set, or without VALUE to "
	    "read, once the tool for it is here: lampwright job waits shows "
	    "the list, and what is written down leaves it\n"
	    "    unwant\ttake it off that list\n"
	    "    known\twhat settings do for the driver and the machine, as "
	    "packs know it: all by part, or one whole\n\n"
	    "    lampwright setting change cart48 drive \"pull-away time\" "
	    "0.9s 1.6s\n",
    .options = options,
    .actions = actions,
    .needs = NEEDS_BOOK,
};
