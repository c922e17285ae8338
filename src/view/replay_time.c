/* Lays a pattern out in time: one cycle of flashes, gaps and pauses. Saying and
 * drawing it is left to replay.c and replay_draw.c. */
#include "view/replay_time.h"

#include "base/arena.h"
#include "base/err.h"

#include <math.h>

/*
 * Common practice, from memory, where the book does not know a lamp's times.
 * A long flash is three short ones, as a dash is three dots in ITU-R M.1677-1,
 * Annex 1, 2.1.
 */
#define USUAL_ON_S 0.25
#define USUAL_GAP_S 0.25
#define USUAL_GROUP_GAP_S 0.75
#define USUAL_PAUSE_S 1.5
#define LONG_IN_SHORTS 3
#define GROUP_GAP_IN_GAPS 3
#define PAUSE_IN_GROUP_GAPS 2

/* What a book says of a lamp may be any time up to an hour. */
#define LEAST_S 0.02
#define MOST_S 60

/* A steady lamp's one stretch. */
#define STEADY_S 2.0

struct laying {
	struct lw_arena *arena;
	struct replay_stretch *stretches;
	size_t count;
	size_t room;
	bool failed;
};

bool
replay_is_lit(enum replay_kind kind)
{
	return kind == REPLAY_FLASH || kind == REPLAY_LONG ||
	       kind == REPLAY_LIT;
}

static double
own_or(double own, double usual, bool *known)
{
	if (!(own > 0))
		return usual;
	*known = true;
	return fmin(fmax(own, LEAST_S), MOST_S);
}

struct replay_timing
replay_timing_of(const struct lw_lamp *lamp)
{
	static const struct lw_lamp nothing = {.on_s = 0};
	struct replay_timing timing = {.known = false};
	double gap = USUAL_GAP_S, group_gap, pause;

	if (lamp == NULL)
		lamp = &nothing;
	timing.on_s = own_or(lamp->on_s, USUAL_ON_S, &timing.known);
	timing.long_s = LONG_IN_SHORTS * timing.on_s;
	/* What is longer than a part that is not known keeps that one short. */
	if (lamp->group_gap_s > 0)
		gap = fmin(gap, lamp->group_gap_s / GROUP_GAP_IN_GAPS);
	else if (lamp->pause_s > 0)
		gap = fmin(gap, lamp->pause_s / GROUP_GAP_IN_GAPS);
	timing.gap_s = own_or(lamp->gap_s, gap, &timing.known);
	group_gap = fmax(USUAL_GROUP_GAP_S, GROUP_GAP_IN_GAPS * timing.gap_s);
	if (lamp->pause_s > 0 && group_gap >= lamp->pause_s)
		group_gap = sqrt(timing.gap_s * lamp->pause_s);
	timing.group_gap_s =
	    own_or(lamp->group_gap_s, group_gap, &timing.known);
	pause = fmax(USUAL_PAUSE_S, PAUSE_IN_GROUP_GAPS * timing.group_gap_s);
	timing.pause_s = own_or(lamp->pause_s, pause, &timing.known);
	return timing;
}

static void
add(struct laying *laying, double seconds, enum replay_kind kind)
{
	struct replay_stretch *stretch;

	if (laying->failed)
		return;
	stretch = arena_grow(laying->arena, &laying->stretches, &laying->count,
	    &laying->room, sizeof *stretch);
	if (stretch == NULL) {
		laying->failed = true;
		return;
	}
	stretch->seconds = seconds;
	stretch->kind = kind;
}

/* What follows the last flash, in place of a gap. */
static void
end_with(struct laying *laying, double seconds, enum replay_kind kind)
{
	if (laying->failed || laying->count == 0)
		return;
	laying->stretches[laying->count - 1].seconds = seconds;
	laying->stretches[laying->count - 1].kind = kind;
}

static void
lay_rate(struct laying *laying, const struct code *code)
{
	double period = 1000.0 / code->millihertz;
	double duty = code->duty > 0 ? code->duty / 100.0 : 0.5;

	add(laying, period * duty, REPLAY_FLASH);
	add(laying, period * (1 - duty), REPLAY_GAP);
}

static void
lay_flashes(struct laying *laying, const struct code *code,
    const struct replay_timing *timing)
{
	size_t i;
	unsigned n;

	for (i = 0; i < code->count; i++) {
		const struct run *run = &code->runs[i];
		bool longer =
		    code->coding == LW_CODING_LONG_SHORT && run->longer;

		for (n = 0; n < run->flashes; n++) {
			add(laying, longer ? timing->long_s : timing->on_s,
			    longer ? REPLAY_LONG : REPLAY_FLASH);
			add(laying, timing->gap_s, REPLAY_GAP);
		}
		if (code->coding == LW_CODING_DIGITS)
			end_with(laying, timing->group_gap_s, REPLAY_GROUP_GAP);
	}
}

static void
lay_code(struct laying *laying, const struct code *code,
    const struct replay_timing *timing)
{
	switch (code->coding) {
	case LW_CODING_STEADY:
		add(laying, STEADY_S, code->lit ? REPLAY_LIT : REPLAY_DARK);
		return;
	case LW_CODING_RATE:
		lay_rate(laying, code);
		return;
	default:
		lay_flashes(laying, code, timing);
		end_with(laying, timing->pause_s, REPLAY_PAUSE);
	}
}

enum lw_status
replay_lay(struct replay_track *track, struct lw_arena *arena,
    const struct shown *shown, const struct replay_timing *timing,
    struct lw_err *err)
{
	struct laying laying = {.arena = arena};
	size_t i;

	for (i = 0; i < shown->count; i++)
		lay_code(&laying, &shown->codes[i], timing);
	if (laying.failed)
		return err_no_memory(err);
	track->stretches = laying.stretches;
	track->count = laying.count;
	track->steady = laying.count == 1;
	track->seconds = 0;
	for (i = 0; i < track->count; i++)
		track->seconds += track->stretches[i].seconds;
	return LW_OK;
}

static bool
begins_lit(const struct replay_track *track, size_t i)
{
	size_t before = i == 0 ? track->count - 1 : i - 1;

	return replay_is_lit(track->stretches[i].kind) &&
	       !replay_is_lit(track->stretches[before].kind);
}

double
replay_apart(const struct replay_track *track)
{
	double at = 0, first = -1, last = -1, apart = HUGE_VAL;
	size_t i;

	if (track->steady)
		return 0;
	for (i = 0; i < track->count; i++) {
		if (begins_lit(track, i)) {
			if (first < 0)
				first = at;
			else
				apart = fmin(apart, at - last);
			last = at;
		}
		at += track->stretches[i].seconds;
	}
	if (first < 0)
		return 0;
	return fmin(apart, track->seconds - last + first);
}

double
replay_slower(const struct replay_track *track)
{
	double apart = replay_apart(track);

	/* What was added up is not to the last bit. */
	if (!(apart > 0) || apart > REPLAY_APART_S - 1e-9)
		return 1;
	return REPLAY_APART_S / apart;
}

unsigned long
replay_ms(const struct replay_stretch *stretch, double slower)
{
	return (unsigned long)fmax(
	    ceil(stretch->seconds * slower * 1000 - 1e-6), 1);
}
