/* lampwright job: jobs without a terminal. */
#include "cli/cli.h"

#include "base/num.h"
#include "cli/answer.h"

#include <lampwright/job.h>

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Show a job by a template. */
static int
show(const struct cli *cli, const char *name, int64_t job)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_job(&doc, cli->book, job, cli_now(), &err);
	return cli_finish(cli, name, doc, status, &err);
}

/* Show where a job stands; one that ends without a cause is exit 1. */
static int
show_standing(const struct cli *cli, int64_t job)
{
	int code = show(cli, "job", job);
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *now;

	if (code == EXIT_YES && arena != NULL &&
	    lw_job_get(cli->book, arena, job, cli_now(), &now, NULL) == LW_OK &&
	    (now->state == LW_JOB_UNDECIDED || now->state == LW_JOB_STOPPED))
		code = EXIT_NO;
	lw_arena_free(arena);
	return code;
}

/* The job of the first word, or the one last touched; -1 with *code set. */
static int64_t
job_or_last(const struct cli *cli, int *code)
{
	struct lw_arena *arena;
	struct lw_entries jobs;
	enum lw_status status;
	struct lw_err err;
	int64_t job = -1;

	*code = EXIT_USAGE;
	if (cli->args.word_count > 1) {
		cli_usage(
		    cli, "%.60s is one word too many", cli->args.words[1]);
		return -1;
	}
	if (cli->args.word_count == 1)
		return cli_number(cli, "job", cli->args.words[0]);
	arena = lw_arena_new();
	if (arena == NULL) {
		cli_say("memory ran out");
		*code = EXIT_BROKEN;
		return -1;
	}
	status = lw_job_list(cli->book, arena, cli_now(), &jobs, &err);
	if (status == LW_OK && jobs.count > 0) {
		num_parse_int(&job, jobs.items[0].id);
	} else {
		if (status == LW_OK || status == LW_NOT_FOUND) {
			err = (struct lw_err){.code = LW_NOT_FOUND};
			snprintf(err.text, sizeof err.text,
			    "there are no jobs; lampwright trace opens one");
		}
		*code = cli_fail(cli, &err);
	}
	lw_arena_free(arena);
	return job;
}

/* The job that must be named; -1 with the usage said. */
static int64_t
job_named(const struct cli *cli, size_t most)
{
	if (cli->args.word_count > most) {
		cli_usage(
		    cli, "%.60s is one word too many", cli->args.words[most]);
		return -1;
	}
	return cli_number(cli, "job", cli_word(cli, 0));
}

static int
list_jobs(struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	if (cli->args.word_count > 0)
		return cli_usage(cli, "job list takes no words");
	status = lw_view_jobs(&doc, cli->book, cli_now(), &err);
	return cli_finish(cli, "jobs", doc, status, &err);
}

static int
show_one(const struct cli *cli, const char *name)
{
	int code;
	int64_t job = job_or_last(cli, &code);

	return job < 0 ? code : show(cli, name, job);
}

static int
show_job(struct cli *cli)
{
	int code;
	int64_t job = job_or_last(cli, &code);

	return job < 0 ? code : show_standing(cli, job);
}

static int
report_job(struct cli *cli)
{
	return show_one(cli, "report");
}

static int
waits_of_job(struct cli *cli)
{
	return show_one(cli, "waits");
}

static int
answer_job(struct cli *cli)
{
	const char *step = args_value(&cli->args, "step");
	int64_t job = cli_number(cli, "job", cli_word(cli, 0)), serial = -1;
	enum lw_status status;
	struct lw_err err;
	char *text;
	int code;

	if (job < 0)
		return EXIT_USAGE;
	if (cli->args.word_count < 2)
		return cli_usage(cli, "the answer is missing");
	if (step != NULL && (!num_parse_int(&serial, step) || serial < 0))
		return cli_usage(
		    cli, "%.60s is not the serial of a step", step);
	text = cli_join(cli, 1);
	if (text == NULL)
		return EXIT_BROKEN;
	status = answer_step(cli->book, job, serial, text, &err);
	free(text);
	if (status == LW_OK)
		return show_standing(cli, job);
	if (status != LW_CONFLICT)
		return cli_fail(cli, &err);
	/* Refused as stale: say so, and show what is current. */
	cli_say("%s", err.text);
	code = show(cli, "job", job);
	return code == EXIT_YES ? EXIT_NO : code;
}

static int
undo_job(struct cli *cli)
{
	int64_t job = job_named(cli, 1);
	struct lw_err err;

	if (job < 0)
		return EXIT_USAGE;
	if (lw_job_undo(cli->book, job, cli_now(), &err) != LW_OK)
		return cli_fail(cli, &err);
	return show(cli, "job", job);
}

static int
note_job(struct cli *cli)
{
	int64_t job = cli_number(cli, "job", cli_word(cli, 0)), note;
	enum lw_status status;
	char subject[24];
	struct lw_err err;
	char *words;

	if (job < 0)
		return EXIT_USAGE;
	if (cli->args.word_count < 2)
		return cli_usage(cli, "the words of the note are missing");
	words = cli_join(cli, 1);
	if (words == NULL)
		return EXIT_BROKEN;
	snprintf(subject, sizeof subject, "%" PRId64, job);
	status = lw_book_add_note(
	    cli->book, "job", subject, words, cli_now(), &note, &err);
	free(words);
	if (status != LW_OK)
		return cli_fail(cli, &err);
	if (cli->json)
		return show(cli, "job", job);
	printf("Noted on job %" PRId64 " (note %" PRId64 ").\n", job, note);
	return EXIT_YES;
}

static int
close_job(struct cli *cli)
{
	int code;
	int64_t job = job_or_last(cli, &code);
	struct lw_err err;

	if (job < 0)
		return code;
	if (lw_job_close(cli->book, job, args_value(&cli->args, "why"),
		cli_now(), &err) != LW_OK)
		return cli_fail(cli, &err);
	return show(cli, "job", job);
}

static int
reopen_job(struct cli *cli)
{
	int code;
	int64_t job = job_or_last(cli, &code);
	struct lw_err err;

	if (job < 0)
		return code;
	if (lw_job_reopen(cli->book, job, cli_now(), &err) != LW_OK)
		return cli_fail(cli, &err);
	return show(cli, "job", job);
}

static const struct action actions[] = {
    {"list", list_jobs},
    {"show", show_job},
    {"answer", answer_job},
    {"undo", undo_job},
    {"note", note_job},
    {"close", close_job},
    {"reopen", reopen_job},
    {"report", report_job},
    {"waits", waits_of_job},
    {NULL, NULL},
};

static const struct option options[] = {
    {"step", "SERIAL", "with answer: refuse it if the step is not this one"},
    {"why", "WORDS", "with close: how it ended"},
    {NULL, NULL, NULL},
};

const struct command command_job = {
    .name = "job",
    .summary = "Jobs: list, show, answer, undo, note, close, report.",
    .synopsis = "list\n"
		"show|report|waits [N]\n"
		"answer N OUTCOME|READING|skip|cannot [--step SERIAL]\n"
		"undo N\n"
		"note N WORDS...\n"
		"close [N] [--why WORDS]\n"
		"reopen [N]",
    .help = "Without N it is the job last touched.\n\n"
	    "    answer\tanswers the step and shows the next one; a choice may "
	    "be given by its number, a reading with its unit: -0.4, 12.4 V, "
	    "185mV, OL\n"
	    "    waits\twhat was put aside, and the tools that it needs\n"
	    "    reopen\topen a closed job, or take up what was put aside\n"
	    "    report\tthe whole job on a sheet\n",
    .options = options,
    .actions = actions,
    .needs = NEEDS_BOOK,
};
