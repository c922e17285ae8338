/* The values of a rig: all that there are, and what they come to. */
#ifndef BOOK_RIG_VALUES_H
#define BOOK_RIG_VALUES_H

#include "book/store.h"

#include <lampwright/rig.h>

struct rig_values {
	const struct lw_value *const *items;
	size_t count;
};

/* All that can be said of a rig, as lw_rig_values gives it. */
enum lw_status rig_values_all(struct rig_values *values, struct lw_book *book,
    struct lw_arena *arena, struct lw_err *err);
/* NULL: there is none of that id. */
const struct lw_value *rig_values_find(
    const struct rig_values *values, const char *id);

/*
 * What each value comes to on the rig whose facts are read: what was said,
 * with its tolerance; what is worked out from that; what is usual. What cannot
 * be read, or is not plausible, is not known.
 */
enum lw_status rig_values_resolve(struct lw_rig *rig,
    const struct rig_values *values, struct lw_arena *arena,
    struct lw_err *err);

#endif
