/* The parts of the segmentation, lent to each other and to its tests. */
#ifndef LAMP_SEGMENT_H
#define LAMP_SEGMENT_H

#include "lamp/runs.h"

/* A series of levels as the segmentation works on it: as recorded, or means
 * over bins. */
struct segment_series {
	const double *seconds; /* of a bin: its middle */
	const double *levels;
	size_t count;
	double step_s; /* usual time from one to the next */
	double lost;   /* share that is missing */
	bool bins;     /* each level is the mean over a whole step */
};

/* What is taken to be true of a series. */
struct segment_model {
	double swing;	    /* lit less dark */
	double spread[2];   /* standard deviation while dark, and while lit */
	double drift;	    /* variance that the level gains in a second */
	double swing_drift; /* the same of the swing */
	double odd;	    /* no sample costs more, in nats: a hand across the
			     * lens gives any level */
};

/* Room to work in, each of `count` items. */
struct segment_room {
	unsigned char *states; /* 0 dark, 1 lit */
	unsigned char *best;
	double *base;  /* dark level at each sample */
	double *swing; /* lit less dark */
	double *kept;  /* 3 a sample */
	double *spare;
};

/* Usual step, share that is missing. `spare` holds count items. */
void segment_steps(struct segment_series *series, double *spare);

/* The item of a rank, from 0; the order of the items is lost. */
double segment_rank(double *items, size_t count, size_t rank);

/* Pieces of a long series, `most` samples in all, one after the other: those
 * where most goes on, and some of the others. */
enum lw_status segment_sample(struct segment_series *sample,
    struct lw_arena *arena, const struct segment_series *series, size_t most,
    struct lw_err *err);

/* The frequency of a ripple that is too fast for the eye, or 0; below 0:
 * memory has run out. `spare` holds count items. */
double segment_ripple(const struct segment_series *series,
    struct lw_arena *arena, double *spare, struct lw_err *err);

/* Means over bins of a width, as a series of its own. */
enum lw_status segment_bins(struct segment_series *bins, struct lw_arena *arena,
    const struct segment_series *series, double wide_s, struct lw_err *err);

/* Find a wave in what is left of the levels (`rest`), and take it off them.
 * Returns its frequency; 0: there is none; below 0: memory has run out. */
double segment_beat(double *levels, const struct segment_series *series,
    const double *rest, struct lw_arena *arena, struct lw_err *err);

/* What a change from dark to light or back costs over a time, in nats, and at
 * least from one sample to the next: so much that one sample alone is no
 * flash, or so little that it is. */
#define SEGMENT_SLOW 3.0
#define SEGMENT_QUICK 2.2
double segment_cost(double seconds, double step_s, double least);

/*
 * The cheapest path through two states of given levels: each sample costs
 * half its squared distance from its level in standard deviations and the
 * logarithm of the deviation, at most `odd`; a change costs[i] between
 * samples i - 1 and i. Returns what the path costs.
 */
double segment_viterbi(unsigned char *states, const double *levels,
    size_t count, const double *dim, const double *bright,
    const double spread[2], double odd, const double *costs);

/* The cheapest path where each way of reading the past follows the levels by
 * itself (per-survivor processing: Raheli, Polydoros and Tzou 1995). Returns
 * what it costs. */
double segment_track(unsigned char *states, const struct segment_series *series,
    const struct segment_model *model);

/* What samples in known states cost where the levels are followed. *odd: how
 * much larger their variance is than the model says. */
double segment_weigh(double *odd, const unsigned char *states,
    const struct segment_series *series, const struct segment_model *model);

/* What room->states cost, with their changes. */
double segment_price(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model);

/* Follow the levels through room->states, forwards and back: sets room->base
 * and room->swing. */
void segment_follow(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model);

/* From the lowest level (*low) to the highest, odd ones apart. `spare` holds
 * count items. */
double segment_range(
    double *low, const double *levels, size_t count, double *spare);

/* How large things are in a series. */
struct segment_scale {
	double range;
	double noise; /* of one sample */
	double least; /* no noise is taken to be smaller */
	double odd;   /* what an odd sample costs */
	double lit;   /* spread while lit over the swing; 0: as while dark */
};

/* At least 3 samples. `spare` holds count items. */
void segment_measure(struct segment_scale *scale,
    const struct segment_series *series, double *spare);

/* Fit one level, or two, whose drift and spread are not known. Returns what
 * the series costs then, in nats; room->states, base and swing say how. */
double segment_fit_one(struct segment_model *model,
    const struct segment_room *room, const struct segment_series *series,
    const struct segment_scale *scale);
double segment_fit_two(struct segment_model *model,
    const struct segment_room *room, const struct segment_series *series,
    const struct segment_scale *scale);

/* Fit one level that drifts as a model of two does. */
double segment_fit_none(struct segment_model *model,
    const struct segment_room *room, const struct segment_series *series,
    const struct segment_scale *scale);

/* States and levels of a series that a model fits, of which nothing else is
 * known. */
void segment_track_by(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model);

/* How many changes room->states has, and how sharp they are on the whole: what
 * differs from just before to just after, over the swing; 0 to 1. */
size_t segment_count_changes(double *sharp, const struct segment_room *room,
    const struct segment_series *series);

/* Better states by the levels before and after; false where none moved. */
bool segment_again(const struct segment_room *room,
    const struct segment_series *series, const struct segment_model *model,
    double least);

/* Leave out flashes and gaps of one sample where they are shorter than the
 * others; states are those of a quick path. */
void segment_leave_odd(
    const struct segment_room *room, const struct segment_series *series);

/* Runs from states, their edges as well as they can be known. */
enum lw_status segment_runs(struct lamp_runs *runs, struct lw_arena *arena,
    const struct segment_room *room, const struct segment_series *series,
    const struct segment_model *model, double from_s, double to_s,
    struct lw_err *err);

#endif
