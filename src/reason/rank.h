/* Sorting by a number, quickly and always the same way. */
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
