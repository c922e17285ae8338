/* What the book knows of the lamps that were recorded. */
#ifndef VIEW_WATCH_KNOWN_H
#define VIEW_WATCH_KNOWN_H

#include <lampwright/arena.h>
#include <lampwright/catalogue.h>
#include <lampwright/light.h>

/* A series with the lamps that its columns are. */
struct watch_known {
	struct lw_series series;      /* lamps of the device by their ids */
	size_t lamp_count;	      /* one for taps */
	const struct lw_lamp **lamps; /* NULL: none that is known */
	struct lw_known_lamp *known;
	const char *remark; /* what was not said, or NULL */
};

/*
 * Match the columns of a series, or taps, with the lamps of a device (NULL:
 * nothing is known of it). `lamp`: the lamp that was recorded; of several
 * columns that one alone is left. All lives in the arena. LW_NOT_FOUND: the
 * device or the recording has no such lamp. LW_NO_MEMORY.
 */
enum lw_status watch_know(struct watch_known *known, struct lw_arena *arena,
    const struct lw_series *series, const struct lw_device *device,
    const char *lamp, struct lw_err *err);

#endif
