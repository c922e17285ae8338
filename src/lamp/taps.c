/* What somebody tapped along with a lamp says. Everything after the times
 * between taps is shared with recordings (lamp/judge.c). */
#include <lampwright/light.h>

#include "base/arena.h"
#include "base/err.h"
#include "lamp/sight.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A second touch this soon is the finger or the key bouncing. The fastest
 * free tapping is 5.5 to 6 a second. */
#define BOUNCE_S 0.07

static enum lw_status
check_taps(const double *seconds, size_t count, struct lw_err *err)
{
	size_t i;

	if (count > LW_TAPS_MAX)
		return err_set(err, LW_TOO_BIG,
		    "there are more than %d taps; the last few groups will do",
		    LW_TAPS_MAX);
	for (i = 0; i < count; i++)
		if (!isfinite(seconds[i]) ||
		    (i > 0 && seconds[i] < seconds[i - 1]))
			return err_set(err, LW_BAD_INPUT,
			    "the times of taps have to rise");
	return LW_OK;
}

/* The times between taps, without bounces, the newest of them; and the time
 * since the last, where it says anything. */
static size_t
take_intervals(struct sightings *seen, struct lw_stretch *stretches,
    const double *seconds, size_t count, double until_s)
{
	size_t i, kept = 0, first = 0;
	bool after =
	    count > 0 && isfinite(until_s) && until_s > seconds[count - 1];

	if (count > ALIGN_RUNS_MAX - 1)
		first = count - (ALIGN_RUNS_MAX - 1);
	for (i = first; i < count; i++) {
		double next = i + 1 < count ? seconds[i + 1]
			      : after	    ? until_s
					    : seconds[i];

		/* A bounce is left out, its time kept. */
		if (kept == 0 ||
		    seconds[i] - stretches[kept - 1].from_s >= BOUNCE_S)
			stretches[kept++].from_s = seconds[i];
		stretches[kept - 1].to_s = next;
	}
	if (kept > 0 && after)
		stretches[kept - 1].open = true;
	else if (kept > 0)
		kept--;
	seen->count = kept;
	seen->taps = true;
	seen->first_open = false;
	seen->last_open = kept > 0 && after;
	for (i = 0; i < kept; i++)
		seen->items[i].length_s =
		    stretches[i].to_s - stretches[i].from_s;
	return kept;
}

static enum lw_status
too_few(struct lw_sight *sight, struct lw_arena *arena, size_t count,
    struct lw_err *err)
{
	const char **remarks = arena_array(arena, 1, sizeof *remarks);

	if (remarks == NULL)
		return err_no_memory(err);
	remarks[0] = count == 0
			 ? "There is no tap yet; tap once with every flash."
			 : "One tap says nothing yet; tap once with every "
			   "flash, for two or three groups.";
	sight->remarks = remarks;
	sight->remark_count = 1;
	sight->watch_s = 5;
	return LW_UNDECIDED;
}

static enum lw_status
read_taps(struct lw_sight *sight, struct lw_arena *arena,
    struct judgement *judgement, const double *seconds, size_t count,
    double until_s, const struct lw_known_lamp *known, struct lw_err *err)
{
	struct sighting items[ALIGN_RUNS_MAX];
	struct sightings seen = {.items = items};
	struct lw_stretch *stretches =
	    arena_array(arena, count + 1, sizeof *stretches);
	enum lw_status status;
	size_t kept;

	if (stretches == NULL)
		return err_no_memory(err);
	memset(items, 0, sizeof items);
	kept = take_intervals(&seen, stretches, seconds, count, until_s);
	if (kept < (seen.last_open ? 2u : 1u)) {
		sight->stretches = stretches;
		sight->stretch_count = kept;
		return too_few(sight, arena, count, err);
	}
	status = judge_sightings(judgement, &seen, known, err);
	if (status != LW_OK)
		return status;
	return sight_make(
	    sight, arena, judgement, &seen, NULL, stretches, kept, known, err);
}

enum lw_status
lw_taps_read(const struct lw_seen **seen, struct lw_arena *arena,
    const double *seconds, size_t count, double until_s,
    const struct lw_known_lamp *known, struct lw_err *err)
{
	struct lw_seen *made = arena_alloc(arena, sizeof *made);
	struct lw_sight *sight = arena_alloc(arena, sizeof *sight);
	struct judgement *judgement = malloc(sizeof *judgement);
	enum lw_status status = check_taps(seconds, count, err);

	if (made == NULL || sight == NULL || judgement == NULL)
		status = err_no_memory(err);
	if (status == LW_OK)
		status = read_taps(sight, arena, judgement, seconds, count,
		    until_s, known, err);
	free(judgement);
	if (status != LW_OK && status != LW_UNDECIDED)
		return status;
	made->lamps = sight;
	made->lamp_count = 1;
	memcpy(made->text, sight->text, sizeof made->text);
	memcpy(made->also, sight->also, sizeof made->also);
	made->also_count = sight->also_count;
	made->coding = sight->coding;
	made->confidence = sight->confidence;
	made->cycles = sight->cycles;
	made->watch_s = sight->watch_s;
	*seen = made;
	return status;
}
