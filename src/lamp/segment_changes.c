/* How sharp the changes from dark to light and back are. What that says is
 * left to lamp/segment.c. */
#include "lamp/segment.h"

#include <math.h>

/* Samples this near a change are beside it. */
#define BESIDE_S 0.05

/* The mean of the samples beside a change, `way` from sample i, of its run
 * and not far off. */
static double
mean_beside(const struct segment_room *room,
    const struct segment_series *series, size_t i, int way)
{
	const double *t = series->seconds;
	double sum = 0, many = 0;
	size_t at = i;

	do {
		sum += series->levels[at];
		many++;
		at += (size_t)way; /* below 0 it is larger than any count */
	} while (at < series->count && room->states[at] == room->states[i] &&
		 (many < 2 || fabs(t[at] - t[i]) < BESIDE_S));
	return sum / many;
}

size_t
segment_count_changes(double *sharp, const struct segment_room *room,
    const struct segment_series *series)
{
	size_t i, changes = 0;

	*sharp = 0;
	for (i = 1; i < series->count; i++) {
		double jump;

		if (room->states[i] == room->states[i - 1])
			continue;
		jump = (mean_beside(room, series, i, 1) -
			   mean_beside(room, series, i - 1, -1)) /
		       room->swing[i];
		jump = room->states[i] ? jump : -jump;
		*sharp += jump > 1 ? 1 : jump;
		changes++;
	}
	if (changes > 0)
		*sharp /= (double)changes;
	return changes;
}
