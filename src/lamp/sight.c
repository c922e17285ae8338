/* Fills in what was seen of a lamp. Its remarks are left to lamp/remarks.c. */
#include "lamp/sight.h"

#include "base/arena.h"
#include "base/err.h"
#include "lamp/canonical.h"
#include "lamp/remarks.h"

#include <math.h>
#include <string.h>

/* From here on a pattern is said; from less where it stands far above every
 * other. */
#define DECIDED 0.55
#define STANDS_OUT 0.33
#define STANDS_OUT_TIMES 3
/* Others below are not worth a word. */
#define WORTH_SAYING 0.005

static enum lw_coding
coding_of(const char *pattern)
{
	struct lw_pattern parsed;

	return lw_pattern_parse(&parsed, pattern, NULL) == LW_OK
		   ? parsed.coding
		   : LW_CODING_UNKNOWN;
}

static enum lw_stretch_kind
kind_of(unsigned char part)
{
	switch (part) {
	case PART_SHORT:
		return LW_STRETCH_FLASH;
	case PART_LONG:
		return LW_STRETCH_LONG;
	case PART_GAP:
		return LW_STRETCH_GAP;
	case PART_GROUP_GAP:
		return LW_STRETCH_GROUP_GAP;
	default:
		return LW_STRETCH_PAUSE;
	}
}

/* Which part of the cycle a stretch that was not laid is nearest to. */
static enum lw_stretch_kind
nearest_kind(
    const struct judgement *judgement, const struct lw_stretch *one, bool taps)
{
	const struct fit *fit = &judgement->fit;
	double best = INFINITY;
	enum lw_stretch_kind kind = LW_STRETCH_OTHER;
	size_t i;

	for (i = 0; i < fit->cycle.count; i++) {
		unsigned char part = fit->cycle.parts[i];
		double off = fabs(log((one->to_s - one->from_s + 0.001) /
				      fit->tempo.mean_s[part]));

		if (!taps &&
		    (part_is_flash(part) != fit->cycle.inverted) != one->on)
			continue;
		if (off < best && off < 0.5) {
			best = off;
			kind = kind_of(part);
		}
	}
	return kind;
}

/* Name the stretches by what they were taken for. */
static void
name_stretches(struct lw_stretch *stretches, size_t count,
    const struct judgement *judgement, const struct sightings *seen)
{
	const struct cycle *cycle = &judgement->fit.cycle;
	size_t i;

	for (i = 0; i < count; i++) {
		const struct mark *mark = &judgement->marks[i];

		if (!judgement->has_fit)
			continue;
		if (i >= seen->count) {
			stretches[i].kind =
			    nearest_kind(judgement, &stretches[i], seen->taps);
			continue;
		}
		/* Who stops tapping after a group is in its pause. */
		if (mark->parts == 0 &&
		    !(seen->taps && i + 1 == seen->count &&
			cycle->parts[mark->part] == PART_PAUSE))
			continue;
		stretches[i].kind = kind_of(cycle->parts[mark->part]);
		stretches[i].mended = mark->piece || mark->parts > 1;
		/* Dark, with a flash in it that was missed, next to a pause:
		 * the pause is what it is for the most part. */
		if (mark->parts > 1 &&
		    cycle->parts[(mark->part + mark->parts - 1) %
				 cycle->count] == PART_PAUSE)
			stretches[i].kind = LW_STRETCH_PAUSE;
	}
}

/* Codes that stand between two pauses, or periods that are whole. */
static size_t
whole_cycles(const struct lw_stretch *stretches,
    const struct judgement *judgement, const struct sightings *seen)
{
	const struct cycle *cycle = &judgement->cycle;
	const struct mark *marks = judgement->marks;
	size_t i, pauses = 0, codes = 0, whole = 0;
	bool even = cycle_is_even(cycle);

	for (i = 0; i < seen->count; i++) {
		if (even) {
			whole += !stretches[i].open &&
				 stretches[i].kind == LW_STRETCH_GAP;
			continue;
		}
		/* One that was seen in pieces is one. */
		if (i > 0 && marks[i].piece && marks[i - 1].piece &&
		    marks[i].part == marks[i - 1].part)
			continue;
		pauses += stretches[i].kind == LW_STRETCH_PAUSE;
	}
	if (even)
		return whole;
	for (i = 0; i < cycle->count; i++)
		codes += cycle->parts[i] == PART_PAUSE;
	/* Taps begin with a group, seen from its first tap. */
	if (seen->taps && pauses > 0 && stretches[0].kind != LW_STRETCH_PAUSE &&
	    stretches[0].kind != LW_STRETCH_OTHER)
		pauses++;
	return pauses > 1 && codes > 0 ? (pauses - 1) / codes : 0;
}

/* Flashes a minute, both ways of counting; and their rate where they are
 * evenly spaced. */
static void
take_rates(struct lw_sight *sight, const struct judgement *judgement,
    const struct sightings *seen)
{
	const struct fit *fit = &judgement->fit;
	const struct cycle *cycle = &fit->cycle;
	double around = 0, between = 0, rates = 0, lit = 0;
	size_t i, flashes = 0;

	for (i = 0; i < cycle->count; i++) {
		double mean = fit->tempo.mean_s[cycle->parts[i]];
		bool flash = part_is_flash(cycle->parts[i]);

		if (fit->seen[cycle->parts[i]] == 0)
			return;
		around += mean;
		between += mean;
		lit += flash ? mean : 0;
		if (flash)
			continue;
		rates += 60 / between;
		between = 0;
		flashes++;
	}
	sight->per_minute = 60 * (double)flashes / around;
	sight->per_minute_between = rates / (double)flashes;
	if (!cycle_is_even(&judgement->cycle))
		return;
	sight->hertz = 1 / around;
	sight->duty = seen->taps ? 0 : lit / around;
}

static void
take_timing(struct lw_sight *sight, const struct judgement *judgement,
    const struct sightings *seen)
{
	const struct fit *fit = &judgement->fit;
	const double *mean = fit->tempo.mean_s;
	bool used[PART_KINDS] = {false};
	size_t i;

	for (i = 0; i < fit->cycle.count; i++)
		used[fit->cycle.parts[i]] = fit->seen[fit->cycle.parts[i]] > 0;
	sight->on_s = used[PART_SHORT] && !seen->taps ? mean[PART_SHORT] : 0;
	sight->long_s = used[PART_LONG] && !seen->taps ? mean[PART_LONG] : 0;
	sight->gap_s = used[PART_GAP] ? mean[PART_GAP] : 0;
	sight->group_gap_s = used[PART_GROUP_GAP] ? mean[PART_GROUP_GAP] : 0;
	sight->pause_s = used[PART_PAUSE] ? mean[PART_PAUSE] : 0;
	take_rates(sight, judgement, seen);
}

/* One flash a period: what is dark is its pause. */
static void
call_gaps_pauses(struct lw_sight *sight, struct lw_stretch *stretches)
{
	size_t i;

	if (strcmp(sight->text, "1") != 0 || sight->pause_s > 0)
		return;
	sight->pause_s = sight->gap_s;
	sight->gap_s = 0;
	for (i = 0; i < sight->stretch_count; i++)
		if (stretches[i].kind == LW_STRETCH_GAP)
			stretches[i].kind = LW_STRETCH_PAUSE;
}

/* The share of stretches that the cycle does not explain as they are. */
static double
share_unexplained(
    const struct judgement *judgement, const struct sightings *seen)
{
	const struct fit *fit = &judgement->fit;
	size_t i, odd = 0;

	for (i = 0; i < seen->count; i++) {
		const struct mark *mark = &judgement->marks[i];
		double mean = fit->tempo.mean_s[fit->cycle.parts[mark->part]];
		double off = seen->items[i].length_s - mean;
		double usual = fmax(fit->tempo.jitter, 0.03) * mean;

		if (sightings_open(seen, i))
			continue;
		odd +=
		    !mark->whole ||
		    off * off > 25 * (usual * usual + seen->items[i].variance);
	}
	return (double)odd / (double)(seen->count + 1);
}

/* How far a probability is to be trusted with so little seen, or so much of
 * it unexplained. */
static double
trust(const struct lw_sight *sight, const struct judgement *judgement,
    const struct sightings *seen, const struct lamp_runs *runs)
{
	double doubt = sight->cycles == 0   ? 0.12
		       : sight->cycles == 1 ? 0.03
		       : sight->cycles == 2 ? 0.006
					    : 0.002;

	/* A rate is one only once it has gone on for some periods. */
	if (judgement->has_fit && cycle_is_even(&judgement->cycle))
		doubt = sight->cycles < 2    ? 0.7
			: sight->cycles == 2 ? 0.35
			: sight->cycles == 3 ? 0.12
			: sight->cycles == 4 ? 0.05
			: sight->cycles == 5 ? 0.02
					     : doubt;
	if (runs != NULL && runs->clear < 5)
		doubt += 0.02;
	/* Of one sample each, flashes are hardly seen. */
	if (!seen->taps && judgement->has_fit &&
	    judgement->fit.tempo.mean_s[PART_SHORT] < 1.5 * seen->step_s)
		doubt += 0.15;
	/* Nobody taps along with what is that fast. */
	if (seen->taps && judgement->has_fit &&
	    judgement->fit.seen[PART_GAP] > 0)
		doubt += judgement->fit.tempo.mean_s[PART_GAP] < 0.25	? 0.3
			 : judgement->fit.tempo.mean_s[PART_GAP] < 0.35 ? 0.1
									: 0;
	if (judgement->has_fit)
		doubt += 0.8 * share_unexplained(judgement, seen);
	return fmax(1 - doubt, 0.2);
}

/* How sure it is of the likeliest pattern and of those that look like it. */
static double
sure_but_for_alike(const struct lw_sight *sight)
{
	bool decided = sight->text[0] != '\0';
	const char *first = decided ? sight->text : sight->also[0].text;
	double sure = sight->confidence;
	size_t i;

	for (i = 0; i < sight->also_count; i++)
		if ((i == 0 && !decided) ||
		    cycle_alike(first, sight->also[i].text))
			sure += sight->also[i].confidence;
	return sure;
}

/* How much longer to watch so that it is settled. */
static double
watch_longer(const struct lw_sight *sight, const struct judgement *judgement,
    double watched)
{
	double around = judgement->has_fit ? fit_around_s(&judgement->fit) : 0;

	if (sure_but_for_alike(sight) >= SIGHT_SURE)
		return 0;
	if (sight->text[0] == '\0' && judgement->nothing > 0.5 &&
	    sight->stretch_count > 60)
		return 0; /* more of it would say no more */
	if (around <= 0 || judgement->nothing > 0.5 || sight->cycles == 0)
		return ceil(fmax(fmax(2 * around, watched), 5));
	/* Evenly spaced flashes may yet turn out to be a group. */
	if (cycle_is_even(&judgement->cycle))
		return ceil(fmax(8 * around, 3));
	return ceil(2 * around);
}

static bool
is_decided(const struct judgement *judgement, double trusted)
{
	double best, next;

	if (judgement->count == 0)
		return false;
	best = judgement->patterns[0].share;
	next = judgement->count > 1 ? judgement->patterns[1].share : 0;
	return best * trusted >= DECIDED ||
	       (best * trusted >= STANDS_OUT &&
		   best >= STANDS_OUT_TIMES * fmax(next, judgement->nothing));
}

static void
take_patterns(
    struct lw_sight *sight, const struct judgement *judgement, double trusted)
{
	size_t i, from = 0;

	if (judgement->count > 0)
		sight->coding = coding_of(judgement->patterns[0].pattern.text);
	if (is_decided(judgement, trusted)) {
		memcpy(sight->text, judgement->patterns[0].pattern.text,
		    sizeof sight->text);
		sight->confidence = judgement->patterns[0].share * trusted;
		from = 1;
	}
	for (i = from; i < judgement->count; i++) {
		const struct verdict_on *one = &judgement->patterns[i];
		struct lw_also *also = &sight->also[sight->also_count];

		if (one->share * trusted < WORTH_SAYING ||
		    sight->also_count == LW_ALSO_MAX)
			break;
		memcpy(also->text, one->pattern.text, sizeof also->text);
		also->confidence = one->share * trusted;
		sight->also_count++;
	}
}

static enum lw_status
put_remarks(
    struct lw_sight *sight, const struct remarks *remarks, struct lw_err *err)
{
	if (remarks->failed)
		return err_no_memory(err);
	sight->remarks = remarks->items;
	sight->remark_count = remarks->count;
	return sight->text[0] == '\0' ? LW_UNDECIDED : LW_OK;
}

enum lw_status
sight_make(struct lw_sight *sight, struct lw_arena *arena,
    const struct judgement *judgement, const struct sightings *seen,
    const struct lamp_runs *runs, struct lw_stretch *stretches,
    size_t stretch_count, const struct lw_known_lamp *known, struct lw_err *err)
{
	struct remarks remarks = {.arena = arena};
	double watched = 0;

	if (stretch_count > 0)
		watched =
		    stretches[stretch_count - 1].to_s - stretches[0].from_s;
	if (judgement->nothing < 0.5)
		name_stretches(stretches, stretch_count, judgement, seen);
	sight->stretches = stretches;
	sight->stretch_count = stretch_count;
	if (runs != NULL) {
		sight->dim = runs->dim;
		sight->bright = runs->bright;
	}
	if (judgement->has_fit)
		sight->cycles = whole_cycles(stretches, judgement, seen);
	take_patterns(sight, judgement, trust(sight, judgement, seen, runs));
	if (judgement->has_fit && judgement->nothing < 0.5)
		take_timing(sight, judgement, seen);
	call_gaps_pauses(sight, stretches);
	sight->watch_s = watch_longer(sight, judgement, watched);
	remarks_on_sight(&remarks, sight, judgement, seen, runs, known);
	return put_remarks(sight, &remarks, err);
}

enum lw_status
sight_make_steady(struct lw_sight *sight, struct lw_arena *arena,
    const struct lamp_runs *runs, struct lw_stretch *stretches,
    size_t stretch_count, struct lw_err *err)
{
	struct remarks remarks = {.arena = arena};
	double watched =
	    stretches[stretch_count - 1].to_s - stretches[0].from_s;
	bool changed = stretch_count > 1;
	bool lit = stretches[stretch_count - 1].on;
	size_t i;

	/* What never changes may be either. */
	for (i = 0; changed && i < stretch_count; i++)
		stretches[i].kind =
		    stretches[i].on ? LW_STRETCH_LIT : LW_STRETCH_DARK;
	sight->coding = LW_CODING_STEADY;
	sight->stretches = stretches;
	sight->stretch_count = stretch_count;
	sight->dim = runs->dim;
	sight->bright = runs->bright;
	if (changed) {
		sight->also_count = 1;
		strcpy(sight->also[0].text, lit ? "on" : "off");
		sight->also[0].confidence = 0.6;
	} else {
		sight->also_count = 2;
		strcpy(sight->also[0].text, "on");
		strcpy(sight->also[1].text, "off");
		sight->also[0].confidence = sight->also[1].confidence = 0.5;
	}
	/* Where nothing changed, more of it would say no more. */
	sight->watch_s = changed ? ceil(fmax(watched, 5)) : 0;
	if (changed)
		remark(&remarks,
		    "The lamp went %s once, after %.1f s, and stayed so to "
		    "the end; watch for %.0f s more to see whether it "
		    "changes again.",
		    lit ? "on" : "off", stretches[0].to_s - stretches[0].from_s,
		    sight->watch_s);
	else
		remark(&remarks,
		    "Nothing flashes here: a level that never changes cannot "
		    "tell a lamp that is on from one that is off. Look which "
		    "it is; if it did flash, record it again with the lamp "
		    "larger and held still.");
	return put_remarks(sight, &remarks, err);
}
