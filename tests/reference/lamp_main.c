/* Paths, followed levels and clusters of series for other programs to
 * compare. Each line is a problem: a word, then numbers; each is answered by
 * one line of numbers.
 *
 *   path N ODD SPREAD SPREAD levels dim bright costs    cost, states
 *   follow N SWING SPREAD SPREAD DRIFT SWING_DRIFT seconds levels states
 *                                              cost, dark levels, swings
 *   cut K N values                             sum of squares, cuts
 */
#include "lamp/cluster.h"
#include "lamp/segment.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 2000 };

static double
number(void)
{
	double value;

	if (scanf("%lf", &value) != 1)
		exit(EXIT_FAILURE);
	return value;
}

static void
numbers(double *values, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		values[i] = number();
}

static size_t
size(size_t most)
{
	double value = number();

	if (!(value >= 1 && value <= (double)most))
		exit(EXIT_FAILURE);
	return (size_t)value;
}

static void
print(const double *values, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		printf(" %.17g", values[i]);
}

static void
path(void)
{
	static double levels[MOST], dim[MOST], bright[MOST], costs[MOST];
	static unsigned char states[MOST];
	size_t i, n = size(MOST);
	double odd = number(), spread[2];

	numbers(spread, 2);
	numbers(levels, n);
	numbers(dim, n);
	numbers(bright, n);
	numbers(costs, n);
	printf("%.17g", segment_viterbi(states, levels, n, dim, bright, spread,
			    odd, costs));
	for (i = 0; i < n; i++)
		printf(" %d", states[i]);
}

static void
follow(void)
{
	static double seconds[MOST], levels[MOST], lit[MOST], base[MOST];
	static double swing[MOST], kept[3 * MOST];
	static unsigned char states[MOST];
	struct segment_room room = {
	    .states = states, .base = base, .swing = swing, .kept = kept};
	struct segment_series series = {seconds, levels, size(MOST), 0, 0, 0};
	struct segment_model model = {.odd = 1e9};
	double factor;
	size_t i;

	model.swing = number();
	numbers(model.spread, 2);
	model.drift = number();
	model.swing_drift = number();
	numbers(seconds, series.count);
	numbers(levels, series.count);
	numbers(lit, series.count);
	for (i = 0; i < series.count; i++)
		states[i] = lit[i] > 0.5;
	printf("%.17g", segment_weigh(&factor, states, &series, &model));
	segment_follow(&room, &series, &model);
	print(base, series.count);
	print(swing, series.count);
}

static void
cut(void)
{
	static double values[CLUSTER_VALUES_MAX];
	size_t cuts[CLUSTERS_MAX - 1], i, k = size(CLUSTERS_MAX);
	size_t n = size(CLUSTER_VALUES_MAX);

	numbers(values, n);
	printf("%.17g", cluster_cut(cuts, values, n, k));
	for (i = 0; i + 1 < k; i++)
		printf(" %zu", cuts[i]);
}

int
main(void)
{
	char word[10];

	while (scanf("%9s", word) == 1) {
		if (strcmp(word, "path") == 0)
			path();
		else if (strcmp(word, "follow") == 0)
			follow();
		else if (strcmp(word, "cut") == 0)
			cut();
		else
			return EXIT_FAILURE;
		putchar('\n');
	}
	return fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
