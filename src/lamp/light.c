/* What was seen of the lamps of a recording: each by itself, then together.
 * Light and dark are left to lamp/segment.c, patterns to lamp/judge.c. */
#include <lampwright/light.h>

#include "base/arena.h"
#include "base/err.h"
#include "lamp/canonical.h"
#include "lamp/runs.h"
#include "lamp/sight.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Stretches that are given; a long recording has more of the same. */
#define STRETCHES_MAX 4000

static enum lw_status
check_series(const struct lw_series *series, struct lw_err *err)
{
	size_t i, all = series->count * series->lamp_count;

	if (series->count < 2 || series->count > LW_SERIES_MAX ||
	    series->lamp_count < 1 || series->lamp_count > LW_SERIES_LAMPS_MAX)
		return err_set(err, LW_BAD_INPUT,
		    "a recording has 2 to %u rows and 1 to %d lamps",
		    LW_SERIES_MAX, LW_SERIES_LAMPS_MAX);
	for (i = 0; i < series->count; i++)
		if (!isfinite(series->seconds[i]) ||
		    (i > 0 && series->seconds[i] <= series->seconds[i - 1]))
			return err_set(err, LW_BAD_INPUT,
			    "the times of a recording have to rise from row "
			    "to row");
	for (i = 0; i < all; i++)
		if (!isfinite(series->levels[i]))
			return err_set(err, LW_BAD_INPUT,
			    "a level of the recording is not a number");
	return LW_OK;
}

/* Runs that all lamps together are judged by, so that many lamps do not take
 * many times as long. */
#define RUNS_TOGETHER (2 * ALIGN_RUNS_MAX)

/* Dark shorter than this is not seen by the eye: pulses that dim a lamp come
 * 45 times a second and more (common practice). */
#define UNSEEN_S 0.02

/* Join flashes that only pulses part, in place; keep the rest. */
static void
join_pulses(struct lamp_runs *runs, struct lw_arena *arena, bool *failed)
{
	struct lamp_run *run = arena_array(arena, runs->count, sizeof *run);
	size_t i, kept = 0, unseen = 0;

	*failed = run == NULL;
	if (run == NULL)
		return;
	for (i = 1; i + 1 < runs->count; i++)
		unseen += !runs->runs[i].on &&
			  runs->runs[i].to_s - runs->runs[i].from_s < UNSEEN_S;
	/* One alone is a slip of the segmentation. */
	if (unseen < 2)
		return;
	for (i = 0; i < runs->count; i++) {
		const struct lamp_run *one = &runs->runs[i];

		if (kept > 0 && i + 1 < runs->count && !one->on &&
		    one->to_s - one->from_s < UNSEEN_S) {
			run[kept - 1].to_s = runs->runs[i + 1].to_s;
			run[kept - 1].spread_s = runs->runs[i + 1].spread_s;
			i++;
			continue;
		}
		run[kept++] = *one;
	}
	runs->runs = run;
	runs->count = kept;
}

static void
take_sightings(
    struct sightings *seen, const struct lamp_runs *runs, size_t lamps)
{
	size_t i, most = RUNS_TOGETHER / lamps;

	if (most > ALIGN_RUNS_MAX)
		most = ALIGN_RUNS_MAX;
	seen->count = runs->count < most ? runs->count : most;
	seen->taps = false;
	seen->first_open = true;
	seen->last_open = seen->count == runs->count;
	seen->step_s = runs->step_s;
	seen->lost = runs->lost;
	for (i = 0; i < seen->count; i++) {
		const struct lamp_run *run = &runs->runs[i];

		seen->items[i].length_s = fmax(run->to_s - run->from_s, 1e-6);
		seen->items[i].variance = run->spread_s * run->spread_s;
		seen->items[i].on = run->on;
	}
}

static enum lw_status
read_lamp(struct lw_sight *sight, struct lw_arena *arena,
    const struct lw_series *series, size_t lamp, struct judgement *judgement,
    const struct lw_known_lamp *known, struct lw_err *err)
{
	struct sighting items[ALIGN_RUNS_MAX];
	struct sightings seen = {.items = items};
	struct lw_stretch *stretches;
	struct lamp_runs runs;
	enum lw_status status;
	size_t i, count;
	bool failed;

	if (series->lamps != NULL)
		sight->lamp = series->lamps[lamp];
	status = segment_light(&runs, arena, series->seconds,
	    series->levels + lamp * series->count, series->count, err);
	if (status != LW_OK)
		return status;
	join_pulses(&runs, arena, &failed);
	if (failed)
		return err_no_memory(err);
	count = runs.count < STRETCHES_MAX ? runs.count : STRETCHES_MAX;
	stretches = arena_array(arena, count, sizeof *stretches);
	if (stretches == NULL)
		return err_no_memory(err);
	for (i = 0; i < count; i++) {
		stretches[i].from_s = runs.runs[i].from_s;
		stretches[i].to_s = runs.runs[i].to_s;
		stretches[i].on = runs.runs[i].on;
		stretches[i].open = i == 0 || i + 1 == runs.count;
	}
	if (runs.count < 3)
		return sight_make_steady(
		    sight, arena, &runs, stretches, count, err);
	take_sightings(&seen, &runs, series->lamp_count);
	status = judge_sightings(judgement, &seen, known, err);
	if (status != LW_OK)
		return status;
	return sight_make(sight, arena, judgement, &seen, &runs, stretches,
	    count, known, err);
}

/* What all lamps together show, taking of each the one that is asked for:
 * 0 its pattern (or likeliest other), 1 its second, and so on. False: there
 * is none. */
static bool
join(struct lw_also *to, const struct lw_seen *seen, const size_t *which)
{
	struct canonical all, one;
	struct lw_pattern pattern;
	size_t i;

	memset(&all, 0, sizeof all);
	to->confidence = 1;
	for (i = 0; i < seen->lamp_count; i++) {
		const struct lw_sight *sight = &seen->lamps[i];
		bool has_text = sight->text[0] != '\0';
		const char *text = sight->text;
		double confidence = sight->confidence;

		if (which[i] > 0 || !has_text) {
			size_t also = which[i] - (has_text ? 1 : 0);

			if (also >= sight->also_count)
				return false;
			text = sight->also[also].text;
			confidence = sight->also[also].confidence;
		}
		if (sight->lamp == NULL || !canonical_parse(&one, text) ||
		    one.count != 1)
			return false;
		all.lamps[i] = one.lamps[0];
		strncpy(all.lamps[i].lamp, sight->lamp, LAMP_NAME_MAX);
		to->confidence *= confidence;
	}
	all.count = seen->lamp_count;
	if (!canonical_write(&pattern, &all))
		return false;
	memcpy(to->text, pattern.text, sizeof to->text);
	return true;
}

static void
put_also(struct lw_seen *seen, const struct lw_also *also)
{
	size_t at = seen->also_count;

	while (at > 0 && seen->also[at - 1].confidence < also->confidence)
		at--;
	if (at >= LW_ALSO_MAX)
		return;
	if (seen->also_count < LW_ALSO_MAX)
		seen->also_count++;
	memmove(&seen->also[at + 1], &seen->also[at],
	    (seen->also_count - at - 1) * sizeof *also);
	seen->also[at] = *also;
}

static void
see_together(struct lw_seen *seen)
{
	size_t which[LW_SERIES_LAMPS_MAX] = {0}, i;
	struct lw_also joined;
	bool decided = true;

	for (i = 0; i < seen->lamp_count; i++)
		decided = decided && seen->lamps[i].text[0] != '\0';
	seen->coding = LW_CODING_LAMPS;
	if (join(&joined, seen, which)) {
		if (decided) {
			memcpy(seen->text, joined.text, sizeof seen->text);
			seen->confidence = joined.confidence;
		} else
			put_also(seen, &joined);
	}
	for (i = 0; i < seen->lamp_count; i++) {
		which[i] = 1;
		if (join(&joined, seen, which) && joined.confidence >= 0.005)
			put_also(seen, &joined);
		which[i] = 0;
	}
}

enum lw_status
lw_light_read(const struct lw_seen **seen, struct lw_arena *arena,
    const struct lw_series *series, const struct lw_known_lamp *known,
    struct lw_err *err)
{
	struct lw_seen *made = arena_alloc(arena, sizeof *made);
	struct judgement *judgement = malloc(sizeof *judgement);
	struct lw_sight *lamps = NULL;
	enum lw_status status = check_series(series, err);
	bool flashes = false;
	size_t i;

	if (status != LW_OK)
		goto out;
	lamps = arena_array(arena, series->lamp_count, sizeof *lamps);
	if (made == NULL || judgement == NULL || lamps == NULL) {
		status = err_no_memory(err);
		goto out;
	}
	made->lamps = lamps;
	made->lamp_count = series->lamp_count;
	for (i = 0; i < series->lamp_count; i++) {
		status = read_lamp(&lamps[i], arena, series, i, judgement,
		    known == NULL ? NULL : &known[i], err);
		if (status != LW_OK && status != LW_UNDECIDED)
			goto out;
		if (lamps[i].watch_s > made->watch_s)
			made->watch_s = lamps[i].watch_s;
		if (lamps[i].stretch_count > 2 &&
		    (!flashes || lamps[i].cycles < made->cycles))
			made->cycles = lamps[i].cycles;
		flashes = flashes || lamps[i].stretch_count > 2;
	}
	if (series->lamp_count > 1)
		see_together(made);
	else {
		memcpy(made->text, lamps->text, sizeof made->text);
		memcpy(made->also, lamps->also, sizeof made->also);
		made->also_count = lamps->also_count;
		made->coding = lamps->coding;
		made->confidence = lamps->confidence;
	}
	*seen = made;
	status = made->text[0] == '\0' ? LW_UNDECIDED : LW_OK;
out:
	free(judgement);
	return status;
}
