/* The best cuts of sorted values into clusters. What the clusters mean is
 * left to lamp/guess.c. */
#include "lamp/cluster.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

/* Sums of the values and their squares up to each, less the first value, so
 * that little is lost to rounding. */
struct sums {
	double value[CLUSTER_VALUES_MAX + 1];
	double square[CLUSTER_VALUES_MAX + 1];
};

static double
squares(const struct sums *sums, size_t from, size_t to)
{
	double sum = sums->value[to] - sums->value[from];
	double square = sums->square[to] - sums->square[from];
	double rest = square - sum * sum / (double)(to - from);

	return rest > 0 ? rest : 0;
}

double
cluster_cut(
    size_t cuts[CLUSTERS_MAX - 1], const double *sorted, size_t count, size_t k)
{
	struct sums sums;
	double best[2][CLUSTER_VALUES_MAX + 1];
	unsigned short back[CLUSTERS_MAX][CLUSTER_VALUES_MAX + 1];
	double *now = best[0], *before;
	size_t c, i, j;

	assert(count <= CLUSTER_VALUES_MAX && k >= 1 && k <= CLUSTERS_MAX &&
	       k <= count);
	sums.value[0] = sums.square[0] = 0;
	for (i = 0; i < count; i++) {
		double value = sorted[i] - sorted[0];

		sums.value[i + 1] = sums.value[i] + value;
		sums.square[i + 1] = sums.square[i] + value * value;
	}
	for (i = 1; i <= count; i++)
		now[i] = squares(&sums, 0, i);
	for (c = 1; c < k; c++) {
		before = best[(c - 1) % 2];
		now = best[c % 2];
		for (i = c + 1; i <= count; i++) {
			now[i] = INFINITY;
			for (j = i - 1; j >= c; j--) {
				double last = squares(&sums, j, i);
				double all = before[j] + last;

				if (all < now[i]) {
					now[i] = all;
					back[c][i] = (unsigned short)j;
				}
				/* A longer last cluster only costs more. */
				if (last > now[i])
					break;
			}
		}
	}
	for (c = k - 1, i = count; c > 0; c--) {
		i = back[c][i];
		cuts[c - 1] = i;
	}
	return now[count];
}

static int
by_length(const void *one, const void *other)
{
	double a = *(const double *)one, b = *(const double *)other;

	return (a > b) - (a < b);
}

void
cluster_sort(double *values, size_t count)
{
	qsort(values, count, sizeof *values, by_length);
}

static double
mean_of(const double *items, size_t from, size_t to)
{
	double sum = 0;
	size_t i;

	for (i = from; i < to; i++)
		sum += items[i];
	return sum / (double)(to - from);
}

void
cluster_parts(
    struct cuts *cuts, const double *lengths, size_t count, double least_ratio)
{
	double logs[CLUSTER_VALUES_MAX] = {0};
	size_t at[CLUSTERS_MAX + 1], n = count, k, c, i;

	cuts->count = 0;
	if (n > CLUSTER_VALUES_MAX)
		n = CLUSTER_VALUES_MAX;
	for (i = 0; i < n; i++)
		logs[i] = log(lengths[i] + 0.001);
	cluster_sort(logs, n);
	for (k = 2; k <= CLUSTERS_MAX && k <= n; k++) {
		at[0] = 0;
		cluster_cut(at + 1, logs, n, k);
		at[k] = n;
		for (c = 1; c < k; c++) {
			double middle =
			    exp((logs[at[c] - 1] + logs[at[c]]) / 2);

			if (mean_of(logs, at[c], at[c + 1]) -
				mean_of(logs, at[c - 1], at[c]) <
			    log(least_ratio))
				continue;
			for (i = 0; i < cuts->count; i++)
				if (fabs(cuts->at[i] - middle) < 1e-9)
					break;
			if (i == cuts->count && cuts->count < CUTS_MAX)
				cuts->at[cuts->count++] = middle;
		}
	}
}
