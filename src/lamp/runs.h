/* Stretches of light and dark, as the segmentation gives them and the decoder
 * takes them. */
#ifndef LAMP_RUNS_H
#define LAMP_RUNS_H

#include <lampwright/arena.h>
#include <lampwright/status.h>

#include <stdbool.h>
#include <stddef.h>

struct lamp_run {
	double from_s;
	double to_s;
	double spread_s; /* standard deviation of its length, from how well its
			  * two ends are known; 0 at an end that is open */
	bool on;
};

/* On and off in turn. The first began before the series, the last ended after
 * it: both are open. One run alone: the level never changes. */
struct lamp_runs {
	const struct lamp_run *runs;
	size_t count;
	double step_s; /* usual time from one sample to the next */
	double lost;   /* share of samples that are missing, 0 to 1 */
	double clear;  /* swing over noise (standard deviation of one sample);
			* 0: no change that stands out of the noise */
	double dim;    /* mean level while dark, and while lit */
	double bright;
	double ripple_hz; /* a ripple or PWM that was taken out; else 0 */
	bool drifts;	  /* the level drifts by more than half of the swing */
};

/*
 * Light and dark from a series of levels: two levels that may drift slowly,
 * told apart by a two-state Viterbi pass. seconds rise, all is finite. The
 * runs live in the arena. LW_NO_MEMORY.
 */
enum lw_status segment_light(struct lamp_runs *runs, struct lw_arena *arena,
    const double *seconds, const double *levels, size_t count,
    struct lw_err *err);

#endif
