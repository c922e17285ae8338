/* Light and dark from levels. First sketch: halfway between the extremes. */
#include "lamp/runs.h"

#include "base/arena.h"
#include "base/err.h"

#include <string.h>

enum lw_status
segment_light(struct lamp_runs *runs, struct lw_arena *arena,
    const double *seconds, const double *levels, size_t count,
    struct lw_err *err)
{
	struct lamp_run *run;
	double low = levels[0], high = levels[0];
	size_t i, n = 0;

	memset(runs, 0, sizeof *runs);
	for (i = 0; i < count; i++) {
		low = levels[i] < low ? levels[i] : low;
		high = levels[i] > high ? levels[i] : high;
	}
	run = arena_array(arena, count, sizeof *run);
	if (run == NULL)
		return err_no_memory(err);
	for (i = 0; i < count; i++) {
		bool on = levels[i] > (low + high) / 2;

		if (i == 0 || on != run[n - 1].on) {
			run[n].on = on;
			run[n].from_s = i > 0
					    ? (seconds[i - 1] + seconds[i]) / 2
					    : seconds[0];
			run[n].spread_s =
			    i > 0 ? (seconds[i] - seconds[i - 1]) * 0.4 : 0;
			if (n > 0)
				run[n - 1].to_s = run[n].from_s;
			n++;
		}
	}
	run[n - 1].to_s = seconds[count - 1];
	runs->runs = run;
	runs->count = n;
	runs->step_s =
	    count > 1 ? (seconds[count - 1] - seconds[0]) / (double)(count - 1)
		      : 0;
	runs->clear = high > low ? 10 : 0;
	runs->dim = low;
	runs->bright = high;
	return LW_OK;
}
