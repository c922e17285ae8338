/* Timing of a call that is short: the best of several batches. */
#ifndef BENCH_TIMING_H
#define BENCH_TIMING_H

#include <time.h>

static inline double
seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

/* Seconds a call: the best of five batches of at least 50 ms. */
static inline double
time_of(void (*call)(void))
{
	double best = 1e9, began, took;
	long i, batch = 1;
	int round;

	for (;;) {
		began = seconds();
		for (i = 0; i < batch; i++)
			call();
		took = seconds() - began;
		if (took > 0.05)
			break;
		batch *= 2;
	}
	for (round = 0; round < 5; round++) {
		began = seconds();
		for (i = 0; i < batch; i++)
			call();
		took = (seconds() - began) / (double)batch;
		if (took < best)
			best = took;
	}
	return best;
}

#endif
