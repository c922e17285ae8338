/*
 * How well it is reasoned: each demand as a ratio over seeded tables
 * (tests/reason/), beside simple policies; posteriors, trees, policies with
 * repairs, the next check. What trees and policies are held against is worked
 * out in tests/reason/optimum.c.
 *
 *     make tests/bench/reason && tests/bench/reason [--quick] [--part N]
 *         [--number N] [--seconds S]
 *     tests/bench/reason --known      searches for the best trees, at length,
 *         and writes the lines of tests/reason/known.c
 */
#define _POSIX_C_SOURCE 200809L
#include "bench/reason.h"

#include "bench/timing.h"
#include "lamp/chance.h"
#include "reason/belief.h"
#include "reason/next.h"

#include <lampwright/status.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { YARD_STEPS = 10000000 };

static size_t held, missed;
static volatile uint64_t sink;

void
fail(const char *text)
{
	fprintf(stderr, "reason: %s\n", text);
	exit(EXIT_FAILURE);
}

/* Ten million steps of a generator of numbers, each on the one before: no
 * memory, nothing at once. The best of five. */
double
yardstick(void)
{
	static double best;
	double began, least = INFINITY;
	uint64_t x;
	int round, i;

	for (round = 0; best == 0 && round < 5; round++) {
		began = seconds();
		x = 1;
		for (i = 0; i < YARD_STEPS; i++)
			x = x * 6364136223846793005u + 1442695040888963407u;
		sink = x;
		least = fmin(least, seconds() - began);
	}
	if (best == 0)
		best = least;
	return best;
}

static bool
is_late(void *what)
{
	const struct deadline *deadline = what;

	return seconds() > deadline->until;
}

struct reason_limits
limits_until(struct deadline *deadline, double lasting, size_t bytes)
{
	deadline->until = seconds() + lasting;
	return (struct reason_limits){bytes, is_late, deadline};
}

/* --- what is shown ---------------------------------------------------------
 */

static const char *
verdict(bool well)
{
	held += well;
	missed += !well;
	return well ? "held" : "MISSED";
}

void
show_held(const char *name, bool well)
{
	printf("  %-74s %s\n", name, verdict(well));
}

void
show_ratios(const char *name, const struct ratios *ratios, double mean_most,
    double worst_most)
{
	double mean = ratios_mean(ratios);

	if (ratios->count == 0)
		return;
	printf("  %-34s %4zu  mean %8.4f  worst %8.4f (seed %llu)", name,
	    ratios->count, mean, ratios->worst,
	    (unsigned long long)ratios->worst_seed);
	if (mean_most > 0)
		printf("  %.2f on average: %s", mean_most,
		    verdict(mean <= mean_most));
	if (worst_most > 0)
		printf("  %.2f at worst: %s", worst_most,
		    verdict(ratios->worst <= worst_most));
	printf("\n");
	fflush(stdout);
}

void
show_times(const char *name, const struct ratios *times, double worst_most)
{
	double mean = ratios_mean(times), yard = yardstick();

	if (times->count == 0)
		return;
	printf("  %-34s %4zu  mean %.4f s, %.2f yards; worst %.4f s, %.2f "
	       "yards (seed %llu)",
	    name, times->count, mean, mean / yard, times->worst,
	    times->worst / yard, (unsigned long long)times->worst_seed);
	if (worst_most > 0)
		printf("  %.1f s: %s", worst_most,
		    verdict(times->worst <= worst_most));
	printf("\n");
	fflush(stdout);
}

static void
show_error(const char *name, const struct ratios *error, double most)
{
	printf("  %-34s %4zu  worst %.1e (seed %llu)  %.0e: %s\n", name,
	    error->count, error->worst, (unsigned long long)error->worst_seed,
	    most, verdict(error->worst <= most));
}

/* --- posteriors ------------------------------------------------------------
 */

/* Bayes' rule as it is written, in long double: what is multiplied here stays
 * far above the least of them. */
static void
plain_posterior(double *share, const struct findings_made *made)
{
	size_t i, k, n = made->causes;
	long double sum = 0, *product = calloc(n, sizeof *product);

	if (product == NULL)
		fail("memory has run out");
	for (i = 0; i < n; i++) {
		product[i] = made->weight[i];
		for (k = 0; k < made->findings; k++)
			product[i] *= made->likelihood[k * n + i];
		sum += product[i];
	}
	for (i = 0; i < n; i++)
		share[i] = (double)(product[i] / sum);
	free(product);
}

static double
apart(const double *one, const double *other, size_t count)
{
	double most = 0;
	size_t i;

	for (i = 0; i < count; i++)
		most = fmax(most, fabs(one[i] - other[i]));
	return most;
}

static void
bench_posteriors(const struct options *options)
{
	struct ratios error = {0}, order = {0};
	struct findings_made made;
	struct chance chance;
	double exact[200], share[200], again[200], *likelihood;
	uint64_t seed;
	int turn;

	printf("\n1. posteriors: 2 to 200 causes, 1 to 60 findings, seeds 1 to "
	       "%zu\n",
	    options->seeds);
	for (seed = 1; seed <= options->seeds; seed++) {
		chance_seed(&chance, seed);
		if (!findings_make(&made, chance_whole(&chance, 2, 200),
			chance_whole(&chance, 1, 60), seed))
			fail("memory has run out");
		likelihood =
		    calloc(made.causes * made.findings, sizeof *likelihood);
		if (likelihood == NULL)
			fail("memory has run out");
		plain_posterior(exact, &made);
		belief_posterior(share, made.weight, made.causes,
		    made.likelihood, made.findings);
		ratios_add(&error, apart(exact, share, made.causes), seed);
		for (turn = 0; turn < 5; turn++) {
			findings_shuffle(
			    likelihood, &made, seed * 5 + (uint64_t)turn);
			belief_posterior(again, made.weight, made.causes,
			    likelihood, made.findings);
			ratios_add(
			    &order, apart(share, again, made.causes), seed);
		}
		free(likelihood);
		findings_free(&made);
	}
	show_error("error beside long double", &error, 1e-9);
	show_error("findings in another order", &order, 1e-12);
}

/* --- the next check --------------------------------------------------------
 */

static void
time_next(size_t size, size_t outcomes, size_t times, double most)
{
	struct ratios taken = {0};
	struct next_advice advice;
	struct next_choice *choices = calloc(size, sizeof *choices);
	struct noisy_made made;
	char name[60];
	double began;
	uint64_t seed;

	for (seed = 1; seed <= times; seed++) {
		if (choices == NULL ||
		    !noisy_make(&made, &(struct noisy_how){
					   size, size, outcomes, 3, 0.3, seed}))
			fail("memory has run out");
		began = seconds();
		if (next_find(&advice, choices, &made.table, made.share, NULL,
			&made.fixes, NULL) != LW_OK)
			fail("no next check is found");
		ratios_add(&taken, seconds() - began, seed);
		noisy_free(&made);
	}
	free(choices);
	snprintf(name, sizeof name, "%zu causes x %zu checks, %zu outcomes",
	    size, size, outcomes);
	show_times(name, &taken, most);
}

static void
bench_next(const struct options *options)
{
	size_t times = options->quick ? 2 : 10;

	printf("\n5. the next check, with fixes and 3 states, seeds 1 to %zu\n",
	    times);
	time_next(200, 2, times, 0.3);
	time_next(200, 4, times, 0.3);
	time_next(1000, 2, times, 1);
	time_next(1000, 4, options->quick ? 1 : 4, 1);
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

	*options = (struct options){.seconds = 10, .number = 5, .seeds = 200};
	for (i = 1; i < argc; i++) {
		if (strcmp(argv[i], "--quick") == 0) {
			options->quick = true;
			options->seconds = 0.5;
			options->number = 1;
			options->seeds = 30;
		} else if (strcmp(argv[i], "--known") == 0)
			options->known = true;
		else if (strcmp(argv[i], "--part") == 0)
			options->part =
			    (unsigned)strtoul(next(argc, argv, &i), NULL, 10);
		else if (strcmp(argv[i], "--number") == 0)
			options->number =
			    strtoul(next(argc, argv, &i), NULL, 10);
		else if (strcmp(argv[i], "--seconds") == 0)
			options->seconds = strtod(next(argc, argv, &i), NULL);
		else
			fail("--quick, --part N, --number N, --seconds S or "
			     "--known");
	}
}

int
main(int argc, char **argv)
{
	static void (*const parts[])(const struct options *) = {
	    bench_posteriors, bench_plans, bench_setup, bench_noisy, bench_next,
	    bench_fixing};
	struct options options;
	unsigned i;

	read_options(&options, argc, argv);
	if (options.known) {
		bench_known(&options);
		return EXIT_SUCCESS;
	}
	printf("a yard: ten million steps of a generator of numbers, %.4f s\n",
	    yardstick());
	for (i = 0; i < sizeof parts / sizeof *parts; i++)
		if (options.part == 0 || options.part == i + 1)
			parts[i](&options);
	printf("\n%zu held, %zu missed\n", held, missed);
	return EXIT_SUCCESS;
}
