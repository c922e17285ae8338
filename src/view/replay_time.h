/*
 * When a lamp that shows a pattern is lit and when it is dark: one cycle of
 * it, in order, as it is and as slow as it may be shown.
 */
#ifndef VIEW_REPLAY_TIME_H
#define VIEW_REPLAY_TIME_H

#include "lamp/canonical.h"

#include <lampwright/arena.h>
#include <lampwright/catalogue.h>

#include <stdbool.h>
#include <stddef.h>

/* From the beginning of one flash to the next on a page, at the least: 2.5
 * flashes a second. WCAG 2.2, 2.3.1, allows three in any one second. */
#define REPLAY_APART_S 0.4

/* How long each part lasts, in seconds, and whether the book says so of the
 * lamp, or it is what is usual. */
struct replay_timing {
	double on_s;
	double long_s;
	double gap_s;
	double group_gap_s;
	double pause_s;
	bool known; /* one at least is the lamp's own */
};

enum replay_kind {
	REPLAY_FLASH,
	REPLAY_LONG,
	REPLAY_LIT, /* all the time */
	REPLAY_DARK,
	REPLAY_GAP,
	REPLAY_GROUP_GAP,
	REPLAY_PAUSE
};

struct replay_stretch {
	double seconds;
	enum replay_kind kind;
};

bool replay_is_lit(enum replay_kind kind);

/* One cycle of what a lamp shows, from the beginning of its first code. */
struct replay_track {
	const struct replay_stretch *stretches;
	size_t count;
	double seconds; /* all of it */
	bool steady;	/* one stretch, that never ends */
};

/* What is known of the lamp, or NULL, with what is usual for the rest: longer
 * parts stay longer than shorter ones. */
struct replay_timing replay_timing_of(const struct lw_lamp *lamp);

/* Lay a pattern out in time. LW_NO_MEMORY. */
enum lw_status replay_lay(struct replay_track *track, struct lw_arena *arena,
    const struct shown *shown, const struct replay_timing *timing,
    struct lw_err *err);

/* The shortest time from one flash to the next, round the end too; 0 where the
 * lamp is steady. */
double replay_apart(const struct replay_track *track);

/* By how much it has to be slowed so that flashes are REPLAY_APART_S apart; 1
 * where they are. */
double replay_slower(const struct replay_track *track);

/* A stretch as it is shown, in whole milliseconds, rounded up. */
unsigned long replay_ms(const struct replay_stretch *stretch, double slower);

#endif
