/* The series as the segmentation works on it: its usual step, what is
 * missing, and means over bins where it was sampled faster than is of use. */
#include "lamp/segment.h"

#include "base/arena.h"
#include "base/err.h"

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

/* A bin that is being filled. */
struct filling {
	double from_s;
	double area;
	double covered_s;
};

static void
fill(struct segment_series *bins, double *seconds, double *levels,
    struct filling *filling, double wide_s)
{
	if (filling->covered_s > 0.5 * wide_s) {
		seconds[bins->count] = filling->from_s + wide_s / 2;
		levels[bins->count++] = filling->area / filling->covered_s;
	}
	filling->area = filling->covered_s = 0;
}

/* Levels run straight from sample to sample; across a hole they are not
 * known. */
enum lw_status
segment_bins(struct segment_series *bins, struct lw_arena *arena,
    const struct segment_series *series, double wide_s, struct lw_err *err)
{
	const double *t = series->seconds, *y = series->levels;
	double whole = t[series->count - 1] - t[0];
	double most = whole / wide_s + 2, hole = 2.5 * series->step_s;
	struct filling filling = {t[0], 0, 0};
	double *seconds, *levels;
	size_t i, room = series->count;

	room = most < (double)room ? (size_t)most : room;
	seconds = arena_array(arena, room, sizeof *seconds);
	levels = arena_array(arena, room, sizeof *levels);
	if (seconds == NULL || levels == NULL)
		return err_no_memory(err);
	*bins = (struct segment_series){seconds, levels, 0, wide_s, 0, true};
	for (i = 1; i < series->count; i++) {
		double from = t[i - 1], gone = t[i] - from;
		double slope = (y[i] - y[i - 1]) / gone, end;

		while ((end = filling.from_s + wide_s) < t[i]) {
			if (gone <= hole) {
				filling.area +=
				    (end - from) *
				    (y[i - 1] +
					slope * ((from + end) / 2 - t[i - 1]));
				filling.covered_s += end - from;
				from = end;
			}
			if (bins->count < room)
				fill(bins, seconds, levels, &filling, wide_s);
			filling.from_s = end;
			if (gone > hole)
				filling.from_s +=
				    wide_s * floor((t[i] - end) / wide_s);
		}
		if (gone <= hole) {
			filling.area +=
			    (t[i] - from) *
			    (y[i - 1] + slope * ((from + t[i]) / 2 - t[i - 1]));
			filling.covered_s += t[i] - from;
		}
	}
	if (bins->count < room)
		fill(bins, seconds, levels, &filling, wide_s);
	return LW_OK;
}
