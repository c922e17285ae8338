/* lampwright rig log: what the devices of a rig say about themselves, as
 * KEY=VALUE. What may be kept is left to the book. */
#include "cli/rig_named.h"

#include "base/arena.h"
#include "base/err.h"
#include "base/num.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

/* Past the quotes that a shell has left around a name. */
static bool
unquote(const char **name, size_t *length, const char **rest)
{
	const char *end;

	if (**rest != '"') {
		*name = *rest;
		*length = strcspn(*rest, "=");
		*rest += *length;
		return true;
	}
	end = strchr(*rest + 1, '"');
	if (end == NULL || (end[1] != '=' && end[1] != '\0'))
		return false;
	*name = *rest + 1;
	*length = (size_t)(end - *name);
	*rest = end + 1;
	return true;
}

static enum lw_status
refuse(const char *word, struct lw_err *err)
{
	return err_set(err, LW_BAD_INPUT,
	    "%.60s cannot be kept; write hours=1234, firmware=2.1, fault.5=3 "
	    "(code 5, logged 3 times) or live.\"battery volts\"=51.2V",
	    word);
}

/* "fault.5=3" and its like as a record; its texts live in the arena. */
static enum lw_status
read_record(struct lw_record *record, struct lw_arena *arena, const char *word,
    struct lw_err *err)
{
	size_t length = strcspn(word, ".=");
	const char *rest = word + length, *name = NULL;
	struct lw_err unknown;
	char *kind, *subject;

	memset(record, 0, sizeof *record);
	kind = arena_dup_n(arena, word, length);
	if (kind == NULL)
		return err_no_memory(err);
	if (lw_record_kind_parse(&record->kind, kind, &unknown) != LW_OK)
		return refuse(word, err);
	if (*rest == '.') {
		rest++;
		if (!unquote(&name, &length, &rest) || length == 0)
			return refuse(word, err);
		subject = arena_dup_n(arena, name, length);
		if (subject == NULL)
			return err_no_memory(err);
		record->subject = subject;
	}
	if ((record->kind == LW_RECORD_FAULT ||
		record->kind == LW_RECORD_LIVE) != (name != NULL))
		return refuse(word, err);
	if (rest[0] != '=' || rest[1] == '\0')
		return refuse(word, err);
	if (record->kind != LW_RECORD_FAULT) {
		record->value = rest + 1;
		return LW_OK;
	}
	if (!num_parse_int(&record->count, rest + 1) || record->count < 0)
		return err_set(err, LW_BAD_INPUT,
		    "%.60s does not say how often the fault was logged; write "
		    "a whole number, as in fault.5=3",
		    word);
	record->has_count = true;
	return LW_OK;
}

static int
show_records(const struct cli *cli, const char *rig)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_records(&doc, cli->book, rig, &err);
	return cli_finish(cli, "records", doc, status, &err);
}

/* Read all words before the first is kept. */
static enum lw_status
keep_records(const struct cli *cli, struct lw_arena *arena, const char *rig,
    int64_t job, struct lw_err *err)
{
	const struct args *args = &cli->args;
	size_t count = args->word_count - 2, i;
	struct lw_record *records;
	enum lw_status status = LW_OK;
	int64_t number;

	records = arena_array(arena, count, sizeof *records);
	if (records == NULL)
		return err_no_memory(err);
	for (i = 0; i < count && status == LW_OK; i++) {
		status =
		    read_record(&records[i], arena, args->words[i + 2], err);
		records[i].device = args->words[1];
		records[i].words = args_value(args, "words");
		records[i].job = job;
	}
	for (i = 0; i < count && status == LW_OK; i++)
		status = lw_record_add(
		    cli->book, rig, &records[i], cli_now(), &number, err);
	return status;
}

int
rig_log(struct cli *cli)
{
	const char *job_text = args_value(&cli->args, "job"), *rig;
	struct lw_arena *arena;
	enum lw_status status;
	struct lw_err err;
	int64_t job = 0;
	size_t count;
	int code;

	if (cli->args.word_count == 2)
		return cli_usage(cli,
		    "it does not say what %.60s said, such as hours=1234",
		    cli->args.words[1]);
	if (job_text != NULL)
		job = cli_number(cli, "job", job_text);
	if (job < 0)
		return EXIT_USAGE;
	arena = lw_arena_new();
	if (arena == NULL) {
		cli_say("memory ran out");
		return EXIT_BROKEN;
	}
	status = rig_named(&rig, cli, arena, 0, &err);
	if (status == LW_OK && cli->args.word_count > 2)
		status = keep_records(cli, arena, rig, job, &err);
	if (status != LW_OK) {
		code = cli_fail(cli, &err);
	} else if (cli->json || cli->args.word_count < 2) {
		code = show_records(cli, rig);
	} else {
		count = cli->args.word_count - 2;
		printf("Kept %zu thing%s that %s of %s said.\n", count,
		    count == 1 ? "" : "s", cli->args.words[1], rig);
		code = EXIT_YES;
	}
	lw_arena_free(arena);
	return code;
}
