/*
 * How well a cycle explains a series of runs: the runs are laid along the
 * cycle, which repeats, begins anywhere, and may lose, double or add a flash
 * here and there. All ways of laying them are summed (the forward pass of a
 * hidden Markov model: Rabiner, Proceedings of the IEEE 77, 1989); the best
 * one (its Viterbi path) says which run is what.
 */
#ifndef LAMP_ALIGN_H
#define LAMP_ALIGN_H

#include "lamp/cycle.h"

#include <stdbool.h>
#include <stddef.h>

#define ALIGN_RUNS_MAX 600
/* A length that may be any is alike by its logarithm, from 10 ms to 30 s:
 * ln(3000). */
#define ANY_LENGTH 8.0

/* A run as it was seen. Of taps: the time from one to the next. */
struct sighting {
	double length_s;
	double variance; /* of its length, from how well its ends are known */
	bool on;	 /* lit; of taps never */
};

struct sightings {
	struct sighting *items;
	size_t count;
	bool taps;
	bool first_open; /* began before the first sample */
	bool last_open;
	double step_s; /* usual time between samples */
	double lost;   /* share of samples that are missing */
};

/* Whether a sighting began before the first sample or ended after the last,
 * so that its length is the least that it can be. */
static inline bool
sightings_open(const struct sightings *seen, size_t i)
{
	return (i == 0 && seen->first_open) ||
	       (i + 1 == seen->count && seen->last_open);
}

/* How long the parts are, and how true the lamp, or the hand, is to that. */
struct tempo {
	double mean_s[PART_KINDS];
	double jitter;	/* standard deviation as share of a part's length */
	double floor_s; /* standard deviation besides, s */
};

/* What one sighting was taken for. */
struct mark {
	unsigned short part; /* index in the cycle of the first part */
	unsigned char parts; /* how many it holds; 0: fits nowhere */
	bool piece;	     /* a piece of that part, seen more than once */
	bool whole;	     /* it is that one part, and nothing else */
};

/* Room for the work on sightings, made once. */
struct align_room;

/* NULL: memory has run out. Freed by align_room_free (accepts NULL). */
struct align_room *align_room_new(void);
void align_room_free(struct align_room *room);

/* Whether memory has run out since. */
bool align_room_failed(const struct align_room *room);

/*
 * The logarithm of how likely the sightings are, a density over their lengths
 * in seconds: over all ways of laying them (`sums`), or the best one, which is
 * quicker. marks: one for each sighting, or NULL. -INFINITY where the cycle
 * cannot be laid.
 */
double align_cycle(struct align_room *room, struct mark *marks, bool sums,
    const struct sightings *seen, const struct cycle *cycle,
    const struct tempo *tempo);

/*
 * A first look at a cycle that is believed in by so much (a logarithm): the
 * best way and the belief, or -INFINITY where it soon falls far behind a cycle
 * that was looked at before. Until align_look_over all looks are at the same
 * sightings.
 */
double align_look(struct align_room *room, const struct sightings *seen,
    const struct cycle *cycle, const struct tempo *tempo, double belief);
void align_look_over(struct align_room *room);

/* The same for no cycle at all: every run of any length, or, of many runs,
 * about a length of its own, in any order. */
double align_nothing(const struct sightings *seen);

#endif
