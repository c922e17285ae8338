/* Makes recordings and taps from a seed. What is made, with which timing and
 * how badly, is left to lamp/cells.c. */
#include "lamp/making.h"

#include "lamp/canonical.h"
#include "lamp/chance.h"

#include <stdlib.h>
#include <string.h>

enum { PARTS_MAX = 2 * 8 * 128, STEPS_MAX = 1 << 20 };

#define TURN 6.283185307179586

/* One stretch of light or dark. */
struct part {
	double s;
	bool on;
};

/* One cycle without jitter: begins lit, ends with the pause. */
struct cycle {
	struct part parts[PARTS_MAX];
	size_t count;
	double s;
};

/* Where the light goes on and off: parts[i] begins at from[i]. */
struct track {
	struct part *parts;
	double *from;
	size_t count;
	double begin_s; /* where the recording begins and ends */
	double end_s;
};

static void
add(struct cycle *cycle, double s, bool on)
{
	if (cycle->count == PARTS_MAX)
		return;
	cycle->parts[cycle->count].s = s;
	cycle->parts[cycle->count].on = on;
	cycle->count++;
	cycle->s += s;
}

/* The flashes of a code, each followed by dark; then its pause. */
static void
add_code(struct cycle *cycle, const struct code *code, const struct making *how)
{
	bool digits = code->coding == LW_CODING_DIGITS;
	double between = how->between_s > 0 ? how->between_s : how->gap_s;
	double duty = code->duty > 0 ? code->duty / 100.0 : 0.5;
	double period = code->millihertz > 0 ? 1e3 / code->millihertz : 0;
	size_t i;
	unsigned k;

	if (code->coding == LW_CODING_RATE) {
		add(cycle, period * duty, true);
		add(cycle, period * (1 - duty), false);
		return;
	}
	if (code->coding == LW_CODING_STEADY) {
		add(cycle, how->pause_s, code->lit);
		return;
	}
	for (i = 0; i < code->count; i++) {
		bool last = i + 1 == code->count;
		bool longer = code->runs[i].longer && !digits &&
			      code->coding == LW_CODING_LONG_SHORT;

		for (k = 0; k < code->runs[i].flashes; k++) {
			bool end = k + 1 == code->runs[i].flashes;

			add(cycle, longer ? how->long_s : how->on_s, true);
			add(cycle,
			    !end     ? how->gap_s
			    : last   ? how->pause_s
			    : digits ? how->group_gap_s
				     : between,
			    false);
		}
	}
}

static double
jittered(struct chance *chance, double s, double jitter)
{
	double factor = 1 + jitter * chance_normal(chance);

	return s * (factor < 0.3 ? 0.3 : factor);
}

/* Where in the first cycle the recording begins. */
static double
begin_at(struct chance *chance, const struct cycle *cycle,
    const struct track *track, enum making_start start)
{
	size_t last = cycle->count - 1, flash;
	double pause = track->from[last], end = pause + track->parts[last].s;
	double first = track->parts[0].s;

	switch (start) {
	case START_IN_PAUSE:
		return chance_between(chance, pause, end);
	case START_MID_GROUP:
		return chance_between(chance, pause > first ? first / 2 : 0,
		    pause - track->parts[last - (last > 0)].s / 4);
	case START_MID_FLASH:
		flash = 2 * (size_t)(chance_share(chance) *
				     (double)(cycle->count / 2));
		return track->from[flash] +
		       track->parts[flash].s * chance_between(chance, 0.2, 0.8);
	case START_ANYWHERE:
		break;
	}
	return chance_between(chance, 0, end);
}

/* Spoil one flash of the cycle that begins with part `at`. */
static void
spoil(struct chance *chance, struct track *track, const struct cycle *cycle,
    size_t at, enum making_flaw flaw)
{
	size_t flash = at + 2 * (size_t)(chance_share(chance) *
					 (double)(cycle->count / 2));
	struct part *part = &track->parts[flash];
	double s = part->s;

	if (flaw == FLAW_MISSED) {
		part->on = false;
		return;
	}
	memmove(part + 2, part, (track->count - flash) * sizeof *part);
	track->count += 2;
	part[0].s = s * 0.4;
	part[1].s = s * 0.25;
	part[1].on = false;
	part[2].s = s * 0.35;
}

/* The light's track, at least `reach_s` long: a cycle of which the end is
 * seen, the whole ones, and those of which the beginning is seen. */
static bool
lay(struct track *track, struct chance *chance, const struct cycle *cycle,
    const struct making *how, double reach_s)
{
	size_t cycles = how->cycles + 2, more = (size_t)(reach_s / cycle->s);
	size_t i, k, room, whole, end;
	double at = 0, tail;

	memset(track, 0, sizeof *track);
	if (cycles < more + 2)
		cycles = more + 2;
	room = cycle->count * cycles + 2;
	track->parts = calloc(room, sizeof *track->parts);
	track->from = calloc(room, sizeof *track->from);
	if (track->parts == NULL || track->from == NULL)
		return false;
	for (i = 0; i < cycles; i++)
		for (k = 0; k < cycle->count; k++) {
			struct part *part = &track->parts[track->count++];

			part->s =
			    jittered(chance, cycle->parts[k].s, how->jitter);
			part->on = cycle->parts[k].on;
		}
	end = cycle->count * (how->cycles + 1);
	if (how->flaw != FLAW_NONE && how->cycles > 0 && cycle->count > 1) {
		whole = chance_whole(chance, 1, how->cycles);
		spoil(chance, track, cycle, whole * cycle->count, how->flaw);
		end += how->flaw == FLAW_DOUBLED ? 2 : 0;
	}
	for (i = 0; i < track->count; i++) {
		track->from[i] = at;
		at += track->parts[i].s;
	}
	i = end + cycle->count;
	tail = (i < track->count ? track->from[i] : at) - track->from[end];
	track->begin_s = begin_at(chance, cycle, track, how->start);
	track->end_s = track->from[end] + how->tail * tail;
	return true;
}

static bool
shape(struct cycle *cycle, const struct shown *shown, const struct making *how)
{
	size_t i;

	memset(cycle, 0, sizeof *cycle);
	for (i = 0; i < shown->count; i++)
		add_code(cycle, &shown->codes[i], how);
	return cycle->count > 0 && cycle->s > 0;
}

static void
track_free(struct track *track)
{
	free(track->parts);
	free(track->from);
}

/* --- light -----------------------------------------------------------------
 */

/* Light from one moment of a lit part to another. */
static double
shine(const struct making *how, double from, double to)
{
	double w = TURN * how->ripple_hz, light = to - from, ends[2];
	double t[2] = {from, to};
	int i;

	if (how->pwm_hz > 0) {
		for (i = 0; i < 2; i++) {
			double turns = t[i] * how->pwm_hz, n = floor(turns);

			ends[i] = n + fmin((turns - n) / how->pwm_duty, 1);
		}
		light = (ends[1] - ends[0]) / how->pwm_hz;
	}
	if (how->ripple > 0)
		light += how->ripple * (cos(w * from) - cos(w * to)) / w;
	return light;
}

/* Mean light within an exposure; *at is kept from frame to frame. Before the
 * track begins and after it ends it is dark. */
static double
exposed(const struct track *track, const struct making *how, size_t *at,
    double from, double to)
{
	double light = 0, low, high;
	size_t i;

	while (*at + 1 < track->count && track->from[*at + 1] <= from)
		(*at)++;
	for (i = *at; i < track->count && track->from[i] < to; i++) {
		low = fmax(from, track->from[i]);
		high = fmin(to, track->from[i] + track->parts[i].s);
		if (track->parts[i].on && high > low)
			light += shine(how, low, high);
	}
	return light / (to - from);
}

/* When each frame that is not lost begins, from 0. */
static size_t
frames(double *seconds, struct chance *chance, const struct making *how,
    double length_s)
{
	double step = 1 / how->frame_hz, at;
	size_t i, n = 0, all = (size_t)(length_s / step);

	for (i = 0; i <= all && n < STEPS_MAX; i++) {
		at = (double)i * step;
		if (how->uneven > 0)
			at += step * how->uneven * chance_normal(chance);
		if (chance_share(chance) < how->lost)
			continue;
		if (n > 0 && at <= seconds[n - 1])
			at = seconds[n - 1] + step / 50;
		seconds[n++] = at;
	}
	return n;
}

static void
expose(double *levels, const double *seconds, size_t count,
    struct chance *chance, const struct track *track, const struct making *how)
{
	double open_s = how->exposure / how->frame_hz, gain = 1, light, level;
	double phase = chance_share(chance) * TURN, before = 0;
	size_t i, at = 0;

	for (i = 0; i < count; i++) {
		double t = track->begin_s + seconds[i];

		light = exposed(track, how, &at, t, t + open_s);
		if (how->reacts > 0) {
			double share =
			    1 - exp(-(seconds[i] - before) / how->reacts_s);

			gain += share * (1 / (1 + how->reacts * light) - gain);
		}
		before = seconds[i];
		level = gain * (how->dark + how->swing * light);
		if (how->drift > 0)
			level += how->swing * how->drift *
				 sin(TURN * seconds[i] / how->drift_s + phase);
		level += how->swing * how->noise * chance_normal(chance);
		levels[i] = level;
	}
}

static bool
name(struct made *made, const struct canonical *from)
{
	size_t i, lamps = from->count;

	made->series.lamp_count = lamps;
	if (lamps == 1 && from->lamps[0].lamp[0] == '\0')
		return true;
	made->lamps = calloc(lamps, sizeof *made->lamps);
	for (i = 0; made->lamps != NULL && i < lamps; i++)
		if ((made->lamps[i] = strdup(from->lamps[i].lamp)) == NULL)
			return false;
	made->series.lamps = (const char *const *)made->lamps;
	return made->lamps != NULL;
}

bool
make_recording(struct made *made, const struct making *how)
{
	struct canonical *from = calloc(1, sizeof *from);
	struct cycle *cycles = calloc(LAMPS_MAX, sizeof *cycles);
	struct track tracks[LAMPS_MAX];
	struct making its = *how;
	struct chance chance;
	double length = 0, reach = 0;
	size_t i, count = 0, laid = 0;
	bool done = false;

	memset(made, 0, sizeof *made);
	chance_seed(&chance, how->seed);
	if (from == NULL || cycles == NULL ||
	    !canonical_parse(from, how->pattern) || !name(made, from))
		goto out;
	for (i = 0; i < from->count; i++) {
		if (!shape(&cycles[i], &from->lamps[i], how))
			goto out;
		if (from->count > 1)
			reach = fmax(reach, cycles[i].s * (how->cycles + 5));
	}
	made->period_s = cycles[0].s;
	while (laid < from->count) {
		struct track *track = &tracks[laid];

		if (!lay(track, &chance, &cycles[laid++], &its, reach))
			goto out;
		length = fmax(length, track->end_s - track->begin_s);
		/* The others are not in step with the first. */
		its.start = START_ANYWHERE;
	}
	count = (size_t)(length * how->frame_hz) + 2;
	made->seconds = calloc(count, sizeof *made->seconds);
	made->levels = calloc(count * laid, sizeof *made->levels);
	if (made->seconds == NULL || made->levels == NULL)
		goto out;
	count = frames(made->seconds, &chance, how, length);
	for (i = 0; i < laid; i++)
		expose(made->levels + i * count, made->seconds, count, &chance,
		    &tracks[i], how);
	made->series.seconds = made->seconds;
	made->series.levels = made->levels;
	made->series.count = count;
	made->until_s = length;
	done = count > 0;
out:
	for (i = 0; i < laid; i++)
		track_free(&tracks[i]);
	free(cycles);
	free(from);
	if (!done)
		made_free(made);
	return done;
}

/* --- taps ------------------------------------------------------------------
 */

static int
rising(const void *one, const void *other)
{
	double a = *(const double *)one, b = *(const double *)other;

	return (a > b) - (a < b);
}

bool
make_taps(struct made *made, const struct making *how)
{
	struct canonical *from = calloc(1, sizeof *from);
	struct cycle *cycle = calloc(1, sizeof *cycle);
	struct track track = {0};
	struct making its = *how;
	struct chance chance;
	double spread, apart = how->on_s + how->gap_s;
	size_t i, n = 0, twice = SIZE_MAX;
	bool done = false;

	memset(made, 0, sizeof *made);
	chance_seed(&chance, how->seed);
	/* A second tap is laid on below, not a flash in two. */
	if (its.flaw == FLAW_DOUBLED)
		its.flaw = FLAW_NONE;
	if (from == NULL || cycle == NULL ||
	    !canonical_parse(from, how->pattern) ||
	    !shape(cycle, &from->lamps[0], how) ||
	    !lay(&track, &chance, cycle, &its, 0))
		goto out;
	made->period_s = cycle->s;
	made->seconds = calloc(track.count + 1, sizeof *made->seconds);
	if (made->seconds == NULL)
		goto out;
	if (made->period_s < apart)
		apart = made->period_s;
	spread = how->spread_s * fmax(1, apart / 0.6);
	if (how->flaw == FLAW_DOUBLED)
		twice = (size_t)(chance_share(&chance) * (double)track.count);
	for (i = 0; i < track.count; i++) {
		if (i == twice && !track.parts[i].on)
			twice++;
		if (!track.parts[i].on || track.from[i] < track.begin_s ||
		    track.from[i] > track.end_s)
			continue;
		made->seconds[n] = track.from[i] - track.begin_s +
				   spread * chance_normal(&chance);
		if (i == twice) {
			made->seconds[n + 1] =
			    made->seconds[n] +
			    chance_between(&chance, 0.09, 0.16);
			n++;
		}
		n++;
	}
	qsort(made->seconds, n, sizeof *made->seconds, rising);
	for (i = 1; i < n; i++)
		if (made->seconds[i] <= made->seconds[i - 1])
			made->seconds[i] = made->seconds[i - 1] + 1e-3;
	made->series.seconds = made->seconds;
	made->series.count = n;
	made->until_s = track.end_s - track.begin_s;
	done = true;
out:
	track_free(&track);
	free(cycle);
	free(from);
	if (!done)
		made_free(made);
	return done;
}

void
made_free(struct made *made)
{
	size_t i;

	free(made->seconds);
	free(made->levels);
	for (i = 0; made->lamps != NULL && i < made->series.lamp_count; i++)
		free(made->lamps[i]);
	free(made->lamps);
	memset(made, 0, sizeof *made);
}

void
made_write(const struct made *made, const struct making *how, FILE *file)
{
	const struct lw_series *series = &made->series;
	size_t i, lamp;

	fprintf(file,
	    "# invented: %s, seed %llu\n"
	    "# on %.4f s, long %.4f s, gap %.4f s, group gap %.4f s, pause "
	    "%.4f s\n",
	    how->pattern, (unsigned long long)how->seed, how->on_s, how->long_s,
	    how->gap_s, how->group_gap_s, how->pause_s);
	if (series->lamp_count == 0)
		fprintf(file, "# taps, stopped at %.4f s\n", made->until_s);
	else if (series->lamps == NULL)
		fprintf(file, "seconds,level\n");
	else {
		fprintf(file, "seconds");
		for (lamp = 0; lamp < series->lamp_count; lamp++)
			fprintf(file, ",%s", series->lamps[lamp]);
		fprintf(file, "\n");
	}
	for (i = 0; i < series->count; i++) {
		fprintf(file, "%.6f", series->seconds[i]);
		for (lamp = 0; lamp < series->lamp_count; lamp++)
			fprintf(file, ",%.5g",
			    series->levels[lamp * series->count + i]);
		fprintf(file, "\n");
	}
}
