/*
 * Values on a line in k clusters, so that the squares of the distances from
 * the clusters' means sum to the least (W. D. Fisher, On Grouping for Maximum
 * Homogeneity, JASA 53, 1958): exact, by dynamic programming.
 */
#ifndef LAMP_CLUSTER_H
#define LAMP_CLUSTER_H

#include <stddef.h>

#define CLUSTER_VALUES_MAX 400
#define CLUSTERS_MAX 4
#define CUTS_MAX 8

struct cuts {
	double at[CUTS_MAX];
	size_t count;
};

/*
 * Cut `count` sorted values into k clusters, 1 to CLUSTERS_MAX and no more
 * than there are values. cuts[c] is where cluster c + 1 begins (k - 1 of
 * them). Gives the sum of squares.
 */
double cluster_cut(size_t cuts[CLUSTERS_MAX - 1], const double *sorted,
    size_t count, size_t k);

/* Where lengths part into clusters, by their logarithms, whose middles are a
 * ratio or more apart: halfway between two of them. Of more lengths than
 * CLUSTER_VALUES_MAX the first ones. */
void cluster_parts(
    struct cuts *cuts, const double *lengths, size_t count, double least_ratio);

void cluster_sort(double *values, size_t count);

#endif
