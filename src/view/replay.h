/* The parts of a replay: its words and its two drawings. */
#ifndef VIEW_REPLAY_H
#define VIEW_REPLAY_H

#include "base/buf.h"
#include "view/parts.h"
#include "view/replay_time.h"

/* One of the lamps that are shown side by side. */
struct replay_lamp {
	const struct shown *shown;
	const struct lw_lamp *lamp; /* of the device; NULL: not known */
	const char *title;	    /* NULL where one lamp is all there is */
	const char *fill;	    /* how it is drawn, "#ffb52e" */
	struct replay_timing timing;
	struct replay_track track;
};

struct replay {
	struct replay_lamp lamps[LAMPS_MAX];
	size_t count;
	double slower; /* than they are; 1: as they are */
	bool plays;    /* one of them flashes */
	bool playing;  /* and is shown flashing */
};

/* "three flashes, a short gap, two flashes, a pause". */
void replay_add_words(struct buf *words, const struct shown *shown);

/* "flash 0.25 s, gap 0.25 s, pause 1.5 s": what the cycle has of them. */
void replay_add_times(struct buf *words, const struct replay_lamp *lamp);

/* A number of seconds as it is shown: three digits. */
void replay_add_number(struct buf *words, double value);

/* The lamps side by side, at `stage`: small enough, all together, to be no
 * flash of WCAG 2.2, 2.3.1 whatever they do. */
void replay_put_stage(
    struct view *view, json_t *object, const struct replay *replay);

/* One cycle, to scale, at `still`. */
void replay_put_still(
    struct view *view, json_t *object, const struct replay *replay);

#endif
