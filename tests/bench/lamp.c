/*
 * How well lamps are read: recordings and taps made by chance over a grid of
 * cells (tests/lamp/cells.c), accuracy by cell, Brier score and calibration,
 * and decoded samples a second.
 *
 *     make tests/bench/lamp && tests/bench/lamp [--quick] [--number N]
 *         [--cell NAME] [--misses] [--ideal] [--from SEED]
 *     tests/bench/lamp --cell NAME --seed SEED     writes that one as CSV
 */
#define _POSIX_C_SOURCE 200809L
#include "bench/timing.h"
#include "lamp/cells.h"
#include "lamp/ideal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { BINS = 9, SURE_MAX = 200 };

/* Where the bins of called confidence begin. */
static const double bins[BINS + 1] = {
    0, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 0.999, 1.01};

struct sum {
	size_t tried, right, wrong, open;
	double brier;
	double took_s;
	size_t samples;
};

struct options {
	size_t number;
	uint64_t from;
	const char *cell;
	bool misses, ideal, write;
};

static struct {
	size_t called, right;
	double confidence;
} calibration[BINS];

static struct {
	const struct cell *cell;
	struct tried tried;
} sure[SURE_MAX];
static size_t sure_count;

static void
fail(const char *text)
{
	fprintf(stderr, "lamp: %s\n", text);
	exit(EXIT_FAILURE);
}

static void
show_miss(const struct cell *cell, const struct tried *tried)
{
	printf("    --cell %s --seed %llu: %s, read %s%s at %.4f, the right "
	       "one at %.4f\n",
	    cell->name, (unsigned long long)tried->how.seed, tried->how.pattern,
	    tried->text[0] != '\0' ? tried->text : "none",
	    tried->verdict == VERDICT_UNDECIDED ? " (undecided)" : "",
	    tried->confidence, tried->right);
}

static void
calibrate(const struct cell *cell, const struct tried *tried)
{
	size_t i = 0;

	if (tried->verdict == VERDICT_UNDECIDED)
		return;
	while (i + 1 < BINS && tried->confidence >= bins[i + 1])
		i++;
	calibration[i].called++;
	calibration[i].right += tried->verdict == VERDICT_RIGHT;
	calibration[i].confidence += tried->confidence;
	if (tried->verdict == VERDICT_WRONG && tried->confidence > 0.99 &&
	    sure_count < SURE_MAX) {
		sure[sure_count].cell = cell;
		sure[sure_count++].tried = *tried;
	}
}

static void
add(struct sum *sum, const struct tried *tried)
{
	double apart = tried->confidence - tried->likeliest;

	sum->tried++;
	sum->right += tried->verdict == VERDICT_RIGHT;
	sum->wrong += tried->verdict == VERDICT_WRONG;
	sum->open += tried->verdict == VERDICT_UNDECIDED;
	sum->brier += apart * apart;
	sum->took_s += tried->took_s;
	sum->samples += tried->samples;
}

static void
show_sum(const char *name, const struct sum *sum, double aim)
{
	double all = sum->tried > 0 ? (double)sum->tried : 1;

	printf("%-36s %6zu %7.2f %7.2f %7.2f %7.4f", name, sum->tried,
	    100 * (double)sum->right / all, 100 * (double)sum->wrong / all,
	    100 * (double)sum->open / all, sum->brier / all);
	if (aim > 0)
		printf(" %6.1f%s", 100 * aim,
		    (double)sum->right / all >= aim ? "" : " missed");
	printf("\n");
}

/* What could be told at all of the same recordings: see lamp/ideal.h. Rates
 * and several lamps are passed over. */
static void
show_ideal(const struct cell *cell, const struct options *options)
{
	struct cell_known known;
	struct making how;
	struct made made;
	size_t i, all = 0, right = 0;

	for (i = 0; i < options->number; i++) {
		cell_draw(&how, &known, cell, options->from + i);
		if (strpbrk(how.pattern, "z:") != NULL)
			continue;
		if (!(cell->taps ? make_taps(&made, &how)
				 : make_recording(&made, &how)))
			fail("a recording cannot be made");
		all++;
		right += ideal_tells(&made, &how);
		made_free(&made);
	}
	if (all > 0)
		printf("%-36s %6zu %7.2f\n", "  knowing the timing", all,
		    100 * (double)right / (double)all);
}

static void
try_cell(
    struct sum *total, const struct cell *cell, const struct options *options)
{
	char name[80];
	struct sum sum = {0};
	struct tried tried;
	size_t i;

	for (i = 0; i < options->number; i++) {
		if (!cell_try(&tried, cell, options->from + i, seconds))
			fail("a recording cannot be made or read");
		add(&sum, &tried);
		add(total, &tried);
		if (strcmp(cell->name, "limits") != 0)
			calibrate(cell, &tried);
		if (options->misses && tried.verdict != VERDICT_RIGHT)
			show_miss(cell, &tried);
	}
	snprintf(name, sizeof name, "%s: %s", cell->name, cell->what);
	show_sum(name, &sum, cell->aim);
	if (cell->aim > 0 &&
	    (options->ideal ||
		(double)sum.right < cell->aim * (double)sum.tried))
		show_ideal(cell, options);
	fflush(stdout);
}

static void
show_calibration(void)
{
	size_t i;

	printf(
	    "\n%-20s %8s %8s %8s\n", "called", "answers", "mean %", "right %");
	for (i = 0; i < BINS; i++) {
		double all = (double)calibration[i].called;

		if (all == 0)
			continue;
		printf("%6.1f to %5.1f %%     %8zu %8.2f %8.2f\n",
		    100 * bins[i], 100 * fmin(1, bins[i + 1]),
		    calibration[i].called,
		    100 * calibration[i].confidence / all,
		    100 * (double)calibration[i].right / all);
	}
	printf("\nwrong though over 99 %% sure: %zu\n", sure_count);
	for (i = 0; i < sure_count; i++)
		show_miss(sure[i].cell, &sure[i].tried);
}

/* --- speed -----------------------------------------------------------------
 */

static struct made long_one;
static volatile double sink;

static void
pass(void)
{
	double all = 0;
	size_t i;

	for (i = 0; i < long_one.series.count; i++)
		all += long_one.levels[i] + long_one.seconds[i];
	sink = all;
}

static void
decode(void)
{
	struct lw_arena *arena = lw_arena_new();
	const struct lw_seen *seen;

	if (arena == NULL || lw_light_read(&seen, arena, &long_one.series, NULL,
				 NULL) > LW_UNDECIDED)
		fail("the long recording cannot be read");
	lw_arena_free(arena);
}

/* One long recording. */
static void
show_speed(const char *pattern, double frame_hz, unsigned cycles)
{
	struct making how = {.seed = 1,
	    .on_s = 0.25,
	    .gap_s = 0.25,
	    .long_s = 0.75,
	    .group_gap_s = 0.7,
	    .pause_s = 1.5,
	    .cycles = cycles,
	    .start = START_MID_GROUP,
	    .jitter = 0.03,
	    .frame_hz = frame_hz,
	    .exposure = 0.5,
	    .lost = 0.05,
	    .noise = 0.1,
	    .dark = 10,
	    .swing = 50};
	double one, whole, rows;

	snprintf(how.pattern, sizeof how.pattern, "%s", pattern);
	if (!make_recording(&long_one, &how))
		fail("the long recording cannot be made");
	rows = (double)long_one.series.count;
	one = time_of(pass);
	whole = time_of(decode);
	printf("%-6s %8.0f samples: %6.2f million a second, %6.1f passes over "
	       "the memory\n",
	    pattern, rows, rows / whole / 1e6, whole / one);
	made_free(&long_one);
}

/* --- options ---------------------------------------------------------------
 */

static const char *
next(int argc, char **argv, int *i)
{
	if (++*i == argc)
		fail("an option's value is missing");
	return argv[*i];
}

static void
read_options(struct options *options, int argc, char **argv)
{
	int i;

	options->number = 120;
	options->from = 1;
	for (i = 1; i < argc; i++) {
		if (strcmp(argv[i], "--quick") == 0)
			options->number = 40;
		else if (strcmp(argv[i], "--misses") == 0)
			options->misses = true;
		else if (strcmp(argv[i], "--ideal") == 0)
			options->ideal = true;
		else if (strcmp(argv[i], "--cell") == 0)
			options->cell = next(argc, argv, &i);
		else if (strcmp(argv[i], "--number") == 0)
			options->number =
			    strtoul(next(argc, argv, &i), NULL, 10);
		else if (strcmp(argv[i], "--from") == 0)
			options->from =
			    strtoull(next(argc, argv, &i), NULL, 10);
		else if (strcmp(argv[i], "--seed") == 0) {
			options->from =
			    strtoull(next(argc, argv, &i), NULL, 10);
			options->write = true;
		} else
			fail("--quick, --number N, --cell NAME, --misses, "
			     "--ideal, "
			     "--from SEED or --seed SEED");
	}
	if (options->cell != NULL && cell_named(options->cell) == NULL)
		fail("no cell is called that");
	if (options->write && options->cell == NULL)
		fail("--seed wants --cell");
}

static void
write_one(const struct options *options)
{
	const struct cell *cell = cell_named(options->cell);
	struct cell_known known;
	struct making how;
	struct made made;

	cell_draw(&how, &known, cell, options->from);
	if (!(cell->taps ? make_taps(&made, &how)
			 : make_recording(&made, &how)))
		fail("the recording cannot be made");
	made_write(&made, &how, stdout);
	made_free(&made);
}

int
main(int argc, char **argv)
{
	struct options options = {0};
	struct sum total = {0};
	size_t i;

	read_options(&options, argc, argv);
	if (options.write) {
		write_one(&options);
		return EXIT_SUCCESS;
	}
	printf("%-36s %6s %7s %7s %7s %7s %6s\n", "cell", "number", "right %",
	    "wrong %", "open %", "Brier", "aim %");
	for (i = 0; i < cell_count; i++)
		if (options.cell == NULL ||
		    cell_named(options.cell) == &cells[i])
			try_cell(&total, &cells[i], &options);
	show_sum("together", &total, 0);
	show_calibration();
	printf("\nin the cells: %.2f million samples a second, %.2f ms a "
	       "recording\n",
	    (double)total.samples / total.took_s / 1e6,
	    total.took_s / (double)total.tried * 1e3);
	if (options.cell == NULL) {
		show_speed("7", 60, 300);
		show_speed("3-2", 60, 300);
		show_speed("2L3S", 1000, 200);
	}
	return EXIT_SUCCESS;
}
