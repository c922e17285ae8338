/* lampwright trace: open a job, or go on with one, and step through it at the
 * terminal. What comes next is left to the job. */
#include "cli/cli.h"

#include "cli/answer.h"
#include "cli/prompt.h"

#include <lampwright/job.h>

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static const char prompt_help[] =
    "  a number of the list, or its words  the answer\n"
    "  a reading, such as 12.4 or 185mV    the answer of a measurement\n"
    "  cannot      it cannot be done now (no tool, no access): put it aside\n"
    "  skip        leave this check out\n"
    "  undo        take back the last answer\n"
    "  why         what is suspected, and what was found\n"
    "  note WORDS  keep a note on this job\n"
    "  quit        stop here; nothing is lost\n";

/* The job as it was last shown. */
struct shown {
	enum lw_job_state state;
	int64_t serial; /* of its step */
};

/* Show the job by a template. False, with the exit code, where that fails. */
static bool
show_job(const struct cli *cli, int64_t job, const char *name,
    struct shown *shown, int *code)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *now = NULL;
	struct lw_doc *doc = NULL;
	enum lw_status status = LW_NO_MEMORY;
	struct lw_err err = {.code = LW_NO_MEMORY, .text = "memory ran out"};
	bool done = false;

	if (arena != NULL)
		status =
		    lw_job_get(cli->book, arena, job, cli_now(), &now, &err);
	if (status == LW_OK && now != NULL) {
		shown->state = now->state;
		shown->serial = now->serial;
		status = lw_view_job(&doc, cli->book, job, cli_now(), &err);
	}
	if (status == LW_OK) {
		done = cli_show(cli, name, doc);
		*code = EXIT_BROKEN;
	} else {
		*code = cli_fail(cli, &err);
	}
	lw_doc_free(doc);
	lw_arena_free(arena);
	return done;
}

static int
end_code(enum lw_job_state state)
{
	return state == LW_JOB_FOUND ? EXIT_YES : EXIT_NO;
}

static void
keep_note(const struct cli *cli, int64_t job, const char *words)
{
	char subject[24];
	struct lw_err err;
	int64_t note;

	snprintf(subject, sizeof subject, "%" PRId64, job);
	if (lw_book_add_note(cli->book, "job", subject, words, cli_now(), &note,
		&err) == LW_OK)
		printf("Noted (note %" PRId64 ").\n", note);
	else
		cli_say("%s", err.text);
}

/* The words after a word that begins the line; NULL where it does not. */
static const char *
after(const char *line, const char *word)
{
	size_t length = strlen(word);

	if (strncasecmp(line, word, length) != 0)
		return NULL;
	if (line[length] != '\0' && line[length] != ' ')
		return NULL;
	return line + length + strspn(line + length, " ");
}

/* Take one line. False: it says to quit. *again: show the step again. */
static bool
take_line(const struct cli *cli, int64_t job, const struct shown *shown,
    const char *line, bool *again)
{
	struct shown now;
	enum lw_status status;
	const char *words;
	struct lw_err err;
	int code;

	*again = false;
	if (line[0] == '\0')
		return true;
	if (after(line, "quit") != NULL || after(line, "q") != NULL)
		return false;
	if (strcmp(line, "?") == 0 || after(line, "help") != NULL) {
		fputs(prompt_help, stdout);
		return true;
	}
	if (after(line, "why") != NULL || after(line, "suspects") != NULL) {
		show_job(cli, job, "suspects", &now, &code);
		return true;
	}
	words = after(line, "note");
	if (words != NULL) {
		keep_note(cli, job, words);
		return true;
	}
	if (after(line, "undo") != NULL)
		status = lw_job_undo(cli->book, job, cli_now(), &err);
	else
		status = answer_step(cli->book, job, shown->serial, line, &err);
	if (status != LW_OK)
		cli_say("%s", err.text);
	*again = status == LW_OK || status == LW_CONFLICT;
	return true;
}

/* Step through the job until it ends or the person does. */
static int
step_through(const struct cli *cli, int64_t job)
{
	struct shown shown = {LW_JOB_OPEN, -1};
	char line[PROMPT_MAX];
	bool again = true;
	int code;

	prompt_begin();
	for (;;) {
		if (again && !show_job(cli, job, "job", &shown, &code)) {
			prompt_end();
			return code;
		}
		if (shown.state != LW_JOB_OPEN)
			break;
		if (!prompt_line(line, "answer (? for help): ") ||
		    !take_line(cli, job, &shown, line, &again)) {
			printf("\nEverything so far is kept. To go on:\n\n"
			       "    lampwright trace --job %" PRId64 "\n",
			    job);
			break;
		}
	}
	prompt_end();
	return end_code(shown.state);
}

static int
go_on(const struct cli *cli, int64_t job)
{
	struct shown shown = {LW_JOB_OPEN, -1};
	int code;

	if (!cli->json)
		return step_through(cli, job);
	if (!show_job(cli, job, "job", &shown, &code))
		return code;
	return shown.state == LW_JOB_OPEN ? EXIT_YES : end_code(shown.state);
}

static int
open_job(const struct cli *cli)
{
	const char *patterns[LW_JOB_PATTERNS_MAX + 1];
	struct lw_job_start start = {
	    .device = args_value(&cli->args, "device"),
	    .lamp = args_value(&cli->args, "lamp"),
	    .symptom = args_value(&cli->args, "symptom"),
	    .tree = args_value(&cli->args, "tree"),
	    .patterns = patterns,
	};
	enum lw_status status;
	struct lw_err err;
	int64_t job;

	start.pattern_count = args_values(
	    &cli->args, "pattern", patterns, LW_JOB_PATTERNS_MAX + 1);
	if (start.pattern_count > LW_JOB_PATTERNS_MAX)
		return cli_usage(
		    cli, "a job takes up to %d patterns", LW_JOB_PATTERNS_MAX);
	if (start.pattern_count == 0 && start.symptom == NULL &&
	    start.tree == NULL)
		return cli_usage(cli, "it does not say what was seen: give a "
				      "pattern, a symptom or a tree");
	status = lw_job_new(cli->book, &start, cli_now(), &job, &err);
	if (status == LW_BAD_INPUT && err.column > 0 &&
	    start.pattern_count == 1)
		return cli_fail_at(cli, &err, patterns[0]);
	if (status != LW_OK)
		return cli_fail(cli, &err);
	return go_on(cli, job);
}

static int
run_trace(struct cli *cli)
{
	const char *number = args_value(&cli->args, "job");
	struct lw_err err;
	int64_t job;

	if (cli->args.word_count > 0)
		return cli_usage(cli,
		    "%.60s has no place here; a pattern is "
		    "given by --pattern",
		    cli->args.words[0]);
	if (number == NULL)
		return open_job(cli);
	if (cli->args.given_count > 1 && (args_has(&cli->args, "pattern") ||
					     args_has(&cli->args, "symptom") ||
					     args_has(&cli->args, "tree")))
		return cli_usage(cli, "--job goes on with a job; leave out "
				      "what opens a new one");
	job = cli_number(cli, "job", number);
	if (job < 0)
		return EXIT_USAGE;
	if (lw_job_resume(cli->book, job, cli_now(), &err) != LW_OK)
		return cli_fail(cli, &err);
	return go_on(cli, job);
}

static const struct option options[] = {
    {"device", "D", "the device whose lamp it is"},
    {"lamp", "L", "its lamp, where it has several"},
    {"pattern", "P", "what the lamp shows; once for each pattern"},
    {"symptom", "S", "what the vehicle does, by its id (lampwright find)"},
    {"tree", "T", "the tree to follow, by its id"},
    {"job", "N", "go on with this job"},
    {NULL, NULL, NULL},
};

const struct command command_trace = {
    .name = "trace",
    .summary = "Find the cause: one check at a time.",
    .synopsis = "[--pattern P]... [--symptom S] [--tree T] [--device D]\n"
		"--job N",
    .help = "Every answer is kept at once: Ctrl-C loses nothing. With --json "
	    "the job is opened and printed, and not stepped through. Exit "
	    "code 0 when the cause is found, 1 when it is undecided or left "
	    "open.\n\n"
	    "At the prompt: a number or word of the list, or a reading, is "
	    "the answer; ? lists what else may be said.\n",
    .options = options,
    .needs = NEEDS_BOOK,
    .run = run_trace,
};
