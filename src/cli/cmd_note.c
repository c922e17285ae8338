/* lampwright note: the builder's own words on anything in the book. */
#include "cli/cli.h"

#include "base/arena.h"
#include "base/err.h"
#include "view/hint.h"
#include "view/list.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The pattern as the device lists it, else as it reads on its first lamp. */
static enum lw_status
pattern_on(const char **pattern, struct lw_arena *arena,
    const struct lw_device *device, const char *typed, struct lw_err *err)
{
	struct lw_pattern_readings readings;
	struct lw_lamp_hint hint;
	const char *first = NULL;
	enum lw_status status = LW_OK;
	struct lw_err refused;
	size_t i, k;

	for (i = 0; i < device->lamp_count; i++) {
		status =
		    view_hint(&hint, arena, device, &device->lamps[i], err);
		if (status != LW_OK)
			return status;
		status = lw_pattern_read(&readings, typed, &hint, &refused);
		if (status != LW_OK || readings.count != 1)
			continue;
		for (k = 0; k < device->code_count; k++) {
			if (!lw_pattern_same(readings.items[0].text,
				device->codes[k].pattern))
				continue;
			*pattern = device->codes[k].pattern;
			return LW_OK;
		}
		if (first == NULL) {
			first = arena_dup(arena, readings.items[0].text);
			if (first == NULL)
				return err_no_memory(err);
		}
	}
	*pattern = first;
	if (first != NULL)
		return LW_OK;
	if (status != LW_OK && err != NULL)
		*err = refused;
	if (status != LW_OK)
		return status;
	return err_set(err, LW_UNDECIDED,
	    "%.60s is not clear; write the pattern as the book has it", typed);
}

/*
 * What a note is on, as the book names it: a pattern is made canonical,
 * "field-cart-drive five flashes" is "field-cart-drive 5".
 */
static enum lw_status
find_subject(const char **subject, const struct cli *cli,
    struct lw_arena *arena, const char *kind, const char *typed,
    struct lw_err *err)
{
	const char *space = strchr(typed, ' '), *pattern;
	struct lw_pattern_readings readings;
	const struct lw_device *device;
	enum lw_status status;
	char *id;

	*subject = typed;
	if (strcmp(kind, "pattern") != 0)
		return LW_OK;
	if (space != NULL) {
		id = arena_dup_n(arena, typed, (size_t)(space - typed));
		if (id == NULL)
			return err_no_memory(err);
		status = lw_book_device(cli->book, arena, id, &device, err);
		if (status == LW_OK) {
			status =
			    pattern_on(&pattern, arena, device, space + 1, err);
			if (status != LW_OK)
				return status;
			*subject =
			    arena_printf(arena, "%s %s", device->id, pattern);
			return *subject == NULL ? err_no_memory(err) : LW_OK;
		}
		if (status != LW_NOT_FOUND)
			return status;
	}
	status = lw_pattern_read(&readings, typed, NULL, err);
	if (status != LW_OK)
		return status;
	if (readings.count != 1)
		return err_set(err, LW_UNDECIDED,
		    "%.60s is not clear; write it as 32, 3-2 or 2Hz", typed);
	*subject = arena_dup(arena, readings.items[0].text);
	return *subject == NULL ? err_no_memory(err) : LW_OK;
}

static int
show_notes(const struct cli *cli, const char *kind, const char *subject)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = view_notes_on(&doc, cli->book, kind, subject, &err);
	return cli_finish(cli, "notes", doc, status, &err);
}

static int
add_note(struct cli *cli)
{
	struct lw_arena *arena = NULL;
	const char *subject;
	enum lw_status status;
	struct lw_err err;
	int64_t note = 0;
	char *words;
	int code;

	if (cli->args.word_count < 3)
		return cli_usage(cli, "it takes a kind, an id and words");
	words = cli_join(cli, 2);
	if (words == NULL)
		return EXIT_BROKEN;
	arena = lw_arena_new();
	if (arena == NULL)
		status = err_no_memory(&err);
	else
		status = find_subject(&subject, cli, arena, cli->args.words[0],
		    cli->args.words[1], &err);
	if (status == LW_OK)
		status = lw_book_add_note(cli->book, cli->args.words[0],
		    subject, words, cli_now(), &note, &err);
	if (status != LW_OK) {
		code = cli_fail(cli, &err);
	} else if (cli->json) {
		code = show_notes(cli, cli->args.words[0], subject);
	} else {
		printf("Noted on %s %s (note %" PRId64 ").\n",
		    cli->args.words[0], subject, note);
		code = EXIT_YES;
	}
	lw_arena_free(arena);
	free(words);
	return code;
}

static bool
is_kind(const char *word)
{
	static const char *const kinds[] = {"device", "pattern", "fault",
	    "symptom", "cause", "check", "rig", "job"};
	size_t i;

	for (i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
		if (strcmp(kinds[i], word) == 0)
			return true;
	return false;
}

static int
list_notes(struct cli *cli)
{
	struct lw_arena *arena;
	const char *subject;
	struct lw_err err;
	int code;

	if (cli->args.word_count == 0)
		return show_notes(cli, NULL, NULL);
	if (cli->args.word_count != 2)
		return cli_usage(cli, "it takes a kind and an id, or nothing");
	if (!is_kind(cli->args.words[0]))
		return cli_usage(cli,
		    "%.60s is not a kind that notes are on; it is device, "
		    "pattern, fault, symptom, cause, check, rig or job",
		    cli->args.words[0]);
	arena = lw_arena_new();
	if (arena == NULL) {
		cli_say("memory ran out");
		return EXIT_BROKEN;
	}
	if (find_subject(&subject, cli, arena, cli->args.words[0],
		cli->args.words[1], &err) != LW_OK)
		code = cli_fail(cli, &err);
	else
		code = show_notes(cli, cli->args.words[0], subject);
	lw_arena_free(arena);
	return code;
}

static int
remove_note(struct cli *cli)
{
	struct lw_err err;
	int64_t note;

	if (cli->args.word_count > 1)
		return cli_usage(cli, "it takes the number of one note");
	note = cli_number(cli, "note", cli_word(cli, 0));
	if (note < 0)
		return EXIT_USAGE;
	if (lw_book_remove_note(cli->book, note, &err) != LW_OK)
		return cli_fail(cli, &err);
	if (cli->json)
		return show_notes(cli, NULL, NULL);
	printf("Note %" PRId64 " is gone.\n", note);
	return EXIT_YES;
}

static const struct action actions[] = {
    {"add", add_note},
    {"list", list_notes},
    {"remove", remove_note},
    {NULL, NULL},
};

const struct command command_note = {
    .name = "note",
    .summary = "Your own words on anything in the book.",
    .synopsis = "add KIND ID WORDS...\n"
		"list [KIND ID]\n"
		"remove N",
    .help =
	"KIND is device, pattern, fault, symptom, cause, check, rig or job; "
	"ID is its id or number. A pattern is on a device or by itself:\n\n"
	"    lampwright note add pattern \"field-cart-drive 5\" after a "
	"wet night\n"
	"    lampwright note add pattern 5 most of mine say low voltage\n",
    .options = NULL,
    .actions = actions,
    .needs = NEEDS_BOOK,
};
