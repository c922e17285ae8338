/* The series as the segmentation works on it: its usual step, what is
 * missing, and means over bins where it was sampled faster than is of use. */
#include "lamp/segment.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>
#include <string.h>

/* No more samples are said to be missing in one place. */
#define HOLE_MAX 1e9

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
			missing +=
			    fmin(floor(spare[i] / series->step_s + 0.5) - 1,
				HOLE_MAX);
	series->lost = missing / (missing + (double)series->count);
}

enum { PIECES = 6 };

/* Highest less lowest of some samples, odd ones apart. */
static double
stir(const double *levels, size_t count)
{
	double low = levels[0], high = low;
	size_t i;

	for (i = 1; i < count; i++) {
		double a =
		    levels[i - 1] < levels[i] ? levels[i - 1] : levels[i];
		double b =
		    levels[i - 1] < levels[i] ? levels[i] : levels[i - 1];

		low = b < low || i == 1 ? b : low;
		high = a > high || i == 1 ? a : high;
	}
	return high - low;
}

/* The piece whose stir is nearest to a limit. */
static size_t
nearest(const double *stirs, size_t count, double limit)
{
	size_t i, best = 0;

	for (i = 1; i < count; i++)
		if (fabs(stirs[i] - limit) < fabs(stirs[best] - limit))
			best = i;
	return best;
}

enum lw_status
segment_sample(struct segment_series *sample, struct lw_arena *arena,
    const struct segment_series *series, size_t most, struct lw_err *err)
{
	/* How many of the pieces have more going on. */
	static const double ranks[PIECES] = {0, 0.02, 0.1, 0.25, 0.5, 0.8};
	size_t length = most / PIECES, pieces = series->count / length, i, n;
	double *seconds = arena_array(arena, most, sizeof *seconds);
	double *levels = arena_array(arena, most, sizeof *levels);
	double *stirs = arena_array(arena, pieces, 2 * sizeof *stirs);
	unsigned char *taken = arena_alloc(arena, pieces);

	if (seconds == NULL || levels == NULL || stirs == NULL || taken == NULL)
		return err_no_memory(err);
	for (i = 0; i < pieces; i++)
		stirs[i] = stir(series->levels + i * length, length);
	for (i = 0; i < PIECES; i++) {
		double rank = (1 - ranks[i]) * (double)(pieces - 1);

		memcpy(stirs + pieces, stirs, pieces * sizeof *stirs);
		taken[nearest(stirs, pieces,
		    segment_rank(stirs + pieces, pieces, (size_t)rank))] = 1;
	}
	*sample = *series;
	for (i = n = 0; i < pieces; i++) {
		if (!taken[i])
			continue;
		memcpy(seconds + n, series->seconds + i * length,
		    length * sizeof *seconds);
		memcpy(levels + n, series->levels + i * length,
		    length * sizeof *levels);
		n += length;
	}
	sample->seconds = seconds;
	sample->levels = levels;
	sample->count = n;
	return LW_OK;
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
