/* lampwright watch: what a lamp shows, from a recording. Reading it is left to
 * the library, writing the picture to plot_file.c. */
#include "cli/cli.h"
#include "cli/plot_file.h"

#include "base/err.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

enum { PIECE = 64 * 1024 };

static enum lw_status
cannot(struct lw_err *err, const char *path)
{
	if (errno == EISDIR)
		return err_set(err, LW_FAILED,
		    "%.200s is a folder; name a recording in it", path);
	return err_set(err, LW_FAILED,
	    "cannot read %.200s: %s; name a "
	    "recording, or - for standard input",
	    path, strerror(errno));
}

/* Name the file that a mistake is in. */
static void
name_file(struct lw_err *err, const char *path)
{
	err_in_file(err, strcmp(path, "-") == 0 ? "standard input" : path);
}

/* The whole file in pieces. */
static enum lw_status
feed(struct lw_recording *recording, int file, const char *path,
    struct lw_err *err)
{
	static char piece[PIECE];
	enum lw_status status;
	ssize_t n;

	for (;;) {
		n = read(file, piece, sizeof piece);
		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0)
			return cannot(err, path);
		if (n == 0)
			return LW_OK;
		status = lw_recording_feed(recording, piece, (size_t)n, err);
		if (status != LW_OK) {
			name_file(err, path);
			return status;
		}
	}
}

static enum lw_status
read_recording(const struct lw_series **series, struct lw_recording *recording,
    const char *path, struct lw_err *err)
{
	bool standard = strcmp(path, "-") == 0;
	int file = standard ? STDIN_FILENO
			    : open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
	enum lw_status status;

	if (file < 0)
		return cannot(err, path);
	status = feed(recording, file, path, err);
	if (!standard)
		close(file);
	if (status != LW_OK)
		return status;
	status = lw_recording_end(series, recording, err);
	if (status != LW_OK)
		name_file(err, path);
	return status;
}

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
		return cli_finish(cli, "watch", doc, status, err);
	if (timeline_file_write(svg, doc, &why) != LW_OK) {
		code = cli_fail(cli, &why);
		lw_doc_free(doc);
		return code;
	}
	if (strcmp(svg, "-") != 0)
		return cli_finish(cli, "watch", doc, status, err);
	lw_doc_free(doc);
	if (status != LW_OK)
		cli_say("%s", err->text);
	return cli_code(status);
}

static int
run(struct cli *cli)
{
	const struct args *args = &cli->args;
	struct lw_recording *recording = NULL;
	const struct lw_series *series;
	struct lw_doc *doc = NULL;
	enum lw_status status;
	struct lw_err err;
	int code;

	if (args->word_count != 1)
		return cli_usage(cli, args->word_count == 0
					  ? "it does not say which recording"
					  : "it takes one recording at a time");
	status = lw_recording_open(&recording, args_has(args, "taps"), &err);
	if (status == LW_OK)
		status =
		    read_recording(&series, recording, args->words[0], &err);
	if (status == LW_OK) {
		status = lw_view_watch(&doc, cli->book, series,
		    args_value(args, "device"), args_value(args, "lamp"), &err);
		code = show(cli, doc, status, &err);
	} else {
		code = cli_fail(cli, &err);
	}
	lw_recording_close(recording);
	return code;
}

static const struct option options[] = {
    {"device", "D", "the device: how its lamp codes, and what it means"},
    {"lamp", "L", "which of its lamps, or which column"},
    {"taps", NULL, "the file is of taps, one time in seconds a line"},
    {"svg", "FILE", "write the timeline to a file; - is standard output"},
    {NULL, NULL, NULL},
};

const struct command command_watch = {
    .name = "watch",
    .summary = "What a lamp shows, from a recording of its light.",
    .synopsis = "FILE|- [--device D] [--lamp L] [--taps] [--svg FILE]",
    .help =
	"A recording is lines of seconds,level, 20 a second or more, with a "
	"header or without. Record 15 seconds, or until the code has come "
	"three times. The level may have any linear unit; a spreadsheet's "
	"semicolons and decimal commas are read as well, and milliseconds "
	"where the header says so. Several lamps are several columns, with a "
	"header that names them:\n\n"
	"    seconds,red,green\n"
	"    0.00,12,803\n"
	"    0.04,11,798\n\n"
	"Lines that begin with # are passed over, and - is standard input. "
	"With --taps each line is the time of one flash as somebody tapped "
	"along.\n\n"
	"Before you record: hold the vehicle with brake and chocks, stay clear "
	"of all that can turn or move, and keep sensor and leads off bare "
	"terminals.\n\n"
	"It says what it read and how sure it is, or how much longer to "
	"watch. With a device (lampwright device list) its code list makes "
	"the reading surer, and it says what the pattern means there.\n",
    .options = options,
    .needs = NEEDS_BOOK,
    .run = run,
};
