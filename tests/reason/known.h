/* The best trees known of tables that are too large to be gone through. */
#ifndef TESTS_REASON_KNOWN_H
#define TESTS_REASON_KNOWN_H

#include "reason/tables.h"

struct known_grid {
	enum grid_kind kind;
	size_t causes;
	size_t checks;
	uint64_t seed;
	double cost;
	bool optimal; /* proved to be */
};

/* NULL: nothing is known of it. */
const struct known_grid *known_find(const struct grid_how *how);

#endif
