/* What was seen of the lamps of a recording. First sketch: counts alone. */
#include <lampwright/light.h>

#include "base/arena.h"
#include "base/err.h"
#include "lamp/runs.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static enum lw_status
sketch(struct lw_seen *seen, struct lw_arena *arena,
    const struct lamp_runs *runs, struct lw_err *err)
{
	struct lw_sight *sight = arena_alloc(arena, sizeof *sight);
	struct lw_stretch *to = arena_array(arena, runs->count + 1, sizeof *to);
	double least = 1e9, most = 0, cut;
	size_t i, flashes = 0;

	if (sight == NULL || to == NULL)
		return err_no_memory(err);
	for (i = 1; i + 1 < runs->count; i++) {
		double s = runs->runs[i].to_s - runs->runs[i].from_s;

		if (!runs->runs[i].on) {
			least = s < least ? s : least;
			most = s > most ? s : most;
		}
	}
	cut = sqrt(least * most);
	for (i = 0; i < runs->count; i++) {
		const struct lamp_run *run = &runs->runs[i];
		bool pause = !run->on && run->to_s - run->from_s > cut;

		to[i].from_s = run->from_s;
		to[i].to_s = run->to_s;
		to[i].on = run->on;
		to[i].open = i == 0 || i + 1 == runs->count;
		to[i].kind = run->on ? LW_STRETCH_FLASH
			     : pause ? LW_STRETCH_PAUSE
				     : LW_STRETCH_GAP;
		if (run->on)
			flashes++;
		if (pause && i > 0 && i + 1 < runs->count) {
			if (sight->cycles > 0)
				snprintf(sight->text, sizeof sight->text, "%zu",
				    flashes);
			sight->cycles++;
			flashes = 0;
		}
	}
	if (sight->cycles > 0)
		sight->cycles--;
	sight->stretches = to;
	sight->stretch_count = runs->count;
	sight->coding = LW_CODING_COUNT;
	sight->dim = runs->dim;
	sight->bright = runs->bright;
	seen->lamps = sight;
	seen->lamp_count = 1;
	if (sight->text[0] == '\0')
		return LW_UNDECIDED;
	sight->confidence = 0.9;
	memcpy(seen->text, sight->text, sizeof seen->text);
	seen->coding = sight->coding;
	seen->confidence = sight->confidence;
	seen->cycles = sight->cycles;
	return LW_OK;
}

enum lw_status
lw_light_read(const struct lw_seen **seen, struct lw_arena *arena,
    const struct lw_series *series, const struct lw_known_lamp *known,
    struct lw_err *err)
{
	struct lw_seen *made = arena_alloc(arena, sizeof *made);
	struct lamp_runs runs;
	enum lw_status status;

	(void)known;
	if (made == NULL)
		return err_no_memory(err);
	*seen = made;
	status = segment_light(
	    &runs, arena, series->seconds, series->levels, series->count, err);
	return status != LW_OK ? status : sketch(made, arena, &runs, err);
}

enum lw_status
lw_taps_read(const struct lw_seen **seen, struct lw_arena *arena,
    const double *seconds, size_t count, double until_s,
    const struct lw_known_lamp *known, struct lw_err *err)
{
	struct lw_seen *made = arena_alloc(arena, sizeof *made);
	struct lamp_run *run = arena_array(arena, 2 * count + 1, sizeof *run);
	struct lamp_runs runs;
	size_t i;

	(void)known;
	if (made == NULL || run == NULL)
		return err_no_memory(err);
	*seen = made;
	if (count == 0)
		return LW_UNDECIDED;
	memset(&runs, 0, sizeof runs);
	for (i = 0; i < count; i++) {
		run[2 * i].from_s = seconds[i];
		run[2 * i].to_s = seconds[i] + 0.1;
		run[2 * i].on = true;
		run[2 * i + 1].from_s = seconds[i] + 0.1;
		run[2 * i + 1].to_s =
		    i + 1 < count ? seconds[i + 1] : fmax(until_s, seconds[i]);
	}
	runs.runs = run;
	runs.count = 2 * count;
	return sketch(made, arena, &runs, err);
}
