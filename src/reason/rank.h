/* Sorting by a number, quickly and always the same way. Method: radix sort, the
 * lowest digit first (Knuth, volume 3, 5.2.5). */
#ifndef REASON_RANK_H
#define REASON_RANK_H

#include <stddef.h>

struct rank {
	double key; /* 0 or more; +infinity is fine, NaN is not */
	size_t at;
};

/* The largest key first; equal ones stay as they stand. `room` has place for
 * as many. */
void rank_falling(struct rank *items, struct rank *room, size_t count);

#endif
