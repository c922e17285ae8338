/* lampwright plan: the cheapest decision tree, for a table or from the book.
 * Making it is left to the library, writing the picture to plot_file.c. */
#include "cli/cli.h"
#include "cli/plot_file.h"

#include "base/buf.h"
#include "base/err.h"
#include "base/num.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { TABLE_MAX = (16 << 20) + 1, PIECE = 64 * 1024 };

static const double SECONDS_USUAL = 10, SECONDS_MOST = 86400;
static const int64_t MIB_USUAL = 512, MIB_LEAST = 16, MIB_MOST = 1 << 20;

/* --- limits -------------------------------------------------------------- */

static double
now(void)
{
	struct timespec time;

	clock_gettime(CLOCK_MONOTONIC, &time);
	return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

/* Whether time is up: `what` is when it is. */
static bool
is_late(void *what)
{
	return now() >= *(const double *)what;
}

/* False: said so, as a wrong use. */
static bool
read_limits(
    struct lw_plan_limits *limits, double *until, struct cli *cli, int *code)
{
	const char *seconds = args_value(&cli->args, "seconds");
	const char *mib = args_value(&cli->args, "mib");
	double length = SECONDS_USUAL;
	int64_t size = MIB_USUAL;

	if (seconds != NULL && (!num_parse(&length, seconds, strlen(seconds)) ||
				   !(length > 0) || length > SECONDS_MOST)) {
		*code = cli_usage(cli,
		    "--seconds takes a number above 0 and at most 86400, not "
		    "%.60s",
		    seconds);
		return false;
	}
	if (mib != NULL && (!num_parse_int(&size, mib) || size < MIB_LEAST ||
			       size > MIB_MOST)) {
		*code = cli_usage(cli,
		    "--mib takes a whole number from 16 to 1048576, not %.60s",
		    mib);
		return false;
	}
	*until = now() + length;
	limits->bytes = (size_t)size << 20;
	limits->stop = is_late;
	limits->what = until;
	return true;
}

/* --- a table ------------------------------------------------------------- */

static enum lw_status
cannot(struct lw_err *err, const char *path)
{
	if (errno == EISDIR)
		return err_set(err, LW_FAILED,
		    "%.200s is a folder; name a table in it", path);
	return err_set(err, LW_FAILED,
	    "cannot read %.200s: %s; name a table, or - for standard input",
	    path, strerror(errno));
}

static enum lw_status
read_all(struct buf *text, int file, const char *path, struct lw_err *err)
{
	static char piece[PIECE];
	ssize_t n;

	for (;;) {
		n = read(file, piece, sizeof piece);
		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0)
			return cannot(err, path);
		/* What is larger than a table may be is refused by the reader;
		 * the rest of it is not read. */
		if (n == 0 || text->length > TABLE_MAX)
			return buf_check(text, err);
		buf_add_n(text, piece, (size_t)n);
	}
}

static enum lw_status
plan_matrix(struct lw_doc **doc, const char *path,
    const struct lw_plan_limits *limits, struct lw_err *err)
{
	bool standard = strcmp(path, "-") == 0;
	int file = standard ? STDIN_FILENO
			    : open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
	enum lw_status status;
	struct buf text;

	if (file < 0)
		return cannot(err, path);
	buf_init(&text, TABLE_MAX + 2 * PIECE);
	status = read_all(&text, file, path, err);
	if (!standard)
		close(file);
	if (status == LW_OK)
		status = lw_plan_matrix(doc, buf_text(&text), text.length,
		    standard ? "standard input" : path, limits, err);
	buf_clear(&text);
	return status;
}

/* --- all of it ----------------------------------------------------------- */

/* The picture goes to its file first, so that what is shown is the whole of
 * what was asked for; on standard output it is all that is shown. */
static int
show(const struct cli *cli, struct lw_doc *doc, enum lw_status status,
    const struct lw_err *err)
{
	const char *svg = args_value(&cli->args, "svg");
	struct lw_err why;
	int code;

	if (doc == NULL || svg == NULL)
		return cli_finish(cli, "plan", doc, status, err);
	if (tree_file_write(svg, doc, &why) != LW_OK) {
		code = cli_fail(cli, &why);
		lw_doc_free(doc);
		return code;
	}
	if (strcmp(svg, "-") != 0)
		return cli_finish(cli, "plan", doc, status, err);
	lw_doc_free(doc);
	return EXIT_YES;
}

static int
check_use(struct cli *cli)
{
	const struct args *args = &cli->args;
	const char *what = args_value(args, "tree-for");
	const char *matrix = args_value(args, "matrix");
	const char *drop = args_value(args, "drop");
	int asked = (what != NULL) + (matrix != NULL) + (drop != NULL);

	if (args->word_count > 0)
		return cli_usage(cli,
		    "%.60s stands alone; say --tree-for SYMPTOM or --matrix "
		    "FILE",
		    args->words[0]);
	if (asked != 1)
		return cli_usage(cli, asked == 0
					  ? "it does not say for what; say "
					    "--tree-for SYMPTOM or --matrix "
					    "FILE"
					  : "it takes one of --tree-for, "
					    "--matrix and --drop");
	if (drop != NULL && (args_value(args, "save") != NULL ||
				args_value(args, "svg") != NULL))
		return cli_usage(cli, "--save and --svg do not go with --drop");
	if (matrix != NULL && (args_value(args, "device") != NULL ||
				  args_value(args, "rig") != NULL ||
				  args_value(args, "save") != NULL))
		return cli_usage(cli, "--device, --rig and --save go with "
				      "--tree-for; a table knows neither");
	return EXIT_YES;
}

static int
drop_tree(const struct cli *cli, const char *id)
{
	struct lw_err err;

	if (lw_book_drop_tree(cli->book, id, &err) != LW_OK)
		return cli_fail(cli, &err);
	printf("Dropped your tree %s.\n", id);
	return EXIT_YES;
}

static int
run(struct cli *cli)
{
	const struct args *args = &cli->args;
	const char *save = args_value(args, "save");
	const char *matrix = args_value(args, "matrix");
	const struct lw_plan_for plan = {args_value(args, "tree-for"),
	    args_value(args, "device"), args_value(args, "rig")};
	struct lw_plan_limits limits;
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;
	double until;
	int code;

	code = check_use(cli);
	if (code != EXIT_YES)
		return code;
	if (args_has(args, "drop"))
		return drop_tree(cli, args_value(args, "drop"));
	if (!read_limits(&limits, &until, cli, &code))
		return code;
	if (matrix != NULL)
		status = plan_matrix(&doc, matrix, &limits, &err);
	else if (save != NULL)
		status = lw_plan_save(
		    &doc, cli->book, &plan, save, &limits, cli_now(), &err);
	else
		status = lw_plan_book(&doc, cli->book, &plan, &limits, &err);
	if (status != LW_OK && doc == NULL)
		return cli_fail(cli, &err);
	return show(cli, doc, status, &err);
}

static const struct option options[] = {
    {"tree-for", "WHAT", "a symptom, a fault, or a pattern as typed"},
    {"device", "D", "the device that shows it"},
    {"rig", "R", "with its tools and facts"},
    {"save", "NAME", "keep the tree among your own, under this name"},
    {"drop", "ID", "drop a tree of your own"},
    {"matrix", "FILE", "a table; - is standard input"},
    {"svg", "FILE", "write the tree as a picture; - is standard output"},
    {"seconds", "S", "how long it may take at most; else 10"},
    {"mib", "M", "how much memory it may take, in MiB; else 512"},
    {NULL, NULL, NULL},
};

const struct command command_plan = {
    .name = "plan",
    .summary = "The cheapest order of checks, as a decision tree.",
    .synopsis = "--tree-for SYMPTOM|FAULT|PATTERN [--device D] [--rig R] "
		"[--save NAME] [--svg FILE]\n"
		"--matrix FILE.csv [--svg FILE]\n"
		"--drop ID",
    .help =
	"From the book it weighs causes, checks, power states and fixes in "
	"minutes. What is kept with --save leads jobs like any other tree.\n\n"
	"A table has a header and a row a cause; each cell is the outcome "
	"that the check gives for the cause. A check's cost stands after its "
	"name; left out, it is 1:\n\n"
	"    cause,weight,fuse:2,lamp\n"
	"    fuse open,3,open,dark\n"
	"    pack flat,9,whole,dark\n"
	"    switch worn,1,whole,lit\n\n"
	"The expected cost is what finding the cause costs on average. It says "
	"whether a cheaper tree is ruled out, and else below what none can "
	"be.\n",
    .options = options,
    .needs = NEEDS_BOOK,
    .bookless = "matrix",
    .run = run,
};
