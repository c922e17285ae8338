/* What is worth a sentence about a lamp that was seen: doubts, what would
 * settle them, and what the eye would have made of it. */
#include "lamp/remarks.h"

#include "base/arena.h"
#include "lamp/belief.h"
#include "lamp/sight.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Two flashes need about 150 ms to be seen as two (abstracts of studies of
 * perception), and tapping along works up to about 2.5 a second (B. H. Repp,
 * Rate limits of sensorimotor synchronization, 2006, abstract). */
#define EYE_PARTS_S 0.15
#define TAPS_HERTZ_MAX 2.5

void
remark(struct remarks *remarks, const char *format, ...)
{
	char text[600];
	const char **item;
	va_list args;

	va_start(args, format);
	vsnprintf(text, sizeof text, format, args);
	va_end(args);
	item = arena_grow(remarks->arena, &remarks->items, &remarks->count,
	    &remarks->room, sizeof *item);
	if (item == NULL) {
		remarks->failed = true;
		return;
	}
	*item = arena_dup(remarks->arena, text);
	remarks->failed = remarks->failed || *item == NULL;
}

/* The likeliest pattern, decided or not; NULL: there is none. */
static const char *
likeliest(const struct lw_sight *sight)
{
	return sight->text[0] != '\0'  ? sight->text
	       : sight->also_count > 0 ? sight->also[0].text
				       : NULL;
}

/* The likeliest other one that looks like the likeliest, or that does not;
 * NULL: there is none. */
static const struct lw_also *
next_likely(const struct lw_sight *sight, bool alike)
{
	size_t i;

	for (i = sight->text[0] == '\0'; i < sight->also_count; i++)
		if (cycle_alike(likeliest(sight), sight->also[i].text) == alike)
			return &sight->also[i];
	return NULL;
}

/* What no watching would settle. */
static void
on_alike(struct remarks *remarks, const struct lw_sight *sight,
    const struct judgement *judgement)
{
	const struct lw_also *other = next_likely(sight, true);

	if (other == NULL || other->confidence <= 1 - SIGHT_SURE)
		return;
	if (judgement->has_fit && cycle_is_even(&judgement->cycle))
		remark(remarks,
		    "%s and %s are both one flash a period: 1 is lit for less "
		    "than a third of it, a rate for longer.",
		    likeliest(sight), other->text);
	else
		remark(remarks,
		    "%s and %s look alike, however long one watches; only the "
		    "device's manual or its list of codes tells which it is.",
		    likeliest(sight), other->text);
}

static void
on_doubt(struct remarks *remarks, const struct lw_sight *sight,
    const struct judgement *judgement, bool taps)
{
	double around = judgement->has_fit ? fit_around_s(&judgement->fit) : 0;
	const struct lw_also *other;
	size_t more;

	if (judgement->nothing > 0.5) {
		remark(remarks,
		    "It flashes, but nothing repeats and it is not a constant "
		    "rate.%s",
		    sight->watch_s <= 0 ? ""
		    : taps		? " Tap along for longer."
			   : " Watch for longer, with the lamp held still in "
			     "the picture.");
		return;
	}
	on_alike(remarks, sight, judgement);
	if (sight->watch_s <= 0)
		return;
	more = around > 0 ? (size_t)fmax(1, round(sight->watch_s / around)) : 0;
	other = next_likely(sight, false);
	if (more > 0 && other != NULL)
		remark(remarks,
		    "%zu more cycle%s (about %.0f s) would settle %s or %s.",
		    more, more == 1 ? "" : "s", sight->watch_s,
		    likeliest(sight), other->text);
	else if (more > 0 && sight->text[0] == '\0' && sight->also_count > 0)
		remark(remarks,
		    "%zu more cycle%s (about %.0f s) would settle whether it "
		    "is %s.",
		    more, more == 1 ? "" : "s", sight->watch_s,
		    likeliest(sight));
	else
		remark(remarks,
		    "Too little was seen to be sure; watch for about %.0f s "
		    "more.",
		    sight->watch_s);
}

/* The listed codes that come nearest. */
static void
on_list(struct remarks *remarks, const struct lw_sight *sight,
    const struct lw_known_lamp *known)
{
	const char *near[2] = {NULL, NULL};
	double away[2] = {1000, 1000}, distance;
	size_t i;

	if (known == NULL || known->pattern_count == 0 ||
	    sight->text[0] == '\0' || belief_is_listed(sight->text, known))
		return;
	for (i = 0; i < known->pattern_count; i++) {
		distance = lw_pattern_distance(sight->text, known->patterns[i]);
		if (distance < away[0]) {
			near[1] = near[0];
			away[1] = away[0];
			near[0] = known->patterns[i];
			away[0] = distance;
		} else if (distance < away[1]) {
			near[1] = known->patterns[i];
			away[1] = distance;
		}
	}
	if (near[1] != NULL)
		remark(remarks,
		    "%s was seen; it is not on this lamp's list. The nearest "
		    "there are %s and %s.",
		    sight->text, near[0], near[1]);
	else if (near[0] != NULL)
		remark(remarks,
		    "%s was seen; it is not on this lamp's list. The nearest "
		    "there is %s.",
		    sight->text, near[0]);
	else
		remark(remarks,
		    "%s was seen; this lamp's list has no code of that kind.",
		    sight->text);
}

static void
on_mending(struct remarks *remarks, const struct lw_sight *sight)
{
	size_t i, mended = 0;

	for (i = 0; i < sight->stretch_count; i++)
		mended += sight->stretches[i].mended &&
			  (i == 0 || !sight->stretches[i - 1].mended);
	if (mended > 0 && sight->text[0] != '\0')
		remark(remarks,
		    "At %zu place%s a flash seems to have been missed or "
		    "seen twice; the other cycles say what it was.",
		    mended, mended == 1 ? "" : "s");
}

/* What somebody who looks at it would see. */
static void
on_eye(struct remarks *remarks, const struct lw_sight *sight,
    const struct judgement *judgement, const struct sightings *seen)
{
	const struct fit *fit = &judgement->fit;
	double onset =
	    fit->tempo.mean_s[PART_SHORT] + fit->tempo.mean_s[PART_GAP];
	size_t i, flashes = 0;

	if (!judgement->has_fit || seen->taps || judgement->nothing > 0.5)
		return;
	for (i = 0; i < fit->cycle.count; i++)
		flashes += fit->cycle.parts[i] == PART_SHORT;
	if (sight->coding == LW_CODING_COUNT && flashes > 1 &&
	    fit->cycle.parts[1] == PART_GAP && onset < EYE_PARTS_S &&
	    onset * (double)(flashes - 1) < 0.35)
		remark(remarks,
		    "To the eye the %zu flashes are one, %.0f a minute: look "
		    "up 1 as well.",
		    flashes, 60 / fit_around_s(fit));
	if (judgement->cycle.inverted)
		remark(remarks,
		    "The lamp is lit between the groups and goes dark in "
		    "them: what was counted is how often it goes dark.");
}

static void
on_groups(struct remarks *remarks, const struct lw_sight *sight,
    const struct judgement *judgement)
{
	char groups[LW_PATTERN_MAX];

	if (sight->coding == LW_CODING_LONG_SHORT && judgement->has_fit &&
	    cycle_groups(groups, sizeof groups, &judgement->cycle))
		remark(remarks, "The flashes stand in groups: %s.", groups);
}

static void
on_rate(struct remarks *remarks, const struct lw_sight *sight,
    const struct judgement *judgement, const struct sightings *seen)
{
	const struct fit *fit = &judgement->fit;
	const double *mean = fit->tempo.mean_s;
	double onset;

	if (!judgement->has_fit)
		return;
	onset = mean[PART_GAP] + (seen->taps ? 0 : mean[PART_SHORT]);
	if (seen->taps && fit->seen[PART_GAP] > 0 && onset < 1 / TAPS_HERTZ_MAX)
		remark(remarks,
		    "That is %.1f flashes a second; a hand keeps up with %.1f "
		    "at most, so film the lamp rather than tap along.",
		    1 / onset, TAPS_HERTZ_MAX);
	if (cycle_is_even(&judgement->cycle) && fit->tempo.jitter > 0.12)
		remark(remarks,
		    "It is not a constant rate: the flashes come at uneven "
		    "times (%.0f %% off).",
		    100 * fit->tempo.jitter);
	if (sight->coding == LW_CODING_LONG_SHORT && !seen->taps &&
	    fit->seen[PART_LONG] > 0 && fit->seen[PART_GAP] > 0 &&
	    fabs(mean[PART_SHORT] - mean[PART_GAP]) < 0.1 * mean[PART_SHORT] &&
	    fabs(mean[PART_LONG] - mean[PART_PAUSE]) < 0.1 * mean[PART_LONG])
		remark(remarks,
		    "It is not a constant rate: it may as well be two rates "
		    "in turn, %.1f and %.1f flashes a second.",
		    0.5 / mean[PART_SHORT], 0.5 / mean[PART_LONG]);
}

static void
on_light(struct remarks *remarks, const struct lamp_runs *runs)
{
	if (runs == NULL)
		return;
	if (runs->ripple_hz > 0)
		remark(remarks,
		    "A ripple of about %.0f Hz was taken out (mains light, or "
		    "a lamp that is dimmed in pulses).",
		    runs->ripple_hz);
	if (runs->lost > 0.2)
		remark(remarks, "%.0f %% of the frames are missing.",
		    100 * runs->lost);
	if (runs->clear > 0 && runs->clear < 5)
		remark(remarks,
		    "The lamp hardly stands out of the noise; zoom in rather "
		    "than reach in, and keep other light off it.");
}

void
remarks_on_sight(struct remarks *remarks, const struct lw_sight *sight,
    const struct judgement *judgement, const struct sightings *seen,
    const struct lamp_runs *runs, const struct lw_known_lamp *known)
{
	on_doubt(remarks, sight, judgement, seen->taps);
	on_list(remarks, sight, known);
	on_eye(remarks, sight, judgement, seen);
	on_groups(remarks, sight, judgement);
	on_rate(remarks, sight, judgement, seen);
	on_mending(remarks, sight);
	on_light(remarks, runs);
}
