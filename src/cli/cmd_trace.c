/* lampwright trace: open a job, or go on with one. Stepping through it is left
 * to trace.c. */
#include "cli/cli.h"

#include "cli/screen.h"
#include "cli/shown.h"
#include "cli/trace.h"

#include <lampwright/job.h>

static int
go_on(const struct cli *cli, int64_t job)
{
	struct shown shown;
	int code;

	if (!cli->json)
		return trace_job(cli, job);
	code = shown_job(cli, "job", job, false, &shown);
	if (code != EXIT_YES || shown.state == LW_JOB_OPEN)
		return code;
	return trace_code(shown.state, shown.cured);
}

static int
open_job(const struct cli *cli)
{
	const char *patterns[LW_JOB_PATTERNS_MAX + 1];
	struct lw_job_start start = {
	    .rig = args_value(&cli->args, "rig"),
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

/* Whether an option says what a new job is to be about; `with_rig`: or for
 * which rig. */
static bool
opens_another(const struct cli *cli, bool with_rig)
{
	static const char *const names[] = {
	    "rig", "device", "lamp", "pattern", "symptom", "tree"};
	size_t i;

	for (i = with_rig ? 0 : 1; i < sizeof names / sizeof names[0]; i++)
		if (args_has(&cli->args, names[i]))
			return true;
	return false;
}

/* The walk-throughs that --tree takes. */
static int
list_walks(const struct cli *cli)
{
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;

	status =
	    lw_view_walks(&doc, cli->book, args_value(&cli->args, "rig"), &err);
	return cli_finish(cli, "walks", doc, status, &err);
}

static int
run_trace(struct cli *cli)
{
	const char *number = args_value(&cli->args, "job");
	const struct lw_actor actor = screen_actor();
	struct lw_err err;
	int64_t job;

	if (cli->args.word_count > 0)
		return cli_usage(cli,
		    "%.60s has no place here; a pattern is "
		    "given by --pattern",
		    cli->args.words[0]);
	if (args_has(&cli->args, "walks")) {
		if (number != NULL || opens_another(cli, false))
			return cli_usage(cli, "--walks lists walk-throughs; "
					      "only --rig goes with it");
		return list_walks(cli);
	}
	if (number == NULL)
		return open_job(cli);
	if (opens_another(cli, true))
		return cli_usage(cli, "--job goes on with a job; leave out "
				      "what opens a new one");
	job = cli_number(cli, "job", number);
	if (job < 0)
		return EXIT_USAGE;
	/* What was put aside stays there until it is asked for. */
	if (lw_job_resume(cli->book, job, &actor, &err) != LW_OK)
		return cli_fail(cli, &err);
	return go_on(cli, job);
}

static const struct option options[] = {
    {"rig", "R", "the vehicle; else the one in hand (lampwright rig use)"},
    {"device", "D", "the device whose lamp it is"},
    {"lamp", "L", "its lamp, where it has several"},
    {"pattern", "P", "what the lamp shows; once for each pattern"},
    {"symptom", "S", "what the vehicle does, by its id (lampwright find)"},
    {"tree", "T", "the tree to follow, by its id"},
    {"walks", NULL, "list the walk-throughs there are, for --tree"},
    {"job", "N", "go on with this job"},
    {NULL, NULL, NULL},
};

const struct command command_trace = {
    .name = "trace",
    .summary = "Find the cause: one check at a time.",
    .synopsis = "[--pattern P]... [--symptom S] [--rig R] [--device D]\n"
		"--tree T [--rig R] [--device D]\n"
		"--walks [--rig R]\n"
		"--job N",
    .help =
	"Every answer is kept at once: Ctrl-C loses nothing, and lets the "
	"vehicle go for other screens. After the cause it goes on with the fix "
	"and its proof. With --json the job is opened and printed, and not "
	"stepped through. Exit code 0 when the cause is found, 1 when it is "
	"undecided, waits or is left open.\n\n"
	"A walk-through (--walks lists them) is a tree whose every step should "
	"pass: it needs no symptom, asks each step until it is as it should "
	"be, "
	"and ends with exit code 0 when all have passed.\n\n"
	"D is a device of the book, or the rig's own name for it. At the "
	"prompt: a number or word of the list, or a reading, is the answer; ? "
	"lists what else may be said.\n",
    .options = options,
    .needs = NEEDS_BOOK,
    .run = run_trace,
};
