/*
 * Recordings of a lamp, and taps along with it, made by chance from a seed:
 * invented data, whose right answer is known. The levels are what a camera or
 * a logger would see: each is the light within the exposure of its frame, so
 * that frames on an edge are partly lit.
 */
#ifndef TESTS_MAKING_H
#define TESTS_MAKING_H

#include <lampwright/light.h>

#include <stdint.h>
#include <stdio.h>

enum making_start {
	START_IN_PAUSE = 0,
	START_ANYWHERE,
	START_MID_GROUP, /* after the first flash began, before the last ends */
	START_MID_FLASH
};

enum making_flaw {
	FLAW_NONE = 0,
	FLAW_MISSED, /* one flash of one cycle stays dark, or is not tapped */
	FLAW_DOUBLED /* ... is broken in two, or tapped twice */
};

/* All that makes a recording. Shares are of 1, times in seconds. */
struct making {
	uint64_t seed;
	char pattern[LW_PATTERN_MAX]; /* canonical; of a rate hertz and duty
				       * are taken from it */
	double on_s;
	double long_s;
	double gap_s;
	double group_gap_s;
	double pause_s;
	double between_s; /* long-short: dark between runs; 0: as gap_s */
	unsigned cycles;  /* whole ones, between the partial first and last */
	double tail;	  /* share of the last cycle that is seen */
	enum making_start start;
	double jitter; /* standard deviation of a duration, share of it */
	enum making_flaw flaw;

	double frame_hz;
	double exposure; /* share of the frame's time */
	double uneven;	 /* standard deviation of a frame's time, share of it */
	double lost;	 /* share of the frames */
	double noise;	 /* standard deviation of a level, share of the swing */
	double dark;	 /* level */
	double swing;
	double drift; /* added sinus: amplitude, share of the swing */
	double drift_s;
	double reacts;	 /* the exposure falls to 1 / (1 + reacts) while lit */
	double reacts_s; /* time constant */
	double ripple;	 /* amplitude, share of the light */
	double ripple_hz;
	double pwm_hz; /* 0: none */
	double pwm_duty;

	double spread_s; /* standard deviation of a tap while the flashes follow
			  * each other in 0.6 s or faster; grows with it */
};

struct made {
	struct lw_series series;
	double *seconds;
	double *levels;
	char **lamps;
	double until_s;	 /* taps: when it was stopped */
	double period_s; /* of the first lamp, without jitter */
};

/* A recording of one or several lamps. Freed by made_free. False where memory
 * has run out or the pattern is none. */
bool make_recording(struct made *made, const struct making *how);

/* Taps: series.seconds alone. */
bool make_taps(struct made *made, const struct making *how);

void made_free(struct made *made);

/* As CSV, headed by a comment on how it was made. */
void made_write(const struct made *made, const struct making *how, FILE *file);

#endif
