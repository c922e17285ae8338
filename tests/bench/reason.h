/* What the parts of the reasoning's benchmark share. */
#ifndef BENCH_REASON_H
#define BENCH_REASON_H

#include "reason/ratios.h"
#include "reason/tables.h"

struct options {
	bool quick;
	bool known;	/* write the table of best known trees */
	unsigned part;	/* 0: all */
	double seconds; /* for a tree of a large table */
	size_t number;	/* seeds of a large kind of table */
	size_t seeds;	/* of small ones */
};

/* A second of limit on a call. */
struct deadline {
	double until;
};

void fail(const char *text);

/* Seconds that the fixed loop takes; all times are multiples of it too. */
double yardstick(void);

struct reason_limits limits_until(
    struct deadline *deadline, double seconds, size_t bytes);

/* A line on ratios; what is demanded of mean and worst, 0: nothing. */
void show_ratios(const char *name, const struct ratios *ratios,
    double mean_most, double worst_most);

/* A line on times in seconds; the worst may take so long, 0: as it likes. */
void show_times(
    const char *name, const struct ratios *times, double worst_most);

/* A line on one thing that is demanded. */
void show_held(const char *name, bool held);

void bench_plans(const struct options *options);
void bench_setup(const struct options *options);
void bench_noisy(const struct options *options);
void bench_fixing(const struct options *options);
void bench_known(const struct options *options);

#endif
