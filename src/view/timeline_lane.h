/* One lamp within one row: its stretches, and what they are counted as. */
#ifndef VIEW_TIMELINE_LANE_H
#define VIEW_TIMELINE_LANE_H

#include "view/timeline.h"

/* A lamp's stretches; of taps with each tap by itself, lit for no time. */
struct timeline_stretches {
	const struct lw_stretch *items;
	size_t count;
};

/* LW_NO_MEMORY. */
enum lw_status timeline_stretches(struct timeline_stretches *stretches,
    struct lw_arena *arena, const struct timeline_source *from, size_t lamp,
    struct lw_err *err);

/* Those that are seen in a row, with its groups. LW_NO_MEMORY. */
enum lw_status timeline_lane(struct timeline_lane *lane, struct lw_arena *arena,
    const struct timeline_row *row, const struct timeline_stretches *of,
    const struct lw_sight *sight, struct lw_err *err);

#endif
