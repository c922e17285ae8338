/* Flashes and gaps of one sample alone: kept where the lamp has such short
 * ones, or where samples beside it are missing, so that it may have been
 * longer; left out where it is an odd sample. */
#include "lamp/segment.h"

/* How many of a lamp's runs are of one sample, so that they are its own. */
#define OWN 0.2

/* What a run may have lasted at most, against the shorter ones of its kind. */
#define SHORTER 0.8

/* Where the run that holds sample i ends: the first sample past it. */
static size_t
end_of(const unsigned char *states, size_t i, size_t count)
{
	unsigned char state = states[i];

	while (i < count && states[i] == state)
		i++;
	return i;
}

/* How long the shorter runs of a state last, where they have more than one
 * sample; 0: runs of one sample are the lamp's own. */
static double
usual_length(const struct segment_room *room,
    const struct segment_series *series, unsigned char state)
{
	const double *t = series->seconds;
	size_t i = end_of(room->states, 0, series->count), end;
	size_t runs = 0, single = 0, n = 0;

	for (; (end = end_of(room->states, i, series->count)) < series->count;
	     i = end) {
		if (room->states[i] != state)
			continue;
		runs++;
		if (end == i + 1)
			single++;
		else
			room->spare[n++] =
			    (t[end] - t[i - 1] + t[end - 1] - t[i]) / 2;
	}
	if (n == 0 || (double)single > OWN * (double)runs)
		return 0;
	return segment_rank(room->spare, n, n / 10);
}

void
segment_leave_odd(
    const struct segment_room *room, const struct segment_series *series)
{
	const double *t = series->seconds;
	double least[2];
	size_t i;

	if (end_of(room->states, 0, series->count) == series->count)
		return;
	least[0] = SHORTER * usual_length(room, series, 0);
	least[1] = SHORTER * usual_length(room, series, 1);
	for (i = 1; i + 1 < series->count; i++) {
		unsigned char before = room->states[i - 1];

		if (room->states[i] != before &&
		    room->states[i + 1] == before &&
		    t[i + 1] - t[i - 1] < least[room->states[i]])
			room->states[i] = before;
	}
}
