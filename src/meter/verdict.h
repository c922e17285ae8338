/*
 * Which band a reading is in, by the guard-band rule of ISO 14253-1: a reading
 * y is in a band only where y - U and y + U both are, U being its expanded
 * uncertainty. Otherwise it is too close to call.
 */
#ifndef METER_VERDICT_H
#define METER_VERDICT_H

#include <stdbool.h>
#include <stddef.h>

/* One end of a band. `low` < `high` where a value behind it is not known:
 * then no reading between the two can be told. */
struct verdict_edge {
	bool there; /* false: the band has no such end */
	double low;
	double high;
};

/* From `from` (included) to `below` (not). Bands come from the lowest to the
 * highest, meet, and cover every number; what their ends can be rises from one
 * to the next, at the low and at the high side. */
struct verdict_band {
	struct verdict_edge from;
	struct verdict_edge below;
};

struct verdict {
	size_t band;   /* the band; where it is too close, the one that the
			* reading itself falls into (by the middle of an
			* end that is not known) */
	bool close;    /* too close to call */
	size_t other;  /* then: the nearest other one that it may be */
	double edge;   /* then: the end that it is too close to (the middle of
			* one that is not known) */
	bool by_rig;   /* then: it can become clear by knowing all values;
			* where `margin` is above 0, by a better reading too */
	double margin; /* a U below this would be clear: how far the reading
			* is from the ends of its band; 0 where no U would do,
			* infinite where there is no end */
};

/* `expanded` is U, 0 where nothing is known of the meter; a reading of
 * +infinity (OL) is in the highest band, clearly. At least one band; no NaN. */
void verdict_judge(struct verdict *verdict, const struct verdict_band *bands,
    size_t count, double reading, double expanded);

#endif
