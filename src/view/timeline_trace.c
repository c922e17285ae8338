/* A level as a thin path that stays small however many samples there are.
 * Where it stands is left to timeline.c. */
#include "view/timeline.h"

#include "base/num.h"

#include <math.h>

/* The first sample at or after a time. */
static size_t
sample_at(const double *seconds, size_t count, double at)
{
	size_t low = 0, high = count, middle;

	while (low < high) {
		middle = low + (high - low) / 2;
		if (seconds[middle] >= at)
			high = middle;
		else
			low = middle + 1;
	}
	return low;
}

bool
timeline_range(double *low, double *high, const double *seconds,
    const double *levels, size_t count, double from_s, double to_s)
{
	size_t i = sample_at(seconds, count, from_s);

	*low = INFINITY;
	*high = -INFINITY;
	for (; i < count && seconds[i] <= to_s; i++) {
		*low = fmin(*low, levels[i]);
		*high = fmax(*high, levels[i]);
	}
	return *low <= *high;
}

static void
add_number(struct buf *path, double at)
{
	char text[32];

	at = round(at * 10) / 10;
	num_format(text, sizeof text, at == 0 ? 0 : at);
	buf_add(path, text);
}

static double
height_of(const struct timeline_trace *trace, double level)
{
	double share = 0.5;

	if (trace->high > trace->low)
		share = (level - trace->low) / (trace->high - trace->low);
	share = fmin(fmax(share, 0), 1);
	return trace->bottom - share * (trace->bottom - trace->top);
}

static void
add_point(struct buf *path, const struct timeline_trace *trace, double x,
    double level)
{
	buf_add(path, path->length == 0 ? "M" : "L");
	add_number(path, x);
	buf_add_char(path, ' ');
	add_number(path, height_of(trace, level));
}

void
timeline_trace(struct buf *path, const struct timeline_trace *trace)
{
	size_t i = sample_at(trace->seconds, trace->count, trace->from_s),
	       first;
	double x, column, low, high;

	while (i < trace->count && trace->seconds[i] <= trace->to_s) {
		x = trace->x +
		    (trace->seconds[i] - trace->from_s) * trace->px_per_s;
		column = floor(x);
		low = high = trace->levels[i];
		first = i;
		for (i++; i < trace->count && trace->seconds[i] <= trace->to_s;
		     i++) {
			if (trace->x + (trace->seconds[i] - trace->from_s) *
					   trace->px_per_s >=
			    column + 1)
				break;
			low = fmin(low, trace->levels[i]);
			high = fmax(high, trace->levels[i]);
		}
		if (i - first == 1) {
			add_point(path, trace, x, low);
		} else {
			add_point(path, trace, column, low);
			add_point(path, trace, column, high);
		}
	}
}
