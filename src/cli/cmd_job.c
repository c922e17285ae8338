/* lampwright job: jobs without a terminal. What can be done to one besides
 * answering is in act.c, stepping through it in trace.c. */
#include "cli/cli.h"

#include "base/num.h"
#include "cli/act.h"
#include "cli/answer.h"
#include "cli/learnt.h"
#include "cli/shown.h"
#include "view/list.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int
show(const struct cli *cli, const char *name, int64_t job)
{
	return shown_job(cli, name, job, false, NULL);
}

/* Show where a job stands, which gives the exit code. */
static int
show_standing(const struct cli *cli, int64_t job)
{
	struct shown shown;
	int code = shown_job(cli, "job", job, false, &shown);

	return code == EXIT_YES ? shown_code(shown.state) : code;
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

static int
list_jobs(struct cli *cli)
{
	const char *rig = args_value(&cli->args, "rig");
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	if (cli->args.word_count > 0)
		return cli_usage(cli, "job list takes no words; the jobs of "
				      "one vehicle are listed with --rig R");
	if (rig != NULL)
		status = view_jobs_of(&doc, cli->book, rig, cli_now(), &err);
	else
		status = lw_view_jobs(&doc, cli->book, cli_now(), &err);
	return cli_finish(cli, "jobs", doc, status, &err);
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
	int code;
	int64_t job = job_or_last(cli, &code);

	return job < 0 ? code : show(cli, "report", job);
}

static int
say_why(struct cli *cli)
{
	int code;
	int64_t job = job_or_last(cli, &code);

	return job < 0 ? code : show(cli, "suspects", job);
}

static int
waits_of_jobs(struct cli *cli)
{
	const char *rig = args_value(&cli->args, "rig");
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;
	int64_t job = 0;

	if (cli->args.word_count > 1)
		return cli_usage(
		    cli, "%.60s is one word too many", cli->args.words[1]);
	if (cli->args.word_count == 1 && rig != NULL)
		return cli_usage(cli, "it takes a job or --rig R, not both");
	if (cli->args.word_count == 1)
		job = cli_number(cli, "job", cli->args.words[0]);
	if (job < 0)
		return EXIT_USAGE;
	status = lw_view_waits(&doc, cli->book, job, rig, cli_now(), &err);
	return cli_finish(cli, "waits", doc, status, &err);
}

/* SERIAL, or SERIAL:CHECK where it also says which check was shown. */
static bool
read_step(struct typed *typed, const char *step)
{
	const char *colon = strchr(step, ':');
	size_t length = colon != NULL ? (size_t)(colon - step) : strlen(step);
	char serial[24];

	if (length >= sizeof serial || (colon != NULL && colon[1] == '\0'))
		return false;
	memcpy(serial, step, length);
	serial[length] = '\0';
	typed->check = colon != NULL ? colon + 1 : NULL;
	return num_parse_int(&typed->serial, serial) && typed->serial >= 0;
}

static int
answer_job(struct cli *cli)
{
	const char *step = args_value(&cli->args, "step");
	int64_t job = cli_number(cli, "job", cli_word(cli, 0));
	struct typed typed = {.serial = -1,
	    .words = args_value(&cli->args, "words"),
	    .sure = args_has(&cli->args, "sure")};
	enum lw_status status;
	struct lw_err err;
	bool doubted;
	char *text;
	int code;

	if (job < 0)
		return EXIT_USAGE;
	if (cli->args.word_count < 2)
		return cli_usage(cli, "the answer is missing");
	if (step != NULL && !read_step(&typed, step))
		return cli_usage(cli,
		    "%.60s is not the serial of a step, or SERIAL:CHECK", step);
	text = cli_join(cli, 1);
	if (text == NULL)
		return EXIT_BROKEN;
	typed.text = text;
	status = answer_step(&doubted, cli->book, job, &typed, &err);
	if (status == LW_OK) {
		code = show_standing(cli, job);
	} else if (status == LW_CONFLICT) {
		/* Refused as stale: say so, and show what is current. */
		cli_say("%s", err.text);
		code = show(cli, "job", job);
		if (code == EXIT_YES)
			code = EXIT_NO;
	} else {
		code = cli_fail(cli, &err);
		if (doubted)
			cli_say("if it stays: "
				"lampwright job answer %" PRId64 " %.60s "
				"--sure",
			    job, text);
	}
	free(text);
	return code;
}

/* What act.c lists, by the word that was given. */
static int
act_on_job(struct cli *cli)
{
	const struct act *act = act_find(cli->action->name);
	int64_t job = cli_number(cli, "job", cli_word(cli, 0));
	enum lw_status status;
	struct lw_err err;
	char *words;

	if (job < 0)
		return EXIT_USAGE;
	if (act->takes == ACT_BARE && cli->args.word_count > 1)
		return cli_usage(
		    cli, "%.60s is one word too many", cli->args.words[1]);
	if (act->takes == ACT_WORDS && cli->args.word_count < 2)
		return cli_usage(cli, "%s", act->missing);
	words = cli_join(cli, 1);
	if (words == NULL)
		return EXIT_BROKEN;
	status = act_do(act, cli->book, job, words, &err);
	free(words);
	return status == LW_OK ? show(cli, "job", job) : cli_fail(cli, &err);
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

/* Without its number, the job last touched. */
static int
end_job(const struct cli *cli, const char *act, const char *words)
{
	int code;
	int64_t job = job_or_last(cli, &code);
	struct lw_err err;

	if (job < 0)
		return code;
	if (act_do(act_find(act), cli->book, job, words, &err) != LW_OK)
		return cli_fail(cli, &err);
	return show(cli, "job", job);
}

static int
close_job(struct cli *cli)
{
	return end_job(cli,
	    args_has(&cli->args, "given-up") ? "give-up" : "close",
	    args_value(&cli->args, "why"));
}

static int
reopen_job(struct cli *cli)
{
	return end_job(cli, "reopen", NULL);
}

static const struct action actions[] = {
    {"list", list_jobs},
    {"show", show_job},
    {"answer", answer_job},
    {"undo", act_on_job},
    {"note", note_job},
    {"pick", act_on_job},
    {"say", act_on_job},
    {"wait", act_on_job},
    {"resume", act_on_job},
    {"safe", act_on_job},
    {"leave", act_on_job},
    {"why", say_why},
    {"close", close_job},
    {"reopen", reopen_job},
    {"report", report_job},
    {"waits", waits_of_jobs},
    {"learnt", learnt_show},
    {"take", act_on_job},
    {"ask", act_on_job},
    {"hand", act_on_job},
    {"keep", act_on_job},
    {"release", act_on_job},
    {NULL, NULL},
};

static const struct option options[] = {
    {"rig", "R", "with list and waits: of this vehicle alone"},
    {"step", "SERIAL[:CHECK]",
	"with answer: refuse it if the step is not this one"},
    {"words", "WORDS", "with answer: what you want to say with it"},
    {"sure", NULL, "with answer: the meter really shows it"},
    {"why", "WORDS", "with close: how it ended"},
    {"given-up", NULL, "with close: it ends without a cure"},
    {"device", "D", "with learnt: of this device alone"},
    {"forget", NULL, "with learnt: begin to count anew; the jobs stay"},
    {NULL, NULL, NULL},
};

const struct command command_job = {
    .name = "job",
    .summary = "Jobs: list, show, answer, wait, pick, close, report.",
    .synopsis = "list [--rig R]\n"
		"show|why|report [N]\n"
		"waits [N] [--rig R]\n"
		"answer N OUTCOME|READING [--step SERIAL] [--words W] "
		"[--sure]\n"
		"answer N cannot|differs|not-reproduced|skip [WORDS]\n"
		"undo|resume|safe|leave N\n"
		"pick N check ID|cause ID\n"
		"say N KEY=VALUE|tools=TOOL,TOOL\n"
		"wait N WORDS...\n"
		"note N WORDS...\n"
		"close [N] [--why WORDS] [--given-up]\n"
		"reopen [N]\n"
		"learnt [--device D] [--forget]\n"
		"take|ask|hand|keep|release N",
    .help =
	"Where N may be left out it is the job last touched.\n\n"
	"    answer\tanswers the step and shows the next one; a choice may be "
	"given by its number, a reading with its unit: -0.4, 12.4 V, 185mV, "
	"OL\n"
	"    --step\ta step that becomes a way in, since the power state ran "
	"out, keeps its serial: name its check too, as in 5:bus-volts, and "
	"the answer lands on no other\n"
	"    cannot\tit cannot be done now; say what is missing\n"
	"    differs\tthe vehicle is not as described; say how\n"
	"    why\twhat is suspected and why, which other checks there are, "
	"and which fixes\n"
	"    waits\twhat jobs wait for: by tool, what to do while it is "
	"here, and the settings to read or set\n"
	"    pick\tdo this check next, or take this as the cause\n"
	"    leave\tthe tree leads no longer; from the same findings, what "
	"tells most for its time comes next\n"
	"    say\twhat a value of the vehicle is, so that a step says closer "
	"what to expect; KEY=unknown, where nobody knows. With tools= "
	"whatever needs another one waits\n"
	"    safe\tthe way back to isolated, step by step\n"
	"    wait\tpause; resume goes on\n"
	"    reopen\topen a job that is over, or take up what was put aside\n"
	"    report\tthe whole job on a sheet\n"
	"    learnt\twhich causes were proved how often, by which later jobs "
	"judge\n\n"
	"One screen holds the vehicle at a time: a phone, a browser, the "
	"commands of one terminal (or of one $LAMPWRIGHT_SCREEN, where that "
	"is set). It is yours with the first answer, for a quarter of an hour "
	"after the last.\n\n"
	"    ask, take\task who holds it, and take it when it is free, or a "
	"minute after asking without a word\n"
	"    hand, keep\twhere another asks: hand it over, or keep it\n"
	"    release\tlet it go\n",
    .options = options,
    .actions = actions,
    .needs = NEEDS_BOOK,
};
