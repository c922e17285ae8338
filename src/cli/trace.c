/* Steps through a job at the prompt, a line at a time. What comes next is
 * left to the job, what a line can do besides answering to act.c. */
#include "cli/trace.h"

#include "base/err.h"
#include "cli/act.h"
#include "cli/answer.h"
#include "cli/prompt.h"
#include "cli/shown.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

static const char prompt_help[] =
    "  a number of the list, or its words  the answer\n"
    "  a reading, such as 12.4 or 185mV    the answer of a measurement\n"
    "  cannot WHAT IS MISSING   it cannot be done now: put it aside\n"
    "  differs HOW              the vehicle is not as described\n"
    "  not-reproduced           what it is about did not show itself\n"
    "  skip                     leave this check out\n"
    "  undo                     take back the last answer\n"
    "  safe                     the way back to isolated, step by step\n"
    "  pick ID                  do this check next, or take this as the cause\n"
    "  leave                    leave the tree; go on by what tells most\n"
    "  say KEY=VALUE            what a value of the vehicle is\n"
    "  say tools=TOOL, TOOL     which tools are at hand\n"
    "  wait WHAT FOR            pause; resume goes on\n"
    "  reopen                   take up what was put aside\n"
    "  close HOW IT ENDED       close the job; give-up WHY: without a cure\n"
    "  ask, take, release       ask for the vehicle, take it, let it go\n"
    "  hand, keep               where another screen asks for it\n"
    "  why                      what is suspected and why, other checks\n"
    "  waits                    what to do with each tool, once it is here\n"
    "  note WORDS               keep a note on this job\n"
    "  an empty line            show where it stands once more\n"
    "  quit                     stop here; nothing is lost\n";

/* One person at the prompt. */
struct tracing {
	const struct cli *cli;
	int64_t job;
	struct shown shown;
	char refused[PROMPT_MAX]; /* the answer that was doubted; "" for none */
	int64_t refused_serial;	  /* at this step */
};

int
trace_code(enum lw_job_state state, bool cured)
{
	switch (state) {
	case LW_JOB_FOUND:
	case LW_JOB_FIXING:
	case LW_JOB_PROVING:
	case LW_JOB_PASSED:
		return EXIT_YES;
	case LW_JOB_CLOSED:
		return cured ? EXIT_YES : EXIT_NO;
	default:
		return EXIT_NO;
	}
}

/* The words after a word that begins the line; NULL where it does not. */
static const char *
after(const char *line, const char *word)
{
	size_t length = strlen(word);

	if (strncasecmp(line, word, length) != 0 ||
	    (line[length] != '\0' && line[length] != ' '))
		return NULL;
	return line + length + strspn(line + length, " ");
}

static bool
is_word(const char *line, const char *word)
{
	return strcasecmp(line, word) == 0;
}

static void
keep_note(const struct tracing *tracing, const char *words)
{
	char subject[24];
	struct lw_err err;
	int64_t note;

	snprintf(subject, sizeof subject, "%" PRId64, tracing->job);
	if (lw_book_add_note(tracing->cli->book, "job", subject, words,
		cli_now(), &note, &err) == LW_OK)
		printf("Noted (note %" PRId64 ").\n", note);
	else
		cli_say("%s", err.text);
}

/* Whether the line is an outcome of the step, word for word: it is the
 * answer then, also where a command has that name. */
static bool
is_outcome(const struct tracing *tracing, const char *line)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_job *now;
	bool is = false;

	if (arena != NULL &&
	    lw_job_get(tracing->cli->book, arena, tracing->job, NULL, cli_now(),
		&now, NULL) == LW_OK &&
	    now->step != NULL)
		is = answer_is_outcome(now->step->check, line);
	lw_arena_free(arena);
	return is;
}

/* What waits, by tool. */
static void
show_waits(const struct tracing *tracing)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status = lw_view_waits(
	    &doc, tracing->cli->book, tracing->job, NULL, cli_now(), &err);
	cli_finish(tracing->cli, "waits", doc, status, &err);
}

/* What is only looked at or kept. False: the line says something else. */
static bool
take_aside(const struct tracing *tracing, const char *line)
{
	const char *words;

	if (is_word(line, "?") || is_word(line, "help")) {
		fputs(prompt_help, stdout);
		return true;
	}
	if (is_word(line, "why") || is_word(line, "suspects")) {
		shown_job(tracing->cli, "suspects", tracing->job, true, NULL);
		return true;
	}
	if (is_word(line, "waits")) {
		show_waits(tracing);
		return true;
	}
	words = after(line, "note");
	if (words != NULL)
		keep_note(tracing, words);
	return words != NULL;
}

/* Answer the step that was shown. What was refused with a question and is
 * typed once more, is meant. */
static enum lw_status
answer(struct tracing *tracing, const char *line, struct lw_err *err)
{
	const struct typed typed = {.text = line,
	    .serial = tracing->shown.serial,
	    .check =
		tracing->shown.check[0] != '\0' ? tracing->shown.check : NULL,
	    .sure = tracing->refused_serial == tracing->shown.serial &&
		    strcmp(tracing->refused, line) == 0};
	enum lw_status status;
	bool doubted;

	status = answer_step(
	    &doubted, tracing->cli->book, tracing->job, &typed, err);
	tracing->refused[0] = '\0';
	if (status == LW_OK)
		return LW_OK;
	cli_say("%s", err->text);
	if (doubted) {
		snprintf(tracing->refused, sizeof tracing->refused, "%s", line);
		tracing->refused_serial = tracing->shown.serial;
		cli_say("look again; if the meter really shows it, type the "
			"same once more");
	}
	return status;
}

/* Take one line. *again: show the job again. */
static void
take_line(struct tracing *tracing, const char *line, bool *again)
{
	const struct act *act;
	enum lw_status status;
	const char *words;
	struct lw_err err;

	*again = line[0] == '\0';
	if (*again)
		return;
	if (!is_outcome(tracing, line)) {
		if (take_aside(tracing, line))
			return;
		act = act_read(&words, line);
		if (act != NULL) {
			status = act_do(
			    act, tracing->cli->book, tracing->job, words, &err);
			if (status != LW_OK)
				cli_say("%s", err.text);
			*again = status == LW_OK || status == LW_CONFLICT;
			return;
		}
	}
	status = answer(tracing, line, &err);
	*again = status == LW_OK || status == LW_CONFLICT;
}

static const char *
prompt_of(const struct shown *shown)
{
	if (shown->looks_on)
		return "looking on (? for help): ";
	return shown->check[0] != '\0' ? "answer (? for help): "
				       : "what next (? for help): ";
}

static bool
is_quit(const char *line)
{
	return is_word(line, "quit") || is_word(line, "q") ||
	       is_word(line, "exit");
}

static void
let_go(const struct tracing *tracing)
{
	struct lw_err err;

	if (act_do(act_find("release"), tracing->cli->book, tracing->job, NULL,
		&err) != LW_OK)
		cli_say("%s", err.text);
}

int
trace_job(const struct cli *cli, int64_t job)
{
	struct tracing tracing = {.cli = cli, .job = job};
	char line[PROMPT_MAX];
	int code = EXIT_YES;
	bool again = true;

	prompt_begin();
	for (;;) {
		if (again)
			code = shown_job(cli, "job", job, true, &tracing.shown);
		if (code != EXIT_YES || tracing.shown.done)
			break;
		if (!prompt_line(line, prompt_of(&tracing.shown)) ||
		    is_quit(line)) {
			printf("\nEverything so far is kept. To go on:\n\n"
			       "    lampwright trace --job %" PRId64 "\n",
			    job);
			break;
		}
		take_line(&tracing, line, &again);
	}
	let_go(&tracing);
	prompt_end();
	return code != EXIT_YES
		   ? code
		   : trace_code(tracing.shown.state, tracing.shown.cured);
}
