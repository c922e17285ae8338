/* Judges a reading against a chain of bands by the guard-band rule. How far
 * the reading may be off is left to accuracy, what the bands are to whoever
 * asks. */
#include "meter/verdict.h"

#include <assert.h>
#include <math.h>

/* The end between a band and the next. */
static const struct verdict_edge *
edge_at(const struct verdict_band *bands, size_t i)
{
	assert(bands[i].below.there);
	return &bands[i].below;
}

static double
middle(const struct verdict_edge *edge)
{
	return edge->low < edge->high ? edge->low / 2 + edge->high / 2
				      : edge->low;
}

/* Surely from the end upwards, and surely below it. */
static bool
is_above(const struct verdict_edge *edge, double reading, double expanded)
{
	return reading - expanded >= edge->high;
}

static bool
is_below(const struct verdict_edge *edge, double reading, double expanded)
{
	return reading + expanded < edge->low;
}

/* How far the reading is from all that the end can be; 0 within. */
static double
distance(const struct verdict_edge *edge, double reading)
{
	if (reading < edge->low)
		return edge->low - reading;
	return reading > edge->high ? reading - edge->high : 0;
}

/* The lower end comes first where both are as near. */
static void
find_other(struct verdict *verdict, const struct verdict_band *bands,
    bool lower, bool upper, double reading)
{
	const struct verdict_edge *from, *below;
	double to_from, to_below;

	if (lower && upper) {
		from = edge_at(bands, verdict->band - 1);
		below = edge_at(bands, verdict->band);
		to_from = distance(from, reading);
		to_below = distance(below, reading);
		if (to_from <= 0 && to_below <= 0) {
			to_from = reading - middle(from);
			to_below = middle(below) - reading;
		}
		lower = to_from <= to_below;
	}
	verdict->other = lower ? verdict->band - 1 : verdict->band + 1;
	verdict->edge =
	    middle(edge_at(bands, lower ? verdict->other : verdict->band));
}

/* Whether the reading would be clear with each end where that suits best: the
 * first ones as low, the others as high as they can be. */
static bool
could_be_clear(const struct verdict_band *bands, size_t count, double reading,
    double expanded)
{
	size_t i = 0;

	while (i + 1 < count && edge_at(bands, i)->low <= reading - expanded)
		i++;
	while (i + 1 < count && edge_at(bands, i)->high > reading + expanded)
		i++;
	return i + 1 == count;
}

void
verdict_judge(struct verdict *verdict, const struct verdict_band *bands,
    size_t count, double reading, double expanded)
{
	double to_from = INFINITY, to_below = INFINITY;
	bool lower = false, upper = false;
	size_t band = 0;

	assert(count > 0 && !isnan(reading) && expanded >= 0);
	while (band + 1 < count && reading >= middle(edge_at(bands, band)))
		band++;
	if (isinf(reading))
		band = reading > 0 ? count - 1 : 0;
	*verdict = (struct verdict){.band = band, .margin = INFINITY};
	if (isinf(reading))
		return;
	if (band > 0) {
		lower = !is_above(edge_at(bands, band - 1), reading, expanded);
		to_from = reading - edge_at(bands, band - 1)->high;
	}
	if (band + 1 < count) {
		upper = !is_below(edge_at(bands, band), reading, expanded);
		to_below = edge_at(bands, band)->low - reading;
	}
	verdict->margin = fmax(fmin(to_from, to_below), 0);
	verdict->close = lower || upper;
	if (!verdict->close)
		return;
	find_other(verdict, bands, lower, upper, reading);
	verdict->by_rig = could_be_clear(bands, count, reading, expanded);
}
