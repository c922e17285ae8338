/* The series as the segmentation works on it: its usual step, what is
 * missing, and means over bins where it was sampled faster than is of use. */
#include "lamp/segment.h"

#include <math.h>

double
segment_rank(double *items, size_t count, size_t rank)
{
	size_t low = 0, high = count - 1;

	while (low < high) {
		double pivot = items[low + (high - low) / 2];
		size_t i = low, j = high;

		for (;;) {
			double swap;

			while (items[i] < pivot)
				i++;
			while (items[j] > pivot)
				j--;
			if (i >= j)
				break;
			swap = items[i];
			items[i++] = items[j];
			items[j--] = swap;
		}
		/* Up to j is at most the pivot, from j + 1 at least. */
		if (j > low && i == j && items[j] > pivot)
			j--;
		if (rank <= j)
			high = j;
		else
			low = j + 1;
	}
	return items[rank];
}

void
segment_steps(struct segment_series *series, double *spare)
{
	size_t i, steps = series->count - 1;
	double missing = 0;

	series->step_s = 0;
	series->lost = 0;
	if (series->count < 2)
		return;
	for (i = 0; i < steps; i++)
		spare[i] = series->seconds[i + 1] - series->seconds[i];
	series->step_s = segment_rank(spare, steps, steps / 2);
	for (i = 0; i < steps; i++)
		if (spare[i] > 1.5 * series->step_s)
			missing += floor(spare[i] / series->step_s + 0.5) - 1;
	series->lost = missing / (missing + (double)series->count);
}
